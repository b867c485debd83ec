package report

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// follows says what the inputs come to before anything is simulated in time.
func (r Inputs) follows() facts {
	var f facts
	f.add("blow-by", r.blowBy())
	for _, text := range r.carriedOver() {
		f.add("carry-over", text)
	}
	f.add("separator", r.separation())
	if text := r.usable(); text != "" {
		f.add("can", text)
	}
	if text := r.driven(); text != "" {
		f.add(map[bool]string{true: "circuit", false: "lap"}[r.Circuit != nil], text)
	}
	if text := Event(r.Scenario, r.Units); text != "" {
		f.add("schedule", text)
	}
	for i := len(f) - 1; i > 0; i-- { // a name stands once
		if f[i].name == f[i-1].name {
			f[i].name = ""
		}
	}
	return f
}

// blowBy says what displacement, boost and condition come to, or what was stated.
func (r Inputs) blowBy() string {
	e, f := &r.Scenario.Engine, r.Follows
	lead := ""
	if e.Displacement != nil && e.Wear != nil && e.BlowByFull == nil {
		lead = words.Notation(e.Displacement, r.Units)
		if e.Boost != nil {
			lead += ", " + words.Notation(e.Boost, r.Units)
		}
		lead += ", " + condition(e.Wear, r.Units) + ": "
	}
	u := words.ColumnOf(units.VolumeFlow, r.Units).Unit
	return lead + ranged(f.BlowByFull, u) + " at full throttle, " + ranged(f.BlowByClosed, u) + " at closed throttle"
}

// condition says in what condition the engine is: in the word that was written, or
// by the factor of its blow-by.
func condition(wear *scenarios.Quantity, u units.System) string {
	if text, found := strings.CutPrefix(wear.Source, "condition "); found {
		if word, _, found := strings.Cut(text, ":"); found {
			return word
		}
	}
	return words.Notation(wear, u) + " times the blow-by of a healthy engine"
}

// carriedOver converts the carry-over as it was written into what drives the model,
// or the other way round.
func (r Inputs) carriedOver() []string {
	c, f := &r.Scenario.CarryOver, r.Follows
	show := func(q *scenarios.Quantity) string { return words.Notation(q, r.Units) }
	massFlow := func(s sim.Spread) string { return ranged(s, units.DisplayUnit(units.MassFlow, r.Units)) }
	volume := func(s sim.Spread) string { return ranged(s, units.SensibleUnit(s.P50, units.Volume, r.Units)) }
	length := words.DrivenBy(r.Scenario, r.Units).Length(r.longest())
	if c.FullThrottle != nil {
		text := fmt.Sprintf("%s at full throttle = %s in %s of these laps, %s a lap, %s on average",
			show(c.FullThrottle), volume(f.PerSession), length, volume(f.PerLap), massFlow(f.Running))
		return append([]string{text}, r.mist()...)
	}
	lead := show(c.OilUsed)
	if c.Road != nil {
		lead += " over " + show(c.Road.Distance)
	} else {
		lead += " in " + show(c.During) + " on these laps"
	}
	if q := c.ThroughBreathers; q != nil && !(q.IsExact() && q.Nominal() == 1) {
		lead += " (" + show(q) + " of it through the breathers)"
	}
	if c.SeparatorLost != nil {
		lead += " (" + show(c.SeparatorLost) + " of it lost by the separator fitted then)"
	}
	cornering := c.CornerShare != nil && c.CornerShare.Distribution.Quantile(1) > 0
	atFull := massFlow(f.AtFull) + " of liquid at full throttle"
	if cornering {
		atFull += ", were none of it driven by cornering"
	}
	var texts []string
	if c.Road != nil {
		texts = append(texts, lead+" would be, by the law of flow on these laps, "+atFull+"; what it is on track is not known")
	} else {
		texts = append(texts, lead+" = "+atFull)
	}
	if cornering {
		texts = append(texts, "with what cornering drives set apart: "+massFlow(f.FullThrottle)+" at full throttle on a straight")
	}
	texts = append(texts, fmt.Sprintf("out of the crankcase: %s on average, %s a lap, %s in %s of these laps",
		massFlow(f.Running), volume(f.PerLap), volume(f.PerSession), length))
	return append(texts, r.mist()...)
}

// mist says how much of what is carried over is mist; the rest any can catches.
func (r Inputs) mist() []string {
	if !(r.Follows.Mist.P95 > 0) {
		return nil
	}
	return []string{ranged(r.Follows.Mist, words.ColumnOf(units.Fraction, r.Units).Unit) + " of it is mist"}
}

// longest is the longest session, s.
func (r Inputs) longest() float64 { return r.Scenario.Sessions[len(r.Scenario.Sessions)-1] }

// separation says what is caught of the mist where it is computed from droplets,
// and what the gas loses across the element.
func (r Inputs) separation() string {
	f := r.Follows
	text := ""
	if len(r.Scenario.Separator.Elements) > 0 {
		text = "catches " + ranged(f.MistCaught, words.ColumnOf(units.Fraction, r.Units).Unit) + " of the mist at full throttle, can empty; "
	}
	loss := ranged(f.Loss, units.SensibleUnit(f.Loss.P50, units.Pressure, r.Units))
	switch {
	case f.Loss.P05 == 0 && f.Loss.P95 == 0:
		return text + "no pressure loss across it"
	case f.Loss.P50 < 0:
		return text + loss + " across it at full throttle: gas comes back through it"
	}
	text += loss + " lost across it at full throttle"
	if f.Loss.P95 > mostLoss {
		text += ": more than a crankcase bears, check the size and number of jets"
	}
	return text
}

// mostLoss is the pressure in Pa from which a loss is called impossible: an engine's
// seals give way well below; prior, no published source.
const mostLoss = 20e3

// outside says that a stage of the separator is outside the range of its equation.
func (r Inputs) outside() []string {
	if r.Follows == nil || r.Follows.Outside == 0 {
		return nil
	}
	return []string{fmt.Sprintf("separator.elements: in %d of %d realizations a stage is outside the range of its equation at full throttle: %s",
		r.Follows.Outside, r.Follows.Realizations, r.Follows.OutsideIn)}
}

// usable says what a can of known shape holds, by direction; empty for another.
func (r Inputs) usable() string {
	if r.Scenario.Separator.Shape == nil {
		return ""
	}
	f := r.Follows
	u := units.SensibleUnit(f.Usable.P50, units.Volume, r.Units)
	upright := ranged(f.Usable, u)
	closes := ""
	if r.Scenario.Separator.Shape.InnerCan != nil {
		closes = fmt.Sprintf("; the oil begins to close the gas path round the inner can at %s, and has closed it at %s", ranged(f.PathFrom, u), ranged(f.PathClosed, u))
	}
	alike := true
	for _, s := range []sim.Spread{f.UsableLeft, f.UsableRight, f.UsableBraking, f.UsableForward} {
		alike = alike && ranged(s, u) == upright
	}
	if alike {
		return "holds " + upright + ", upright and at 1 g in any direction" + closes
	}
	return fmt.Sprintf("holds %s upright; at 1 g: %s in a left turn, %s in a right turn, %s when braking, %s when accelerating%s",
		upright, ranged(f.UsableLeft, u), ranged(f.UsableRight, u), ranged(f.UsableBraking, u), ranged(f.UsableForward, u), closes)
}

// driven says how long a lap takes and how much of it is full throttle.
func (r Inputs) driven() string {
	f := r.Follows
	share := ranged(f.FullThrottleShare, words.ColumnOf(units.Fraction, r.Units).Unit) + " of it at full throttle"
	time := ranged(f.LapTime, units.SensibleUnit(f.LapTime.P50, units.Time, r.Units)) + " a lap, "
	switch {
	case r.Scenario.Duty.Pattern != nil:
		return ""
	case r.Circuit != nil:
		return strings.TrimPrefix(CircuitName(r.Scenario, r.Circuit, r.Units), "Circuit ") + ": " + time + share
	}
	return time + share
}

// leastSpread is how far apart, relative to the median, the ends of a spread are
// for it to be told; what is exact differs by rounding.
const leastSpread = 1e-6

func spreads(s sim.Spread) bool { return s.P95-s.P05 > leastSpread*math.Abs(s.P50) }

// ranged writes a median with the interval that holds 90 % of the realizations, in
// one unit: "96 L/min (74 .. 121)".
func ranged(s sim.Spread, u units.Unit) string {
	if !spreads(s) || math.IsNaN(s.P50) || math.IsInf(s.P95, 0) {
		return words.ShowIn(s.P50, u)
	}
	d := spreadDecimals(s, u)
	if fixed(s.P05, u, d) == fixed(s.P95, u, d) {
		return words.ShowIn(s.P50, u)
	}
	return u.Attach(fixed(s.P50, u, d)) + " (" + fixed(s.P05, u, d) + " .. " + fixed(s.P95, u, d) + ")"
}

// interval writes the interval alone: "104 .. 113 s".
func interval(s sim.Spread, u units.Unit) string {
	d := spreadDecimals(s, u)
	return fixed(s.P05, u, d) + " .. " + u.Attach(fixed(s.P95, u, d))
}

// spreadDecimals is how many decimals show two digits of half the interval, but no
// less than two of the median.
func spreadDecimals(s sim.Spread, u units.Unit) int {
	half := math.Abs(u.FromSI(s.P95)-u.FromSI(s.P05)) / 2
	size := math.Abs(u.FromSI(s.P50))
	places := func(v float64) int {
		if !(v > 0) {
			return 0
		}
		return min(max(0, 1-int(math.Floor(math.Log10(v)))), 6)
	}
	if size > 0 {
		half = min(half, size)
	}
	return min(places(half), max(places(size)+1, 0))
}

func fixed(si float64, u units.Unit, decimals int) string {
	v := words.Round(u.FromSI(si), decimals)
	if si == 0 || v == 0 && decimals == 0 {
		return "0" // and no minus before a rounded zero
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

// headed is facts under a line that says what they are.
type headed struct {
	heading string
	facts
}

func (h headed) text(b *bytes.Buffer) error {
	writeLines(b, wrap(words.Plain(h.heading), Width))
	return h.facts.text(b)
}

func (h headed) markdown(b *bytes.Buffer) error {
	b.WriteString(words.EscapeMarkdown(h.heading) + "\n\n")
	for _, x := range h.facts {
		lead := "- "
		if x.name != "" {
			lead += words.EscapeMarkdown(x.name) + ": "
		}
		b.WriteString(lead + words.EscapeMarkdown(words.OneLine(x.value)) + "\n")
	}
	return nil
}

type followsJSON struct {
	Realizations  int        `json:"realizations"`
	BlowByFull    spreadJSON `json:"blow_by_full_throttle_m3_s"`
	BlowByClosed  spreadJSON `json:"blow_by_closed_throttle_m3_s"`
	FullThrottle  spreadJSON `json:"carried_over_full_throttle_kg_s"` // on a straight
	AtFull        spreadJSON `json:"liquid_at_full_throttle_kg_s"`    // were none driven by cornering
	Running       spreadJSON `json:"carried_over_mean_kg_s"`
	Mist          spreadJSON `json:"mist_share"`
	PerLap        spreadJSON `json:"carried_over_per_lap_m3"`
	PerSession    spreadJSON `json:"carried_over_longest_session_m3"` // stops left out
	LapTime       spreadJSON `json:"lap_time_s"`
	FullShare     spreadJSON `json:"full_throttle_share"`
	MistCaught    spreadJSON `json:"mist_caught_full_throttle"`
	Loss          spreadJSON `json:"element_loss_full_throttle_Pa"`
	Usable        spreadJSON `json:"usable_upright_m3"`
	UsableForward spreadJSON `json:"usable_1g_forward_m3"`
	UsableBraking spreadJSON `json:"usable_1g_braking_m3"`
	UsableLeft    spreadJSON `json:"usable_1g_left_turn_m3"`
	UsableRight   spreadJSON `json:"usable_1g_right_turn_m3"`
}

// followsOf is what follows for programs; nil where it was not looked at.
func followsOf(f *sim.Follows) *followsJSON {
	if f == nil {
		return nil
	}
	return &followsJSON{
		f.Realizations, spreadOf(f.BlowByFull), spreadOf(f.BlowByClosed), spreadOf(f.FullThrottle), spreadOf(f.AtFull), spreadOf(f.Running),
		spreadOf(f.Mist), spreadOf(f.PerLap), spreadOf(f.PerSession), spreadOf(f.LapTime), spreadOf(f.FullThrottleShare),
		spreadOf(f.MistCaught), spreadOf(f.Loss), spreadOf(f.Usable), spreadOf(f.UsableForward), spreadOf(f.UsableBraking),
		spreadOf(f.UsableLeft), spreadOf(f.UsableRight),
	}
}
