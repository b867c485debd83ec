package decide

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// Axis is an input with the values that it is given.
type Axis struct {
	Path      string // "separator.usable_volume"; "sessions" for session lengths
	Dimension units.Dimension
	Values    []float64 // SI, ascending
}

// MostValues is how many values an axis may have, MostPoints how many points a
// variation.
const (
	MostValues = 200
	MostPoints = 2000
)

// NewAxis returns an axis of an input of a scenario with its values, SI, put in
// ascending order. It fails where the path names no number that can be varied,
// a value stands twice, or there are more than [MostValues].
func NewAxis(s *scenarios.Scenario, path string, values []float64) (Axis, error) {
	d, err := DimensionOf(s, path)
	if err != nil {
		return Axis{}, err
	}
	if len(values) == 0 || len(values) > MostValues {
		return Axis{}, fmt.Errorf("%d values (allowed 1 to %d)", len(values), MostValues)
	}
	values = slices.Clone(values)
	slices.Sort(values)
	for i := 1; i < len(values); i++ {
		if values[i] == values[i-1] {
			return Axis{}, fmt.Errorf("a value stands twice (got %s): leave one out", units.Format(values[i], d, units.Metric))
		}
	}
	return Axis{Path: path, Dimension: d, Values: values}, nil
}

// DimensionOf returns what the input at a path is measured in. The path is one
// of the scenario's inputs, or another quantity that a scenario may hold. The
// error is a [units.Error] with a hint.
func DimensionOf(s *scenarios.Scenario, path string) (units.Dimension, error) {
	switch {
	case path == "sessions":
		return 0, &units.Error{What: "session lengths are no input to vary: each point is reported for all of them", Got: path, Hint: "to choose them: --sessions 15min,25min"}
	case strings.HasPrefix(path, "simulation."):
		return 0, &units.Error{What: "how it is sampled is no input of a layout", Got: path, Hint: "see the list of inputs that validate prints"}
	case path == fallPath && TakesAlong(s, path) == RoutesFirstPoint:
		return units.Length, nil
	}
	if q := s.Input(path); q != nil {
		return q.Dimension, nil
	}
	f := fieldOf(path)
	example := "1"
	if f != nil {
		example = f.Example
	}
	if e := noSuchPath(s, path, example); e != nil {
		return 0, e
	}
	if f == nil || f.Kind != scenarios.QuantityKind && f.Kind != scenarios.ExactKind {
		return 0, &units.Error{What: "not a number that can be varied", Got: path, Hint: "see the list of inputs that validate prints; what is a word goes to a variant: see compare"}
	}
	return f.Dimension, nil
}

// noSuchPath returns an error where a path leads nowhere.
func noSuchPath(s *scenarios.Scenario, path, example string) error {
	var problems scenarios.Problems
	if _, err := s.With(scenarios.Change{Path: path, Value: example}); !errors.As(err, &problems) {
		return nil
	}
	for _, p := range problems {
		for _, what := range []string{"unknown path", "the list has no such element"} {
			if p.Path == path && strings.HasPrefix(p.What, what) {
				return &units.Error{What: what, Got: path, Hint: p.Hint}
			}
		}
	}
	return nil
}

// fieldOf returns the field of the catalogue at a path, or nil. An element of a
// list counts by any name.
func fieldOf(path string) *scenarios.Field {
	parts := strings.Split(path, ".")
	for _, f := range scenarios.Fields() {
		names := strings.Split(f.Path, ".")
		for i := range names {
			if names[i] == "*" && i < len(parts) {
				names[i] = parts[i]
			}
		}
		if slices.Equal(names, parts) {
			return &f
		}
	}
	return nil
}
