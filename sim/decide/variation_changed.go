package decide

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
)

// The paths that take something else along when they are changed.
const (
	fallPath   = "drain.fall"
	dipPath    = "drain.dip"
	lengthPath = "drain.length"
)

// Changed returns the scenario with one input at an exact value, SI, and with
// what has to go along with it (see [TakesAlong]):
//
//   - A stated length of the drain hose grows by what its fall is more than it
//     was nominally, and by twice what its dip is more: a hose can't be shorter
//     than its way down. It does not shrink. A length that was left out follows
//     by its own rule.
//   - A drain given by a route has no fall of its own. A change of drain.fall
//     moves the first point of the route up or down, so that it stands by the
//     value above the last one at nominal values; below the oil, above the
//     surface of the oil, where the fall ends there too.
//   - Correlations with the input fall away: what is exact goes with nothing. They
//     stay where the input is still uncertain, as a reading is that tells no more.
//
// The error is [scenarios.Problems].
func Changed(s *scenarios.Scenario, path string, value float64) (*scenarios.Scenario, error) {
	return changedAll(s, []string{path}, []float64{value})
}

// changedAll is Changed for several inputs at once.
func changedAll(s *scenarios.Scenario, paths []string, values []float64) (*scenarios.Scenario, error) {
	var changes []scenarios.Change
	var exact []string
	longer := 0.0
	for i, path := range paths {
		value := values[i]
		switch TakesAlong(s, path) {
		case RoutesFirstPoint:
			path, value = "drain.route.1.z", fallEndsAt(s.Drain)+value
		case HoseLength:
			longer += max(0, waysLonger(s.Drain, path, value))
		}
		changes = append(changes, scenarios.Change{Path: path, Value: value})
		exact = append(exact, path)
	}
	if longer > 0 && !slices.Contains(paths, lengthPath) {
		length, err := moved(s.Drain.Length.Distribution, longer)
		if err != nil {
			return nil, err
		}
		changes = append(changes, scenarios.Change{Path: lengthPath, Value: length})
	}
	c, err := s.With(changes...)
	if err == nil {
		return c, nil
	}
	if change, needed := withoutCorrelations(s, exact); needed {
		return s.With(append(changes, change)...)
	}
	return nil, err
}

// waysLonger returns by how much the way down is longer with a new fall or dip, m.
func waysLonger(d scenarios.Drain, path string, value float64) float64 {
	if path == dipPath {
		return 2 * (value - d.Dip.Nominal())
	}
	return value - d.Fall.Nominal()
}

// withoutCorrelations is the change that leaves out the correlations of some
// inputs, if they have any.
func withoutCorrelations(s *scenarios.Scenario, paths []string) (change scenarios.Change, needed bool) {
	gone := map[*scenarios.Quantity]bool{}
	for _, path := range paths {
		if q := s.Input(path); q != nil {
			gone[q] = true
		}
	}
	var kept []string
	for _, c := range s.Correlations {
		if gone[c.Between[0]] || gone[c.Between[1]] {
			needed = true
			continue
		}
		kept = append(kept, fmt.Sprintf("{between: [%s, %s], rank: %s}",
			c.Between[0].Path, c.Between[1].Path, strconv.FormatFloat(c.Rank, 'f', -1, 64)))
	}
	change = scenarios.Change{Path: "correlations"}
	if len(kept) > 0 {
		change.Value = "[" + strings.Join(kept, ", ") + "]"
	}
	return change, needed
}

// Along is what a change of an input takes along.
type Along int

// What can be taken along.
const (
	Nothing          Along = iota
	HoseLength             // the stated length of the drain hose, which grows
	RoutesFirstPoint       // instead of a fall: the height of the route's first point
)

// TakesAlong returns what Changed takes along at a path of a scenario.
func TakesAlong(s *scenarios.Scenario, path string) Along {
	d := s.Drain
	switch {
	case path == fallPath && len(d.Route) > 0:
		return RoutesFirstPoint
	case (path == fallPath || path == dipPath) && d.Fall != nil && d.Length != nil:
		return HoseLength
	}
	return Nothing
}

// NominalFall returns the nominal height that the oil falls by, m, as a stated
// fall or a route has it; NaN without a drain.
func NominalFall(s *scenarios.Scenario) float64 {
	switch d := s.Drain; {
	case d.Fall != nil:
		return d.Fall.Nominal()
	case len(d.Route) > 0:
		return d.Route[0].Z.Nominal() - fallEndsAt(d)
	}
	return math.NaN()
}

// fallEndsAt returns the nominal height, m, at which the fall of a route ends.
func fallEndsAt(d scenarios.Drain) float64 {
	if d.Return == scenarios.BelowOil && d.Sump != nil && d.Sump.OilSurface != nil {
		return d.Sump.OilSurface.Z.Nominal()
	}
	return d.Route[len(d.Route)-1].Z.Nominal()
}

// moved returns a distribution moved up by so much: its width stays, and what
// was cut off it. A log-normal law keeps its geometric standard deviation
// instead.
func moved(d uncertainty.Distribution, by float64) (uncertainty.Distribution, error) {
	law, err := movedLaw(d, by)
	if err != nil || d.IsExact() {
		return law, err
	}
	law, _, err = law.Truncate(d.Low+by, d.High+by)
	return law, err
}

func movedLaw(d uncertainty.Distribution, by float64) (uncertainty.Distribution, error) {
	switch d.Kind {
	case uncertainty.NormalLaw:
		return uncertainty.Normal(d.A+by, d.B)
	case uncertainty.UniformLaw:
		return uncertainty.Uniform(d.A+by, d.B+by)
	case uncertainty.TriangularLaw:
		return uncertainty.Triangular(d.A+by, d.B+by, d.C+by)
	case uncertainty.LogNormalLaw:
		return uncertainty.LogNormal(d.A+by, d.B)
	case uncertainty.BetaLaw:
		return uncertainty.Beta(d.A, d.B, d.From+by, d.To+by)
	case uncertainty.TableLaw:
		values := make([]float64, len(d.Values))
		for i, v := range d.Values {
			values[i] = v + by
		}
		return uncertainty.Table(values, d.Weights)
	}
	return uncertainty.Exact(d.A + by), nil
}
