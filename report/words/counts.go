package words

import (
	"fmt"
	"math"
	"strings"
)

// Count writes the chance as a count of sessions, "about 7 of 100", that is never a bare
// 0 or all: what was not seen is none of the realizations.
func (c Chance) Count(of float64) string {
	switch {
	case c.Impossible || c.Events == 0:
		return "none of " + Grouped(c.Of)
	case c.Events == c.Of:
		return "all of " + Grouped(c.Of)
	}
	switch k := math.Round(c.Probability * of); k {
	case 0:
		return "fewer than 1 of " + Grouped(int64(of))
	case of:
		return "nearly all of " + Grouped(int64(of))
	default:
		return fmt.Sprintf("about %s of %s", Counted(k), Grouped(int64(of)))
	}
}

// Denominator is the smallest of 100, 1,000 and 10,000 sessions that tells each of some
// chances from a limit, in whole sessions, and the limit from none.
func Denominator(limit float64, chances ...Chance) float64 {
	for _, of := range []float64{100, 1000} {
		if tells(of, limit, chances) {
			return of
		}
	}
	return 10_000
}

func tells(of, limit float64, chances []Chance) bool {
	if limit > 0 && limit*of < 1 {
		return false
	}
	for _, c := range chances {
		if c.Impossible || c.Events == 0 || c.Events == c.Of {
			continue // in words
		}
		if math.Round(c.Probability*of) == math.Round(limit*of) {
			return false
		}
	}
	return true
}

// Counted writes a count that may have a fraction: that of a limit of 0.75 %.
func Counted(k float64) string {
	if k >= 10 || k == math.Trunc(k) {
		return Grouped(int64(math.Round(k)))
	}
	return fmt.Sprintf("%.3g", k)
}

// Joined lists texts with a word before the last one: "a, b and c".
func Joined(list []string, word string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " " + word + " " + list[len(list)-1]
}
