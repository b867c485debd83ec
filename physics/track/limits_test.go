package track

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
)

// The values of this file are exact mathematics, each checked against an ODE
// solver, if nothing else is said.

// groundOf is one piece as it is driven with a grip; drag is k/m.
func groundOf(t *testing.T, p Piece, grip, drag float64) *ground {
	t.Helper()
	path, err := FromPieces([]Piece{p}, p.Length)
	require.NoError(t, err)
	var g ground
	require.NoError(t, g.set(&path.surfaces[0], grip, drag, math.Inf(1)))
	return &g
}

func TestCornerSpeed(t *testing.T) {
	for _, c := range []struct{ grip, radius, speed float64 }{
		{1.0, 50, 22.143453}, {1.2, 30, 18.789343}, {1.1, 100, 32.844048}, {0.9, 15, 11.506076},
	} {
		for _, side := range []float64{1, -1} {
			g := groundOf(t, Piece{Length: 10, Curvature: side / c.radius}, c.grip, 0)
			assert.InDelta(t, c.speed, math.Sqrt(g.limit), 5e-7)
			assert.InDelta(t, 0, g.hold(g.limit), 1e-12)
		}
	}
}

func TestCornerSpeedOnBanking(t *testing.T) {
	const grip, radius = 0.9, 80.0
	for _, banking := range []float64{-0.3, 0.1, 0.4} {
		for _, slope := range []float64{0, 0.08} {
			g := groundOf(t, Piece{Length: 10, Curvature: -1 / radius, Banking: banking, Slope: slope}, grip, 0)
			sin, cos := math.Sincos(banking)
			want := physics.StandardGravity * radius * (grip*cos + sin) / (cos - grip*sin)
			assert.InEpsilon(t, want, g.limit, 1e-12, "v² = g r (μ cos β + sin β)/(cos β - μ sin β), on any slope")
			assert.InDelta(t, 0, g.hold(g.limit), 1e-6)
		}
	}
	steep := groundOf(t, Piece{Length: 10, Curvature: 1 / radius, Banking: math.Atan(1/1.2) + 0.01}, 1.2, 0)
	assert.True(t, math.IsInf(steep.limit, 1), "a bank steeper than atan(1/μ) holds at any speed")
	assert.Greater(t, steep.hold(1e5), steep.hold(1e3))
}

func TestFrictionCircleOnConstantRadius(t *testing.T) {
	g := groundOf(t, Piece{Length: 100, Curvature: 1.0 / 60}, 1.1, 0)
	assert.InDelta(t, 25.440890, math.Sqrt(g.limit), 5e-7)
	for _, c := range []struct{ v0, s, v, all float64 }{
		{10, 20, 21.771906, 42.470175}, {15, 30, 25.144242, 36.472605},
	} {
		u := c.v0 * c.v0
		assert.InDelta(t, c.v, math.Sqrt(g.atTheLimit(u, c.s, 1)), 5e-7)
		assert.InDelta(t, c.v, math.Sqrt(g.atTheLimit(u, c.s, -1)), 5e-7, "the brakes, seen backward")
		assert.InDelta(t, c.all, g.distanceAtTheLimit(g.limit, span{u, g.limit, 100}, 1), 5e-7)
		assert.Equal(t, g.limit, g.atTheLimit(u, c.all+1, 1))
		inSteps := u
		for range int(c.s) * 10 { // the Runge-Kutta steps of light cornering, then the closed form
			inSteps = g.atTheLimit(inSteps, 0.1, 1)
		}
		assert.InDelta(t, c.v, math.Sqrt(inSteps), 1e-6)
	}
	assert.InDelta(t, 8.288702, g.hold(0.8*0.8*g.limit), 5e-7, "a_x = μ g √(1 - 0.8⁴)")
}

// The closed form of the friction circle against many small steps, with drag,
// slope and banking, driving and braking.
func TestFrictionCircleWithDragSlopeAndBanking(t *testing.T) {
	for _, c := range []struct {
		name      string
		slope     float64
		banking   float64
		direction float64
	}{
		{"flat, drive", 0, 0, 1}, {"flat, brakes", 0, 0, -1}, {"uphill, drive", 0.1, 0, 1}, {"uphill, brakes", 0.1, 0, -1},
		{"downhill, drive", -0.1, 0, 1}, {"downhill, brakes", -0.1, 0, -1},
		{"banked, drive", 0.05, 0.3, 1}, {"banked, brakes", -0.05, 0.3, -1}, {"off camber, drive", 0.02, -0.1, 1},
	} {
		g := groundOf(t, Piece{Length: 100, Curvature: 1.0 / 60, Slope: c.slope, Banking: c.banking}, 1.1, 5e-4)
		for _, share := range []float64{0.3, 0.7, 0.95} {
			u, steps, h := share*g.limit, 40000, 15.0
			want := u
			for range steps { // a midpoint step never looks beyond the limit for long
				half := want + h/float64(steps)*(g.hold(want)-c.direction*g.against(want))
				want = min(want+2*h/float64(steps)*(g.hold(half)-c.direction*g.against(half)), g.limit)
			}
			assert.InEpsilon(t, want, g.atTheLimit(u, h, c.direction), 2e-6, "%s from %g of the limit", c.name, share)
		}
	}
}

func TestConstantPower(t *testing.T) {
	car := plainCar()
	s := &Solver{vehicle: &car}
	for _, c := range []struct{ v0, s, v, t float64 }{
		{0, 402.336, 55.082431, 10.956379}, {20, 100, 36.726610, 3.426381},
		{20, 300, 50.995435, 7.946374}, {30, 500, 61.683113, 10.489579},
	} {
		var g ground
		p, _, _ := s.propulsion(&g, c.v0*c.v0)
		u := p.advance(c.v0*c.v0, c.s)
		assert.InDelta(t, c.v, math.Sqrt(u), 5e-7)
		m := stretchDriven{manner: fullPower, from: c.v0 * c.v0, to: u, length: c.s}
		assert.InDelta(t, c.t, s.timed(&g, &m).duration, 5e-7)
		assert.InDelta(t, c.s/2, p.distance(p.advance(m.from, c.s/2), span{m.from, u, c.s}), 1e-9)
	}
}

func TestConstantPowerWithDrag(t *testing.T) {
	p := propulsion{constant: 180e3 / 1300.0, drag: 0.42 / 1300}
	sloping := p
	sloping.slope = -1e-12 // takes the Runge-Kutta steps
	for _, c := range []struct{ v0, s, v float64 }{{20, 100, 36.049813}, {20, 300, 48.504394}, {30, 500, 56.590469}} {
		assert.InDelta(t, c.v, math.Sqrt(p.advance(c.v0*c.v0, c.s)), 5e-7)
		u := c.v0 * c.v0
		for range 20 {
			u = sloping.advance(u, c.s/20)
		}
		assert.InDelta(t, c.v, math.Sqrt(u), 5e-7, "Runge-Kutta")
	}
	path, err := FromPieces([]Piece{{Length: 1000}}, 10)
	require.NoError(t, err)
	car := plainCar()
	car.DragArea, car.AirDensity = 0.7, 1.2 // k = 0.42 kg/m
	var lap Lap
	require.NoError(t, NewSolver().Lap(path, car, &lap))
	assert.InDelta(t, 75.394744, 1000/lap.Time, 5e-7, "an endless straight is driven at terminal speed")
	assert.Equal(t, lap.Time, lap.FullThrottle)
}

func TestBraking(t *testing.T) {
	force := 1.1 * physics.StandardGravity
	assert.InDelta(t, 97.336548, linear{force: force}.distance(20*20, 50*50), 5e-7)
	m := stretchDriven{from: 50 * 50, to: 20 * 20, length: 97.336548}
	assert.InDelta(t, 2.781044, m.timed(-force, -force).duration, 5e-7)
	const drag = 0.42 / 1300
	distance := linear{force, -drag}.distance(20*20, 50*50)
	assert.InDelta(t, 93.313694, distance, 5e-7)
	assert.InDelta(t, 50*50, linear{force, -drag}.advance(20*20, distance), 1e-9)
	g := groundOf(t, Piece{Length: 100}, 1.1, drag)
	assert.InDelta(t, 50*50, g.atTheLimit(20*20, distance, -1), 1e-9)
}

func TestStraightBetweenCorners(t *testing.T) {
	// From 22 to 18 m/s over 400 m.
	radius := func(v float64) float64 { return v * v / (1.1 * physics.StandardGravity) }
	for _, step := range []float64{1000, 10, 1} {
		path, err := FromPieces([]Piece{
			{Length: 400}, {Length: 20, Curvature: 1 / radius(18)}, {Length: 100, Curvature: 1 / radius(22)},
		}, step)
		require.NoError(t, err)
		var lap Lap
		require.NoError(t, NewSolver().Lap(path, plainCar(), &lap))
		time, brakes, peak := 0.0, 0.0, 22.0
		for _, x := range lap.Samples {
			if x.Distance >= 400-1e-9 {
				break
			}
			time += x.Duration
			if x.Load == 1 {
				peak += x.Forward * x.Duration
			} else if brakes == 0 {
				brakes = x.Distance
			}
		}
		assert.InDelta(t, 10.718542, time, 5e-7, "cells of %g m", step)
		assert.InDelta(t, 294.308917, brakes, 5e-7)
		assert.InDelta(t, 51.031814, peak, 5e-7)
	}
}
