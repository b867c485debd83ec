package decide

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// sameLength is how far apart two session lengths may be to count as one, s.
const sameLength = 0.5

// withSharedSessions returns the layouts with the session lengths that all of them
// have, as the first one has them, and no others.
func withSharedSessions(layouts []Layout) ([]Layout, []float64, error) {
	var shared []float64
	for _, length := range layouts[0].Model.Scenario().Sessions {
		if !slices.ContainsFunc(layouts, func(l Layout) bool { return !hasSession(l, length) }) {
			shared = append(shared, length)
		}
	}
	if len(shared) == 0 {
		return nil, nil, noneShared(layouts)
	}
	same := slices.Clone(layouts)
	for i, l := range layouts {
		if slices.Equal(l.Model.Scenario().Sessions, shared) {
			continue
		}
		s, err := l.Model.Scenario().With(scenarios.Change{Path: "sessions", Value: lengthsList(shared)})
		if err == nil {
			same[i].Model, err = sim.NewModel(s)
		}
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", l.Name, err)
		}
	}
	return same, same[0].Model.Scenario().Sessions, nil
}

func hasSession(l Layout, length float64) bool {
	return slices.ContainsFunc(l.Model.Scenario().Sessions, func(s float64) bool { return math.Abs(s-length) <= sameLength })
}

// lengthsList writes session lengths in s as a scenario holds them.
func lengthsList(lengths []float64) string {
	var list []string
	for _, s := range lengths {
		list = append(list, strconv.FormatFloat(s, 'f', -1, 64)+" s")
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// noneShared says which lengths there are, and how to give one list to all.
func noneShared(layouts []Layout) error {
	var list []string
	for _, l := range layouts {
		var lengths []string
		for _, s := range l.Model.Scenario().Sessions {
			lengths = append(lengths, units.Format(s, units.Time, units.Metric))
		}
		list = append(list, fmt.Sprintf("%s has %s", l.Name, strings.Join(lengths, ", ")))
	}
	first := layouts[0].Model.Scenario().Sessions[0]
	return fmt.Errorf("the layouts share no session length (%s)\n  give the same lengths to all: --sessions %s",
		strings.Join(list, "; "), strings.ReplaceAll(units.Format(first, units.Time, units.Metric), " ", ""))
}
