package plot

import (
	"errors"
	"fmt"
	"io"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// Variation is the chance of failing over the range of an input, with the
// nominal margin of the drain below it, so that the cliff and its cause are
// seen together. Of two inputs the first is the x axis, and each curve is for
// one value of the second.
type Variation struct {
	Variation *decide.Variation
	Units     units.System
}

// Write draws the chances.
func (v Variation) Write(w io.Writer, f Format) error {
	if err := v.check(); err != nil {
		return err
	}
	return v.figure().write(w, f)
}

// check reports why there is nothing to draw.
func (v Variation) check() error {
	n := 1
	for _, a := range v.Variation.Axes {
		n *= len(a.Values)
	}
	if axes := len(v.Variation.Axes); axes < 1 || axes > 2 {
		return fmt.Errorf("a picture shows one input or two over a range (got %d)", axes)
	}
	if n == 0 || n != len(v.Variation.Points) {
		return fmt.Errorf("%d points for %d places on the axes", len(v.Variation.Points), n)
	}
	for _, p := range v.Variation.Points {
		if p.Result != nil && len(p.Result.Sessions) > 0 {
			return nil
		}
	}
	return errors.New("nothing to draw: there can be no layout at any of the values: " + v.Variation.Points[0].Problem)
}

func (v Variation) figure() *figure {
	x := v.unit(0)
	values := v.Variation.Axes[0].Values
	f := &figure{
		title: v.Variation.Scenario.Title, subtitle: v.subtitle(),
		x:      exact(headed(v.Variation.Axes[0].Path, x), x.FromSI(values[0]), x.FromSI(values[len(values)-1]), 9),
		panels: []*panel{v.chances()},
	}
	for _, l := range f.panels[0].lines {
		if len(l.bounds) > 0 {
			f.keys = append(f.keys, key{"in none of the realizations: no more than this", drawBoundSwatch})
			break
		}
	}
	if p := v.cause(); p != nil {
		f.panels = append(f.panels, p)
		f.keys = append(f.keys, key{"drain held at full throttle", drawShade})
	}
	return f
}

// drawBoundSwatch draws the arrow of an upper bound.
func drawBoundSwatch(c *draw.Canvas, middle vg.Point) {
	drawBound(c, ink, vg.Point{X: middle.X, Y: middle.Y + 4.5})
}

// unit is the unit that an axis is shown in: times in one that suits the longest.
func (v Variation) unit(axis int) units.Unit {
	a := v.Variation.Axes[axis]
	if a.Dimension == units.Time {
		return units.SensibleUnit(a.Values[len(a.Values)-1], units.Time, v.Units)
	}
	return words.ColumnOf(a.Dimension, v.Units).Unit
}

// headed puts a unit behind a name.
func headed(name string, u units.Unit) string {
	if u.Symbol == "" {
		return name
	}
	return name + ", " + u.Symbol
}

// subtitle says on how many realizations the chances rest, and what is missing.
func (v Variation) subtitle() string {
	least, most, missing := math.MaxInt, 0, 0
	for _, p := range v.Variation.Points {
		if p.Result == nil {
			missing++
			continue
		}
		least, most = min(least, p.Result.Realizations), max(most, p.Result.Realizations)
	}
	count := words.Grouped(int64(least))
	if most > least {
		count += " to " + words.Grouped(int64(most))
	}
	text := fmt.Sprintf("Seed %d, %s realizations at each point; bands are 95 %% intervals", v.Variation.Seed, count)
	if missing > 0 {
		text += fmt.Sprintf("; no such layout at %d of %d points", missing, len(v.Variation.Points))
	}
	if len(v.Variation.Axes) == 2 {
		if n := len(v.Variation.Axes[1].Values); n > mostCurves {
			text += fmt.Sprintf("; %d of %d values of %s shown", mostCurves, n, v.Variation.Axes[1].Path)
		}
	}
	return text
}
