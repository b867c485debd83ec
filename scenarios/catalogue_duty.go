package scenarios

import "sumpward/scenarios/units"

// Keys of a data log.
var (
	logColumns = []string{"time", "throttle", "lateral", "longitudinal", "speed", "rpm", "lap"}
	logAxes    = []string{"longitudinal", "lateral"}
)

func dutyFields() []Field {
	columns := other(NamesKind, "duty.log.columns", `{time: "t", throttle: "tps"}`, "which header stands for what; usual names are recognised")
	columns.Choices = logColumns
	unit := other(NamesKind, "duty.log.units", "{throttle: \"%\", lateral: g}", "of columns whose header doesn't say")
	unit.Choices = logColumns
	positive := other(NamesKind, "duty.log.positive", "{longitudinal: forward, lateral: left}", "which way each axis counts positive")
	positive.Choices = logAxes
	list := []Field{
		block("duty", "what the engine does: one of lap, pattern, log and circuit").also("use", "cycle"),
		other(ListKind, "duty.lap", "[{for: 9 s, load: 100 %}, {for: 5 s, load: 0 %, forward: -1 g}]", "phases of a lap, one after another").also("phases", "laps"),
		quantity("duty.lap.*.for", units.Time, "0.01 s", "24 h", "9 s", "how long the phase takes").also("duration", "time", "seconds"),
		quantity("duty.lap.*.load", units.Fraction, "0 %", "100 %", "100 %", "0 % closed throttle, 100 % full throttle").also("throttle"),
	}
	for _, way := range [][2]string{{"forward", "speeding up"}, {"backward", "braking"}, {"left", "in a left turn"}, {"right", "in a right turn"}} {
		list = append(list, quantity("duty.lap.*."+way[0], units.Acceleration, "-5 g", "5 g", "0.4 g", "acceleration of the car, positive "+way[1]).
			standard("0 g", byDesign))
	}
	list = append(list,
		choice("duty.lap.*.engine", "the engine is off in this phase, which then needs no load: {for: 10 min, engine: stopped}", "stopped"),
		block("duty.pattern", "alternating bursts of full throttle and rests, without accelerations"),
		quantity("duty.pattern.full_throttle", units.Fraction, "0 %", "100 %", "55 +- 8 %", "share of the time").also("full_throttle_share", "share"),
		quantity("duty.pattern.burst", units.Time, "0.1 s", "24 h", "7 s", "mean length of a burst").also("burst_length"),
		quantity("duty.pattern.burst_spread", units.Fraction, "0 %", "300 %", "100 %", "coefficient of variation of a burst; 100 %: exponential").
			standard("100 %", prior).also("spread"),
		quantity("duty.pattern.load_otherwise", units.Fraction, "0 %", "98 %", "25 %", "load between bursts").
			standard("10 .. 40 %", prior).also("load"),
		block("duty.log", "a data log of whole laps").also("file", "csv", "data"),
		other(TextKind, "duty.log.file", "laps.csv", "beside this file or in a folder below it").also("name", "path"),
		columns, unit, positive,
		block("duty.log.tolerance", "within which samples are merged into a phase"),
		exact("duty.log.tolerance.load", units.Fraction, "0.1 %", "50 %", "5 %", "either side of the phase's mean").standard("5 %", byDesign),
		exact("duty.log.tolerance.acceleration", units.Acceleration, "0.001 g", "2 g", "0.1 g", "either side of the phase's mean").standard("0.1 g", byDesign),
		exact("duty.log.tolerance.smoothing", units.Time, "0 s", "10 s", "0.2 s", "moving mean of the accelerations before they are compared; 0 s: none").standard("0.2 s", prior),
	)
	list = append(append(append(list, circuitFields()...), carFields()...), scheduleFields()...)
	return append(list,
		quantity("duty.lap_variation", units.Fraction, "0 %", "100 %", "12 %", "coefficient of variation of the full-throttle time, lap to lap").
			standard("12 %", prior).also("variation"),
	)
}

func simulationFields() []Field {
	rank := exact("correlations.*.rank", units.Number, "-1", "1", "0.6", "Spearman's rank correlation, between -1 and 1").also("correlation", "r", "coefficient")
	return []Field{
		other(TimesKind, "sessions", "[15 min, 25 min, 40 min, 60 min]", "session lengths to answer for").
			standard("[15 min, 20 min, 30 min, 60 min]", prior+"; with a schedule, by the event's length").also("session", "session_lengths", "stints"),
		block("limits", "what counts as failing").also("limit"),
		exact("limits.risk", units.Fraction, "0.0001 %", "100 %", "1 %", "chance of a failure in a session that is accepted").
			standard("1 %", fromMemory).also("chance", "probability"),
		exact("limits.crankcase_pressure", units.Pressure, "-20 kPa", "100 kPa", "1 kPa", "above atmospheric").
			standard("1 kPa", fromMemory).also("pressure"),
		exact("limits.oil_lost", units.Volume, "1 mL", "100 L", "1 L", "out of the sump").
			standard("1 L", fromMemory),
		exact("limits.choke_level", units.Fraction, "0.1 %", "100 %", "10 %", "fill at or above which the drain counts as choked when the can stays there").
			standard("10 %", fromMemory),
		block("simulation", "how it is sampled").also("sampling", "monte_carlo"),
		other(CountKind, "simulation.seed", "1", "of the random numbers").standard("1", byDesign),
		exact("simulation.sampling_error", units.Fraction, "0.001 %", "50 %", "0.5 %", "half-width of the 95 % interval of every chance").
			standard("0.5 %", byDesign).also("error", "precision", "tolerance"),
		other(CountKind, "simulation.realizations", "20000", "exactly so many, instead of sampling_error").also("runs", "samples", "n", "iterations", "count"),
		other(ListKind, "correlations", "[{between: [engine.blow_by.full_throttle, carry_over.oil_used], rank: 0.6}]", "uncertain inputs that go together").also("correlation"),
		other(PathsKind, "correlations.*.between", "[engine.blow_by.full_throttle, carry_over.oil_used]", "the paths of two uncertain inputs").also("inputs", "paths"),
		rank,
		other(VariantsKind, "variants", "{larger can: {separator.usable_volume: 0.9 L}}", "named changes of this file").also("variant", "alternatives"),
	}
}
