package logbook

import (
	"math"
	"time"
)

// Mark is a yes, a no, or nothing.
type Mark int

// The marks. Of a vent hose, Yes is wet.
const (
	NotSeen Mark = iota
	No
	Yes
)

// Entry is one row: what was done and seen of one car at one session. Numbers are
// SI, and NaN where nothing was written.
type Entry struct {
	Line int // in the file, from 1; 0 of an entry that isn't in one

	Date   time.Time // of the day, UTC; zero where nothing was written
	Car    string
	Layout string  // variant of the scenario that was fitted; empty: the scenario itself
	Length float64 // s, of the session
	Done   string

	Drained   float64 // m3, out of the can after the session
	ToppedUp  float64 // m3, put back after the session
	Crankcase float64 // Pa gauge, at full throttle
	UTube     float64 // m of oil between crankcase and can, at full throttle

	Pour           float64 // m3 through the drain, engine off
	PourTook       float64 // s
	OilTemperature float64 // K, of what was poured

	ForecastOverflow float64 // 0..1, said before the session
	ForecastChoked   float64 // 0..1, said before the session

	VentHose   Mark // Yes: wet
	Overflowed Mark // oil got past the can
	BackedUp   Mark // oil stood in the can because its drain was choked
	Returns    Mark // the can drains back to the engine: what is drained is a rest

	Note string
}

// Blank returns an entry in which nothing is written.
func Blank() Entry {
	var e Entry
	for _, c := range columns {
		if c.number != nil {
			*c.number(&e) = math.NaN()
		}
	}
	return e
}

// Written reports whether a number was written.
func Written(v float64) bool { return !math.IsNaN(v) }

// Book is a logbook as it was read.
type Book struct {
	Name     string
	Entries  []Entry
	Warnings []string // what was passed over

	form form
}

// Cars returns the cars of the book in the order in which they first stand there.
func (b *Book) Cars() []string {
	var list []string
	seen := map[string]bool{}
	for i := range b.Entries {
		if car := b.Entries[i].Car; !seen[car] {
			seen[car] = true
			list = append(list, car)
		}
	}
	return list
}

// Of returns the entries of a car.
func (b *Book) Of(car string) []Entry {
	var list []Entry
	for _, e := range b.Entries {
		if e.Car == car {
			list = append(list, e)
		}
	}
	return list
}
