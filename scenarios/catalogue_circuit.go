package scenarios

import "sumpward/scenarios/units"

// layoutNames are the built-in circuits, each a file of layouts.
var layoutNames = []string{"larkmoor-long", "larkmoor-short", "larkmoor-bowl"}

func circuitFields() []Field {
	const circuit, segment, line = "duty.circuit.", "duty.circuit.segments.*.", "duty.circuit.centre_line."
	columns := other(NamesKind, line+"columns", `{x: "east", y: "north"}`, "which header stands for what; usual names are recognised")
	columns.Choices = []string{"x", "y", "z"}
	return []Field{
		block("duty.circuit", "driven round by duty.car: one of layout, segments and centre_line").also("track", "course"),
		choice(circuit+"layout", "a built-in circuit, invented: one long straight; tight; always to the left", layoutNames...).also("name", "builtin"),
		other(ListKind, circuit+"segments", "[{straight: 400 m}, {corner: 60 m, angle: 180 deg, turns: left}, {straight: 400 m}, {corner: 60 m, angle: 180 deg, turns: left}]",
			"straights and corners, one after another, that end where they begin").also("sections", "corners", "straights"),
		exact(segment+"straight", units.TrackLength, "0.1 m", "10 km", "400 m", "length of a straight").also("length", "for"),
		exact(segment+"corner", units.TrackLength, "3 m", "5 km", "60 m", "radius of a corner, of the line that the car takes").also("radius", "bend", "curve"),
		exact(segment+"angle", units.Angle, "1 deg", "360 deg", "90 deg", "by which a corner turns"),
		choice(segment+"turns", "which way a corner turns", "left", "right").also("to", "direction"),
		exact(segment+"gradient", units.Fraction, "-30 %", "30 %", "2 %", "rise over run, positive uphill").
			standard("0 %", byDesign).also("slope", "grade"),
		exact(segment+"banking", units.Angle, "-30 deg", "45 deg", "6 deg", "positive: the road leans into the corner; on a straight: its right side is higher").
			standard("0 deg", byDesign).also("camber", "bank", "superelevation"),
		block(circuit+"centre_line", "the circuit as points, from a file").also("center_line", "centreline", "centerline", "points", "line"),
		other(TextKind, line+"file", "circuit.csv", "CSV or GeoJSON, beside this file or in a folder below it").also("path", "csv", "geojson"),
		columns,
		other(TextKind, line+"unit", "m", "of the points where the file doesn't say: m, ft, … or deg (x the longitude, y the latitude)").also("units"),
		exact(line+"survey_error", units.TrackLength, "0 m", "50 m", "1 m", "how far a point may lie beside the line; 0 m: the line goes through every point; left out: told from the points").also("error", "smoothing", "tolerance"),
	}
}

func carFields() []Field {
	const car = "duty.car."
	return []Field{
		block("duty.car", "what is driven round the circuit").also("vehicle"),
		quantity(car+"mass", units.VehicleMass, "150 kg", "20000 kg", "1180 kg", "with driver and fuel").also("weight"),
		quantity(car+"power", units.Power, "3 kW", "3000 kW", "180 +- 10 kW", "at the wheels, held from gear to gear").also("engine_power", "wheel_power", "hp", "bhp", "kw", "ps"),
		other(ListKind, car+"power_curve", "[{speed: 60 km/h, power: 110 kW}, {speed: 120 km/h, power: 180 kW}]", "power at the wheels against speed, instead of power; held beyond its ends").also("curve", "powers"),
		exact(car+"power_curve.*.speed", units.RoadSpeed, "0 km/h", "600 km/h", "60 km/h", "of the car"),
		quantity(car+"power_curve.*.power", units.Power, "0.1 kW", "3000 kW", "110 kW", "at the wheels at that speed"),
		quantity(car+"grip", units.Number, "0.2", "4", "1.15", "friction coefficient of the tyres").
			standard("0.95 .. 1.15 .. 1.4", "prior: a street car on a track sustains about 1.0 g sideways, 1.3 g at its 99th percentile, as measured on one car").also("friction", "mu", "tyre_grip"),
		quantity(car+"driver", units.Fraction, "30 %", "100 %", "92 %", "share of the grip that the driver uses").
			standard("85 .. 98 %", prior).also("driver_share", "skill"),
		quantity(car+"drag_area", units.Area, "0.05 m2", "5 m2", "0.7 m2", "drag coefficient times frontal area").
			standard("0.55 .. 0.85 m2", prior).also("cda", "drag"),
		quantity(car+"top_speed", units.RoadSpeed, "40 km/h", "600 km/h", "240 km/h", "at the highest revs of the highest gear").
			standard("200 .. 280 km/h", prior).also("maximum_speed", "vmax"),
		quantity(car+"shift_time", units.Time, "0 s", "3 s", "0.25 s", "without drive at each change of gear").
			standard("0.1 .. 0.4 s", prior).also("gear_change"),
		quantity(car+"shift_step", units.Number, "1.05", "4", "1.35", "ratio of speeds from one gear to the next").
			standard("1.2 .. 1.5", prior).also("gear_step"),
	}
}

func scheduleFields() []Field {
	const item, slow = "duty.schedule.*.", "duty.slow_laps."
	return []Field{
		other(ListKind, "duty.schedule", "[{drive: 55 min}, {stop: 6 min}]", "stints and stops, one after another, again and again until the event ends").also("plan", "stints", "stops"),
		quantity(item+"drive", units.Time, "1 s", "24 h", "55 min", "a stint").also("stint"),
		quantity(item+"stop", units.Time, "0 s", "24 h", "6 min", "a stop").also("pit", "pit_stop"),
		choice(item+"engine", "at the stop: off, or running at closed throttle", "stopped", "running").
			standard("stopped", byDesign),
		choice(item+"can", "at the stop", "emptied", "left").standard("left", byDesign).also("separator"),
		choice(item+"oil", "at the stop", "topped_up", "left").standard("left", byDesign),
		exact("duty.event", units.Time, "1 min", "100 h", "4 h", "length of the event; left out: once through the schedule").also("race", "event_length"),
		block("duty.slow_laps", "laps behind a safety car, at most once in a stint").also("safety_car", "slow", "caution"),
		quantity(slow+"chance", units.Fraction, "0 %", "100 %", "30 %", "that a stint has them").also("probability"),
		quantity(slow+"for", units.Time, "10 s", "5 h", "12 min", "how long they take, on the mean").
			standard("5 .. 20 min", prior).also("duration", "time"),
		quantity(slow+"spread", units.Fraction, "0 %", "300 %", "50 %", "coefficient of variation of that time from one to the next").
			standard("50 %", prior),
		quantity(slow+"load", units.Fraction, "0 %", "98 %", "10 .. 30 %", "of the engine meanwhile").
			standard("10 .. 30 %", prior).also("throttle"),
	}
}
