package scenarios

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// Mark returns what a reading is known again by: twelve digits, hexadecimal, of the SHA-256
// of what was seen, when, and of what. In which unit it was written, its error and its note
// are no part of it; the session's name is, and tells two readings apart that came to the same.
func (o *Observation) Mark() string {
	h := sha256.New()
	fmt.Fprintf(h, "%q %q %q %q", o.Kind, o.Session, o.Layout, o.Fluid)
	for _, v := range append([]float64{o.Value, o.Load, o.Volume, o.Temperature}, o.Over...) {
		fmt.Fprintf(h, " %.9g", v) // what a change of units leaves behind is beyond that
	}
	return hex.EncodeToString(h.Sum(nil))[:12]
}

// Marks returns the marks of all that was seen.
func (s *Seen) Marks() []string {
	marks := []string{}
	for i := range s.Observations {
		marks = append(marks, s.Observations[i].Mark())
	}
	return marks
}

// Again returns those of what was seen that the draws were learned from already: to learn
// them again would count them twice. Of readings that are alike it returns no more than were
// learned.
func (l *Learned) Again(seen *Seen) []*Observation {
	left := map[string]int{}
	for _, mark := range l.Readings {
		left[mark]++
	}
	var again []*Observation
	for i := range seen.Observations {
		o := &seen.Observations[i]
		if mark := o.Mark(); left[mark] > 0 {
			left[mark]--
			again = append(again, o)
		}
	}
	return again
}
