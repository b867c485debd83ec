package track

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPhasesKeepTheMeans(t *testing.T) {
	lap := driven(t, heath(t, 10), clubCar())
	for _, tol := range []Tolerance{{}, {Load: 0.3, Acceleration: 4}, {Load: 1e-9, Acceleration: 1e-9}, {Load: 1, Acceleration: 100}} {
		phases := lap.Phases(tol, nil)
		var time, length, full float64
		var got, want [3]float64
		for i, p := range phases {
			assert.InDelta(t, length, p.Distance, 1e-6, "phase %d", i)
			time += p.Duration
			length += p.Duration * p.Speed
			got[0] += p.Load * p.Duration
			got[1] += p.Forward * p.Duration
			got[2] += p.Left * p.Duration
			if p.Load >= FullThrottleLoad {
				full += p.Duration
			}
		}
		for _, s := range lap.Samples {
			want[0] += s.Load * s.Duration
			want[1] += s.Forward * s.Duration
			want[2] += s.Left * s.Duration
		}
		assert.InEpsilon(t, lap.Time, time, 1e-12)
		assert.InEpsilon(t, lap.FullThrottle, full, 1e-12)
		for k := range want {
			assert.InDelta(t, want[k], got[k], 1e-9)
		}
		assert.LessOrEqual(t, len(phases), len(lap.Samples))
	}
	loose, tight := lap.Phases(Tolerance{Load: 0.3, Acceleration: 4}, nil), lap.Phases(Tolerance{Load: 1e-9, Acceleration: 1e-9}, nil)
	assert.Less(t, 5*len(loose), len(tight))
}

func TestPhasesKeepToTheTolerance(t *testing.T) {
	lap := driven(t, heath(t, 2), clubCar())
	tol := Tolerance{Load: 0.05, Acceleration: 0.98}
	i := 0
	for _, p := range lap.Phases(tol, nil) {
		for end := p.Distance + p.Duration*p.Speed - 1e-6; i < len(lap.Samples) && lap.Samples[i].Distance < end; i++ {
			s := lap.Samples[i]
			assert.InDelta(t, p.Load, s.Load, tol.Load+1e-12)
			assert.InDelta(t, p.Forward, s.Forward, tol.Acceleration+1e-12)
			assert.InDelta(t, p.Left, s.Left, tol.Acceleration+1e-12)
			assert.Equal(t, p.Load >= FullThrottleLoad, s.Load >= FullThrottleLoad)
		}
	}
	assert.Equal(t, len(lap.Samples), i)
	assert.Empty(t, (&Lap{}).Phases(Tolerance{}, nil))
}
