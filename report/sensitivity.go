package report

import (
	"fmt"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim/sensitivity"
)

// Sensitivity is the report on which inputs drive what a scenario comes to.
type Sensitivity struct {
	Result *sensitivity.Result
	Units  units.System
	Of     []sensitivity.Output // those told at length; none: what a layout is sized by, or the first that can be told
}

// Document is the report for people.
func (r Sensitivity) Document() *Document {
	s := r.Result.Scenario
	d := &Document{}
	d.title(s.Title, Layout(s, r.Units))
	for _, o := range r.atLength() {
		if o.Telling != sensitivity.Told {
			continue
		}
		d.table(r.table(o))
		d.paragraph(r.oneByOne(o))
	}
	if r.told() > 1 {
		d.paragraph("The strongest of each outcome, with others:")
		d.facts(r.overview())
	}
	d.list("What can't be told well", r.untold())
	if lead := r.lead(); lead != nil {
		d.list("What to pin down first", r.pinDown(lead))
	}
	d.list("", append(r.notes(), Cautions...))
	return d
}

// atLength lists the outputs that are told at length.
func (r Sensitivity) atLength() []*sensitivity.OutputResult {
	var list []*sensitivity.OutputResult
	for _, o := range r.Of {
		if x := r.Result.Of(o); x != nil {
			list = append(list, x)
		}
	}
	if len(r.Of) == 0 {
		if x := r.first(); x != nil {
			list = append(list, x)
		}
	}
	return list
}

// first is the first output that can be told; nil: none can.
func (r Sensitivity) first() *sensitivity.OutputResult {
	for i := range r.Result.Outputs {
		if r.Result.Outputs[i].Telling == sensitivity.Told {
			return &r.Result.Outputs[i]
		}
	}
	return nil
}

// lead is the output by which is said what to pin down; nil: none can be told.
func (r Sensitivity) lead() *sensitivity.OutputResult {
	for _, o := range r.atLength() {
		if o.Telling == sensitivity.Told {
			return o
		}
	}
	return r.first()
}

// told counts the outputs that can be told.
func (r Sensitivity) told() int {
	n := 0
	for _, o := range r.Result.Outputs {
		if o.Telling == sensitivity.Told {
			n++
		}
	}
	return n
}

// table is the split of one output.
func (r Sensitivity) table(o *sensitivity.OutputResult) *table {
	t := &table{
		heading: fmt.Sprintf("What drives %s within %s (%s): shares of its variance, each with its 95 %% interval",
			outputName(o.Output), r.length(), r.level(o)),
		head: []string{"input", "alone", "with\nothers", "what is known of it"}, words: []int{0, 3},
	}
	if r.Result.Split == sensitivity.ByBlock {
		t.head[0] = "block"
	}
	shown, rest := o.Ranked()
	for _, i := range shown {
		p := o.Parts[i]
		t.add(driverName(&r.Result.Drivers[i]), shareCell(p.First), shareCell(p.Total), r.known(&r.Result.Drivers[i]))
	}
	if len(rest) > 0 {
		t.add(restName(r.Result, rest), words.None, strings.Replace(under(o.AtMost(rest).High), " ", "\n", 1), "too little to tell")
	}
	return t
}

// restName names drivers that are pooled.
func restName(r *sensitivity.Result, rest []int) string {
	inputs, blocks, luck := 0, 0, false
	for _, i := range rest {
		d := &r.Drivers[i]
		luck = luck || d.Luck()
		inputs += len(d.Inputs)
		if !d.Luck() {
			blocks++
		}
	}
	name := fmt.Sprintf("the other %d inputs", inputs)
	switch {
	case r.Split == sensitivity.ByBlock:
		name = fmt.Sprintf("the other %d blocks", blocks)
		if blocks == 1 {
			name = "the other block"
		}
	case inputs == 1:
		name = "the other input"
	}
	if luck {
		name += " and lap luck"
	}
	return name
}

// oneByOne says how much of the variance the drivers account for one by one.
func (r Sensitivity) oneByOne(o *sensitivity.OutputResult) string {
	a := o.Alone
	switch {
	case a.Low >= addsUp:
		return "Taken one by one they account for all of it, as far as can be told: they add up."
	case a.High >= 1:
		return fmt.Sprintf("Taken one by one they account for something between %s and all of it.", sharePercent(max(a.Low, 0)))
	}
	return fmt.Sprintf("Taken one by one they account for %s of it (%s %%); the rest takes several at once.", sharePercent(max(a.Value, 0)), shareInterval(a))
}

// addsUp is the share from which drivers taken one by one are said to account for all.
const addsUp = 0.95

// strongestOf is how many drivers are named for each outcome.
const strongestOf = 3

// overview names the strongest drivers of each output that can be told, with others.
func (r Sensitivity) overview() facts {
	var f facts
	outputs := r.Result.Outputs
	for i := range outputs {
		o := &outputs[i]
		if o.Telling != sensitivity.Told {
			continue
		}
		same := slices.IndexFunc(outputs[:i], func(x sensitivity.OutputResult) bool { return sameSplit(&x, o) })
		if same >= 0 {
			f.add(outputShort[o.Output], "as "+outputName(outputs[same].Output))
			continue
		}
		f.add(outputShort[o.Output], r.strongest(o))
	}
	return f
}

// sameSplit reports whether two outputs came out alike in every realization, as far as
// shares tell.
func sameSplit(a, b *sensitivity.OutputResult) bool {
	return a.Events == b.Events && a.Variance == b.Variance && slices.Equal(a.Parts, b.Parts)
}

// strongest names the strongest drivers of an output, and luck.
func (r Sensitivity) strongest(o *sensitivity.OutputResult) string {
	shown, _ := o.Ranked()
	named := shown[:min(len(shown), strongestOf)]
	if luck := slices.IndexFunc(r.Result.Drivers, func(d sensitivity.Driver) bool { return d.Luck() }); luck >= 0 && !slices.Contains(named, luck) {
		named = append(slices.Clone(named), luck)
	}
	var list []string
	for _, i := range named {
		text := driverName(&r.Result.Drivers[i]) + " " + shareText(o.Parts[i].Total)
		if !unsure(o.Parts[i].Total) {
			text += " (" + shareInterval(o.Parts[i].Total) + ")"
		}
		list = append(list, text)
	}
	return strings.Join(list, ", ")
}

// untold says of each output that can't be told why.
func (r Sensitivity) untold() []string {
	var list []string
	for i := range r.Result.Outputs {
		o := &r.Result.Outputs[i]
		text := untoldWhy(o)
		if text == "" && roughly(o) {
			text = "told only roughly, for a few realizations make most of its variance; more --realizations tell it better."
		}
		if text != "" {
			list = append(list, words.Sentence(outputName(o.Output))+": "+text)
		}
	}
	return list
}

// wide is the width of an interval from which an index is told only roughly.
const wide = 0.4

// roughly reports whether the index of the strongest driver is told only roughly.
func roughly(o *sensitivity.OutputResult) bool {
	shown, _ := o.Ranked()
	return o.Telling == sensitivity.Told && len(shown) > 0 && o.Parts[shown[0]].Total.High-o.Parts[shown[0]].Total.Low > wide
}

// untoldWhy says why it can't be told what drives an output; empty: it can.
func untoldWhy(o *sensitivity.OutputResult) string {
	events, sampled := words.Grouped(int64(o.Events)), words.Grouped(int64(o.Sampled))
	switch o.Telling {
	case sensitivity.TooRare:
		if o.Events == 0 {
			events = "none"
		}
		return fmt.Sprintf("too rare to tell what drives it: %s of %s.", events, sampled)
	case sensitivity.TooCommon:
		if o.Events == o.Sampled {
			events = "all"
		}
		return fmt.Sprintf("too common to tell what keeps it away: %s of %s.", events, sampled)
	case sensitivity.NeverMoves:
		return "the same in all " + sampled + "."
	}
	return ""
}

// notes say how to read the shares and what they rest on.
func (r Sensitivity) notes() []string {
	x := r.Result
	list := []string{
		"Alone: by how much the variance would shrink, on average, were that one known exactly. With others: what would be left of it were all else known.",
	}
	for i := range x.Drivers {
		if d := &x.Drivers[i]; d.Tied && x.Split == sensitivity.ByInput {
			list = append(list, tiedNote(d))
		}
	}
	if slices.ContainsFunc(x.Drivers, func(d sensitivity.Driver) bool { return d.Learned }) {
		list = append(list, "Inputs that were learned together are drawn together: their share is that of all of them.")
	}
	if o := x.Of(sensitivity.FirstOverflow); o != nil && o.Telling == sensitivity.Told {
		list = append(list, fmt.Sprintf("First overflow: cut at %s where there is none before.", r.length()))
	}
	return append(list,
		fmt.Sprintf("%s realizations from %s base points, %s, seed %d. First-order indices by Saltelli 2010, total ones by Jansen 1999; intervals from %s resamples of the base points.",
			words.Grouped(int64(x.Realizations)), words.Grouped(int64(x.Points)), words.Design(x.Sampling), x.Seed, words.Grouped(sensitivity.Resamples)),
		RestsOn(x.Scenario))
}

// tiedNote says of inputs that are tied what their share is.
func tiedNote(d *sensitivity.Driver) string {
	count, both := fmt.Sprintf("these %d", len(d.Inputs)), "of all of them"
	if len(d.Inputs) == 2 {
		count, both = "these two", "of both"
	}
	return fmt.Sprintf("%s: %s go together by a rank correlation, so their index is that %s.", words.Sentence(inputList(d)), count, both)
}
