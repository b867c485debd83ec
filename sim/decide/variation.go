package decide

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// Variation is one input, or two, over a range.
type Variation struct {
	Scenario *scenarios.Scenario
	Seed     uint64
	Sampling string
	Axes     []Axis        // one or two
	Points   []VariedPoint // in the order of the first axis, within it of the second
}

// VariedPoint is the scenario with its inputs at one place of the axes, exact there.
type VariedPoint struct {
	At      []float64       // SI, by axis
	Result  *sim.Result     // nil where there is a Problem
	Nominal *sim.PhaseCheck // full throttle on a straight, at nominal values; nil where there is a Problem
	Problem string          // why there can be no such layout; empty: there is
}

// PerPoint is how many realizations a point of a variation gets where the
// options say neither how many nor how precise: five blocks, the fewest whose spread
// tells what an even design gains.
const PerPoint = 2500

// Vary simulates a scenario at each point of one axis or two, at each with the
// same seed, its inputs changed as [Changed] does. Where the options say
// neither how many realizations nor how precise, each point gets [PerPoint].
// Progress is told the realizations done at all points together.
//
// A point that can't be says so in its Problem and keeps no other from being
// done; it is an error where none can be, where an axis names an input that the
// layout does not use ([NotUsedError]), and where there are more than [MostPoints]. When the context ends
// first it is the context's error.
func Vary(ctx context.Context, s *scenarios.Scenario, axes []Axis, o sim.Options) (*Variation, error) {
	v := &Variation{Scenario: s, Axes: axes, Points: pointsOf(axes)}
	if err := v.check(); err != nil {
		return nil, err
	}
	if o.Realizations <= 0 && o.SamplingError <= 0 {
		o.Realizations = PerPoint
	}
	before, progress := 0, o.Progress
	if progress != nil {
		o.Progress = func(n int) { progress(before + n) }
	}
	for i := range v.Points {
		if err := v.simulate(ctx, &v.Points[i], o); err != nil {
			return nil, err
		}
		if res := v.Points[i].Result; res != nil {
			before += res.Realizations
			v.Seed, v.Sampling = res.Seed, res.Sampling
		}
	}
	if before == 0 {
		return nil, fmt.Errorf("no point of the range can be simulated: %s", v.Points[0].Problem)
	}
	return v, nil
}

// pointsOf lists the points of the axes.
func pointsOf(axes []Axis) []VariedPoint {
	points := []VariedPoint{{}}
	for _, a := range axes {
		var next []VariedPoint
		for _, p := range points {
			for _, value := range a.Values {
				at := append(append([]float64(nil), p.At...), value)
				next = append(next, VariedPoint{At: at})
			}
		}
		points = next
	}
	return points
}

func (v *Variation) check() error {
	switch n := len(v.Axes); {
	case n < 1 || n > 2:
		return fmt.Errorf("one input or two can be varied at a time (got %d)", n)
	case n == 2 && v.Axes[0].Path == v.Axes[1].Path:
		return fmt.Errorf("%s is varied twice: name two inputs", v.Axes[0].Path)
	case len(v.Points) > MostPoints:
		return fmt.Errorf("%d points (allowed up to %d): take fewer values", len(v.Points), MostPoints)
	case len(v.Points) == 0:
		return errors.New("no values to vary over")
	}
	return nil
}

// simulate does one point. What keeps the layout from being goes to its Problem.
func (v *Variation) simulate(ctx context.Context, p *VariedPoint, o sim.Options) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	m, err := v.model(p)
	if err != nil || m == nil {
		return err
	}
	res, err := m.Run(ctx, o)
	switch {
	case errors.Is(err, sim.ErrNothingKept):
		p.Nominal, p.Problem = nil, err.Error()
		return nil
	case err != nil:
		p.Nominal = nil
		return fmt.Errorf("at %s: %w", v.where(p), err)
	case res.Interrupted:
		return context.Cause(ctx)
	}
	p.Result = res
	return nil
}

// ModelAt makes the scenario at a point of the axes ready, by its place in the order of
// [Variation.Points]; nil where there can be no such layout.
func ModelAt(s *scenarios.Scenario, axes []Axis, point int) (*sim.Model, error) {
	v := &Variation{Scenario: s, Axes: axes, Points: pointsOf(axes)}
	if err := v.check(); err != nil {
		return nil, err
	}
	return v.model(&v.Points[point])
}

// model makes the scenario at a point ready, with what the drain has in hand there at
// nominal values. Where there can be no such layout it is nil, and the point has a Problem.
func (v *Variation) model(p *VariedPoint) (*sim.Model, error) {
	paths := v.paths()
	s, err := changedAll(v.Scenario, paths, p.At)
	if err != nil {
		p.Problem = problemOf(err, paths)
		return nil, nil
	}
	if err := v.used(s); err != nil {
		return nil, err
	}
	m, err := sim.NewModel(s)
	if err == nil {
		p.Nominal, err = fullThrottle(m)
	}
	if err != nil {
		p.Problem = problemOf(err, paths)
		return nil, nil
	}
	return m, nil
}

func fullThrottle(m *sim.Model) (*sim.PhaseCheck, error) {
	check, err := m.FullThrottle()
	if err != nil {
		return nil, err
	}
	return &check, nil
}

func (v *Variation) paths() []string {
	var list []string
	for _, a := range v.Axes {
		list = append(list, a.Path)
	}
	return list
}

// where names a point for an error.
func (v *Variation) where(p *VariedPoint) string {
	var list []string
	for i, a := range v.Axes {
		list = append(list, a.Path+" = "+units.Format(p.At[i], a.Dimension, units.Metric))
	}
	return strings.Join(list, ", ")
}

// NotUsedError is an input that makes no difference to a layout.
type NotUsedError struct{ Path, Why string }

// Error returns what is wrong.
func (e *NotUsedError) Error() string { return e.Path + ": " + e.Why }

// used returns an error where a changed scenario does not use an input.
func (v *Variation) used(changed *scenarios.Scenario) error {
	for _, path := range v.paths() {
		if changed.Input(path) != nil || path == fallPath && len(changed.Drain.Route) > 0 {
			continue
		}
		text := "this layout does not use it"
		for _, w := range changed.Warnings {
			if w.Path == path {
				text = w.Text
			}
		}
		return &NotUsedError{Path: path, Why: text}
	}
	return nil
}

// problemOf says in one line what is wrong with a layout.
func problemOf(err error, paths []string) string {
	problems, ok := err.(scenarios.Problems)
	if !ok {
		return err.Error()
	}
	var list []string
	for _, p := range problems {
		text := p.What
		if p.Path != "" && !(len(paths) == 1 && p.Path == paths[0]) {
			text = p.Path + ": " + text
		}
		list = append(list, text)
	}
	return strings.Join(list, "; ")
}
