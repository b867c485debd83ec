package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// VerdictSession is the index of the session length that [Verdict] speaks of.
func VerdictSession(res *sim.Result) int {
	return partedBy(res, res.Scenario.Limits.Risk.Nominal()).spokenOf()
}

// dependence puts to words what a verdict rests on.
type dependence struct {
	*decide.Dependence
	units units.System
}

// write puts the inputs that matter into a document.
func (d dependence) write(doc *Document) {
	if t := d.table(); len(t.rows) > 0 {
		doc.table(t)
	}
	if text := d.others(); text != "" {
		doc.paragraph(text)
	}
}

// what says what may happen in a session.
func (d dependence) what() string {
	switch d.Event {
	case sim.Overflow:
		return "the can overflows"
	case sim.DrainChoked:
		return "the drain backs up"
	case sim.OverPressure:
		return "crankcase pressure goes over its limit"
	case sim.OilLost:
		return "more oil is lost than allowed"
	}
	if d.Scenario.Drain.Return == scenarios.EmptiedByHand {
		return "the can overflows"
	}
	return "the can overflows or its drain backs up"
}

// band says between which chances the inputs that are not measured leave it open.
func (d dependence) band() string {
	low, high := d.count(d.Low), d.count(d.High)
	driven, when := d.driven().Simulated(d.Length)
	switch {
	case len(d.Inputs) == 0:
		return ""
	case low == high:
		return d.withRoad(fmt.Sprintf("With one input at a time that is not measured moved across its own range, %s in %s simulated %s%s throughout.",
			d.what(), low, driven, when))
	}
	return d.withRoad(fmt.Sprintf("Depending on what is not measured, %s in %s to %s simulated %s%s (one input at a time, across its own range).",
		d.what(), low, high, driven, when))
}

// withRoad says ahead of a sentence where it rests on a road reading.
func (d dependence) withRoad(sentence string) string {
	if road := onRoadReading(d.Scenario); road != "" {
		return road + strings.ToLower(sentence[:1]) + sentence[1:]
	}
	return sentence
}

func (d dependence) driven() words.Driven { return words.DrivenBy(d.Scenario, d.units) }

// count writes a chance as a count out of 100, or of more where that says nothing.
func (d dependence) count(e stats.Estimate) string {
	switch {
	case e.Probability == 1:
		return "all"
	case e.Probability < 0.001:
		return fmt.Sprintf("fewer than %s of 1,000", counted(math.Ceil(1000*e.High)))
	case e.Probability < 0.01:
		return counted(math.Round(1000*e.Probability)) + " of 1,000"
	}
	return counted(math.Round(100*e.Probability)) + " of 100"
}

// verdict says on what the verdict depends, or that it depends on nothing that is
// not measured.
func (d dependence) verdict() string {
	kept := fmt.Sprintf("Whether %s the limit of %s", d.driven().Meets(d.Length), words.Show(d.Limit, units.Fraction, d.units))
	kept += map[sim.Event]string{
		sim.Overflow: " for overflow", sim.DrainChoked: " for a choked drain", sim.OverPressure: " for over-pressure", sim.OilLost: " for oil lost",
	}[d.Event]
	if d.DependsOnTrack() {
		return d.track(kept)
	}
	return strings.TrimSpace(d.verdictOfInputs(kept) + d.anyTrack())
}

func (d dependence) verdictOfInputs(kept string) string {
	var parts []string
	for _, in := range d.Tips() {
		parts = append(parts, fmt.Sprintf("%s: met %s", words.InputName(in.Input.Path), d.tipping(in)))
	}
	if len(parts) > 0 {
		return kept + " depends on " + strings.Join(parts, "; and on ") + "."
	}
	for _, p := range d.Pairs {
		parts = append(parts, fmt.Sprintf("%s at %s and %s at %s", words.InputName(p.A.Path), p.A.Format(p.AtA, d.units),
			words.InputName(p.B.Path), p.B.Format(p.AtB, d.units)))
	}
	switch {
	case len(parts) > 0 && d.Chance.Probability > d.Limit:
		return kept + " depends on two inputs together, on none alone: met with " + strings.Join(parts, "; or with ") + "."
	case len(parts) > 0:
		return kept + " depends on two inputs together, on none alone: not met with " + strings.Join(parts, "; nor with ") + "."
	case len(d.Inputs) == 0:
		return ""
	}
	return d.nothing()
}

// nothing says that nothing was found on which the verdict depends, and how far
// that was looked for.
func (d dependence) nothing() string {
	ends := 0
	var unclear []string
	for _, in := range d.Inputs {
		if in.Tenths {
			continue
		}
		ends++
		if in.Unclear {
			unclear = append(unclear, words.InputName(in.Input.Path))
		}
	}
	of := fmt.Sprintf("None of the %d inputs that are not measured", ends)
	if ends < len(d.Inputs) {
		of = fmt.Sprintf("Of the %d inputs that are not measured the %d strongest were tried; none of them", len(d.Inputs), ends)
	}
	switch {
	case len(unclear) > 0:
		return fmt.Sprintf("Whether %s alone, at an end of its own range, carries that across the limit of %s these realizations can't tell.",
			strings.Join(unclear, ", or "), words.Show(d.Limit, units.Fraction, d.units))
	case d.Open > 0:
		return fmt.Sprintf("%s carries that across the limit of %s at the ends of its own range; of %d pairs of the strongest %d can't be told.",
			of, words.Show(d.Limit, units.Fraction, d.units), d.Tried, d.Open)
	case d.Tried > 0:
		return fmt.Sprintf("%s carries that across the limit of %s at the ends of its own range, nor do two of the strongest together.", of, words.Show(d.Limit, units.Fraction, d.units))
	}
	return fmt.Sprintf("%s carries that across the limit of %s at the ends of its own range.", of, words.Show(d.Limit, units.Fraction, d.units))
}

func (d dependence) tipping(in decide.InputDependence) string { return Tipping(in, d.units) }

// Tipping says on which side of which value an input lets the limit be met, with the
// interval of that value: "below 0.34 kPa (0.335 kPa to 0.344 kPa)".
func Tipping(in decide.InputDependence, u units.System) string {
	t, side := in.Tipping, "above"
	if t.KeptBelow {
		side = "below"
	}
	text := fmt.Sprintf("%s %s", side, in.Input.Format(t.Value, u))
	low, high := in.Input.Format(t.Low, u), in.Input.Format(t.High, u)
	switch {
	case math.IsInf(t.Low, 0):
		text += fmt.Sprintf(" (up to %s)", high)
	case math.IsInf(t.High, 0):
		text += fmt.Sprintf(" (from %s)", low)
	case low != high:
		text += fmt.Sprintf(" (%s to %s)", low, high)
	}
	if in.Input.Path == readingPath {
		text += " truly used"
	}
	return text
}

// readingPath is the input that is read on a dipstick.
const readingPath = "carry_over.oil_used"

// mostRestedOn is how many inputs the table lists.
const mostRestedOn = 8

// table lists the inputs that move the chance most.
func (d dependence) table() *table {
	t := &table{
		heading: fmt.Sprintf("What it rests on: the chance that %s in %s, with one input at the ends of its own range, the others drawn (measured ones left out)",
			d.what(), d.driven().Length(d.Length)),
		head: []string{"input", "at its low end", "at its high end", "meets the limit"}, words: []int{0, 3},
	}
	for _, in := range d.listed() {
		tips := words.None
		switch {
		case in.Tips:
			tips = d.tipping(in)
		case in.Unclear:
			tips = "can't tell"
		}
		t.add(words.InputName(in.Input.Path), d.end(in, in.From, in.AtFrom), d.end(in, in.To, in.AtTo), tips)
	}
	return t
}

// others says how far the inputs that the table leaves out move the chance.
func (d dependence) others() string {
	n, most := 0, 0.0
	listed := map[string]bool{}
	for _, in := range d.listed() {
		listed[in.Input.Path] = true
	}
	for _, in := range d.Inputs {
		if !listed[in.Input.Path] {
			n++
			most = max(most, math.Abs(in.AtTo.Probability-in.AtFrom.Probability))
		}
	}
	if n == 0 || most == 0 || len(listed) == 0 {
		return ""
	}
	left := fmt.Sprintf("None of the other %d inputs moves", n)
	if n == 1 {
		left = "The one other input does not move"
	}
	return fmt.Sprintf("%s that chance by more than %s %%.", left, words.Percent(math.Ceil(1000*most)/1000, 0.005))
}

// listed are the inputs that the table has: those that move the chance for sure.
func (d dependence) listed() []decide.InputDependence {
	var list []decide.InputDependence
	for _, in := range d.Inputs {
		if !in.Tenths && (in.Moves() || in.Unclear) && len(list) < mostRestedOn {
			list = append(list, in)
		}
	}
	return list
}

func (d dependence) end(in decide.InputDependence, at float64, e stats.Estimate) string {
	return in.Input.Format(at, d.units) + "\n" + words.Estimated(e)
}
