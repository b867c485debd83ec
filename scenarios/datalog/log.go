// Package datalog reads the data log of a car's logger (delimited text) and
// cuts its laps into phases of nearly constant load and body acceleration.
//
// Loggers differ in delimiter, decimal sign, preamble, header names, units,
// sample rate and in the direction that each accelerometer axis counts
// positive. Read takes what can be told from the file itself, takes what the
// Spec states, and refuses what is neither: a unit or a sign is never guessed
// in silence. Whatever is decided on the way is listed in Log.Notes, whatever
// looks wrong in Log.Warnings.
//
// Axes are those of ISO 8855: x forward, y left. An accelerometer reads the
// specific force along its axis; on a flat track its horizontal part is the
// body acceleration that is wanted here.
package datalog

// StandardGravity is the conventional acceleration of free fall in m/s².
//
// Source: 3rd CGPM (1901), exact by definition.
const StandardGravity = 9.80665

// The quantities a log can hold, as named in the maps of Spec.
const (
	Time         = "time"
	Throttle     = "throttle"
	Lateral      = "lateral"
	Longitudinal = "longitudinal"
	Speed        = "speed"
	RPM          = "rpm"
	Lap          = "lap"
)

// NotUsed, written in place of a header name in Spec.Columns, leaves a column
// unread that would be recognised otherwise.
const NotUsed = "none"

// Limits that apply where Spec leaves them at zero.
const (
	DefaultMaxBytes = 64 << 20
	DefaultMaxRows  = 1_000_000
)

// MaxPhases is how many phases the laps of a log may come to.
const MaxPhases = 50_000

// Spec says how to read a log. Every map is keyed by the quantity: time,
// throttle, lateral, longitudinal, speed, rpm, lap. Time and throttle are
// needed, the rest is read where it is there.
type Spec struct {
	// Columns gives the header name of a quantity as it stands in the file,
	// with or without its unit in brackets; letter case and spacing don't
	// matter. A quantity that is left out is recognised from common spellings;
	// NotUsed leaves it unread.
	Columns map[string]string
	// Units gives the unit of a column. Left out, it is taken from the header
	// ("speed [km/h]"), or from a row of units below the header. Time may also
	// be "min:s" or "h:min:s", throttle "%" or "0..1".
	Units map[string]string
	// Positive says which way an axis counts positive: "forward" or "backward"
	// for longitudinal (forward: speeding up reads positive), "left" or
	// "right" for lateral (left: a left turn reads positive). Needed for each
	// of the two that the log holds.
	Positive map[string]string
	// Tolerance is for use with Log.Lap; Read only checks it and keeps it.
	Tolerance Tolerance
	// MaxBytes is the largest file that is read; 0 is DefaultMaxBytes.
	MaxBytes int64
	// MaxRows is the largest number of samples; 0 is DefaultMaxRows.
	MaxRows int
}

// Tolerance says how far a sample may lie from the time mean of its phase.
// Zero fields take the defaults.
type Tolerance struct {
	Load         float64 // fraction of full load; default 0.05
	Acceleration float64 // m/s², on each axis; default 0.1 g
	// Smoothing is the length in seconds of the centred moving mean of
	// acceleration that is compared with the tolerance, so that vibration
	// doesn't cut phases; default 0.2 s, negative for none. It moves cuts only:
	// a phase holds the plain time mean of its own samples. The default is a
	// prior without a published source: a column of oil in a drain hose answers
	// at 1-2 Hz (√(g/L)/2π, derived), so what is faster doesn't move it.
	Smoothing float64
}

func (t Tolerance) withDefaults() Tolerance {
	if t.Load == 0 {
		t.Load = 0.05
	}
	if t.Acceleration == 0 {
		t.Acceleration = 0.1 * StandardGravity
	}
	if t.Smoothing == 0 {
		t.Smoothing = 0.2
	}
	return t
}

// Sample is one row of the log in SI units. It holds until the next sample.
type Sample struct {
	Time    float64 // s from the first sample
	Load    float64 // 0..1
	Forward float64 // m/s², body acceleration, ISO 8855 x
	Left    float64 // m/s², body acceleration, ISO 8855 y
	Speed   float64 // m/s; NaN where it isn't known
	RPM     float64 // rev/min; NaN where it isn't known
	Lap     int     // as numbered in the file; 0 without a lap column

	EngineStopped bool // rpm is known and below 200
	Filled        bool // at least one value was missing and has been filled in
}

// Log is a data log as read.
type Log struct {
	Name    string
	Samples []Sample
	Rate    float64 // Hz, one over the median step
	// MissingFilled is the number of samples in which a value was missing and
	// has been interpolated, rows that were absent included.
	MissingFilled int
	// Header gives, for each quantity that was read, the name of its column.
	Header map[string]string
	// Tolerance is that of the Spec.
	Tolerance Tolerance
	Notes     []string // what was decided on the way
	Warnings  []string // what looks wrong
}

func (l *Log) has(key string) bool { _, ok := l.Header[key]; return ok }
