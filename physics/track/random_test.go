package track

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Random circuits and vehicles, many of them absurd: an error, or a lap that
// holds together.
func TestRandomCircuits(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 7))
	s := NewSolver()
	var lap Lap
	var phases []Phase
	laps := 0
	for range 1500 {
		p, err := FromPieces(randomPieces(r), []float64{2, 10, 80}[r.IntN(3)])
		require.NoError(t, err)
		v := randomVehicle(r)
		if err := s.Lap(p, v, &lap); err != nil {
			assert.NotEmpty(t, err.Error())
			continue
		}
		laps++
		checkLap(t, p, v, &lap)
		phases = lap.Phases(Tolerance{}, phases)
		time := 0.0
		for _, x := range phases {
			time += x.Duration
			require.False(t, math.IsNaN(x.Load+x.Forward+x.Left+x.Speed))
		}
		require.InEpsilon(t, lap.Time, time, 1e-9)
	}
	t.Logf("%d of 1500 circuits can be driven", laps)
	assert.Greater(t, laps, 1000)
}

func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

func randomPieces(r *rand.Rand) []Piece {
	pieces := make([]Piece, 1+r.IntN(8))
	for i := range pieces {
		p := &pieces[i]
		p.Length = math.Exp(between(r, -3, 7))
		if r.IntN(3) > 0 {
			p.Curvature = math.Exp(between(r, -12, 0))
			if r.IntN(2) == 0 {
				p.Curvature = -p.Curvature
			}
		}
		if r.IntN(3) == 0 {
			p.Slope = between(r, -0.3, 0.3)
		}
		if r.IntN(3) == 0 {
			p.Banking = between(r, -0.3, 0.8)
		}
	}
	return pieces
}

func randomVehicle(r *rand.Rand) Vehicle {
	v := Vehicle{
		Mass: math.Exp(between(r, 5, 9)), Power: ConstantPower(math.Exp(between(r, 8, 14))),
		Grip: between(r, 0.2, 2), TopSpeed: math.Inf(1),
	}
	if r.IntN(4) > 0 {
		v.DragArea, v.AirDensity = math.Exp(between(r, -3, 2)), 1.2
	}
	if r.IntN(2) == 0 {
		v.TopSpeed = between(r, 5, 100)
	}
	if r.IntN(2) == 0 {
		v.Power = v.Power[:0]
		for speed := 0.0; speed < 80; speed += between(r, 0.5, 40) {
			v.Power = append(v.Power, PowerPoint{speed, math.Exp(between(r, 8, 14))})
		}
	}
	if !math.IsInf(v.TopSpeed, 1) && r.IntN(2) == 0 {
		v.ShiftTime, v.ShiftStep, v.LowestShift = between(r, 0.05, 1), between(r, 1.1, 2), between(r, 1, 20)
		if math.Log(v.TopSpeed/v.LowestShift) > mostShifts*math.Log(v.ShiftStep) {
			v.ShiftTime = 0
		}
	}
	return v
}

// checkLap checks that the samples join, keep to the cell limits, and that load
// and accelerations are what they can be.
func checkLap(t *testing.T, p *Path, v Vehicle, lap *Lap) {
	t.Helper()
	distance, time := 0.0, 0.0
	for i, x := range lap.Samples {
		require.False(t, math.IsNaN(x.Duration+x.Speed+x.Load+x.Forward+x.Left), "%d: %+v", i, x)
		require.InDelta(t, distance, x.Distance, 1e-6*p.Length)
		require.InDelta(t, time, x.Time, 1e-9*lap.Time)
		require.Greater(t, x.Duration, 0.0)
		require.LessOrEqual(t, x.Speed, v.TopSpeed*(1+1e-9))
		require.True(t, x.Load >= 0 && x.Load <= 1)
		distance += x.Speed * x.Duration
		time += x.Duration
	}
	require.InEpsilon(t, p.Length, distance, 1e-9)
	require.InEpsilon(t, lap.Time, time, 1e-9)
}
