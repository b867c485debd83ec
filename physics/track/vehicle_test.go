package track

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPowerCurve(t *testing.T) {
	c := PowerCurve{{10, 50e3}, {30, 150e3}, {60, 120e3}}
	for speed, want := range map[float64]float64{0: 50e3, 10: 50e3, 20: 100e3, 30: 150e3, 45: 135e3, 60: 120e3, 90: 120e3} {
		assert.InDelta(t, want, c.At(speed), 1e-9)
	}
	assert.Equal(t, 7.0, ConstantPower(7).At(100))
	// A constant curve of several points is driven as one of one.
	many := unshiftedCar()
	many.Power = PowerCurve{{5, 170e3}, {15, 170e3}, {35, 170e3}, {50, 170e3}}
	one := many
	one.Power = ConstantPower(170e3)
	a, b := driven(t, heath(t, 1), many), driven(t, heath(t, 1), one)
	assert.InEpsilon(t, b.Time, a.Time, 1e-7)
}

func TestTopSpeed(t *testing.T) {
	car := plainCar()
	car.TopSpeed = 35
	lap := driven(t, stadium(t, 10), car)
	flat := 0.0
	for _, x := range lap.Samples {
		require.LessOrEqual(t, x.Speed, 35+1e-9)
		if x.Speed > 35-1e-9 {
			assert.Equal(t, 1.0, x.Load, "flat against the limiter")
			assert.Equal(t, 0.0, x.Forward)
			flat += x.Duration
		}
	}
	// Exact: v³ = v0³ + 3 P s/m up to 35 m/s, v² = v0² + 2 μ g s down.
	v0 := math.Sqrt(1.1 * 9.80665 * 40)
	up := (35*35*35 - v0*v0*v0) * 1300 / (3 * 180e3)
	down := (35*35 - v0*v0) / (2 * 1.1 * 9.80665)
	assert.InDelta(t, 2*(300-up-down)/35, flat, 1e-9)
}

func TestUpshifts(t *testing.T) {
	car := plainCar()
	car.TopSpeed, car.ShiftTime, car.ShiftStep, car.LowestShift = 60, 0.25, 1.4, 15
	for _, step := range []float64{1000, 10, 0.7} {
		shifts, without := 0.0, 0.0
		last := 1.0
		for _, x := range driven(t, stadium(t, step), car).Samples {
			if x.Load == 0 && x.Left == 0 && x.Forward == 0 { // no drag: nothing at all is felt
				without += x.Duration
				if last != 0 {
					shifts++
				}
			}
			last = x.Load
		}
		assert.Equal(t, 4.0, shifts, "at 60/1.4² and 60/1.4 m/s on each straight, cells of %g m", step)
		assert.InDelta(t, 4*0.25, without, 1e-9)
	}
	plain := plainCar()
	plain.TopSpeed = 60
	lost := driven(t, stadium(t, 10), car).Time - driven(t, stadium(t, 10), plain).Time
	assert.Greater(t, lost, 0.05)
	assert.Less(t, lost, 4*0.25)
}

func TestPartLoadInACorner(t *testing.T) {
	// A circle driven at the limit: power needed over power there is. Exact: drag
	// k v² balances what the friction circle leaves, so that with c = k/m
	// (c u)² + (u/r)² = (μ g)².
	const radius = 60.0
	p, err := FromPieces([]Piece{{Length: 2 * math.Pi * radius, Curvature: 1 / radius}}, 10)
	require.NoError(t, err)
	car := plainCar()
	car.DragArea, car.AirDensity = 0.8, 1.2
	c := 0.48 / 1300
	u := 1.1 * 9.80665 / math.Hypot(c, 1/radius)
	lap := driven(t, p, car)
	assert.InEpsilon(t, 2*math.Pi*radius/math.Sqrt(u), lap.Time, 1e-10)
	for _, x := range lap.Samples {
		assert.InEpsilon(t, 0.48*u*math.Sqrt(u)/180e3, x.Load, 1e-7)
		assert.InEpsilon(t, u/radius, x.Left, 1e-9)
		assert.InDelta(t, 0, x.Forward, 1e-9)
	}
}

func TestImpossible(t *testing.T) {
	hill := func(slope float64) *Path {
		p, err := FromPieces([]Piece{{Length: 200, Slope: slope}, {Length: 200, Slope: -slope}, {Length: 60, Curvature: 0.05}}, 10)
		require.NoError(t, err)
		return p
	}
	for _, c := range []struct {
		want   string
		path   *Path
		change func(*Vehicle)
	}{
		{"vehicle: its mass is 0 kg: give one above 0", nil, func(v *Vehicle) { v.Mass = 0 }},
		{"vehicle: its grip is 0: give one above 0", nil, func(v *Vehicle) { v.Grip = 0 }},
		{"vehicle: its grip is NaN: give one above 0", nil, func(v *Vehicle) { v.Grip = math.NaN() }},
		{"vehicle: its drag area is -1 m2: give one above 0", nil, func(v *Vehicle) { v.DragArea = -1 }},
		{"vehicle: its top speed is 0 m/s: give one above 0", nil, func(v *Vehicle) { v.TopSpeed = 0 }},
		{"vehicle: it has no power: give at least one value", nil, func(v *Vehicle) { v.Power = nil }},
		{"vehicle: point 1 of its power curve is 0 W: give one above 0", nil, func(v *Vehicle) { v.Power = ConstantPower(0) }},
		{"vehicle: point 2 of its power curve is at 5 m/s: give speeds that rise", nil, func(v *Vehicle) { v.Power = PowerCurve{{5, 1}, {5, 1}} }},
		{"vehicle: it shifts, but has no top speed: give the speed at the end of its last gear, or a shift time of 0", nil, func(v *Vehicle) { v.ShiftTime = 1 }},
		{"vehicle: the ratio of speed from gear to gear is 1: give one above 1", nil, func(v *Vehicle) { v.ShiftTime, v.TopSpeed, v.ShiftStep = 1, 60, 1 }},
		{"vehicle: its lowest upshift is at 0 m/s: give a speed above 0", nil, func(v *Vehicle) { v.ShiftTime, v.TopSpeed, v.ShiftStep = 1, 60, 1.3 }},
		{"vehicle: it would have more than 30 upshifts: give wider gears or a faster lowest upshift", nil, func(v *Vehicle) { v.ShiftTime, v.TopSpeed, v.ShiftStep, v.LowestShift = 1, 60, 1.01, 1 }},
		{"cell 1, 0 m from the start: a slope of 60 % is too steep for a grip of 0.5: give a gentler slope or more grip", hill(0.6), func(v *Vehicle) { v.Grip = 0.5 }},
		{"there: give more power, or a gentler slope", hill(0.4), func(v *Vehicle) { v.Power = PowerCurve{{0, 1}, {30, 2e3}} }},
		{"the car passes 3162 m/s: give it a drag area or a top speed, or the circuit a corner", circle100(t, 0), nil},
		{"cell 1, 0 m from the start: a banking of 40.1° is too steep to stand on with a grip of 0.5: give less banking or more grip", circle100(t, 0.7), func(v *Vehicle) { v.Grip = 0.5 }},
		{"cell 1, 0 m from the start: a banking of -45.8° leans too far out of the corner for a grip of 1.1: give less", circle100(t, -0.8), nil},
	} {
		car := plainCar()
		if c.change != nil {
			c.change(&car)
		}
		if c.path == nil {
			c.path = stadium(t, 10)
		}
		if c.want[:7] == "the car" {
			p, err := FromPieces([]Piece{{Length: 4000}}, 10)
			require.NoError(t, err)
			c.path = p
		}
		var lap Lap
		err := NewSolver().Lap(c.path, car, &lap)
		require.Error(t, err, c.want)
		assert.ErrorContains(t, err, c.want)
	}
	var lap Lap
	for _, p := range []*Path{nil, {}, {Cells: []Cell{{Length: 1}}}} {
		assert.EqualError(t, NewSolver().Lap(p, plainCar(), &lap), "the path is empty: make it with FromPieces or FromCentreLine")
	}
}

func circle100(t *testing.T, banking float64) *Path {
	t.Helper()
	p, err := FromPieces([]Piece{{Length: 200 * math.Pi, Curvature: 0.01, Banking: banking}}, 10)
	require.NoError(t, err)
	return p
}
