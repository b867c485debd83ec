package report

import (
	"fmt"
	"io"
	"math"
	"sort"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// DrainCheck is what pressures and heights say of a drain.
type DrainCheck struct {
	Scenario *scenarios.Scenario
	Check    *sim.DrainCheck
	Units    units.System
	All      bool          // all phases, however many
	Gains    *decide.Gains // what to change first; nil: not looked at
}

// fewPhases is how many phases are listed of a lap that has very many.
const fewPhases = 15

// Document is the check for people.
func (r DrainCheck) Document() *Document {
	d := &Document{}
	d.title(r.Scenario.Title, Layout(r.Scenario, r.Units))
	d.table(r.table())
	if t := r.byDirection(); len(t.rows) > 1 {
		d.table(t)
	}
	d.facts(r.facts())
	d.paragraph(r.explanation())
	if r.Gains != nil {
		g := gains{r.Gains, r.Scenario, r.Units}
		d.table(g.table())
		if text := g.onLaps(); text != "" {
			d.paragraph(text)
		}
	}
	d.list("", Cautions)
	return d
}

// phases returns the phases to list, and whether these are not all.
func (r DrainCheck) phases() (list []sim.PhaseCheck, some bool) {
	all := r.Check.Phases
	if len(all) <= mostPhases || r.All {
		return all, false
	}
	list = append(list, all...)
	sort.SliceStable(list, func(i, j int) bool { return tightness(list[i]) < tightness(list[j]) })
	return list[:fewPhases], true
}

// tightness is the smaller the less a drain has in hand.
func tightness(p sim.PhaseCheck) float64 {
	switch {
	case !math.IsNaN(p.Margin):
		return p.Margin
	case p.GasLimit > 0:
		return 1 - p.GasUp/p.GasLimit
	}
	return -p.CarriedOver
}

// phaseColumn is one column of the table of phases.
type phaseColumn struct {
	name string
	scale
	value func(sim.PhaseCheck) float64
}

// scale writes the values of a column.
type scale interface {
	Headed(name string) string
	Text(si float64) string
}

func (r DrainCheck) columns() []phaseColumn {
	share, g, kPa := words.ColumnOf(units.Fraction, r.Units), words.ColumnOf(units.Acceleration, r.Units), words.ColumnOf(units.Pressure, r.Units)
	mm, speed, volume := words.ColumnOf(units.Length, r.Units), words.ColumnOf(units.Speed, r.Units), words.ColumnOf(units.Volume, r.Units)
	margin := words.FineLengths(r.Units)
	list := []phaseColumn{
		{"load", share, func(p sim.PhaseCheck) float64 { return p.Phase.Load }},
		{"forward", g, func(p sim.PhaseCheck) float64 { return p.Phase.Forward }},
		{"left", g, func(p sim.PhaseCheck) float64 { return p.Phase.Left }},
		{"crankcase", kPa, func(p sim.PhaseCheck) float64 { return p.Crankcase }},
	}
	switch r.Check.Kind {
	case sim.NoDrain:
		return append(list,
			phaseColumn{"can", kPa, func(p sim.PhaseCheck) float64 { return p.Can }},
			phaseColumn{"usable", volume, func(p sim.PhaseCheck) float64 { return p.Usable }},
			phaseColumn{"carry-over", words.ColumnOf(units.MassFlow, r.Units), func(p sim.PhaseCheck) float64 { return p.CarriedOver }})
	case sim.Unsealed:
		return append(list,
			phaseColumn{"can", kPa, func(p sim.PhaseCheck) float64 { return p.Can }},
			phaseColumn{"gas up", speed, func(p sim.PhaseCheck) float64 { return p.GasUp }},
			phaseColumn{"floods at", speed, func(p sim.PhaseCheck) float64 { return p.GasLimit }},
			phaseColumn{"fall", mm, func(p sim.PhaseCheck) float64 { return p.Fall }})
	}
	return append(list,
		phaseColumn{"to beat", kPa, func(p sim.PhaseCheck) float64 { return p.Against }},
		phaseColumn{"column", mm, func(p sim.PhaseCheck) float64 { return p.Column }},
		phaseColumn{"fall", mm, func(p sim.PhaseCheck) float64 { return p.Fall }},
		phaseColumn{"margin", margin, func(p sim.PhaseCheck) float64 { return p.Margin }})
}

func (r DrainCheck) table() *table {
	list, some := r.phases()
	t := &table{heading: "At nominal values and settled oil, can empty", head: []string{"phase"}}
	if some {
		most := "with the least in hand"
		if r.Check.Kind == sim.NoDrain {
			most = "that carry most oil over"
		}
		t.heading += fmt.Sprintf(": the %d of %d phases %s (--all lists them all)", len(list), len(r.Check.Phases), most)
	}
	columns := r.columns()
	for _, c := range columns {
		t.head = append(t.head, c.Headed(c.name))
	}
	drains := r.Check.Kind != sim.NoDrain
	if drains {
		t.head = append(t.head, "drain")
		t.words = []int{len(t.head) - 1}
	}
	row := func(name string, p sim.PhaseCheck) {
		cells := []string{name}
		for _, c := range columns {
			cells = append(cells, c.Text(c.value(p)))
		}
		if p.Phase.Stopped {
			cells[1] = "stopped"
		}
		if drains {
			cells = append(cells, map[bool]string{true: "held", false: "runs"}[p.Held])
		}
		t.add(cells...)
	}
	row("straight", r.Check.FullThrottle)
	for _, p := range list {
		row(fmt.Sprint(p.Index+1), p)
	}
	return t
}

func (r DrainCheck) facts() facts {
	c, u := r.Check, r.Units
	var f facts
	if c.SealedByTrap {
		f.add("seal", "none is stated, but a climb in the hose traps oil: it counts as sealed")
	}
	if c.Kind == sim.NoDrain {
		f.add("full throttle", "in hand, from empty: "+words.InHand(u, c.ToOver)[0]+" until it goes over")
		return f
	}
	if len(c.LowPoints) == 0 {
		f.add("low points", "none, the hose falls all the way")
	}
	for _, low := range c.LowPoints {
		f.add("low point", lowPoint(low, u))
	}
	if text := r.sideways(); text != "" {
		f.add("sideways", text)
	}
	f.add("bore", r.bore())
	if c.Slope > 0 {
		f.add("slope", fmt.Sprintf("1:%.3g; at least 1:%.3g is asked of a drain line: %s", 1/c.Slope, 1/c.LeastSlope, passes(c.Slope >= c.LeastSlope, "falls enough", "too flat")))
	} else {
		f.add("slope", "none: the hose does not fall")
	}
	if c.Kind != sim.Unsealed {
		pressure := words.ColumnOf(units.Pressure, u).Unit
		f.add("column", fmt.Sprintf("%s of oil for each %s; it swings at %.2g Hz by itself, too slow to follow crankcase pulses",
			words.Show(c.ColumnPerKPa/1000*pressure.Factor, units.Length, u), pressure.Attach("1"), c.ColumnFrequency))
	}
	hand := words.InHand(u, c.ToStand, c.ToOver)
	f.add("full throttle", fmt.Sprintf("in hand, from empty: %s until oil stands in the can, %s until it goes over", hand[0], hand[1]))
	f.add("settled laps", r.settled())
	return f
}

// settled says what the drain does once the oil is warm.
func (r DrainCheck) settled() string {
	c := r.Check
	text := fmt.Sprintf("held %.0f %% of the time", 100*c.HeldShare)
	if c.Kind == sim.BelowOil {
		text = fmt.Sprintf("oil stands or rises in the hose %.0f %% of the time", 100*c.HeldShare)
	}
	if c.LongestHeld > 0 {
		text += ", " + words.Show(c.LongestHeld, units.Time, r.Units) + " on end"
	}
	if len(r.Scenario.Duty.Schedule) > 0 {
		text = "(laps on end, stints and stops left out: run takes them in) " + text
	}
	if c.PeakFill <= 0 {
		return text + "; none stands in the can"
	}
	return text + "; the can is filled to " + fillText(c.PeakFill) + " at most"
}

func lowPoint(low sim.LowPointCheck, u units.System) string {
	text := fmt.Sprintf("%s: climbs %s after it", low.Name, words.Show(low.Climb, units.Length, u))
	switch {
	case low.WeightLost >= 1:
		text += "; air stays in it, and none of the fall behind it helps"
	case low.WeightLost > 0:
		text += fmt.Sprintf("; air stays in it, and %.0f %% of the fall behind it no longer helps", 100*low.WeightLost)
	}
	if low.Trap {
		text += "; it holds oil and seals the hose"
	}
	return text
}

func (r DrainCheck) bore() string {
	c, flow := r.Check, words.OilFlows(r.Units).Unit
	return fmt.Sprintf("vents itself up to %s (Fr 0.3); what it has to carry on average is %s (Fr %.2g): %s",
		words.ShowIn(c.SelfVentingFlow, flow), words.ShowIn(c.MeanDrainFlow, flow), c.Froude, passes(c.MeanDrainFlow <= c.SelfVentingFlow, "wide enough", "too narrow"))
}

func passes(ok bool, yes, no string) string {
	if ok {
		return yes
	}
	return no
}

func fillText(fill float64) string {
	if fill < 0.01 {
		return "less than 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*min(fill, 1))
}

// explanation says in words what holds the drain, and what comes of it.
func (r DrainCheck) explanation() string {
	c, u := r.Check, r.Units
	if c.Kind == sim.NoDrain {
		return "There is no drain: the can fills until it is emptied by hand."
	}
	if least, held := r.tightest(); !held && c.BacksUpAfter == sim.Never {
		return "The drain is held in no phase of the lap" + least + "."
	}
	text := r.onTheStraight()
	switch {
	case c.OverflowsAfter < sim.Never:
		return text + fmt.Sprintf(" It does not catch up: on these laps oil goes over after %s.", words.Show(c.OverflowsAfter, units.Time, u))
	case c.BacksUpAfter < sim.Never:
		return text + fmt.Sprintf(" It backs up: after %s on these laps oil stands in the can and does not leave it; it comes to %s of the can.",
			words.Show(c.BacksUpAfter, units.Time, u), fillText(c.PeakFill))
	case c.HeldShare >= 1-1e-9:
		return text + " It runs in no part of the lap."
	}
	becomes := "which empties what gathered meanwhile (" + fillText(c.PeakFill) + " of the can)"
	if c.PeakFill <= 0 {
		becomes = "and what gathers meanwhile stays in the hose"
	}
	return text + fmt.Sprintf(" Yet at these nominal values it never backs up: it runs for %s of each lap, %s.%s"+
		" The command run tells how often it backs up, with what is not known drawn at random.", r.running(), becomes, r.onlyJust())
}

// littleMargin is the margin, m, below which a drain runs only just: a few
// millimetres are less than a fall is measured to (prior, no published source).
const littleMargin = 0.005

// onlyJust says how small the margin is of the phases that let a drain run,
// where it is.
func (r DrainCheck) onlyJust() string {
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range r.Check.Phases {
		if !p.Held && !math.IsNaN(p.Margin) {
			least, most = min(least, p.Margin), max(most, p.Margin)
		}
	}
	if !(most < littleMargin) || math.IsInf(most, 0) {
		return ""
	}
	mm := words.FineLengths(r.Units)
	text := mm.WithUnit(most)
	if mm.WithUnit(least) != text {
		text = "at most " + text
	}
	return fmt.Sprintf(" Only just: the margin is %s in the phases that let it run.", text)
}

// tightest says which operating point has the least in hand, and whether the
// drain is held in any.
func (r DrainCheck) tightest() (least string, held bool) {
	p := r.Check.FullThrottle
	for _, x := range r.Check.Phases {
		if held = held || x.Held; tightness(x) < tightness(p) {
			p = x
		}
	}
	where := "at full throttle on a straight"
	if p.Index >= 0 {
		where = fmt.Sprintf("in phase %d", p.Index+1)
	}
	switch {
	case !math.IsNaN(p.Margin):
		least = fmt.Sprintf(": the least margin is %s, %s", words.FineLengths(r.Units).WithUnit(p.Margin), where)
	case p.GasLimit > 0:
		least = fmt.Sprintf(": gas goes up it at %.0f %% of the speed that holds all oil up at most, %s", 100*p.GasUp/p.GasLimit, where)
	}
	return least, held || r.Check.FullThrottle.Held
}

func (r DrainCheck) running() string {
	return words.Show(words.Round((1-r.Check.HeldShare)*r.Check.LapTime, 1), units.Time, r.Units)
}

// onTheStraight says what the drain does at full throttle on a straight.
func (r DrainCheck) onTheStraight() string {
	p, mm := r.Check.FullThrottle, words.ColumnOf(units.Length, r.Units)
	switch {
	case !p.Held:
		return "At full throttle on a straight the drain runs, but it is held elsewhere on the lap."
	case r.Check.Kind == sim.Unsealed && p.Fall > 0:
		return fmt.Sprintf("At full throttle on a straight the drain is held: gas goes up it at %s, and no oil comes down from %s on.",
			words.Show(p.GasUp, units.Speed, r.Units), words.Show(p.GasLimit, units.Speed, r.Units))
	case r.Check.Kind == sim.Unsealed:
		return "At full throttle on a straight the drain is held: it does not fall."
	}
	if mm.Text(p.Column) == mm.Text(p.Fall) {
		mm.Decimals++ // else the two read the same
	}
	return fmt.Sprintf("At full throttle on a straight the drain is held: it takes %s of oil to get past crankcase pressure, and the fall is %s.",
		mm.WithUnit(p.Column), mm.WithUnit(p.Fall))
}

// WriteCSV writes one row for each phase, the straight first (phase 0), SI.
func (r DrainCheck) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"phase", "for_s", "load", "forward_m_s2", "left_m_s2", "stopped", "blow_by_m3_s", "crankcase_Pa", "can_Pa", "to_beat_Pa",
		"column_m", "fall_m", "margin_m", "gas_up_m_s", "gas_limit_m_s", "usable_m3", "carried_over_kg_s", "held"}}
	for _, p := range append([]sim.PhaseCheck{r.Check.FullThrottle}, r.Check.Phases...) {
		s.add(p.Index+1, p.Phase.Duration, p.Phase.Load, p.Phase.Forward, p.Phase.Left, p.Phase.Stopped, p.BlowBy, p.Crankcase, p.Can, p.Against,
			p.Column, p.Fall, p.Margin, p.GasUp, p.GasLimit, p.Usable, p.CarriedOver, p.Held)
	}
	return s.write(w)
}
