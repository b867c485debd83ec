package track

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPathOfPieces(t *testing.T) {
	p := stadium(t, 7)
	assert.InDelta(t, 600+80*math.Pi, p.Length, 1e-9)
	assert.InDelta(t, 2*math.Pi, p.Turning, 1e-12)
	assert.InDelta(t, 0, p.Gap, 1e-9)
	length := 0.0
	for _, c := range p.Cells {
		assert.LessOrEqual(t, c.Length, 7.0)
		length += c.Length
	}
	assert.InDelta(t, p.Length, length, 1e-9)
	assert.Len(t, p.Cells, 2*(43+18))

	open, err := FromPieces([]Piece{{Length: 30}, {Length: 20 * math.Pi, Curvature: -1.0 / 40}}, 0)
	require.NoError(t, err)
	assert.InDelta(t, math.Hypot(70, 40), open.Gap, 1e-12, "a straight of 30 m and a quarter to the right")
	assert.InDelta(t, -math.Pi/2, open.Turning, 1e-15)

	hill, err := FromPieces([]Piece{{Length: 100, Slope: 0.75}}, 0)
	require.NoError(t, err)
	assert.InDelta(t, 100, hill.Gap, 1e-12, "length is along the slope")
}

func TestTurningOfAFigureOfEight(t *testing.T) {
	// Two three-quarter circles joined by straights that cross.
	loop := Piece{Length: 1.5 * math.Pi * 50, Curvature: 1.0 / 50}
	back := loop
	back.Curvature = -back.Curvature
	p, err := FromPieces([]Piece{{Length: 100}, loop, {Length: 100}, back}, 5)
	require.NoError(t, err)
	assert.InDelta(t, 0, p.Turning, 1e-12)
	assert.InDelta(t, 0, p.Gap, 1e-9)
	left, right := 0.0, 0.0
	for _, x := range driven(t, p, plainCar()).Samples {
		left = max(left, x.Left)
		right = min(right, x.Left)
	}
	assert.Equal(t, left, -right)
	assert.InDelta(t, 1.1*9.80665, left, 1e-6)
}

func TestOneWayCircuit(t *testing.T) {
	for _, x := range driven(t, stadium(t, 10), clubCar()).Samples {
		assert.GreaterOrEqual(t, x.Left, 0.0)
	}
}

func TestFeltOnSlopeAndBanking(t *testing.T) {
	// A circle on a bank at the speed at which nothing is felt to the side: v² = g
	// r tan β, held by a top speed. Derived.
	const radius, banking = 100.0, 0.3
	p, err := FromPieces([]Piece{{Length: 2 * math.Pi * radius, Curvature: -1 / radius, Banking: banking}}, 10)
	require.NoError(t, err)
	car := plainCar()
	car.TopSpeed = math.Sqrt(9.80665 * radius * math.Tan(banking))
	for _, x := range driven(t, p, car).Samples {
		assert.InDelta(t, 0, x.Left, 1e-12)
		assert.InDelta(t, 0, x.Forward, 1e-12)
		assert.InDelta(t, car.TopSpeed, x.Speed, 1e-12)
	}
	// A straight whose right side is higher: what is felt points up, of which the
	// car's left gets the less than nothing; uphill the car feels pressed forward.
	p, err = FromPieces([]Piece{{Length: 500, Slope: 0.1, Banking: 0.2}, {Length: 500, Slope: -0.1, Banking: 0.2}}, 10)
	require.NoError(t, err)
	car.TopSpeed = 20
	lap := driven(t, p, car)
	cos := 1 / math.Sqrt(1.01)
	for _, x := range lap.Samples {
		assert.InDelta(t, -9.80665*cos*math.Sin(0.2), x.Left, 1e-12)
		slope := 0.1
		if x.Distance >= 500 {
			slope = -0.1
			assert.Equal(t, 0.0, x.Load, "downhill nothing drives the car at its top speed")
		}
		assert.InDelta(t, 9.80665*cos*slope, x.Forward, 1e-12)
	}
}

func TestPiecesThatAreNone(t *testing.T) {
	good := Piece{Length: 100}
	for want, p := range map[string]Piece{
		"piece 2: its length is 0 m: give a length above 0":                                  {},
		"piece 2: its length is -5 m: give a length above 0":                                 {Length: -5},
		"piece 2: its length is NaN m: give a length above 0":                                {Length: math.NaN()},
		"piece 2: its radius is 0.5 m, below 1 m: give a larger one":                         {Length: 1, Curvature: -2},
		"piece 2: its slope is 120 %, beyond 100 %: give a gentler one":                      {Length: 1, Slope: 1.2},
		"piece 2: its banking is 114.6°, beyond 60°: give a smaller one":                     {Length: 1, Banking: 2},
		"piece 2: more than 1000000 cells: shorten the circuit or lengthen the step of 10 m": {Length: 1e9},
	} {
		_, err := FromPieces([]Piece{good, p}, 10)
		assert.EqualError(t, err, want)
	}
	_, err := FromPieces(nil, 10)
	assert.EqualError(t, err, "the circuit has no pieces: give at least one")
	for _, step := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err = FromPieces([]Piece{good}, step)
		assert.ErrorContains(t, err, "give a length above 0")
	}
}
