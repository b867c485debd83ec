package sim

import (
	"fmt"
	"math"
	"strings"
)

// duty draws what the engine does and for how long. The phases, stints and stops that a
// realization drives through are kept to a number, so that very long sessions cost no more
// than short ones; few scenarios get far more.
func (d *scenarioDrawing) duty() string {
	const seconds = 1.0
	longest := d.logarithmic(1*seconds, 1200)
	switch at := d.Float64(); {
	case at < 0.02:
		longest = d.logarithmic(4*3600, 24*3600)
	case at < 0.2:
		longest = d.logarithmic(1200, 4*3600)
	}
	pieces := 300.0
	if d.chance(0.02) {
		pieces = 5000
	}
	var parts []string
	switch at := d.Float64(); {
	case at < 0.55:
		d.is("lap")
		parts = append(parts, d.lap(longest/pieces))
	case at < 0.8:
		d.is("pattern")
		parts = append(parts, d.pattern(longest/pieces))
	case at < 0.9:
		d.is("log")
		parts = append(parts, d.log())
		longest = min(longest, 1800)
	default:
		parts = append(parts, d.circuit()...)
		longest = min(longest, 1800)
	}
	parts = append(parts, d.maybe("duty.lap_variation"))
	event := d.chance(0.3)
	if event {
		d.is("event")
		longest = max(longest, 60)
		parts = append(parts, d.schedule(longest, longest/pieces), fmt.Sprintf("event: %.6g s", longest))
		d.field("duty.event")
	}
	if d.chance(0.2) {
		d.is("slow laps")
		const s = "duty.slow_laps."
		parts = append(parts, d.block("slow_laps", d.value(s+"chance"), d.maybe(s+"for"), d.maybe(s+"spread"), d.maybe(s+"load")))
	}
	text := d.block("duty", parts...)
	switch {
	case longest > 4*3600:
		d.is("session over 4 h")
	case longest > 1200:
		d.is("session over 20 min")
	default:
		d.is("session up to 20 min")
	}
	if event && d.chance(0.6) {
		return text
	}
	lengths := []string{fmt.Sprintf("%.6g s", longest)}
	for range d.IntN(5) {
		if t := longest * d.between(0.05, 0.98); t > 1 {
			lengths = append(lengths, fmt.Sprintf("%.4g s", t))
		}
	}
	return text + "\nsessions: [" + strings.Join(lengths, ", ") + "]"
}

// lap draws phases that last no less than some seconds.
func (d *scenarioDrawing) lap(shortest float64) string {
	n := 1 + d.IntN(8)
	stopped := d.chance(0.2)
	if stopped {
		d.is("engine stopped in the lap")
		n = max(n, 2)
	}
	list := make([]string, n)
	for i := range list {
		p := fmt.Sprintf("duty.lap.%d.", i+1)
		long := d.span(p + "for")
		long.low = max(long.low, shortest/3600)
		parts := []string{d.written(p+"for", long, max(d.number(p+"for", long), long.low))}
		if stopped && i == n/2 {
			list[i] = "{" + joined(append(parts, d.word(p+"engine", "stopped"))) + "}"
			continue
		}
		parts = append(parts, d.load(p+"load"))
		if d.chance(0.5) {
			parts = append(parts, d.value(p+d.of("forward", "backward")))
		}
		if d.chance(0.6) {
			parts = append(parts, d.value(p+d.of("left", "right")))
		}
		list[i] = "{" + joined(parts) + "}"
	}
	return "lap: [" + strings.Join(list, ", ") + "]"
}

// load draws a load, often none or all of it.
func (d *scenarioDrawing) load(path string) string {
	s := d.span(path)
	return d.written(path, s, []float64{0, 100, 100 * d.Float64()}[d.IntN(3)])
}

func (d *scenarioDrawing) pattern(shortest float64) string {
	const p = "duty.pattern."
	long := d.span(p + "burst")
	long.low = max(long.low, shortest/3600)
	return d.block("pattern", d.load(p+"full_throttle"), d.written(p+"burst", long, max(d.number(p+"burst", long), long.low)),
		d.maybe(p+"burst_spread"), d.maybe(p+"load_otherwise"))
}

// log draws three laps as a data log, at two rows a second.
func (d *scenarioDrawing) log() string {
	b := &strings.Builder{}
	b.WriteString("time [s],throttle [%],lateral [g],longitudinal [g],rpm,lap\n")
	n := 20 + d.IntN(60)
	side, along, stops := d.between(0, 2), d.between(0, 1), d.chance(0.3)
	for i := range 3*n + 1 {
		turn := 2 * math.Pi * float64(i%n) / float64(n)
		rpm := 5000
		if stops && i%n < 10 {
			rpm = 0
		}
		throttle := min(max(50+90*math.Sin(2*turn), 0), 100)
		fmt.Fprintf(b, "%.1f,%.1f,%.3f,%.3f,%d,%d\n", float64(i)/2, throttle, side*math.Sin(turn), along*math.Cos(3*turn), rpm, 1+i/n)
	}
	d.files["laps.csv"] = b.String()
	const t = "duty.log.tolerance."
	return d.block("log", "file: laps.csv", "positive: {longitudinal: forward, lateral: "+d.of("left", "right")+"}",
		d.block("tolerance", d.maybe(t+"load"), d.maybe(t+"acceleration"), d.maybe(t+"smoothing")))
}

// circuit draws a circuit and a car.
func (d *scenarioDrawing) circuit() []string {
	var round string
	switch d.IntN(5) {
	case 0:
		d.is("centre line")
		d.files["oval.csv"] = d.oval()
		round = "centre_line: {file: oval.csv, unit: m, " + d.value("duty.circuit.centre_line.survey_error") + "}"
	case 1, 2:
		d.is("segments")
		round = d.segments()
	default:
		d.is("layout")
		round = d.word("duty.circuit.layout", d.of("larkmoor-long", "larkmoor-short", "larkmoor-bowl"))
	}
	const c = "duty.car."
	parts := []string{d.value(c + "mass"), d.maybe(c + "grip"), d.maybe(c + "driver"), d.maybe(c + "drag_area"), d.maybe(c + "top_speed"), d.maybe(c + "shift_time"), d.maybe(c + "shift_step")}
	if d.chance(0.6) {
		parts = append(parts, d.value(c+"power"))
	} else {
		var curve []string
		speed := d.between(0, 60)
		for i := range 2 + d.IntN(4) {
			curve = append(curve, fmt.Sprintf("{speed: %.4g km/h, %s}", speed, d.value(fmt.Sprintf("duty.car.power_curve.%d.power", i+1))))
			speed += d.between(5, 120)
		}
		d.field("duty.car.power_curve.*.speed")
		parts = append(parts, "power_curve: ["+strings.Join(curve, ", ")+"]")
	}
	return []string{"circuit: {" + round + "}", d.block("car", parts...)}
}

// oval is a centre line of points.
func (d *scenarioDrawing) oval() string {
	b := &strings.Builder{}
	b.WriteString("x,y\n")
	long, wide := d.between(100, 800), d.between(60, 400)
	for i := range 120 {
		turn := 2 * math.Pi * float64(i) / 120
		fmt.Fprintf(b, "%.3f,%.3f\n", long*math.Cos(turn), wide*math.Sin(turn))
	}
	return b.String()
}

// segments draws two straights and two half turns.
func (d *scenarioDrawing) segments() string {
	for _, f := range []string{"straight", "corner", "angle", "turns", "gradient", "banking"} {
		d.field("duty.circuit.segments.*." + f)
	}
	straight, radius := d.logarithmic(20, 2000), d.logarithmic(10, 300)
	slope, bank, way := d.between(-8, 8), d.between(-10, 30), d.of("left", "right")
	if d.chance(d.wild) {
		radius, slope, bank = 3, 30, 45
	}
	corner := fmt.Sprintf("{corner: %.4g m, angle: 180 deg, turns: %s, banking: %.3g deg}", radius, way, bank)
	return fmt.Sprintf("segments: [{straight: %.5g m, gradient: %.3g %%}, %s, {straight: %.5g m, gradient: %.3g %%}, %s]",
		straight, slope, corner, straight, -slope, corner)
}

// schedule draws stints and stops of no less than some seconds a pair.
func (d *scenarioDrawing) schedule(longest, shortest float64) string {
	var list []string
	for i := range 1 + d.IntN(5) {
		p := fmt.Sprintf("duty.schedule.%d.", i+1)
		if i > 0 && d.chance(0.5) {
			parts := []string{d.span2(p+"stop", 0, longest/2), d.choice("duty.schedule.*.engine"), d.choice("duty.schedule.*.can"), d.choice("duty.schedule.*.oil")}
			list = append(list, "{"+joined(parts)+"}")
			continue
		}
		list = append(list, "{"+d.span2(p+"drive", max(1, shortest), longest)+"}")
	}
	return "schedule: [" + strings.Join(list, ", ") + "]"
}

// span2 writes a time between two lengths in s, often the shorter one, or anywhere that is
// allowed.
func (d *scenarioDrawing) span2(path string, low, high float64) string {
	s := d.span(path)
	s.low = max(low/3600, s.low)
	v := d.between(s.low, max(high/3600, s.low))
	switch {
	case d.chance(0.1):
		v = s.low
	case d.chance(d.wild):
		v = max(d.number(path, s), s.low)
	}
	return d.written(path, s, v)
}
