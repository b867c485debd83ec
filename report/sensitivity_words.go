package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/sim/decide"
	"sumpward/sim/sensitivity"
)

// SensitivityOutputs holds the names of outputs on a command line.
var SensitivityOutputs = map[string]sensitivity.Output{
	"overflow-or-choked": sensitivity.OverflowOrChoked, "overflow": sensitivity.Overflow, "drain-choked": sensitivity.DrainChoked,
	"peak-fill": sensitivity.PeakFill, "first-overflow": sensitivity.FirstOverflow, "oil-to-intake": sensitivity.OilToIntake,
}

// outputShort names an outcome in a list.
var outputShort = map[sensitivity.Output]string{
	sensitivity.OverflowOrChoked: "either", sensitivity.Overflow: "overflow", sensitivity.DrainChoked: "choked drain",
	sensitivity.PeakFill: "highest fill", sensitivity.FirstOverflow: "first overflow", sensitivity.OilToIntake: "oil to intake",
}

// outputName says what an output is called in a sentence.
func outputName(o sensitivity.Output) string {
	return map[sensitivity.Output]string{
		sensitivity.OverflowOrChoked: "overflow or a choked drain", sensitivity.Overflow: "overflow (gets past)", sensitivity.DrainChoked: "a choked drain (backs up)",
		sensitivity.PeakFill: "the highest fill", sensitivity.FirstOverflow: "the time of the first overflow", sensitivity.OilToIntake: "the oil that reaches intake or air",
	}[o]
}

// blockNames says what the blocks of a file are called.
var blockNames = map[string]string{
	"engine": "the engine", "oil": "the oil", "carry_over": "oil carried over", "breathers": "the breathers", "separator": "the separator",
	"drain": "the drain", "duty": "the duty", "limits": "the limits",
}

// lapLuck is what luck is called.
const lapLuck = "luck from lap to lap"

// SensitivityDriver says what a driver is called.
func SensitivityDriver(d *sensitivity.Driver) string { return driverName(d) }

// SensitivityRest names drivers that are pooled.
func SensitivityRest(r *sensitivity.Result, rest []int) string { return restName(r, rest) }

// SensitivityOutput says what an output is called in a sentence.
func SensitivityOutput(o sensitivity.Output) string { return outputName(o) }

func driverName(d *sensitivity.Driver) string {
	switch {
	case d.Luck():
		return lapLuck
	case len(d.Blocks) > 0:
		var list []string
		for _, b := range d.Blocks {
			list = append(list, cmp.Or(blockNames[b], b))
		}
		return words.Joined(list, "with")
	case d.Learned:
		return fmt.Sprintf("%d inputs learned together", len(d.Inputs))
	case len(d.Inputs) > 1:
		return inputList(d) + " (go together)"
	}
	return words.InputName(d.Inputs[0].Path)
}

// inputList lists the inputs of a driver.
func inputList(d *sensitivity.Driver) string {
	var list []string
	for _, q := range d.Inputs {
		list = append(list, words.InputName(q.Path))
	}
	return words.Joined(list, "with")
}

// known says what is known now of a driver.
func (r Sensitivity) known(d *sensitivity.Driver) string {
	switch {
	case d.Luck():
		return "drawn anew each lap"
	case len(d.Blocks) > 0 || d.Learned:
		measured := 0
		for _, q := range d.Inputs {
			if q.Basis == scenarios.Measured {
				measured++
			}
		}
		text := fmt.Sprintf("%d uncertain inputs, %d measured", len(d.Inputs), measured)
		switch {
		case len(d.Inputs) == 1 && measured == 0:
			text = "1 uncertain input, not measured"
		case len(d.Inputs) == 1:
			text = "1 uncertain input, measured"
		case measured == 0:
			text = fmt.Sprintf("%d uncertain inputs, none measured", len(d.Inputs))
		}
		return text
	}
	text := ""
	for i, q := range d.Inputs {
		if i > 0 {
			text += "; "
		}
		text += words.Notation(q, r.Units) + ", " + string(q.Basis)
	}
	return text
}

// length is the session length in words.
func (r Sensitivity) length() string {
	return words.DrivenBy(r.Result.Scenario, r.Units).Length(r.Result.Length)
}

// level says where an output lies.
func (r Sensitivity) level(o *sensitivity.OutputResult) string {
	mean, spread := o.Mean, math.Sqrt(o.Variance)
	switch o.Output {
	case sensitivity.PeakFill:
		return fmt.Sprintf("mean %s, standard deviation %s", sharePercent(mean), sharePercent(spread))
	case sensitivity.OilToIntake:
		return fmt.Sprintf("mean %s, standard deviation %s", words.SmallVolumes(r.Units).WithUnit(mean), words.SmallVolumes(r.Units).WithUnit(spread))
	case sensitivity.FirstOverflow:
		times := words.Alike(r.Units, mean, spread)
		return fmt.Sprintf("mean %s, standard deviation %s; in %s of %s", times[0], times[1], words.Grouped(int64(o.Events)), words.Grouped(int64(o.Sampled)))
	}
	return fmt.Sprintf("in %s of %s", words.Grouped(int64(o.Events)), words.Grouped(int64(o.Sampled)))
}

// sharePercent writes a share with up to two digits, never a bare 0.
func sharePercent(v float64) string {
	switch {
	case v <= 0:
		return "none"
	case v < leastShown:
		return "under 0.1 %"
	}
	return shareDigits(v, v) + " %"
}

// leastShown is the least share that is written as a number.
const leastShown = 0.0005

// shareDigits writes a share in per cent, with as many decimals as suit another.
func shareDigits(v, like float64) string {
	decimals := 1
	if like >= 0.0995 {
		decimals = 0
	}
	return strconv.FormatFloat(100*min(max(v, 0), 1), 'f', decimals, 64)
}

// unsure reports whether an index is below its error, or too small to be written.
func unsure(x sensitivity.Index) bool { return x.Value <= x.Error || x.Value < leastShown }

// shareText writes an index; one that is below its error by what it is at most.
func shareText(x sensitivity.Index) string {
	switch {
	case unsure(x):
		return under(x.High)
	case x.Value > 1:
		return "all"
	}
	return sharePercent(x.Value)
}

// under writes what a share is at most.
func under(high float64) string {
	if high <= 0 {
		return "none"
	}
	return "under " + shareDigits(max(high, 0.001), high) + " %"
}

// shareInterval writes the interval of an index.
func shareInterval(x sensitivity.Index) string {
	return shareDigits(x.Low, x.Value) + " to " + shareDigits(x.High, x.Value)
}

// shareCell is an index with its interval below it.
func shareCell(x sensitivity.Index) string {
	if unsure(x) {
		return shareText(x)
	}
	return shareText(x) + "\n" + shareInterval(x)
}

// Shares from which a driver is worth pinning down, and how many are named.
const (
	worthIt = 0.03
	pinned  = 3
)

// pinDown says what to pin down first, by what it takes off the variance of an output.
func (r Sensitivity) pinDown(o *sensitivity.OutputResult) []string {
	var list []string
	if roughly(o) {
		list = append(list, fmt.Sprintf("By %s, which is told only roughly: run more --realizations before a test is bought for it.", outputName(o.Output)))
	}
	list = append(list, r.givens(o)...)
	open := r.open(o)
	if len(open) == 0 {
		return append(list, fmt.Sprintf("Nothing that is not measured drives %s for sure: there is nothing to pin down for it.", outputName(o.Output)))
	}
	for _, i := range open[:min(len(open), pinned)] {
		list = append(list, r.pin(o, i))
	}
	return list
}

// open lists the drivers that are worth pinning down, that first which takes most off.
func (r Sensitivity) open(o *sensitivity.OutputResult) []int {
	var open []int
	for i, p := range o.Parts {
		d := &r.Result.Drivers[i]
		if !d.Luck() && !d.Measured() && p.Total.Low > 0 && p.Total.Value >= worthIt {
			open = append(open, i)
		}
	}
	slices.SortStableFunc(open, func(a, b int) int { return cmp.Compare(gain(o.Parts[b]), gain(o.Parts[a])) })
	return open
}

// gain is what a driver is ranked by: what it takes off alone, and where that isn't
// sure a part of what it has with others.
func gain(s sensitivity.Share) float64 {
	if s.First.Low > 0 {
		return s.First.Value
	}
	return s.Total.Value / 1000
}

// givens says what no measuring takes away: luck, and what is measured already.
func (r Sensitivity) givens(o *sensitivity.OutputResult) []string {
	var list []string
	for i, p := range o.Parts {
		d := &r.Result.Drivers[i]
		if p.Total.Low <= 0 || p.Total.Value < worthIt {
			continue
		}
		switch {
		case d.Luck():
			list = append(list, fmt.Sprintf("Luck from lap to lap has %s with others: no measuring takes that away, only more in hand.", shareText(p.Total)))
		case d.Measured():
			list = append(list, fmt.Sprintf("%s has %s with others, and is measured already: only a better reading narrows it.", words.Sentence(driverName(d)), shareText(p.Total)))
		}
	}
	return list
}

// pin says what pinning down a driver would bring, and how to.
func (r Sensitivity) pin(o *sensitivity.OutputResult, i int) string {
	d, p := &r.Result.Drivers[i], o.Parts[i]
	text := fmt.Sprintf("%s (%s): ", words.Sentence(driverName(d)), r.known(d))
	if p.First.Low > 0 {
		text += fmt.Sprintf("known exactly, %s of the variance would go, on average.", shareText(p.First))
	} else {
		text += fmt.Sprintf("it has %s, but only together with others: knowing it alone takes nothing off for sure.", shareText(p.Total))
	}
	if len(d.Blocks) > 0 {
		return text + " Which input of it: run again by input."
	}
	return text + r.howTo(d)
}

// howTo names the test that reads an input of a driver that is not measured, or what
// else to do.
func (r Sensitivity) howTo(d *sensitivity.Driver) string {
	s := r.Result.Scenario
	for _, q := range d.Inputs {
		if q.Basis == scenarios.Measured {
			continue
		}
		if t, found := testOf(s, q); found {
			m := Measure{Settlement: &decide.Settlement{Dependence: &decide.Dependence{Scenario: s}}}
			which := " How"
			if len(d.Inputs) > 1 {
				which = " How to read " + words.InputName(q.Path)
			}
			return fmt.Sprintf("%s: %s (%.0f min): %s.", which, lowerFirst(t.Title), t.Minutes, m.command(t.Name))
		}
	}
	for _, q := range d.Inputs {
		if text := decide.AssumeFor(q.Path); text != "" && q.Basis != scenarios.Measured {
			return " " + text
		}
	}
	return ""
}

// testOf returns the first test that reads an input.
func testOf(s *scenarios.Scenario, q *scenarios.Quantity) (decide.Test, bool) {
	for _, t := range decide.TestsFor(s) {
		if slices.ContainsFunc(t.Readings, func(x decide.Reading) bool { return x.Tells(q.Path) }) {
			return t, true
		}
	}
	return decide.Test{}, false
}

// SensitivityCost says in one line how many realizations an analysis takes, and where
// they come from.
func SensitivityCost(a *sensitivity.Analysis) string {
	return fmt.Sprintf("%s base points × (%d drivers + 2) = %s realizations",
		words.Grouped(int64(a.Points)), len(a.Drivers), words.Grouped(int64(a.Realizations())))
}
