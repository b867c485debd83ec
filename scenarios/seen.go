package scenarios

// Seen is what was seen of a car that is driven: readings, each with its error.
// All values are SI.
type Seen struct {
	Title        string
	Note         string
	File         string // as named by the user; empty for the ready-made example
	Example      string // name of the ready-made example, empty for a user's own file
	SHA256       string // of the file's bytes, hexadecimal
	Observations []Observation
	Rules        []Rule // what was left out, errors above all, and what stands for it
	Warnings     []Warning
}

// ObservationKind is what kind of thing was seen.
type ObservationKind string

// The kinds of observation.
const (
	Drained   ObservationKind = "drained"    // oil taken out of the can after a session, m3
	ToppedUp  ObservationKind = "topped_up"  // oil put back after some sessions, m3
	Crankcase ObservationKind = "crankcase"  // pressure at a load, Pa gauge
	UTube     ObservationKind = "u_tube"     // column between crankcase and can at a load, m of Fluid
	VentHose  ObservationKind = "vent_hose"  // wet (1) or dry (0) after a session
	Poured    ObservationKind = "poured"     // time that a volume took to run away, engine off, s
	Overflew  ObservationKind = "overflowed" // yes (1) or no (0) within a session
)

// Observation is one thing that was seen.
type Observation struct {
	Kind    ObservationKind
	Line    int
	Text    string // as written
	Note    string
	Layout  string    // name of the variant that was fitted then; empty: the scenario itself
	Value   float64   // as the kind says
	Error   float64   // standard deviation of the reading, in the unit of Value; of yes and no: chance that it was seen wrongly
	Over    []float64 // s: sessions after which, or over which, it was seen
	Session string    // what has the same name was seen of the same session; empty: of one of its own

	Load        float64 // 0..1: Crankcase, UTube
	Fluid       string  // "oil" or "water": UTube
	Volume      float64 // m3: Poured
	Temperature float64 // K of the oil: Poured
	ShowsFrom   float64 // m3: VentHose, oil that makes a hose wet in half of the cases
	ShowsSpread float64 // geometric standard deviation of that
}

// Whether reports whether the observation is a yes or no.
func (o *Observation) Whether() bool { return o.Kind == VentHose || o.Kind == Overflew }
