package page

import (
	"fmt"
	"strconv"
	"strings"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// sessionRow is what happens within one session length, in full.
type sessionRow struct {
	Length string
	Cells  []chanceCell
	Stand  standing
	Words  string // how it stands
}

type chanceCell struct{ Chance, Interval string }

func (v *view) sessionRows() []sessionRow {
	var list []sessionRow
	res := v.page.Result
	for i := range res.Sessions {
		row := sessionRow{Length: v.driven().Length(res.Sessions[i].Length), Stand: sessionStanding(res, i, v.limit())}
		row.Words = row.Stand.Words()
		if v.depends() { // the answer says so; these are the draws
			row.Words = "as drawn, " + row.Stand.Short()
		}
		for k, c := range words.SessionChances(res, &res.Sessions[i]) {
			if k == words.Fails || k == words.DrainChoked && !v.drains() {
				continue
			}
			row.Cells = append(row.Cells, chanceCell{c.Text(), ranged(c.Interval())})
		}
		list = append(list, row)
	}
	return list
}

// logbook is what to look at after fitting, and what to write down.
type logbook struct {
	Look     []string
	Head     []string
	Expected []string // what the model expects, by column; empty: nothing to say
	Blank    []int    // rows to fill in
}

func (v *view) logbook() logbook {
	res := v.page.Result
	last := res.Sessions[len(res.Sessions)-1]
	oil := words.SmallVolumes(v.page.Units)
	b := logbook{
		Head:  []string{"date", "engine hours", "oil topped up", "oil drained from the can", "vent hose, wet or dry", "crankcase pressure at full throttle"},
		Blank: make([]int, 5),
	}
	missing := res.Balance.Uncaught + res.Balance.Over + res.Balance.Burnt
	full := "not worked out"
	if p, known := v.fullThrottle(); known {
		full = fmt.Sprintf("%s (%s to %s)", v.pressure(p.P50), strings.TrimSuffix(v.pressure(p.P05), " "+pressureUnit(v.page.Units).Symbol), v.pressure(p.P95))
	}
	can := "next to none: it drains by itself"
	if !v.drains() {
		inCan := res.Balance.Held + res.Balance.Emptied
		missing += inCan
		can = "about " + oil.WithUnit(inCan)
	}
	b.Expected = []string{
		"expected, a " + v.driven().Length(last.Length) + " " + v.driven().One(), "",
		"about " + oil.WithUnit(missing), can, "dry, or a trace", full,
	}
	b.Look = []string{
		"Before the first start: every hose joint" + v.drainToLookAt() + ".",
		"After the first session: the vent hose behind the can. Wet inside means that oil gets past.",
	}
	if v.drains() {
		b.Look = append(b.Look, "With the engine stopped and hot: open the can’s drain. More than a spoonful that does not run off means that the drain backs up.")
	} else {
		b.Look = append(b.Look, "After every session: empty the can, measure what comes out, and note it. A can that is more than half full is close to its limit.")
	}
	b.Look = append(b.Look,
		"Crankcase pressure at full throttle, with a gauge on the dipstick tube: higher than it was before fitting means that the layout chokes the breather.",
		"The oil level at the same place, at the same temperature, before and after.")
	return b
}

// drainToLookAt goes on with what the joints should be, and the drain where there is one.
func (v *view) drainToLookAt() string {
	switch {
	case !v.drains():
		return ", dry and tight"
	case v.scenario().Drain.Seal == scenarios.TrapSeal:
		return " and the return, dry and tight; the drain hose falls all the way but for its trap, without another low point"
	}
	return " and the return, dry and tight; the drain hose falls all the way, without a low point"
}

// fullThrottle returns the crankcase pressure in the phase of the highest load.
func (v *view) fullThrottle() (s sim.Spread, known bool) {
	load := -1.0
	for _, p := range v.page.Pressures {
		if p.Phase.Load > load {
			load, s, known = p.Phase.Load, p.Crankcase, true
		}
	}
	return s, known
}

// method says in a few sentences how the numbers come about.
func (v *view) method() []string {
	limits := v.scenario().Limits
	list := []string{
		"Each simulated session draws every uncertain input from its range, then drives lap after lap with luck of its own. In every phase of a lap the pressures in crankcase and can follow from blow-by, hoses and separator; the oil that comes over fills the can, and the drain takes it back where the column of oil in its hose outweighs the pressure against it. Between changes the balance of oil is solved exactly; there is no time step, and in every session the oil must add up.",
		"“Gets past” is oil that goes over a full can.",
	}
	if v.drains() {
		list[1] = fmt.Sprintf("“Backs up” is oil that stands in the can above %s of its usable volume for %s without a break; “gets past” is oil that goes over a full can.",
			percent(limits.ChokeLevel.Nominal()), words.Show(v.page.Model.Nominal().Limits.ChokeTime, units.Time, v.page.Units))
	}
	list[1] += " A chance is the share of simulated sessions in which it happened; its interval holds the true chance of this model in 95 of 100 such runs. What was not measured may move it further than that."
	if v.driven().Scheduled() {
		for i, text := range list {
			list[i] = strings.NewReplacer("simulated session", "simulated event", "in every session", "in every event").Replace(text)
		}
		list = append(list, "An event is driven as its schedule says: while the engine stands, the oil cools and the drain goes on; slow laps come by chance. What is told of a stint is what happens in it and in the stop after it, whether it happened before or not.")
	}
	if v.roadReading() {
		list = append(list, "The oil carried over was read over a road interval. From its hours at part load the law of flow carries it to full throttle on track; that is an extrapolation, and no verdict on a session is given from it.")
	}
	if v.page.Options != nil && len(v.Options) > 1 {
		list = append(list, "All options share their draws: the same engines, oils and laps. Differences between them come from the layout, not from luck.")
	}
	if v.page.Sizing != nil {
		list = append(list, "Sizes were found by halving the range until it was narrow enough, on the same draws throughout.")
	}
	return list
}

func (v *view) warnings() []string {
	var list []string
	for _, w := range append(report.Warnings(v.scenario()), v.page.Result.Warnings...) {
		list = append(list, words.OneLine(w))
	}
	if v.page.Sizing != nil {
		for _, w := range v.page.Sizing.Warnings {
			list = append(list, words.OneLine(w))
		}
	}
	return list
}

// about says where the numbers come from, so that they can be made again.
func (v *view) about() []fact {
	res, s := v.page.Result, v.scenario()
	file := s.File
	if s.Example != "" {
		file = "ready-made example " + s.Example + ": nobody’s car"
	}
	list := []fact{{"scenario", words.OneLine(file)}}
	if s.VariantName != "" {
		list = append(list, fact{"variant", words.OneLine(s.VariantName)})
	}
	list = append(list,
		fact{"scenario SHA-256", s.SHA256},
		fact{"command", v.page.Command},
		fact{"seed", strconv.FormatUint(res.Seed, 10)},
		fact{"realizations", v.realizations()},
		fact{"sampling", words.Design(res.Sampling) + ", widest interval ± " + words.Percent(res.Reached, res.Reached/10) + " %"},
		fact{"oil balance", fmt.Sprintf("closes to %.1g of what was carried", res.Residual)},
		fact{"version", v.Program},
	)
	return list
}

func (v *view) realizations() string {
	parts := []string{words.Grouped(int64(v.page.Result.Realizations)) + " of the layout"}
	if c := v.page.Options; c != nil {
		parts = append(parts, words.Grouped(int64(c.Realizations))+" of each option")
	}
	if z := v.page.Sizing; z != nil && len(z.Volume) > 0 {
		parts = append(parts, words.Grouped(int64(z.Volume[0].Realizations))+" for sizes")
	}
	if f := v.page.Fan; f != nil {
		parts = append(parts, words.Grouped(int64(f.Realizations))+" for the fill")
	}
	text := words.Joined(parts, "and")
	if v.page.Result.Interrupted {
		text += "; interrupted, this is what was finished"
	}
	if missing := report.Missing(v.page.Result, "of the layout"); missing != "" {
		text += "; " + missing + ", this is what was there"
	}
	return text
}
