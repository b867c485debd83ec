package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// Run is the report on many realizations of a scenario.
type Run struct {
	Result       *sim.Result
	Units        units.System
	Requirements []RequirementResult
}

// Document is the report for people.
func (r Run) Document() *Document {
	res := r.Result
	d := &Document{}
	d.title(res.Scenario.Title, layout(res.Scenario, r.Units))
	d.table(r.chances())
	d.table(r.amounts())
	d.facts(r.rest())
	d.paragraph(Verdict(res, r.Units))
	d.list("", cautions(res))
	return d
}

// sessionChances returns the chances of one session length in the order
// overflow, drain choked, over-pressure, oil lost, overflow or choked.
func sessionChances(res *sim.Result, s *sim.SessionResult) [5]chance {
	n, dry := int64(res.Realizations), res.Kind == sim.NoDrain
	return [5]chance{
		{s.Overflow, s.Events.Overflow, n, false},
		{s.DrainChoked, s.Events.DrainChoked, n, dry},
		{s.OverPressure, s.Events.OverPressure, n, false},
		{s.OilLost, s.Events.OilLost, n, false},
		{s.Fails, s.Events.Fails, n, false},
	}
}

func (r Run) chances() *table {
	limits := r.Result.Scenario.Limits
	t := &table{
		heading: "Chance within a session, and its 95 % interval from sampling alone",
		head: []string{
			"session", "overflow\n(gets past)", "drain choked\n(backs up)",
			"over-pressure\n(> " + show(limits.CrankcasePressure.Nominal(), units.Pressure, r.Units) + ")",
			"oil lost\n(> " + show(limits.OilLost.Nominal(), units.Volume, r.Units) + ")",
		},
		words: []int{0},
	}
	for i := range r.Result.Sessions {
		s := &r.Result.Sessions[i]
		row := []string{length(s.Length, r.Units)}
		all := sessionChances(r.Result, s)
		for _, c := range all[:4] {
			row = append(row, strings.TrimSuffix(c.text()+"\n"+c.interval(), "\n"))
		}
		t.add(row...)
	}
	return t
}

func (r Run) amounts() *table {
	share, oil := columnOf(units.Fraction, r.Units), smallVolumes(r.Units)
	to := "intake"
	if r.Result.Scenario.Separator.Outlet.To == scenarios.ToAir {
		to = "air"
	}
	t := &table{
		heading: "Within a session: median, and what 95 % of the realizations stay within",
		head: []string{
			"session", "peak fill\n" + share.unit.Symbol + ", median", "peak fill\n" + share.unit.Symbol + ", 95 %",
			"drain held\n" + share.unit.Symbol + ", median",
			"oil to " + to + "\n" + oil.unit.Symbol + ", median", "oil to " + to + "\n" + oil.unit.Symbol + ", 95 %",
		},
		words: []int{0},
	}
	for _, s := range r.Result.Sessions {
		t.add(length(s.Length, r.Units), share.text(s.PeakFill.P50), share.text(s.PeakFill.P95),
			share.text(s.HeldShare.P50), oil.text(s.OilToIntake.P50), oil.text(s.OilToIntake.P95))
	}
	return t
}

func (r Run) rest() facts {
	res, u := r.Result, r.Units
	var f facts
	p := columnOf(units.Pressure, u)
	p.decimals = 2
	f.add("crankcase", fmt.Sprintf("highest pressure of a session %s (median), %s (95 %%); limit %s",
		p.withUnit(res.PeakPressure.P50), p.withUnit(res.PeakPressure.P95), p.withUnit(res.Scenario.Limits.CrankcasePressure.Nominal())))
	switch res.Kind {
	case sim.Sealed, sim.BelowOil:
		mm := columnOf(units.Length, u)
		f.add("drain margin", fmt.Sprintf("%s (median), %s (5 %%) of oil column in the worst phase; below 0 it is held there",
			mm.withUnit(res.DrainMargin.P50), mm.withUnit(res.DrainMargin.P05)))
	case sim.Unsealed:
		f.add("gas up the drain", fmt.Sprintf("%.0f %% (median), %.0f %% (95 %%) of the flow that holds all oil up, in the worst phase",
			100*res.FloodShare.P50, 100*res.FloodShare.P95))
	}
	f.add("full throttle", r.hand())
	f.add("sampling", r.sampling())
	for _, q := range r.Requirements {
		f.add("required", q.Text())
	}
	return f
}

// hand says what full throttle in hand there is.
func (r Run) hand() string {
	res, u := r.Result, r.Units
	if res.Kind == sim.NoDrain {
		t := inHand(u, res.ToOver.P50, res.ToOver.P05)
		return fmt.Sprintf("in hand, from empty: %s (median), %s (5 %%) until it goes over", t[0], t[1])
	}
	t := inHand(u, res.ToStand.P50, res.ToStand.P05, res.ToOver.P50, res.ToOver.P05)
	return fmt.Sprintf("in hand, from empty: %s (median), %s (5 %%) until oil stands in the can; %s (median), %s (5 %%) until it goes over",
		t[0], t[1], t[2], t[3])
}

func (r Run) sampling() string {
	res := r.Result
	text := fmt.Sprintf("%s realizations, %s, seed %d; widest interval ± %s %%",
		grouped(int64(res.Realizations)), strings.ReplaceAll(res.Sampling, "-", " "), res.Seed, percent(res.Reached, res.Reached/10))
	if res.Wanted > 0 && res.Reached > res.Wanted {
		text += fmt.Sprintf(" (wanted ± %s %%)", percent(res.Wanted, res.Wanted/10))
	}
	if res.Interrupted {
		text += "; INTERRUPTED, this is what was finished"
	}
	return text
}

// layout says in one line what is simulated.
func layout(s *scenarios.Scenario, u units.System) string {
	q := func(x *scenarios.Quantity) string { return notation(x, u) }
	text := "can of " + q(s.Separator.UsableVolume)
	d := s.Drain
	switch d.Return {
	case scenarios.EmptiedByHand:
		text += ", no drain: emptied by hand " + emptied(d.Emptied, u)
	case scenarios.AboveOil:
		text += ", drains back above the oil, " + map[scenarios.Seal]string{
			scenarios.NoSeal: "no seal", scenarios.ValveSeal: "through a valve", scenarios.TrapSeal: "through a trap",
		}[d.Seal]
	case scenarios.BelowOil:
		text += ", drains back below the oil"
		if d.Seal == scenarios.ValveSeal {
			text += " through a valve"
		}
	}
	if d.Bore != nil {
		text += ", bore " + q(d.Bore)
	}
	if d.Fall != nil {
		text += ", fall " + q(d.Fall)
	}
	if s.VariantName != "" {
		text += fmt.Sprintf("; variant %q", s.VariantName)
	}
	return sentence(text)
}

func emptied(e scenarios.Emptied, u units.System) string {
	switch {
	case e.AtStops:
		return "at stops"
	case e.Every != nil:
		return "every " + notation(e.Every, u)
	}
	return "before every session"
}

// isNaN reports whether a spread does not apply.
func isNaN(s sim.Spread) bool { return math.IsNaN(s.P50) }
