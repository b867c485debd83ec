package scenarios

import "sumpward/scenarios/uncertainty"

// wear is blow-by over that of a healthy engine. Source: 300,000 km petrol
// engine Koszalka and Krzaczek 2022; tired rings: prior.
var wear = map[string]struct{ text, source string }{
	"fresh": {"0.9 .. 1.0 .. 1.2", prior},
	"used":  {"1.3 .. 1.6 .. 2.2", "Koszalka and Krzaczek 2022, Energies 15(24) 9570 (a petrol engine at 300,000 km)"},
	"tired": {"2 .. 3 .. 6", prior},
}

func (b *binder) engine() Engine {
	e := Engine{
		GasTemperature:   b.quantity("engine.gas_temperature"),
		IntakeDepression: b.quantity("engine.intake_depression"),
		Pulsation:        b.quantity("engine.pulsation"),
		BlowByFull:       b.given("engine.blow_by.full_throttle"),
		BlowByClosed:     b.given("engine.blow_by.closed_throttle"),
	}
	if e.BlowByFull == nil {
		b.blowByFromEngine(&e)
	}
	b.closedThrottle(&e)
	if e.BlowByFull != nil {
		const why = "blow-by is given"
		b.unused(why, "engine.boost", "engine.condition", "engine.wear", "engine.blow_by_law", "engine.shaft_seals")
		if e.Displacement == nil {
			b.unused(why, "engine.displacement")
		}
		if e.BlowByClosed != nil && e.BlowByClosed.Nominal() > e.BlowByFull.Nominal() {
			b.problem(e.BlowByClosed.Line, e.BlowByClosed.Path, "more than at full throttle (got "+e.BlowByClosed.Text+", at full throttle "+e.BlowByFull.Text+")", "check which is which")
		}
	}
	return e
}

// blowByFromEngine sets what the blow-by law needs.
func (b *binder) blowByFromEngine(e *Engine) {
	b.notStated("engine.displacement", "engine.boost")
	e.Displacement = b.quantity("engine.displacement")
	e.Boost = b.quantity("engine.boost")
	e.Wear = b.wear()
	e.Law = b.quantity("engine.blow_by_law")
	if !e.Boost.IsExact() || e.Boost.Nominal() > 0 {
		e.ShaftSeals = b.quantity("engine.shaft_seals")
	} else {
		b.unused("there is no boost", "engine.shaft_seals")
	}
	b.rule("engine.blow_by.full_throttle", "from displacement, boost and condition: "+
		"blow-by law times displacement times absolute manifold pressure times wear, and times shaft seals under boost", fieldAt("engine.blow_by_law").Source)
}

func (b *binder) notStated(paths ...string) {
	for _, path := range paths {
		if f := fieldAt(path); !b.has(path) {
			b.warn(0, path, "not stated: "+f.Default+" is assumed ("+f.Source+")")
		}
	}
}

// wear returns the stated wear, or that of the condition.
func (b *binder) wear() *Quantity {
	if b.has("engine.wear") {
		b.unused("wear is given", "engine.condition")
		return b.given("engine.wear")
	}
	b.notStated("engine.condition")
	condition := b.word("engine.condition")
	w, ok := wear[condition]
	if !ok { // a wrong condition, told already
		return &Quantity{Path: "engine.wear", Distribution: notKnown}
	}
	f := fieldAt("engine.wear")
	d, err := uncertainty.Parse(w.text, f.Dimension)
	if err != nil {
		d = notKnown
	}
	return b.add(&Quantity{Path: "engine.wear", Dimension: f.Dimension, Distribution: d, Basis: Assumed,
		Source: "condition " + condition + ": " + w.source, Text: w.text, scale: 1})
}

// closedThrottle sets the blow-by at closed throttle: stated, from
// displacement, or a share of that at full throttle.
func (b *binder) closedThrottle(e *Engine) {
	perVolume, share := "engine.closed_throttle_per_litre", "engine.closed_share"
	switch {
	case e.BlowByClosed != nil:
		b.unused("blow-by at closed throttle is given", perVolume, share)
	case e.Displacement != nil || b.has("engine.displacement"):
		if e.Displacement == nil {
			e.Displacement = b.quantity("engine.displacement")
		}
		e.ClosedPerVolume = b.quantity(perVolume)
		b.rule("engine.blow_by.closed_throttle", "from displacement", e.ClosedPerVolume.Source)
		b.unused("displacement is known", share)
	default:
		e.ClosedShare = b.quantity(share)
		b.rule("engine.blow_by.closed_throttle", "a share of that at full throttle", e.ClosedShare.Source)
		b.unused("displacement is not given", perVolume)
	}
}

func (b *binder) oil() Oil {
	o := Oil{
		Density:             b.quantity("oil.density"),
		Aeration:            b.quantity("oil.aeration"),
		HoseAeration:        b.quantity("oil.aeration_in_hose"),
		Start:               b.quantity("oil.temperature.start"),
		Settled:             b.quantity("oil.temperature.settled"),
		TimeConstant:        b.quantity("oil.temperature.time_constant"),
		CoolingTimeConstant: b.quantity("oil.temperature.cooling_time_constant"),
		Ambient:             b.quantity("oil.ambient"),
		HoseWarmth:          b.quantity("oil.hose_warmth"),
	}
	if !b.has("oil.viscosity") {
		o.Grade = b.word("oil.grade")
		if !b.has("oil.grade") {
			b.rule("oil.grade", o.Grade, fieldAt("oil.grade").Source)
		}
		return o
	}
	b.conflict("oil.viscosity", "oil.grade", "the grade stands for two viscosities")
	if b.values["oil.viscosity"].bad {
		return o
	}
	const why = "a viscosity is given at both temperatures"
	o.At40, o.At100 = b.required("oil.viscosity.at_40C", why), b.required("oil.viscosity.at_100C", why)
	if o.At100.Nominal() >= o.At40.Nominal() {
		b.problem(o.At100.Line, o.At100.Path, "oil is thinner when hot (got "+o.At100.Text+", at 40 °C "+o.At40.Text+")", "check which is which")
	}
	return o
}
