package scenarios

import "sumpward/scenarios/units"

func headFields() []Field {
	return []Field{
		other(CountKind, "scenario", "1", "version of this file format; always 1").also("version"),
		other(TextKind, "title", "Larkmoor four hours, car 42", "what the scenario is about").also("name", "description"),
	}
}

func engineFields() []Field {
	return []Field{
		block("engine", "where the blow-by comes from").also("motor"),
		quantity("engine.displacement", units.Volume, "0.05 L", "30 L", "2.2 L", "swept volume of all cylinders").
			standard("1.6 .. 2.5 L", prior).also("capacity", "swept_volume", "size"),
		quantity("engine.boost", units.Pressure, "0 bar", "6 bar", "1.1 bar", "manifold pressure above atmospheric at full load; 0 bar without a charger").
			standard("0 .. 1.2 bar", prior).also("boost_pressure", "charge_pressure"),
		choice("engine.condition", "how worn the rings are: sets the blow-by over that of a healthy engine", "fresh", "used", "tired").
			standard("used", prior).also("state"),
		quantity("engine.wear", units.Number, "0.1", "20", "1.3 .. 1.6 .. 2.2", "blow-by over that of a healthy engine; instead of condition"),
		quantity("engine.blow_by_law", units.VolumeFlow, "0.5 L/min", "100 L/min", "7 .. 13 .. 20 L/min",
			"blow-by of a healthy engine for each litre of displacement and each bar absolute in the manifold").
			per("per L and bar", 1000).
			standard("7 .. 13 .. 20 L/min", "derived: near-choked ring gaps, flow follows manifold pressure"),
		quantity("engine.shaft_seals", units.Number, "1", "3", "1.05 .. 1.15 .. 1.4", "factor on blow-by for the shaft seals of a turbocharger under boost").
			standard("1.05 .. 1.15 .. 1.4", "Avergard and Lindstrom 2003"),
		quantity("engine.closed_throttle_per_litre", units.VolumeFlow, "-20 L/min", "20 L/min", "0 .. 4 L/min",
			"blow-by at closed throttle for each litre of displacement, less what the manifold draws").
			per("per L", 1000).
			standard("0 .. 4 L/min", "derived: 4 L/min per litre, less what the manifold draws"),
		quantity("engine.closed_share", units.Fraction, "-100 %", "100 %", "0 .. 15 %", "blow-by at closed throttle over that at full throttle, where only the latter is stated").
			standard("0 .. 15 %", "derived: 4 L/min per litre at idle against 26 at full load, less what the manifold draws"),
		block("engine.blow_by", "blow-by as measured or known; goes before displacement, boost and condition").also("blowby", "blow_by_flow", "leakage"),
		quantity("engine.blow_by.full_throttle", units.VolumeFlow, "0.1 L/min", "3000 L/min", "96 +- 15 L/min", "at full throttle, crankcase conditions").
			also("full_load", "full", "wide_open_throttle", "wot"),
		quantity("engine.blow_by.closed_throttle", units.VolumeFlow, "-500 L/min", "3000 L/min", "8 .. 20 L/min", "at closed throttle, less what the manifold draws").
			also("idle", "closed"),
		quantity("engine.gas_temperature", units.Temperature, "-40 C", "250 C", "90 C", "of the gas in hoses and separator").
			standard("90 C", fromMemory).also("blow_by_temperature"),
		quantity("engine.intake_depression", units.Pressure, "0 kPa", "50 kPa", "3.2 kPa", "below atmospheric where the outlet joins the intake, at full throttle").
			standard("1 .. 3 .. 5 kPa", fromMemory).also("intake_vacuum", "depression", "vacuum"),
		quantity("engine.pulsation", units.Fraction, "0 %", "200 %", "0 .. 0.6", "amplitude of the breather flow over its mean").
			standard("0 .. 0.6", prior).also("pulse", "pulsations"),
	}
}

func oilFields() []Field {
	const lowest, highest = "-60 C", "200 C"
	return []Field{
		block("oil", "the engine oil and its temperature"),
		choice("oil.grade", "viscosity grade, nominal; instead of viscosity",
			"SAE 8", "SAE 12", "SAE 16", "SAE 20", "SAE 30", "SAE 40", "SAE 50", "SAE 60",
			"ISO VG 22", "ISO VG 32", "ISO VG 46", "ISO VG 68", "ISO VG 100", "ISO VG 150").
			standard("SAE 40", "nominal, mid-grade of SAE J300 at 100 °C, viscosity index about 150"),
		block("oil.viscosity", "kinematic viscosity at two temperatures").also("kinematic_viscosity"),
		quantity("oil.viscosity.at_40C", units.KinematicViscosity, "2 cSt", "5000 cSt", "98 cSt", "at 40 °C").also("at_40", "v40", "40C"),
		quantity("oil.viscosity.at_100C", units.KinematicViscosity, "2 cSt", "500 cSt", "14.5 cSt", "at 100 °C").also("at_100", "v100", "100C"),
		quantity("oil.density", units.Density, "700 kg/m3", "1000 kg/m3", "870 kg/m3", "at 15 °C, without gas").
			standard("850 .. 870 .. 885 kg/m3", fromMemory),
		quantity("oil.aeration", units.Fraction, "0 %", "80 %", "5 .. 35 %", "gas share of the oil in the can").
			standard("5 .. 35 %", prior).also("foam", "air_content"),
		quantity("oil.aeration_in_hose", units.Fraction, "0 %", "100 %", "10 .. 70 %", "of the gas share in the can, what stays in the hose").
			standard("10 .. 70 %", prior).also("hose_aeration"),
		block("oil.temperature", "of the sump, over a session"),
		quantity("oil.temperature.start", units.Temperature, lowest, highest, "60 C", "when a session starts").
			standard("60 C", fromMemory).also("initial"),
		quantity("oil.temperature.settled", units.Temperature, lowest, highest, "115 +- 8 C", "that it approaches while running").
			standard("115 +- 8 C", fromMemory).also("final", "steady", "hot", "end"),
		quantity("oil.temperature.time_constant", units.Time, "1 s", "10 h", "6 min", "of warming").
			standard("6 min", fromMemory).also("warming_time_constant", "tau"),
		quantity("oil.temperature.cooling_time_constant", units.Time, "1 s", "100 h", "20 min", "of cooling, engine stopped").
			standard("20 min", prior).also("cooling"),
		quantity("oil.ambient", units.Temperature, "-60 C", "70 C", "25 C", "air around hoses and can").
			standard("25 C", prior).also("ambient_temperature", "air_temperature"),
		quantity("oil.hose_warmth", units.Fraction, "0 %", "100 %", "50 .. 100 %", "excess of hose and can over ambient, of the sump's").
			standard("50 .. 100 %", prior),
	}
}

func carryOverFields() []Field {
	return []Field{
		block("carry_over", "oil that the blow-by takes along").also("carryover", "oil_carry_over", "oil_consumption"),
		quantity("carry_over.oil_used", units.Volume, "0 L", "30 L", "0.35 +- 0.08 L", "oil used, as read or topped up").
			also("oil_consumed", "oil_lost", "topped_up"),
		other(DuringKind, "carry_over.during", "25 min", "over which it was used: a time of this scenario's own duty, or a road interval").also("over", "interval", "in"),
		quantity("carry_over.during.distance", units.Distance, "1 km", "1000000 km", "6000 km", "road interval over which the oil was used"),
		quantity("carry_over.during.mean_speed", units.RoadSpeed, "1 km/h", "400 km/h", "60 km/h", "over the interval").
			standard("40 .. 80 km/h", prior).also("speed", "average_speed"),
		quantity("carry_over.during.full_throttle", units.Fraction, "0 %", "100 %", "2 %", "share of the interval at full throttle").
			standard("1 .. 4 %", prior).also("full_throttle_share"),
		quantity("carry_over.separator_lost", units.Fraction, "1 %", "100 %", "20 .. 60 %", "share of the oil lost by the separator that was fitted, and returned oil, when the reading was taken"),
		quantity("carry_over.through_breathers", units.Fraction, "1 %", "100 %", "60 .. 100 %", "share of the oil used that left through the breathers").
			standard("60 .. 100 %", prior),
		quantity("carry_over.full_throttle", units.MassFlow, "0 g/s", "100 g/s", "0.4 x/ 1.4 g/s", "liquid oil at full throttle; instead of oil_used and during").also("rate", "at_full_throttle"),
		quantity("carry_over.mist", units.Concentration, "0 g/m3", "200 g/m3", "1.0 x/ 2 g/m3", "fine oil in the gas, which only a good element catches").
			standard("1.0 x/ 2 g/m3", "derived from Sandu and Sova 2005; spread: prior").also("aerosol"),
		quantity("carry_over.flow_exponent", units.Number, "0", "10", "1 .. 3", "power of the blow-by flow that liquid oil follows").
			standard("1 .. 3", prior).also("exponent"),
		quantity("carry_over.corner_share", units.Fraction, "0 %", "100 %", "0 .. 90 %", "share of the liquid driven by cornering above 0.8 g rather than by flow").
			standard("0 .. 90 %", prior).also("cornering", "cornering_share"),
	}
}
