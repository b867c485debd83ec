package scenarios

import "sumpward/scenarios/units"

// pipeFields are the fields of a gas hose.
func pipeFields(path, bore, lossCoefficient string) []Field {
	return []Field{
		quantity(path+".bore", units.Length, "1 mm", "200 mm", bore, "inside diameter of the hose").
			standard(bore, prior).also("diameter", "inside_diameter", "inner_diameter", "id", "size"),
		quantity(path+".length", units.Length, "0 mm", "20 m", "600 mm", "of the hose").
			standard("600 mm", prior),
		quantity(path+".loss_coefficient", units.Number, "0", "1000", lossCoefficient, "of entrance, bends, fittings and exit, on the hose's bore").
			standard(lossCoefficient, prior).also("k", "losses", "sum_k", "k_factor"),
		other(FittingsKind, path+".fittings", "[straight, elbow]", "by name, instead of loss_coefficient; entrance and exit are added"),
	}
}

func breatherFields() []Field {
	list := []Field{
		other(ListKind, "breathers", "[{name: block, to: separator, bore: 16 mm}]", "circuits out of the crankcase, at most eight").
			standard("[{name: first, to: separator}, {name: second, to: separator}]", prior).also("breather", "circuits", "vents"),
		other(TextKind, "breathers.*.name", "block", "to tell the circuits apart; first, second, … if left out"),
		choice("breathers.*.to", "where the circuit ends: intake and air go past the separator", "separator", "intake", "air").
			standard("separator", prior).also("destination", "goes_to"),
	}
	return append(list, pipeFields("breathers.*", "16 mm", "2.5")...)
}

func separatorFields() []Field {
	list := []Field{
		block("separator", "the can that catches the oil").also("can", "catch_can", "catch_tank", "oil_separator"),
		quantity("separator.usable_volume", units.Volume, "1 mL", "100 L", "0.45 L", "oil it holds, upright, before any goes over").
			also("volume", "capacity", "size"),
		quantity("separator.cross_section", units.Area, "0.5 cm2", "10000 cm2", "44 cm2", "horizontal, where the oil stands").
			also("area", "section"),
		quantity("separator.diameter", units.Length, "8 mm", "1 m", "75 mm", "of a round can; instead of cross_section"),
		quantity("separator.efficiency", units.Fraction, "0 %", "100 %", "40 .. 85 %", "share of the mist that is caught, by mass").
			standard("40 .. 85 %", "derived: baffles and mesh to small cyclones, on mist of 1.2 µm").also("separation_efficiency", "separation"),
		block("separator.pressure_loss", "of the element, clean").also("pressure_drop", "loss", "restriction"),
		quantity("separator.pressure_loss.loss", units.Pressure, "0 kPa", "50 kPa", "0.8 +- 0.15 kPa", "pressure lost at that flow").
			standard("0.5 .. 1.5 kPa", "derived: a baffled can to a fine element at full blow-by").also("drop", "pressure"),
		quantity("separator.pressure_loss.at", units.VolumeFlow, "1 L/min", "10000 L/min", "110 L/min", "gas flow at which it was measured").
			standard("110 L/min", "derived: a baffled can to a fine element at full blow-by").also("flow", "at_flow"),
		quantity("separator.pressure_loss.gas_density", units.Density, "0.3 kg/m3", "3 kg/m3", "1.20 kg/m3", "of the gas it was measured with; 1.20 kg/m3 is air at 20 °C").
			standard("1.20 kg/m3", "air at 20 °C and 101.325 kPa, ideal gas").also("density"),
		choice("separator.oil_collects", "on which side of the element: sets the pressure that the drain sees", "after", "before").
			standard("after", byDesign),
		quantity("separator.gas_path_closes_from", units.Fraction, "0 %", "100 %", "60 %", "fill from which the oil begins to close the gas passage; 100 %: never").
			standard("100 %", byDesign),
		quantity("separator.oil_blown_out_from", units.Fraction, "0 %", "100 %", "80 %", "fill from which part of what is caught is blown out again; 100 %: never").
			standard("100 %", byDesign),
		quantity("separator.efficiency_when_full", units.Fraction, "0 %", "100 %", "50 %", "what is still caught when full, of what is caught when empty").
			standard("100 %", byDesign),
	}
	list = append(append(list, shapeFields()...), elementFields()...)
	list = append(list,
		block("separator.outlet", "takes the gas on").also("exit", "vent"),
		choice("separator.outlet.to", "where the gas goes", "intake", "air").
			standard("intake", prior).also("destination", "goes_to"),
	)
	list = append(list, pipeFields("separator.outlet", "19 mm", "2")...)
	return append(list,
		other(PointKind, "separator.outlet.mouth", "[0, 0, 110 mm]", "mouth of the gas outlet tube in the can, from the middle of its floor: x forward, y left, z up; gives the usable volume of a round can").
			also("tube", "opening"),
		quantity("separator.outlet.off_axis", units.Length, "0 mm", "1 m", "20 mm", "distance of the gas outlet from the can's axis: costs usable volume in corners; instead of mouth").
			standard("0 mm", prior).also("offset"))
}

func drainFields() []Field {
	return []Field{
		block("drain", "how the caught oil goes back").also("drainage", "oil_return", "oil_drain"),
		choice("drain.return", "where the oil goes", "above_oil", "below_oil", "emptied_by_hand").also("returns", "to"),
		choice("drain.seal", "what keeps crankcase gas out of the hose; trap: a low point that holds oil", "none", "valve", "trap").
			standard("none", prior).also("check_valve", "sealed", "sealing"),
		quantity("drain.bore", units.Length, "1 mm", "150 mm", "12.7 mm", "inside diameter of the hose").
			also("diameter", "inside_diameter", "inner_diameter", "id", "size"),
		quantity("drain.fall", units.Length, "0 mm", "5 m", "120 mm", "height of the can's drain outlet above the return, car level").
			also("height", "drop", "head"),
		quantity("drain.length", units.Length, "0 mm", "20 m", "500 mm", "of the hose; left out: 1.3 times the fall plus 200 mm"),
		quantity("drain.dip", units.Length, "0 mm", "2 m", "30 mm", "depth of a low point halfway, below where the hose goes on falling").also("low_point", "sag"),
		other(PointsKind, "drain.route", "[[0, 0, 0], [-50, 0, -60 mm], [-250, 80, -120 mm]]",
			"points [x, y, z] from the can to the return: x forward, y left, z up; instead of fall and length").also("points", "path"),
		quantity("drain.loss_coefficient", units.Number, "0", "1000", "3", "of entrance, bends, fittings, valve and exit").
			standard("3", prior).also("k", "losses", "sum_k", "k_factor"),
		other(FittingsKind, "drain.fittings", "[straight, elbow, banjo]", "by name, instead of loss_coefficient; entrance and exit are added"),
		quantity("drain.valve_opens_at", units.Pressure, "0 kPa", "50 kPa", "0.2 .. 0.4 kPa", "cracking pressure of the check valve").
			standard("0.2 .. 0.5 kPa", fromMemory).also("cracking_pressure", "opening_pressure"),
		quantity("drain.port_pressure", units.Pressure, "-20 kPa", "20 kPa", "-100 .. 100 Pa", "at the return port, over that at the breather take-off").
			standard("-100 .. 100 Pa", prior),
		quantity("drain.flooding_constant", units.Number, "0.1", "2", "0.55 .. 1.0", "Wallis's C, of a hose with gas going up").
			standard("0.55 .. 1.0", prior+" for oil in hoses this small; form: Wallis 1961").also("wallis_c", "flooding"),
		block("drain.sump", "where a return below the oil ends"),
		other(PointKind, "drain.sump.oil_surface", "[-250, 0, -100 mm]", "middle of the oil's surface at rest, engine running, in the axes of the route").also("surface", "oil_level"),
		quantity("drain.sump.area", units.Area, "0.001 m2", "2 m2", "0.06 m2", "of the oil's surface").
			standard("0.03 .. 0.10 m2", prior),
		other(EmptiedKind, "drain.emptied", "every session", "every session, at stops (of the schedule, or phases of the lap with engine: stopped), every 2 stops, or every 30 min").
			standard("every session", byDesign).also("emptying"),
	}
}
