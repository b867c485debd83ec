package pool

import (
	"fmt"
	"math"

	"sumpward/scenarios/logbook"
)

// Car is one car with its sessions.
type Car struct {
	Name     string
	Sessions []Session
}

// Session is what one session moved.
type Session struct {
	Length   float64 // s, above 0
	Volume   float64 // m3 that was read, 0 or more
	Overflew bool    // more was moved: some got past the can
}

// reading is a session on the log of the rate, m3/s.
type reading struct {
	kind kind
	y    float64 // the log; of a bound the bound
	e    float64 // of an exact one: its error on the log
}

type kind int

const (
	exact kind = iota
	below      // less than y
	above      // more than y
)

// read turns a session into a reading, given the error, m3, of a volume.
func (s Session) read(readingError float64) reading {
	limit := 2 * readingError
	switch {
	case s.Overflew && s.Volume > 0:
		return reading{kind: above, y: math.Log(s.Volume / s.Length)}
	case s.Overflew: // more than nothing
		return reading{kind: above, y: math.Inf(-1)}
	case s.Volume < limit || s.Volume == 0:
		return reading{kind: below, y: math.Log((s.Volume + limit) / s.Length)}
	}
	return reading{y: math.Log(s.Volume / s.Length), e: readingError / s.Volume}
}

// FromBook takes the sessions of a logbook that tell what a car moves, and says
// what was left out: entries of a can that drains back tell only what stood in it.
func FromBook(b *logbook.Book) (cars []Car, left []string) {
	returned, lengthless := 0, 0
	for _, name := range b.Cars() {
		car := Car{Name: name}
		for _, e := range b.Of(name) {
			switch {
			case !logbook.Written(e.Drained):
			case e.Returns == logbook.Yes:
				returned++
			case !logbook.Written(e.Length):
				lengthless++
			default:
				car.Sessions = append(car.Sessions, Session{Length: e.Length, Volume: e.Drained, Overflew: e.Overflowed == logbook.Yes})
			}
		}
		if len(car.Sessions) > 0 {
			cars = append(cars, car)
		}
	}
	if returned > 0 {
		left = append(left, fmt.Sprintf("%d drained from a can that drains back: what stood in it is not what the car moved", returned))
	}
	if lengthless > 0 {
		left = append(left, fmt.Sprintf("%d drained after a session of unknown length", lengthless))
	}
	return cars, left
}
