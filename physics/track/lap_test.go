package track

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
)

// plainCar has constant power and no drag.
func plainCar() Vehicle {
	return Vehicle{Mass: 1300, Power: ConstantPower(180e3), Grip: 1.1, TopSpeed: math.Inf(1)}
}

func stadium(t testing.TB, step float64) *Path {
	t.Helper()
	straight, corner := Piece{Length: 300}, Piece{Length: math.Pi * 40, Curvature: 1.0 / 40}
	p, err := FromPieces([]Piece{straight, corner, straight, corner}, step)
	require.NoError(t, err)
	return p
}

func heath(t testing.TB, step float64) *Path {
	t.Helper()
	p, err := FromPieces(heathPieces(), step)
	require.NoError(t, err)
	return p
}

func driven(t testing.TB, p *Path, v Vehicle) *Lap {
	t.Helper()
	var lap Lap
	require.NoError(t, NewSolver().Lap(p, v, &lap))
	return &lap
}

func TestStadiumLap(t *testing.T) {
	// Grip 1.1, 1300 kg, constant 180 kW, no drag. Exact mathematics, checked
	// against an ODE solver.
	for _, step := range []float64{1, 10, 1000} {
		lap := driven(t, stadium(t, step), plainCar())
		assert.InDelta(t, 29.339051, lap.Time, 5e-7, "cells of %g m", step)
		slowest, fastest := math.Inf(1), 0.0
		for _, x := range lap.Samples {
			slowest, fastest = min(slowest, x.Speed), max(fastest, x.Speed)
		}
		assert.InDelta(t, 20.772400, slowest, 5e-7)
		if step == 1 {
			assert.InDelta(t, 46.465057, fastest, 0.05)
		}
	}
}

// The same lap from many tiny steps: forces from the geometry of a surface, by
// vectors, and a midpoint rule.
func TestLapAgainstManySmallSteps(t *testing.T) {
	for name, car := range map[string]Vehicle{"plain": plainCar(), "with drag and a power curve": unshiftedCar()} {
		want := smallSteps(heathPieces(), car, 0.02)
		t.Logf("%s: %.6f s, from small steps %.6f s", name, driven(t, heath(t, 1), car).Time, want)
		assert.InEpsilon(t, want, driven(t, heath(t, 1), car).Time, 3e-7, name)
		assert.InEpsilon(t, want, driven(t, heath(t, DefaultStep), car).Time, 1e-5, name)
	}
}

// unshiftedCar has drag and a power curve.
func unshiftedCar() Vehicle {
	v := clubCar()
	v.ShiftTime, v.TopSpeed = 0, math.Inf(1)
	return v
}

// smallSteps returns the lap time from steps of about h metres.
func smallSteps(pieces []Piece, car Vehicle, h float64) float64 {
	type vector [3]float64 // forward, left, up in the plan
	dot := func(a, b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
	type at struct{ h, curvature, slope, banking float64 }
	var steps []at
	for _, p := range pieces {
		n := int(math.Ceil(p.Length / h))
		for range n {
			steps = append(steps, at{p.Length / float64(n), p.Curvature, math.Atan(p.Slope), math.Copysign(p.Banking, p.Banking*p.Curvature)})
		}
	}
	drag := car.AirDensity * car.DragArea / 2 / car.Mass
	// grip left, and drag with slope, at v²
	forces := func(x at, u float64) (left, against float64) {
		ss, cs := math.Sincos(x.slope)
		sb, cb := math.Sincos(x.banking)
		side := vector{sb * ss, cb, -sb * cs}
		up := vector{-cb * ss, sb, cb * cs}
		felt := vector{0, u * cs * x.curvature, physics.StandardGravity}
		across, press := dot(felt, side), dot(felt, up)
		return car.Grip*car.Grip*press*press - across*across, drag*u + physics.StandardGravity*ss
	}
	n := len(steps)
	brakes, drive := make([]float64, n+1), make([]float64, n+1)
	cap := make([]float64, n)
	for i, x := range steps {
		low, high := 0.0, 1e5 // bisection for the cornering limit
		for range 60 {
			if left, _ := forces(x, (low+high)/2); left >= 0 {
				low = (low + high) / 2
			} else {
				high = (low + high) / 2
			}
		}
		cap[i] = low
	}
	root := func(x float64) float64 { return math.Sqrt(max(x, 0)) }
	brake := func(x at, u float64) float64 { l, a := forces(x, u); return 2 * (root(l) + a) }
	push := func(x at, u float64) float64 {
		l, a := forces(x, u)
		return 2 * (min(root(l), car.Power.At(math.Sqrt(u))/math.Sqrt(u)/car.Mass) - a)
	}
	brakes[n], drive[0] = cap[0], cap[0]
	for range 2 {
		for i := n - 1; i >= 0; i-- {
			x, u := steps[i], min(brakes[i+1], cap[i])
			half := min(u+x.h/2*brake(x, u), cap[i])
			brakes[i] = min(u+x.h*brake(x, half), cap[i])
		}
		brakes[n] = brakes[0]
	}
	time := 0.0
	for range 2 {
		time = 0
		for i, x := range steps {
			u := min(drive[i], brakes[i])
			half := max(min(u+x.h/2*push(x, u), cap[i]), 1)
			drive[i+1] = min(u+x.h*push(x, half), cap[i], brakes[i+1])
			time += 2 * x.h / (math.Sqrt(u) + math.Sqrt(drive[i+1]))
		}
		drive[0] = drive[n]
	}
	return time
}

func TestLapConvergesWithTheGrid(t *testing.T) {
	line := func(step float64) *Path {
		p, _, err := FromCentreLine(laidOut(heathPieces(), 15), Smoothing{Error: 0.3}, step)
		require.NoError(t, err)
		return p
	}
	for _, c := range []struct {
		name        string
		path        func(step float64) *Path
		car         Vehicle
		coarse, end float64 // relative error at 10 m and at 1.25 m
	}{
		{"pieces, plain car", func(h float64) *Path { return heath(t, h) }, plainCar(), 5e-6, 5e-8},
		{"pieces, all there is", func(h float64) *Path { return heath(t, h) }, clubCar(), 1e-5, 2e-7},
		{"centre line, plain car", line, plainCar(), 5e-4, 2e-5},
		{"centre line, all there is", line, clubCar(), 5e-4, 2e-5},
	} {
		reference := driven(t, c.path(10.0/64), c.car)
		last := math.Inf(1)
		for _, step := range []float64{10, 5, 2.5, 1.25} {
			lap := driven(t, c.path(step), c.car)
			off := math.Abs(lap.Time/reference.Time - 1)
			share := lap.FullThrottle/lap.Time - reference.FullThrottle/reference.Time
			t.Logf("%s: cells of %5.2f m: lap %.6f s, off by %.1e (order %.1f), full throttle off by %+.3f %%",
				c.name, step, lap.Time, off, math.Log2(last/off), 100*share)
			assert.InDelta(t, 0, share, 0.0015)
			if step == 10 {
				assert.Less(t, off, c.coarse, c.name)
			}
			last = off
		}
		assert.Less(t, last, c.end, c.name)
	}
}

func TestMirroredCircuit(t *testing.T) {
	pieces := heathPieces()
	pieces[0].Banking = 0.02 // of a straight: the right side is higher
	mirrored := make([]Piece, len(pieces))
	for i, p := range pieces {
		mirrored[i] = p
		mirrored[i].Curvature = -p.Curvature
		if p.Curvature == 0 {
			mirrored[i].Banking = -p.Banking
		}
	}
	a, err := FromPieces(pieces, 10)
	require.NoError(t, err)
	b, err := FromPieces(mirrored, 10)
	require.NoError(t, err)
	assert.Equal(t, a.Turning, -b.Turning)
	assertMirrored(t, driven(t, a, clubCar()), driven(t, b, clubCar()))

	points := laidOut(heathPieces(), 15)
	p, _, err := FromCentreLine(points, Smoothing{Error: 0.2}, 10)
	require.NoError(t, err)
	for i := range points {
		points[i].Y = -points[i].Y
	}
	q, _, err := FromCentreLine(points, Smoothing{Error: 0.2}, 10)
	require.NoError(t, err)
	assertMirrored(t, driven(t, p, clubCar()), driven(t, q, clubCar()))
}

func assertMirrored(t *testing.T, a, b *Lap) {
	t.Helper()
	require.Equal(t, len(a.Samples), len(b.Samples))
	assert.Equal(t, a.Time, b.Time)
	for i := range a.Samples {
		b.Samples[i].Left = -b.Samples[i].Left
	}
	assert.Equal(t, a.Samples, b.Samples, "bit for bit")
}

func TestReversedCircuit(t *testing.T) {
	pieces := heathPieces()
	n := len(pieces)
	reversed := make([]Piece, n)
	for i, p := range pieces {
		p.Curvature, p.Slope = -p.Curvature, -p.Slope
		reversed[n-1-i] = p
	}
	back, err := FromPieces(reversed, 10)
	require.NoError(t, err)
	limits := func(p *Path) (u []float64) {
		for i := range p.surfaces {
			var g ground
			require.NoError(t, g.set(&p.surfaces[i], 1.1, 0, math.Inf(1)))
			u = append(u, g.limit)
		}
		return u
	}
	there, home := limits(heath(t, 10)), limits(back)
	require.Equal(t, len(there), len(home))
	for i := range there {
		assert.Equal(t, there[i], home[len(home)-1-i])
	}
	// On the level, without drag and with all the power there is, a lap driven
	// backward is the same film run backward.
	car := plainCar()
	car.Power = ConstantPower(1e9)
	flat := func(pieces []Piece) *Path {
		level := make([]Piece, n)
		for i, p := range pieces {
			level[i] = Piece{Length: p.Length, Curvature: p.Curvature}
		}
		p, err := FromPieces(level, 1)
		require.NoError(t, err)
		return p
	}
	assert.InEpsilon(t, driven(t, flat(pieces), car).Time, driven(t, flat(reversed), car).Time, 1e-8)
}

func TestEnergyOverALap(t *testing.T) {
	path := heath(t, 0.25)
	car := unshiftedCar()
	lap := driven(t, path, car)
	drive, drag, brakes, height, length := 0.0, 0.0, 0.0, 0.0, 0.0
	for _, c := range path.Cells {
		height += c.Length * math.Sin(math.Atan(c.Slope))
	}
	for _, x := range lap.Samples {
		resistance := car.AirDensity * car.DragArea / 2 * x.Speed * x.Speed
		s := x.Speed * x.Duration
		length += s
		drive += x.Load * car.Power.At(x.Speed) * x.Duration
		drag += resistance * s
		if x.Load == 0 {
			brakes -= (car.Mass*x.Forward + resistance) * s
		}
	}
	lost := drag + brakes + car.Mass*physics.StandardGravity*height
	assert.InEpsilon(t, lost, drive, 1e-6)
	assert.InEpsilon(t, path.Length, length, 1e-12)
	assert.Greater(t, brakes, 0.2*drive)
	assert.Greater(t, drag, 0.2*drive)
}

func TestScales(t *testing.T) {
	// A circuit 4 times as long at twice the speed: the same forces.
	large := heathPieces()
	for i := range large {
		large[i].Length, large[i].Curvature = 4*large[i].Length, large[i].Curvature/4
	}
	p, err := FromPieces(large, 40)
	require.NoError(t, err)
	fast := clubCar()
	fast.Power = append(PowerCurve{}, fast.Power...)
	for i := range fast.Power {
		fast.Power[i].Speed, fast.Power[i].Power = 2*fast.Power[i].Speed, 2*fast.Power[i].Power
	}
	fast.DragArea, fast.TopSpeed, fast.LowestShift, fast.ShiftTime = fast.DragArea/4, 2*fast.TopSpeed, 2*fast.LowestShift, 2*fast.ShiftTime
	small, big := driven(t, heath(t, 10), clubCar()), driven(t, p, fast)
	assert.InEpsilon(t, 2*small.Time, big.Time, 1e-9)
	assert.InEpsilon(t, 2*small.FullThrottle, big.FullThrottle, 1e-9)

	// Twice the mass, power and drag: the same lap.
	heavy := clubCar()
	heavy.Power = append(PowerCurve{}, heavy.Power...)
	for i := range heavy.Power {
		heavy.Power[i].Power *= 2
	}
	heavy.Mass, heavy.DragArea = 2*heavy.Mass, 2*heavy.DragArea
	assert.InEpsilon(t, small.Time, driven(t, heath(t, 10), heavy).Time, 1e-12)
}

func TestMoreIsFaster(t *testing.T) {
	base := driven(t, heath(t, 10), clubCar()).Time
	for name, change := range map[string]func(*Vehicle){
		"grip":    func(v *Vehicle) { v.Grip *= 1.02 },
		"power":   func(v *Vehicle) { v.Power = PowerCurve{{10, 100e3}, {25, 175e3}, {40, 190e3}, {70, 185e3}} },
		"drag":    func(v *Vehicle) { v.DragArea *= 0.9 },
		"mass":    func(v *Vehicle) { v.Mass *= 0.97 },
		"shifts":  func(v *Vehicle) { v.ShiftTime = 0.05 },
		"gearing": func(v *Vehicle) { v.TopSpeed, v.ShiftTime = 90, 0 },
	} {
		v := clubCar()
		change(&v)
		assert.Less(t, driven(t, heath(t, 10), v).Time, base, name)
	}
}

func TestFromAnyStart(t *testing.T) {
	pieces := heathPieces()
	want := driven(t, heath(t, 10), clubCar())
	for k := range pieces {
		p, err := FromPieces(append(append([]Piece{}, pieces[k:]...), pieces[:k]...), 10)
		require.NoError(t, err)
		lap := driven(t, p, clubCar())
		assert.InEpsilon(t, want.Time, lap.Time, 1e-9)
		assert.InEpsilon(t, want.FullThrottle, lap.FullThrottle, 1e-9)
		assert.Equal(t, 0.0, lap.Samples[0].Distance)
		for i, x := range lap.Samples[1:] {
			before := lap.Samples[i]
			require.InDelta(t, before.Distance+before.Speed*before.Duration, x.Distance, 1e-6)
			require.InDelta(t, before.Time+before.Duration, x.Time, 1e-9)
		}
	}
}

func TestNothingIsAllocated(t *testing.T) {
	path, s := heath(t, 10), NewSolver()
	var lap Lap
	var phases []Phase
	drive := func() {
		if err := s.Lap(path, allocationCar, &lap); err != nil {
			t.Error(err)
		}
		phases = lap.Phases(Tolerance{}, phases)
	}
	drive()
	assert.Zero(t, testing.AllocsPerRun(10, drive))
}

var allocationCar = clubCar()
