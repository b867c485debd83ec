package scenarios

import (
	"sync"

	"sumpward/scenarios/units"
)

// seenFields returns the catalogue of what was seen, put together once.
var seenFields = sync.OnceValue(func() *catalogue {
	return newCatalogue("what was seen of a car that is driven",
		[]Field{
			other(CountKind, "seen", "1", "version of this file format; always 1").also("version"),
			other(TextKind, "title", "Larkmoor, car 42, after the first day", "which car, and when").also("description", "name"),
			other(TextKind, "note", "read in the paddock, oil warm", "anything worth keeping").also("notes", "remark", "comment"),
		},
		observationFields())
})

// seenKinds are the keys that say what was seen, in the order in which they are listed.
var seenKinds = []string{"drained", "weighed", "topped_up", "crankcase", "u_tube", "vent_hose", "poured", "overflowed"}

func observationFields() []Field {
	const one = "observations.*."
	return []Field{
		other(ListKind, "observations", "[{drained: 120 mL, after: 25 min}]", "what was seen, at most 200").also("observed", "readings", "entries", "seen"),

		quantity(one+"drained", units.Volume, "0 mL", "30 L", "120 mL", "oil taken out of the can after a session").also("emptied", "caught", "in_can"),
		quantity(one+"weighed", units.Mass, "0 g", "30 kg", "95 g", "oil taken out of the can after a session, by mass").also("weight", "mass"),
		quantity(one+"topped_up", units.Volume, "0 L", "30 L", "0.2 L", "oil put back after some sessions, can emptied before them").also("topped", "top_up", "added", "oil_used"),
		quantity(one+"crankcase", units.Pressure, "-50 kPa", "50 kPa", "0.6 kPa", "crankcase pressure over that of the open air").also("crankcase_pressure", "pressure"),
		quantity(one+"u_tube", units.Length, "-5 m", "5 m", "64 mm", "column in a U-tube between crankcase and can, positive where the crankcase has more").also("utube", "column", "manometer"),
		choice(one+"vent_hose", "oil in the hose from the can's gas outlet", "wet", "dry").also("hose", "vent", "outlet_hose"),
		exact(one+"poured", units.Volume, "1 mL", "30 L", "300 mL", "oil poured into the empty can at once, engine off and car level").also("pour", "timed_pour"),
		choice(one+"overflowed", "whether oil got past the can", "yes", "no").also("overflow", "got_past"),

		exact(one+"after", units.Time, "1 s", "100 h", "25 min", "the session after which it was seen").also("session_length", "duration"),
		other(SpansKind, one+"over", "[25 min, 25 min]", "the sessions over which it was seen").also("sessions"),
		other(TextKind, one+"error", "5 mL", "standard deviation of the reading; of yes and no the chance that it was seen wrongly").also("uncertainty", "sd", "accuracy"),
		other(TextKind, one+"layout", "as it was", "variant of the scenario that was fitted then; left out: the scenario itself").also("variant", "fitted"),
		other(TextKind, one+"session", "first stint", "what has the same name was seen of the same session").also("run", "stint"),
		other(TextKind, one+"note", "oil warm", "anything worth keeping").also("notes", "remark", "comment"),

		exact(one+"load", units.Fraction, "0 %", "100 %", "100 %", "0 % closed throttle, 100 % full throttle").standard("100 %", byDesign).also("throttle"),
		choice(one+"fluid", "what stands in the U-tube", "oil", "water").standard("oil", byDesign).also("liquid"),
		exact(one+"density", units.Density, "700 kg/m3", "1000 kg/m3", "870 kg/m3", "of what was weighed, at 15 °C").standard("870 kg/m3", fromMemory),
		quantity(one+"shows_from", units.Volume, "0.01 mL", "1 L", "3 mL x/ 3", "oil through the hose that makes it look wet in half of the cases, and its geometric standard deviation").
			standard("3 mL x/ 3", prior).also("shows", "visible_from"),
		quantity(one+"took", units.Time, "0.1 s", "30 min", "9 s", "until it had run away").also("time", "in", "seconds"),
		exact(one+"at", units.Temperature, "-30 C", "150 C", "20 C", "temperature of the oil that was poured").also("temperature", "oil_temperature"),
	}
}
