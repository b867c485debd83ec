package page

import (
	"fmt"
	"html/template"
	"math"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// fillChart draws the fill against time as a fan, with the choke level and the
// full mark.
func (v *view) fillChart() template.HTML {
	f := v.page.Fan
	if f == nil || len(f.Times) < 2 {
		return ""
	}
	c := &chart{width: 440, height: 300, left: 40, right: 66, top: 30, bottom: 40,
		x: timeScale(f.Length, v.lengthWords().Time), y: percentScale(1, "fill of the can")}
	c.y.high = 1.08 // so that the full mark is no edge
	c.axes()
	c.band("oil wide", f.Times, f.P05, f.P95)
	c.band("oil half", f.Times, f.P25, f.P75)
	c.edge("oil", f.Times, f.P95)
	c.edge("oil", f.Times, f.P05)
	c.line("oil", f.Times, f.P50)
	c.level("", 1, "full: more than this gets past")
	if v.drains() {
		choke := v.scenario().Limits.ChokeLevel.Nominal()
		c.level("dashed", choke, "choke level "+percent(choke))
	}
	end := len(f.Times) - 1
	c.endLabels([]endLabel{
		{f.P95[end], "note", "19 of 20"}, {f.P75[end], "note", "3 of 4"}, {f.P50[end], "tag", "median"},
		{f.P25[end], "note", "1 of 4"}, {f.P05[end], "note", "1 of 20"},
	})
	return c.svg("fill", "Fill of the can against time", v.fillInWords())
}

// fillInWords says what the fan shows at the end and at the middle of the session.
func (v *view) fillInWords() string {
	f := v.page.Fan
	at := func(i int) string {
		return fmt.Sprintf("after %s the can is filled to %s (median), %s to %s in half of the simulated %s, %s to %s in 9 of 10",
			words.Show(f.Times[i], units.Time, v.page.Units), wholePercent(f.P50[i]), wholePercent(f.P25[i]), wholePercent(f.P75[i]), v.driven().Many(), wholePercent(f.P05[i]), wholePercent(f.P95[i]))
	}
	n := len(f.Times)
	return words.Sentence(at(n/2-1)) + "; " + at(n-1) + "."
}

// pressureChart draws the crankcase pressure over one lap: what it is in most
// simulated sessions, its limit, and what it was before fitting.
func (v *view) pressureChart() template.HTML {
	now := v.oneLap(v.page.Pressures)
	if len(now) == 0 {
		return ""
	}
	before := v.oneLap(v.page.Before)
	unit := pressureUnit(v.page.Units)
	limit := unit.FromSI(v.scenario().Limits.CrankcasePressure.Nominal())
	low, high := math.Min(0, limit), math.Max(0, limit)
	for _, list := range [][]sim.PhasePressure{now, before} {
		for _, p := range list {
			low = math.Min(low, number(unit.FromSI(p.Crankcase.P05), low))
			high = math.Max(high, number(unit.FromSI(p.Crankcase.P95), high))
		}
	}
	x, median, p05, p95, loads := steps(now, unit.FromSI)
	c := &chart{width: 440, height: 300, left: 44, right: 88, top: 30, bottom: 40,
		x: timeScale(x[len(x)-1], "time of one lap"), y: roundScale(low, high+0.12*(high-low), "crankcase pressure, "+unit.Symbol)}
	c.y.low -= 0.12 * (c.y.high - c.y.low) // room for the load
	c.axes()
	c.loads(x, loads)
	c.band("c1", x, p05, p95)
	c.level("dashed", limit, "limit "+words.Show(v.scenario().Limits.CrankcasePressure.Nominal(), units.Pressure, v.page.Units))
	labels := []endLabel{{median[len(median)-1], "tag c1", "now"}}
	if len(before) > 0 {
		bx, was, _, _, _ := steps(before, unit.FromSI)
		c.line("c2", bx, was)
		labels = append(labels, endLabel{was[len(was)-1], "tag c2", "as it was"})
	}
	c.line("c1", x, median)
	c.endLabels(labels)
	return c.svg("pressure", "Crankcase pressure over one lap", v.pressureInWords(now, before))
}

// oneLap returns the phases of the first nominal lap.
func (v *view) oneLap(list []sim.PhasePressure) []sim.PhasePressure {
	if laps := v.page.Model.Nominal().Laps; len(laps) > 1 && laps[1] <= len(list) {
		return list[:laps[1]]
	}
	return list
}

// steps returns pressures over time, each phase from its start to its end.
func steps(list []sim.PhasePressure, shown func(float64) float64) (x, median, p05, p95, load []float64) {
	now := 0.0
	for _, p := range list {
		x = append(x, now, now+p.Phase.Duration)
		now += p.Phase.Duration
		for range 2 {
			median, load = append(median, shown(p.Crankcase.P50)), append(load, p.Phase.Load)
			p05, p95 = append(p05, shown(p.Crankcase.P05)), append(p95, shown(p.Crankcase.P95))
		}
	}
	return x, median, p05, p95, load
}

// loadHeight is how high a full load stands in its strip.
const loadHeight = 18

// loads draws the load of each phase as a strip at the foot.
func (c *chart) loads(x, load []float64) {
	floor := c.height - c.bottom
	d := "M" + coordinate(c.across(x[0])) + " " + coordinate(floor)
	for i := range x {
		d += "L" + coordinate(c.across(x[i])) + " " + coordinate(floor-loadHeight*load[i])
	}
	fmt.Fprintf(&c.b, `<path class="load" d="%sV%sZ"/>`, d, coordinate(floor))
	c.text("note", place{c.width - c.right + 6, floor - 3, "start"}, "throttle")
}

// pressureInWords says what the chart shows at full throttle and off it.
func (v *view) pressureInWords(now, before []sim.PhasePressure) string {
	say := func(list []sim.PhasePressure) string {
		high, low := extremes(list)
		return fmt.Sprintf("highest %s in phase %d, lowest %s in phase %d (medians; 5 to 95 %% there: %s to %s, and %s to %s)",
			v.pressure(list[high].Crankcase.P50), high+1, v.pressure(list[low].Crankcase.P50), low+1,
			v.pressure(list[high].Crankcase.P05), v.pressure(list[high].Crankcase.P95),
			v.pressure(list[low].Crankcase.P05), v.pressure(list[low].Crankcase.P95))
	}
	text := words.Sentence(say(now))
	if len(before) > 0 {
		text += "; as it was: " + say(before)
	}
	return text + fmt.Sprintf("; limit %s.", v.pressure(v.scenario().Limits.CrankcasePressure.Nominal()))
}

// extremes returns the phases with the highest and the lowest median.
func extremes(list []sim.PhasePressure) (high, low int) {
	for i, p := range list {
		if p.Crankcase.P50 > list[high].Crankcase.P50 {
			high = i
		}
		if p.Crankcase.P50 < list[low].Crankcase.P50 {
			low = i
		}
	}
	return high, low
}
