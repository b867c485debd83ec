package sim

import (
	"fmt"
	"math"
	"strings"
)

func (d *scenarioDrawing) engine() string {
	const e = "engine."
	common := []string{d.maybe(e + "gas_temperature"), d.maybe(e + "intake_depression"), d.maybe(e + "pulsation")}
	if d.chance(0.5) {
		d.is("blow-by by law")
		return d.block("engine", append(common, d.maybe(e+"displacement"), d.maybe(e+"boost"), d.choice(e+"condition"), d.maybe(e+"wear"),
			d.maybe(e+"blow_by_law"), d.maybe(e+"shaft_seals"), d.maybe(e+"closed_throttle_per_litre"))...)
	}
	d.is("blow-by stated")
	s := d.span(e + "blow_by.full_throttle")
	full := d.number(e+"blow_by.full_throttle", s)
	blow := []string{d.written(e+"blow_by.full_throttle", s, full)}
	switch d.IntN(3) {
	case 0:
		c := d.span(e + "blow_by.closed_throttle")
		c.high = full
		blow = append(blow, d.written(e+"blow_by.closed_throttle", c, min(d.number(e+"blow_by.closed_throttle", c), full)))
	case 1:
		common = append(common, d.value(e+"closed_share"))
	}
	return d.block("engine", append(common, d.block("blow_by", blow...))...)
}

func (d *scenarioDrawing) oil() string {
	const o = "oil."
	parts := []string{
		d.maybe(o + "density"), d.maybe(o + "aeration"), d.maybe(o + "aeration_in_hose"), d.maybe(o + "ambient"), d.maybe(o + "hose_warmth"),
		d.block("temperature", d.maybe(o+"temperature.start"), d.maybe(o+"temperature.settled"),
			d.maybe(o+"temperature.time_constant"), d.maybe(o+"temperature.cooling_time_constant")),
	}
	if d.chance(0.3) {
		hot, cold := d.span(o+"viscosity.at_100C"), d.span(o+"viscosity.at_40C")
		at100 := d.number(o+"viscosity.at_100C", hot)
		cold.low = max(cold.low, 1.05*at100)
		at40 := min(max(d.number(o+"viscosity.at_40C", cold), cold.low), cold.high)
		hot.high = min(hot.high, at40/1.01)
		parts = append(parts, d.block("viscosity", d.written(o+"viscosity.at_40C", cold, at40), d.written(o+"viscosity.at_100C", hot, min(at100, hot.high))))
	} else {
		parts = append(parts, d.choice(o+"grade"))
	}
	return d.block("oil", parts...)
}

func (d *scenarioDrawing) carryOver() string {
	const c = "carry_over."
	parts := []string{d.maybe(c + "mist"), d.maybe(c + "flow_exponent"), d.maybe(c + "corner_share")}
	if d.chance(0.5) {
		d.is("rate at full throttle")
		return d.block("carry_over", append(parts, d.value(c+"full_throttle"))...)
	}
	parts = append(parts, d.value(c+"oil_used"), d.maybe(c+"through_breathers"))
	if d.chance(0.3) {
		parts = append(parts, d.value(c+"separator_lost"))
	}
	if d.chance(0.3) {
		d.is("oil used on a road")
		return d.block("carry_over", append(parts, d.block("during", d.value(c+"during.distance"), d.maybe(c+"during.mean_speed"), d.maybe(c+"during.full_throttle")))...)
	}
	d.is("oil used in a time")
	during := d.exact(d.logarithmic(0.5, 300), "min")
	if d.chance(d.vague) {
		during = d.of("20 .. 30 min", "25 +- 5 min", "10 x/ 2 min")
	}
	return d.block("carry_over", append(parts, "during: "+during)...)
}

// breathers draws circuits; one of them goes to the separator, but where gas finds its way
// up the drain, and left out there are two.
func (d *scenarioDrawing) breathers(lost bool) string {
	if d.chance(0.25) {
		d.is("default circuits")
		return ""
	}
	n := 1 + d.IntN(3)
	if d.chance(0.1) {
		n = 8
	}
	to := []string{"separator"}
	if lost && d.chance(0.4) {
		d.is("circuits lost")
		to = []string{d.of("intake", "air")}
	}
	for len(to) < n {
		if to[0] == "separator" {
			to = append(to, d.of("separator", "separator", "intake", "air"))
		} else {
			to = append(to, d.of("intake", "air"))
		}
	}
	d.Shuffle(n, func(i, j int) { to[i], to[j] = to[j], to[i] })
	list := make([]string, n)
	for i := range list {
		path := fmt.Sprintf("breathers.c%d", i+1)
		list[i] = "{" + joined(append([]string{fmt.Sprintf("name: c%d", i+1), d.word("breathers.*.to", to[i])}, d.pipe(path)...)) + "}"
	}
	d.is(fmt.Sprintf("%d circuits", n))
	return "breathers: [" + strings.Join(list, ", ") + "]"
}

// pipe draws a gas hose: one that is neither without a length nor without a loss.
func (d *scenarioDrawing) pipe(path string) []string {
	parts := []string{d.maybe(path + ".bore"), d.maybe(path + ".length")}
	if d.chance(0.3) {
		return append(parts, "fittings: "+d.of("[straight, elbow]", "[banjo]", "[straight, elbow, banjo]", "[sweep elbow]"))
	}
	return append(parts, d.maybe(path+".loss_coefficient"))
}

func (d *scenarioDrawing) separator() string {
	const s = "separator."
	parts := []string{d.choice(s + "oil_collects"), d.maybe(s + "oil_blown_out_from"), d.maybe(s + "efficiency_when_full")}
	outlet := append([]string{d.choice(s + "outlet.to")}, d.pipe("separator.outlet")...)
	across := d.span(s + "diameter")
	diameter := d.number(s+"diameter", across)
	measured := false
	if d.chance(0.3) {
		var elements string
		elements, measured = d.elements()
		parts = append(parts, elements, d.droplets())
		if measured || d.chance(0.3) {
			parts = append(parts, d.block("pressure_loss", d.value(s+"pressure_loss.loss"), d.value(s+"pressure_loss.at"), d.maybe(s+"pressure_loss.gas_density")))
		}
	} else {
		parts = append(parts, d.maybe(s+"efficiency"))
		if d.chance(0.6) {
			parts = append(parts, d.block("pressure_loss", d.value(s+"pressure_loss.loss"), d.value(s+"pressure_loss.at"), d.maybe(s+"pressure_loss.gas_density")))
		}
	}
	if d.chance(0.25) {
		shape, mouth := d.shape(diameter)
		parts, outlet = append(parts, shape...), append(outlet, mouth)
		parts = append(parts, d.written(s+"diameter", across, diameter))
		if d.chance(0.2) {
			parts = append(parts, d.value(s+"usable_volume"))
		}
	} else {
		parts = append(parts, d.value(s+"usable_volume"), d.maybe(s+"gas_path_closes_from"))
		outlet = append(outlet, d.maybe(s+"outlet.off_axis"))
		if d.chance(0.5) {
			parts = append(parts, d.written(s+"diameter", across, diameter))
		} else {
			parts = append(parts, d.value(s+"cross_section"))
		}
	}
	return d.block("separator", append(parts, d.block("outlet", outlet...))...)
}

// shape draws a can of known shape, with tubes inside it.
func (d *scenarioDrawing) shape(diameter float64) (parts []string, mouth string) {
	const s = "separator."
	d.is("can shape")
	radius := diameter / 2 * 1000 // mm; here the diameter is in m
	up := d.span(s + "height")
	height := d.number(s+"height", up)
	point := func(lowest float64) string {
		around, off := d.between(0, 2*math.Pi), radius*0.999*d.Float64()
		if d.chance(0.3) {
			off = 0
		}
		return fmt.Sprintf("[%.6g, %.6g, %.6g mm]", off*math.Cos(around), off*math.Sin(around), 1000*height*d.between(lowest, 1))
	}
	parts = append(parts, d.written(s+"height", up, height))
	if d.chance(0.4) {
		d.field(s + "inlet_mouth")
		parts = append(parts, "inlet_mouth: "+point(0))
	}
	if d.chance(0.4) {
		d.is("inner can")
		wide, rim := d.span(s+"inner_can.diameter"), d.span(s+"inner_can.rim")
		wide.high = max(diameter*0.95, wide.low)
		rim.high = height
		parts = append(parts, d.block("inner_can",
			d.written(s+"inner_can.diameter", wide, wide.low+(wide.high-wide.low)*d.Float64()),
			d.written(s+"inner_can.rim", rim, rim.high*d.Float64())))
	}
	return parts, "mouth: " + point(0.001)
}

// elements draws the stages of a separator, and whether one of them is measured.
func (d *scenarioDrawing) elements() (text string, measured bool) {
	var list []string
	for range 1 + d.IntN(3) {
		e := fmt.Sprintf("separator.elements.%d.", len(list)+1)
		kind := d.of("impactor", "cyclone", "settling", "mesh", "measured")
		d.is(kind)
		parts := []string{d.word("separator.elements.*.kind", kind)}
		switch kind {
		case "impactor":
			if d.chance(0.4) {
				parts = append(parts, d.word(e+"jet", "slot"), d.value(e+"length"))
			}
			parts = append(parts, d.value(e+"width"), d.count(e+"count"), d.maybe(e+"sharpness"), d.maybe(e+"loss_heads"))
		case "cyclone":
			parts = append(parts, d.value(e+"width"), d.value(e+"height"), d.count(e+"count"), d.maybe(e+"turns"), d.maybe(e+"loss_heads"))
		case "settling":
			parts = append(parts, d.maybe(e+"area"))
		case "mesh":
			parts = append(parts, d.value(e+"area"), d.maybe(e+"wire"), d.value(e+"thickness"), d.maybe(e+"packed"),
				d.maybe(e+"limit"), d.maybe(e+"carried_on"), d.maybe(e+"loss_heads"))
		default:
			measured = true
			parts = append(parts, d.value(e+"at"), d.maybe(e+"exponent"), d.grades(e))
		}
		list = append(list, "{"+joined(parts)+"}")
	}
	return "elements: [" + strings.Join(list, ", ") + "]", measured
}

func (d *scenarioDrawing) count(path string) string {
	s := d.span(path)
	return fmt.Sprintf("count: %.0f", d.number(path, s))
}

func (d *scenarioDrawing) grades(element string) string {
	d.field("separator.elements.*.grades.*.size")
	var list []string
	size := d.logarithmic(0.02, 1)
	for i := range 2 + d.IntN(4) {
		list = append(list, fmt.Sprintf("{size: %.4g um, %s}", size, d.value(fmt.Sprintf("%sgrades.%d.caught", element, i+1))))
		size *= d.logarithmic(1.05, 8)
	}
	return "grades: [" + strings.Join(list, ", ") + "]"
}

func (d *scenarioDrawing) droplets() string {
	const s = "separator.droplets."
	mode := func(name string) string { return d.block(name, d.maybe(s+name+".median"), d.maybe(s+name+".spread")) }
	return d.block("droplets", mode("fine"), mode("coarse"), d.maybe(s+"coarse_share"))
}

func (d *scenarioDrawing) drain(returns, seal string) string {
	const r = "drain."
	d.is(returns)
	parts := []string{d.word(r+"return", returns)}
	if returns == "emptied_by_hand" {
		emptied := d.of("every session", "at stops", "every 2 stops", "every 30 min", "every 90 s", "every 5 .. 20 min")
		d.is("emptied " + emptied)
		return d.block("drain", append(parts, "emptied: "+emptied)...)
	}
	d.is("seal " + seal)
	parts = append(parts, d.word(r+"seal", seal), d.value(r+"bore"), d.maybe(r+"port_pressure"))
	if d.chance(0.3) {
		parts = append(parts, "fittings: [straight, elbow, banjo]")
	} else {
		parts = append(parts, d.maybe(r+"loss_coefficient"))
	}
	if seal == "valve" {
		parts = append(parts, d.maybe(r+"valve_opens_at"))
	}
	if seal == "none" {
		parts = append(parts, d.maybe(r+"flooding_constant"))
	}
	var sump []string
	if returns == "below_oil" {
		sump = append(sump, d.maybe(r+"sump.area"))
	}
	if d.chance(0.4) {
		d.is("route")
		route, end := d.route()
		parts = append(parts, route)
		if returns == "below_oil" {
			d.field(r + "sump.oil_surface")
			sump = append(sump, fmt.Sprintf("oil_surface: [%.4g, %.4g, %.4g mm]", end[0]+60*d.NormFloat64(), end[1]+60*d.NormFloat64(), end[2]+60*d.NormFloat64()+20))
		}
	} else {
		d.is("fall")
		parts = append(parts, d.fall()...)
		if returns == "below_oil" && d.chance(0.2) {
			sump = append(sump, "oil_surface: [0, 0, -100 mm]")
		}
	}
	return d.block("drain", append(parts, d.block("sump", sump...))...)
}

// fall draws a fall with a length and a dip that goes with it.
func (d *scenarioDrawing) fall() []string {
	const r = "drain."
	down, dip, long := d.span(r+"fall"), d.span(r+"dip"), d.span(r+"length")
	fall := d.number(r+"fall", down)
	parts := []string{d.written(r+"fall", down, fall)}
	deep := 0.0
	if d.chance(0.4) {
		d.is("dip")
		deep = d.number(r+"dip", dip)
		parts = append(parts, d.written(r+"dip", dip, deep))
	}
	if least := 1.02 * (fall + 2*deep); d.chance(0.5) && least < long.high {
		long.low = least
		parts = append(parts, d.written(r+"length", long, max(d.number(r+"length", long), least)))
	}
	return parts
}

// route draws points, in mm, and its end.
func (d *scenarioDrawing) route() (text string, end [3]float64) {
	d.field("drain.route")
	list := []string{"[0, 0, 0 mm]"}
	size := d.logarithmic(20, 400)
	if d.chance(d.wild * 0.3) {
		size = 3000
	}
	for range 1 + d.IntN(6) {
		aside := func(from float64) float64 { return min(max(from+size*d.NormFloat64(), -9000), 9000) }
		end[0], end[1] = aside(end[0]), aside(end[1])
		step := -size * math.Abs(d.NormFloat64())
		if d.chance(0.25) {
			step *= -d.between(0, 0.5)
		}
		if d.chance(0.1) {
			step = 0
		}
		end[2] = max(end[2]+step, -9000)
		z := fmt.Sprintf("%.5g", end[2])
		if d.chance(d.vague) {
			z = fmt.Sprintf("%.5g +- %.3g", end[2], size/10)
		}
		list = append(list, fmt.Sprintf("[%.5g, %.5g, %s mm]", end[0], end[1], z))
	}
	return "route: [" + strings.Join(list, ", ") + "]", end
}

func (d *scenarioDrawing) limits() string {
	const l = "limits."
	return d.block("limits", d.maybe(l+"risk"), d.maybe(l+"crankcase_pressure"), d.maybe(l+"oil_lost"), d.maybe(l+"choke_level"))
}

// correlations ties some uncertain inputs, weakly enough to hold together.
func (d *scenarioDrawing) correlations() string {
	var uncertain []string
	for _, i := range d.inputs {
		if i.uncertain {
			uncertain = append(uncertain, i.path)
		}
	}
	if len(uncertain) < 2 || d.chance(0.6) {
		return ""
	}
	d.is("correlations")
	d.field("correlations.*.rank")
	d.Shuffle(len(uncertain), func(i, j int) { uncertain[i], uncertain[j] = uncertain[j], uncertain[i] })
	uncertain = uncertain[:min(len(uncertain), 4)]
	var list []string
	for i := 1; i < len(uncertain); i++ {
		list = append(list, fmt.Sprintf("{between: [%s, %s], rank: %.2f}", uncertain[0], uncertain[i], d.between(-0.5, 0.5)))
	}
	if len(uncertain) == 2 && d.chance(0.3) {
		list[0] = fmt.Sprintf("{between: [%s, %s], rank: %s}", uncertain[0], uncertain[1], d.of("0.999", "-0.999", "0"))
	}
	return "correlations: [" + strings.Join(list, ", ") + "]"
}

// learned gives some scenarios a file of draws for two of their numbers.
func (d *scenarioDrawing) learned() string {
	if d.chance(0.95) || len(d.inputs) < 2 {
		return ""
	}
	b := &strings.Builder{}
	b.WriteString("# sumpward draws, version 1\n")
	i, j := d.inputs[0], d.inputs[len(d.inputs)-1]
	if d.field(i.path).Per != "" || d.field(j.path).Per != "" || i.span.unit == "" || j.span.unit == "" || i.path == j.path {
		return ""
	}
	d.is("learned")
	fmt.Fprintf(b, "%s [%s],%s [%s],weight\n", i.path, i.span.unit, j.path, j.span.unit)
	for range 2 + d.IntN(5) {
		fmt.Fprintf(b, "%.9g,%.9g,%.3g\n", d.number(i.path, i.span), d.number(j.path, j.span), d.between(0.1, 2))
	}
	d.files["draws.csv"] = b.String()
	return "learned: {draws: draws.csv}"
}
