package preset

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"sumpward/scenarios"
)

// file is a scenario file in the making.
type file struct {
	b       strings.Builder
	engine  Engine
	use     Use
	known   answers
	answers map[string]string // by path, the answer that stands there
}

// described are the scenario's own words for its fields, by path.
var described = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for _, f := range scenarios.Fields() {
		m[f.Path] = f.Doc
	}
	return m
})

// write writes the whole file.
func (f *file) write(title string) {
	f.head(title)
	f.line("", "engine:")
	f.knownOr("engine.displacement", "displacement", f.known.Displacement)
	f.knownOr("engine.boost", "boost", f.known.Boost)
	f.condition()
	f.ranges("  ", f.engine.Ranges, "engine.gas_temperature", "engine.intake_depression", "engine.pulsation")

	f.line("", "")
	f.line("", "oil:")
	f.line("  ", "# left out, the program's own assumption: grade, density, gas in the oil")
	f.line("  ", "temperature:")
	f.ranges("    ", f.use.Ranges, "oil.temperature.start", "oil.temperature.settled", "oil.temperature.time_constant")
	f.ranges("  ", f.use.Ranges, "oil.ambient")

	f.carryOver()
	f.breathers()
	f.separator()
	f.drain()
	f.duty()
	f.line("", "")
	f.line("", "# session lengths to answer for; assumed: "+f.use.Session.Source)
	f.line("", "sessions: ["+strings.Join(f.use.Sessions, ", ")+"]")
	f.variants()
}

// variants writes what else the layout may be where a word isn't known, and
// the circuit that was given up.
func (f *file) variants() {
	drains := f.known.at.returns == aboveOil
	noSeal, noReturn := drains && f.known.Seal == "", f.known.Return == ""
	if !noSeal && !noReturn && !f.known.BreatherLost {
		return
	}
	f.line("", "")
	f.line("", "variants:")
	if noSeal {
		f.line("  ", "plain hose, no seal: {drain.seal: none}")
	}
	if noReturn {
		f.line("  ", "emptied by hand: {drain: {return: emptied_by_hand}}")
	}
	if f.known.BreatherLost {
		f.line("  ", "breather kept:")
		f.circuits("    ", f.engine.Circuits)
	}
}

func (f *file) head(title string) {
	f.line("", "# A preset, an example, not your car: "+f.engine.Name+", "+f.use.Name+".")
	f.line("", `#
# A range stands for what isn't known; its source stands beside it. Write what you
# know in its place, with its unit, and it counts as stated:   fall: 90 mm
# or, if you measured it:                  fall: {value: 90 mm, basis: measured}
# Shared: no difference between engine layouts, or between uses, is published.
# What is left out has the program's own assumption: sumpward validate lists all.`)
	f.line("", "scenario: 1")
	if title = printedTitle(title); title == "" {
		title = "Preset, not your car: " + f.engine.Name + ", " + f.use.Name
	}
	f.line("", "title: "+quoted(title))
	f.line("", "")
}

// printedTitle is a title in one line, of what can be printed, and not too long.
func printedTitle(title string) string {
	const longest = 100
	runes := []rune(strings.Join(strings.Fields(strings.ToValidUTF8(title, "")), " "))
	runes = slices.DeleteFunc(runes, func(r rune) bool { return !unicode.IsPrint(r) })
	return strings.TrimSpace(string(runes[:min(len(runes), longest)]))
}

// condition writes the condition that is known, or how worn the engine may be.
func (f *file) condition() {
	if f.known.Condition == "" {
		f.ranges("  ", f.engine.Ranges, "engine.wear")
		return
	}
	f.answers["engine.condition"] = "condition"
	f.line("  ", "condition: "+f.known.Condition+"   # stated")
}

func (f *file) breathers() {
	f.line("", "")
	circuits := f.engine.Circuits
	if f.known.BreatherLost {
		f.line("", "# stated: one circuit was given up for the can; its bore and length are assumed")
		circuits = circuits[1:]
	} else {
		f.line("", "# assumed: two circuits, both to the separator ("+prior+")")
	}
	f.circuits("", circuits)
}

func (f *file) circuits(indent string, names []string) {
	f.line(indent, "breathers:")
	for _, name := range names {
		f.line(indent+"  ", "- name: "+name)
		f.line(indent+"    ", "to: separator")
		for _, key := range []string{"bore", "length", "loss_coefficient"} {
			f.line(indent+"    ", key+": "+find(f.engine.Ranges, "breathers.*."+key).spelledOut())
		}
	}
}

func (f *file) duty() {
	f.line("", "")
	f.line("", "duty:")
	if f.use.Road {
		f.line("  ", "pattern:                # alternating bursts of full throttle and rests")
		f.ranges("    ", f.use.Ranges, "duty.pattern.full_throttle", "duty.pattern.burst", "duty.pattern.load_otherwise")
	} else {
		f.line("  ", "lap:                    # a straight, its braking and a corner each way, again and again")
		for _, phase := range f.use.Lap {
			for i, r := range phase {
				mark := "  "
				if i == 0 {
					mark = "- "
				}
				f.line("    ", mark+r.Path+": "+r.spelledOut())
			}
		}
	}
	f.ranges("  ", f.use.Ranges, "duty.lap_variation")
}

// knownOr writes a quantity: the answer as it was given, or its range.
func (f *file) knownOr(path, answer, text string, otherwise ...Range) {
	if text != "" {
		f.stated("  ", path, answer, text)
		return
	}
	if len(otherwise) == 0 {
		otherwise = f.engine.Ranges
	}
	f.ranges("  ", otherwise, path)
}

// stated writes an answer as it was given.
func (f *file) stated(indent, path, answer, text string) {
	f.answers[path] = answer
	f.comment(indent, path)
	f.line(indent, lastPart(path)+": "+scalar(text)+"   # stated")
}

// ranges writes those of a list whose paths are named.
func (f *file) ranges(indent string, list []Range, paths ...string) {
	for _, path := range paths {
		f.comment(indent, path)
		f.line(indent, lastPart(path)+": "+find(list, path).spelledOut())
	}
}

// comment says what a field is.
func (f *file) comment(indent, path string) {
	if doc := described()[path]; doc != "" {
		f.line(indent, "# "+doc)
	}
}

// assumed writes a word for which a scenario takes no basis but in a comment.
func (f *file) assumed(indent, key, word, source string) {
	f.line(indent, key+": "+word+"   # assumed: "+source)
}

func (f *file) line(indent, text string) {
	if text != "" {
		f.b.WriteString(indent)
	}
	f.b.WriteString(text)
	f.b.WriteByte('\n')
}

func find(list []Range, path string) Range {
	for _, r := range list {
		if r.Path == path {
			return r
		}
	}
	return Range{Path: path}
}

func lastPart(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }
