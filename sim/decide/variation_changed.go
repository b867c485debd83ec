package decide

import (
	"fmt"
	"math"
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
//   - Correlations with the input fall away: what is exact goes with nothing.
//
// The error is [scenarios.Problems].
func Changed(s *scenarios.Scenario, path string, value float64) (*scenarios.Scenario, error) {
	changes := []scenarios.Change{{Path: path, Value: value}}
	switch TakesAlong(s, path) {
	case RoutesFirstPoint:
		path = "drain.route.1.z"
		changes[0] = scenarios.Change{Path: path, Value: fallEndsAt(s.Drain) + value}
	case HoseLength:
		longer := value - s.Drain.Fall.Nominal()
		if path == dipPath {
			longer = 2 * (value - s.Drain.Dip.Nominal())
		}
		if longer > 0 {
			length, err := moved(s.Drain.Length.Distribution, longer)
			if err != nil {
				return nil, err
			}
			changes = append(changes, scenarios.Change{Path: lengthPath, Value: length})
		}
	}
	if change, needed := withoutCorrelation(s, path); needed {
		changes = append(changes, change)
	}
	return s.With(changes...)
}

// withoutCorrelation is the change that leaves out the correlations of an
// input, if it has any.
func withoutCorrelation(s *scenarios.Scenario, path string) (change scenarios.Change, needed bool) {
	var kept []string
	q := s.Input(path)
	for _, c := range s.Correlations {
		if q != nil && (c.Between[0] == q || c.Between[1] == q) {
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
