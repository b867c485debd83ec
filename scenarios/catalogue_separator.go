package scenarios

import "sumpward/scenarios/units"

// shapeFields are the inside of a round can.
func shapeFields() []Field {
	return []Field{
		quantity("separator.height", units.Length, "5 mm", "3 m", "160 mm", "of a round can, inside; with outlet.mouth").also("inside_height"),
		other(PointKind, "separator.inlet_mouth", "[25, 0, 120 mm]", "mouth of the gas inlet tube, as outlet.mouth; left out: above it").also("inlet", "inlet_tube"),
		block("separator.inner_can", "a can within the can, open below: the gas goes round its rim").also("inner", "inner_tube", "can_in_can"),
		quantity("separator.inner_can.diameter", units.Length, "3 mm", "1 m", "45 mm", "outside"),
		quantity("separator.inner_can.rim", units.Length, "0 mm", "3 m", "70 mm", "height of its rim above the can's floor").also("height", "depth"),
	}
}

// elementFields are the stages that catch mist, and its droplets.
func elementFields() []Field {
	const element, droplets = "separator.elements.*.", "separator.droplets."
	const limit = "Souders and Brown's K of a mesh in a vertical vessel, 0.35 ft/s, down to half of it for the turns of a small can"
	list := []Field{
		other(ListKind, "separator.elements", "[{kind: impactor, width: 2.5 mm, count: 12}]", "stages that catch mist, in the order in which the gas meets them, at most six; instead of efficiency").
			also("element", "stages", "baffles"),
		choice(element+"kind", "jets against a plate, a cyclone, a plain space, a wire mesh, or a curve that was measured", "impactor", "cyclone", "settling", "mesh", "measured").also("type"),
		choice(element+"jet", "impactor: shape of its jets", "round", "slot").standard("round", byDesign),
		quantity(element+"width", units.Length, "0.1 mm", "1 m", "2.5 mm", "impactor: of a jet or slot; cyclone: of the inlet").also("jet_diameter", "slot_width", "diameter"),
		quantity(element+"length", units.Length, "1 mm", "3 m", "40 mm", "impactor: of a slot"),
		quantity(element+"height", units.Length, "1 mm", "1 m", "20 mm", "cyclone: of the inlet"),
		exact(element+"count", units.Number, "1", "10000", "12", "jets, slots, or cyclones side by side").standard("1", byDesign).also("number", "jets"),
		quantity(element+"sharpness", units.Number, "0.3", "20", "1.5 .. 4", "impactor: how steeply it catches from its cut size on").
			standard("1.5 .. 4", prior),
		quantity(element+"turns", units.Number, "0.5", "50", "4 .. 8", "cyclone: of the gas").
			standard("4 .. 8", "prior, about the 5 to 6 of Lapple's cyclone"),
		quantity(element+"area", units.Area, "0.5 cm2", "10 m2", "40 cm2", "mesh: across the gas; settling: from above, left out: the can's cross-section").also("face_area"),
		quantity(element+"wire", units.Length, "0.01 mm", "5 mm", "0.2 mm", "mesh: diameter of the wire").
			standard("0.1 .. 0.3 mm", prior).also("wire_diameter"),
		quantity(element+"thickness", units.Length, "1 mm", "1 m", "30 mm", "mesh: along the gas").also("depth"),
		quantity(element+"packed", units.Fraction, "0.1 %", "50 %", "2 %", "mesh: share of its volume that is wire").
			standard("1 .. 5 %", prior).also("packing", "solidity"),
		quantity(element+"limit", units.Speed, "0.005 m/s", "1 m/s", "0.05 .. 0.11 m/s", "mesh: K of the gas speed from which it gives oil back").
			standard("0.05 .. 0.11 m/s", limit).also("k"),
		quantity(element+"carried_on", units.Number, "0", "20", "1 .. 3 .. 6", "mesh: power with which it catches less beyond that speed; 0: no less").
			standard("1 .. 3 .. 6", prior),
		quantity(element+"loss_heads", units.Number, "0", "1000", "1 .. 2", "impactor, cyclone, mesh: pressure loss in velocity heads of jet, inlet or face; left out: by kind").also("loss", "heads"),
		other(ListKind, element+"grades", "[{size: 1 um, caught: 40 %}, {size: 3 um, caught: 90 %}]", "measured: what is caught, by size").also("curve", "efficiency"),
		exact(element+"grades.*.size", units.DropletSize, "0.01 um", "2000 um", "1 um", "of a droplet").also("diameter"),
		quantity(element+"grades.*.caught", units.Fraction, "0 %", "100 %", "40 %", "share of that size, by mass").also("efficiency"),
		quantity(element+"at", units.VolumeFlow, "1 L/min", "10000 L/min", "110 L/min", "measured: gas flow at which").also("flow", "at_flow"),
		quantity(element+"exponent", units.Number, "0", "2", "0 .. 0.5", "measured: power of the flow with which the curve moves to finer droplets; 0: not; 0.5: an inertial cut").
			standard("0 .. 0.5", prior),
		block("separator.droplets", "sizes of the mist, with elements: log-normal by mass in two modes").also("mist", "droplet_sizes"),
	}
	for _, mode := range []struct{ name, doc, median, source, spread, spreadSource string }{
		{"fine", "from oil that evaporates and is torn up at the rings", "0.7 .. 1.2 .. 2.5 um", "Sauter, Mathiak and Moeller 2011, MTZ", "1.6 .. 2.0 .. 2.5", prior + "; by analogy with other oil mists"},
		{"coarse", "from oil that is flung", "20 .. 100 .. 500 um", "the order that a text on marine engines gives; range: prior", "2", prior},
	} {
		at := droplets + mode.name
		list = append(list,
			block(at, mode.doc),
			quantity(at+".median", units.DropletSize, "0.02 um", "5000 um", mode.median, "half of the mass is in smaller droplets").standard(mode.median, mode.source).also("size", "diameter"),
			quantity(at+".spread", units.Number, "1.01", "10", mode.spread, "geometric standard deviation").standard(mode.spread, mode.spreadSource).also("gsd", "geometric_standard_deviation"))
	}
	return append(list, quantity(droplets+"coarse_share", units.Fraction, "0 %", "100 %", "0 .. 20 %", "of the mist's mass").standard("0 .. 20 %", prior))
}
