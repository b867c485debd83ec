package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// mostSeen bounds the observations of a file.
const mostSeen = 200

// seenBinder ties decoded values to what was seen.
type seenBinder struct {
	*binder
	seen *Seen
}

// seenKind is what a kind of observation needs.
type seenKind struct {
	kind    ObservationKind
	reading string   // key of the value that was read, if not the kind's own
	when    string   // key that says after what it was seen; empty: it doesn't matter
	takes   []string // further keys
	standard
}

// standard is the error of a reading where none is stated: the greater of a share
// of the reading and a least error.
type standard struct {
	share  float64
	least  float64 // SI
	source string
}

// settled is where the errors of shop readings come from.
const settled = "as for the tests that measure lists; prior, no published source"

var kindsSeen = map[string]seenKind{
	"drained":    {kind: Drained, when: "after", standard: standard{0.15, 5e-6, settled + "; what clings to the can included"}},
	"weighed":    {kind: Drained, when: "after", takes: []string{"density"}, standard: standard{0.15, 5e-3, settled + "; what clings to the can included"}},
	"topped_up":  {kind: ToppedUp, when: "over", takes: []string{"after"}, standard: standard{0, dipstick, "what a dipstick tells; prior, no published source"}},
	"crankcase":  {kind: Crankcase, takes: []string{"load"}, standard: standard{0, 100, "a gauge's, " + settled}},
	"u_tube":     {kind: UTube, takes: []string{"load", "fluid"}, standard: standard{0, 3e-3, "30 Pa in water, 26 Pa in oil; " + settled}},
	"vent_hose":  {kind: VentHose, when: "after", takes: []string{"shows_from"}, standard: standard{0, 0.05, prior}},
	"poured":     {kind: Poured, reading: "took", takes: []string{"took", "at"}, standard: standard{0.05, 1, prior}},
	"overflowed": {kind: Overflew, when: "after", standard: standard{0, 0.02, prior}},
}

// always are keys that every kind takes.
var always = []string{"error", "layout", "session", "note"}

func (b *seenBinder) bind() {
	b.version("seen")
	b.seen.Title, b.seen.Note = b.word("title"), b.word("note")
	switch paths, v := b.elements["observations"], b.values["observations"]; {
	case v == nil:
		b.missing("observations", "what was seen")
	case len(paths) > mostSeen:
		b.problem(v.line, "observations", fmt.Sprintf("too many (got %d, allowed 1 to %d)", len(paths), mostSeen), "part the file: fewer of them each")
	default:
		for _, path := range paths {
			if v := b.values[path]; !v.bad {
				b.observation(path, v)
			}
		}
	}
	if len(b.problems) == 0 {
		b.sameSession()
	}
}

// observation binds one entry.
func (b *seenBinder) observation(path string, v *value) {
	key := b.keyOf(path)
	if key == "" {
		return
	}
	k := kindsSeen[key]
	o := Observation{
		Kind: k.kind, Line: v.line, Text: v.node.written(),
		Note: b.word(path + ".note"), Layout: b.word(path + ".layout"), Session: b.word(path + ".session"),
	}
	b.only(path, key, k)
	b.when(path, k, &o)
	switch key {
	case "vent_hose":
		o.Value = boolean(b.word(path+".vent_hose") == "wet")
		b.showsFrom(path+".shows_from", &o)
	case "overflowed":
		o.Value = boolean(b.word(path+".overflowed") == "yes")
	case "poured":
		o.Volume = b.given(path + ".poured").Nominal()
		o.Temperature = b.required(path+".at", "the oil's temperature decides how thick it is").Nominal()
	case "crankcase", "u_tube":
		o.Load = b.standing(path + ".load").Nominal()
	}
	if key == "u_tube" {
		o.Fluid = b.word(path + ".fluid")
		b.standsFor(path+".fluid", o.Fluid)
	}
	if o.Whether() {
		o.Error = b.wronglySeen(path, k)
	} else {
		o.Value, o.Error = b.reading(path, key, k)
	}
	if key == "weighed" {
		density := b.standing(path + ".density").Nominal()
		o.Value, o.Error = o.Value/density, o.Error/density
	}
	b.seen.Observations = append(b.seen.Observations, o)
}

func boolean(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

// keyOf is the one key of an entry that says what was seen.
func (b *seenBinder) keyOf(path string) string {
	var got []string
	for _, key := range seenKinds {
		if b.has(path + "." + key) {
			got = append(got, key)
		} else if b.told(path + "." + key) {
			return "" // a wrong key was meant for it
		}
	}
	switch len(got) {
	case 1:
		return got[0]
	case 0:
		b.problem(b.line(path), path, "missing: what was seen (one of "+strings.Join(seenKinds, ", ")+")", "write: drained: 120 mL")
	default:
		b.problem(b.line(path), path, "an entry holds one thing that was seen (got "+strings.Join(got, " and ")+")",
			"write an entry for each; of the same session: session: first stint")
	}
	return ""
}

// only warns of what a kind doesn't use.
func (b *seenBinder) only(path, key string, k seenKind) {
	for _, f := range b.catalogue.byPath["observations"].children {
		name := f.Name()
		if name != key && name != k.when && !slices.Contains(k.takes, name) && !slices.Contains(always, name) {
			b.unused(key+" has none", path+"."+name)
		}
	}
}

// when binds the sessions after or over which it was seen.
func (b *seenBinder) when(path string, k seenKind, o *Observation) {
	after := path + ".after"
	switch {
	case k.when == "":
	case k.when == "over" && b.has(path+".over"):
		b.conflict(path+".over", after, "after is one session, over a list of them")
		o.Over = b.values[path+".over"].times
	case k.when == "over" && !b.has(after):
		b.missing(path+".over", "the sessions over which it went missing")
	default:
		o.Over = []float64{b.required(after, "the length of the session after which it was seen").Nominal()}
	}
}

// standing is an exact value, or what stands for it, which is told.
func (b *seenBinder) standing(path string) *Quantity {
	q := b.quantity(path)
	b.standsFor(path, q.Text)
	return q
}

func (b *seenBinder) standsFor(path, text string) {
	if !b.has(path) {
		b.rule(path, text, b.catalogue.at(path).Source)
	}
}

// reading returns a value that was read, and its error: of "120 +- 5 mL" both.
func (b *seenBinder) reading(path, key string, k seenKind) (value, sd float64) {
	if k.reading != "" {
		key = k.reading
	}
	at := path + "." + key
	q := b.required(at, "what was read")
	v := b.values[at]
	if v == nil || v.bad {
		return 0, 0
	}
	b.warnings = slices.DeleteFunc(b.warnings, func(w Warning) bool { return w.Path == at }) // an error may reach beyond what is possible
	d := q.Distribution
	switch d.Kind {
	case uncertainty.ExactValue:
		return d.A, b.readingError(path, v.field, k, d.A)
	case uncertainty.NormalLaw:
		b.conflict(at, path+".error", "the value has its own")
		if d.A < v.field.low || d.A > v.field.high {
			b.problem(v.line, at, fmt.Sprintf("outside what is possible (got %s, allowed %s to %s)", shorten(v.text), v.field.Low, v.field.High), v.field.hint(""))
		}
		return d.A, d.B
	}
	b.problem(v.line, at, "a reading is a value, and may have its error behind it (got "+shorten(v.text)+")", v.field.hint(v.field.Example))
	return 0, 0
}

// readingError is the stated error of a reading, in its unit or as a share of it,
// or the standard one.
func (b *seenBinder) readingError(path string, of *Field, k seenKind, value float64) float64 {
	v := b.values[path+".error"]
	if v == nil {
		sd := max(k.least, k.share*math.Abs(value))
		b.rule(path+".error", units.Format(sd, of.Dimension, units.Metric), k.told(of))
		return sd
	}
	f := Field{Path: path + ".error", Kind: ExactKind, Dimension: of.Dimension, Example: units.Format(k.least, of.Dimension, units.Metric), High: of.High, high: of.high}
	share := strings.HasSuffix(v.word, "%")
	if share {
		f.Dimension, f.High, f.high = units.Fraction, "100 %", 1
	}
	sd, ok := b.exactError(v, &f)
	if ok && share && value == 0 {
		b.problem(v.line, v.path, "a share of nothing is no error (got "+v.word+")", f.hint(""))
	}
	if share {
		sd *= math.Abs(value)
	}
	return sd
}

// told says where a standard error comes from.
func (k seenKind) told(of *Field) string {
	if k.share == 0 {
		return k.source
	}
	return fmt.Sprintf("%.0f %% of the reading, %s at the least: %s", 100*k.share, units.Format(k.least, of.Dimension, units.Metric), k.source)
}

// wronglySeen is the chance that yes or no was seen wrongly.
func (b *seenBinder) wronglySeen(path string, k seenKind) float64 {
	v := b.values[path+".error"]
	if v == nil {
		b.rule(path+".error", units.Format(k.least, units.Fraction, units.Metric), k.source)
		return k.least
	}
	chance, _ := b.exactError(v, &Field{Path: path + ".error", Kind: ExactKind, Dimension: units.Fraction, Example: "5 %", High: "45 %", high: 0.45})
	return chance
}

// exactError reads an error, which is above 0.
func (b *seenBinder) exactError(v *value, f *Field) (sd float64, ok bool) {
	if v.bad {
		return 0, false
	}
	d, err := b.memory.quantity(v.word, f)
	switch sd = d.Nominal(); {
	case err != nil:
		b.problem(v.line, v.path, plainError(err), f.mend(err))
	case !d.IsExact():
		b.problem(v.line, v.path, "an exact value is wanted here (got "+shorten(v.word)+")", f.hint(""))
	case sd == 0:
		b.problem(v.line, v.path, "no reading is without an error (got "+shorten(v.word)+")", f.hint(""))
	case !(sd > 0) || sd > f.high:
		b.problem(v.line, v.path, "outside what is possible (got "+shorten(v.word)+", allowed more than 0 to "+f.High+")", f.hint(""))
	default:
		return sd, true
	}
	return 0, false
}

// showsFrom binds what makes a hose look wet.
func (b *seenBinder) showsFrom(path string, o *Observation) {
	q := b.standing(path)
	if d := q.Distribution; d.Kind == uncertainty.LogNormalLaw {
		o.ShowsFrom, o.ShowsSpread = d.A, d.B
		b.warnings = slices.DeleteFunc(b.warnings, func(w Warning) bool { return w.Path == path })
		return
	}
	if v := b.values[path]; v != nil && !v.bad {
		b.problem(v.line, path, "a median and a geometric standard deviation are wanted here (got "+shorten(v.text)+")", v.field.hint(""))
	}
}

// sameSession insists that what was seen of one session was seen of one layout.
func (b *seenBinder) sameSession() {
	first := map[string]*Observation{}
	for i := range b.seen.Observations {
		o := &b.seen.Observations[i]
		before := first[o.Session]
		switch path := fmt.Sprintf("observations.%d.session", i+1); {
		case o.Session == "":
		case before == nil:
			first[o.Session] = o
		case before.Layout != o.Layout:
			b.problem(b.line(path), path, "the session was driven with another layout (got "+layoutName(o)+", in line "+fmt.Sprint(before.Line)+" "+layoutName(before)+")",
				"give it another name, or the same layout")
		}
	}
}

func layoutName(o *Observation) string {
	if o.Layout == "" {
		return "the scenario itself"
	}
	return shorten(o.Layout)
}

// Of reports whether every layout that was seen is a variant of a scenario. The
// error is [Problems].
func (s *Seen) Of(sc *Scenario) error {
	name := s.File
	if s.Example != "" {
		name = s.Example + ".yaml"
	}
	hint := "leave it out: the scenario has no variants"
	if len(sc.Variants) > 0 {
		hint = "known there: " + strings.Join(sc.Variants, ", ")
	}
	var problems Problems
	for i, o := range s.Observations {
		if o.Layout != "" && !slices.Contains(sc.Variants, o.Layout) {
			near := hint
			if meant := suggest(o.Layout, sc.Variants); meant != "" {
				near = "did you mean " + meant + "?"
			}
			problems = append(problems, Problem{File: name, Line: o.Line, Path: fmt.Sprintf("observations.%d.layout", i+1),
				What: "not a variant of the scenario (got " + shorten(o.Layout) + ")", Hint: near})
		}
	}
	if len(problems) > 0 {
		return problems
	}
	return nil
}

// written writes a part of a file again, on one line, without its braces.
func (n *node) written() string {
	var parts []string
	for _, e := range n.entries {
		text := e.value.written()
		if e.value.kind == mappingNode {
			text = "{" + text + "}"
		}
		parts = append(parts, e.key+": "+text)
	}
	for _, item := range n.items {
		parts = append(parts, item.written())
	}
	switch n.kind {
	case listNode:
		return "[" + strings.Join(parts, ", ") + "]"
	case mappingNode:
		return strings.Join(parts, ", ")
	}
	return strings.Join(strings.Fields(n.text), " ")
}
