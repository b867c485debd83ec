package pool

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// One car, s and τ known, one exact reading and one that only says less: the mean
// of θ by quadrature over μ and θ of the model as written.
func TestBoundAgainstQuadrature(t *testing.T) {
	p := Priors{Median: 1e-7, Factor: math.Exp(1.2), KnownBetween: 0.8, KnownWithin: 0.5, VolumeError: 5e-6}
	cars := []Car{{Name: "42", Sessions: []Session{{Length: session, Volume: 20e-6}, {Length: session, Volume: 0}}}}
	out := pooled(t, cars, p)
	y, e := math.Log(20e-6/session), 0.25
	bound := math.Log(10e-6 / session)
	// θ before any reading: N(ln 1e-7, 1.2² + 0.8²)
	prior := distuv.Normal{Mu: math.Log(1e-7), Sigma: math.Hypot(1.2, 0.8)}
	density := func(theta float64) float64 {
		return prior.Prob(theta) * distuv.Normal{Mu: theta, Sigma: math.Hypot(0.5, e)}.Prob(y) * distuv.UnitNormal.CDF((bound-theta)/0.5)
	}
	below := func(density func(float64) float64, rate float64) float64 {
		return quad.Fixed(density, -26, math.Log(rate), 2000, nil, 0) / quad.Fixed(density, -26, -5, 2000, nil, 0)
	}
	assert.InDelta(t, 0.5, below(density, out.Cars[0].Median), 0.01)
	assert.InDelta(t, 0.05, below(density, out.Cars[0].Low), 0.005)
	assert.Equal(t, 1, out.Below)

	// and one of a can that overflowed at 200 mL, which only says more
	cars[0].Sessions[1] = Session{Length: session, Volume: 200e-6, Overflew: true}
	more := pooled(t, cars, p)
	above := func(theta float64) float64 {
		return prior.Prob(theta) * distuv.Normal{Mu: theta, Sigma: math.Hypot(0.5, e)}.Prob(y) * distuv.UnitNormal.CDF((theta-math.Log(200e-6/session))/0.5)
	}
	assert.InDelta(t, 0.5, below(above, more.Cars[0].Median), 0.01)
	assert.InDelta(t, 0.95, below(above, more.Cars[0].High), 0.01)
	assert.Equal(t, 1, more.Above)
}

// Twice as many places change no quantile by more than 2 %, with and without
// bounds.
func TestPlacesAreEnough(t *testing.T) {
	defer func(a, b places) { allExact, withBounds = a, b }(allExact, withBounds)
	twice := func(n places) places { return places{2 * n.first, 2 * n.grid, 2 * n.level, 2 * n.bound} }
	for name, f := range map[string]fleet{
		"dry cans": {level: math.Log(8e-9), between: 0.7, within: 0.5, cars: 4, sessions: 4, error: 5e-6},
		"wet":      {level: math.Log(1e-7), between: 0.2, within: 0.3, cars: 20, sessions: 8, error: 5e-6},
		"one car":  {level: math.Log(1e-7), between: 0.2, within: 0.3, cars: 1, sessions: 8, error: 5e-6},
	} {
		cars, _, _ := f.make(rand.New(rand.NewPCG(5, 5)))
		few, fewBounds := allExact, withBounds
		before := pooled(t, cars, Defaults)
		require.Equal(t, name == "dry cans", before.Below > 0, name)
		allExact, withBounds = twice(few), twice(fewBounds)
		after := pooled(t, cars, Defaults)
		allExact, withBounds = few, fewBounds
		for _, pair := range [][2]Level{{after.New, before.New}, {after.Session, before.Session}, {after.Cars[0], before.Cars[0]}} {
			assert.InEpsilon(t, pair[0].Median, pair[1].Median, 0.02, name)
			assert.InEpsilon(t, pair[0].Low, pair[1].Low, 0.02, name)
			assert.InEpsilon(t, pair[0].High, pair[1].High, 0.02, name)
		}
	}
}

// Dry cans count: leaving them out would say too much. Of fleets that move little,
// where a third of the readings are below the limit, the interval holds a new car
// as often as it says.
func TestFleetsOfDryCans(t *testing.T) {
	const n = 30
	held, low, all := 0, 0, 0
	bias, without := 0.0, 0.0
	for i := range n {
		r := rand.New(rand.NewPCG(23, uint64(i)))
		cars, _, next := fleet{level: math.Log(10e-9), between: 0.5, within: 0.5, cars: 4, sessions: 3, error: 5e-6}.make(r)
		out := pooled(t, cars, Defaults)
		low, all = low+out.Below, all+out.Sessions
		if x := math.Exp(next); x >= out.New.Low && x <= out.New.High {
			held++
		}
		bias += math.Log(out.New.Median) - math.Log(10e-9)
		for k := range cars {
			var wet []Session
			for _, s := range cars[k].Sessions {
				if s.read(Defaults.VolumeError).kind == exact {
					wet = append(wet, s)
				}
			}
			cars[k].Sessions = wet
		}
		without += math.Log(pooled(t, cars, Defaults).New.Median) - math.Log(10e-9)
	}
	t.Logf("%d of %d readings below the limit; held %d of %d; mean error on the log %.3f, %.3f with dry cans left out", low, all, held, n, bias/n, without/n)
	assert.Greater(t, float64(low)/float64(all), 0.2)
	assert.GreaterOrEqual(t, held, 21) // 0.9 · 30 less four standard errors of 1.6
	assert.Less(t, math.Abs(bias), math.Abs(without))
	assert.Less(t, math.Abs(bias)/n, 0.25)
}

func TestPoolRefusesWhatCantBe(t *testing.T) {
	_, err := Pool(context.Background(), []Car{{Name: "42", Sessions: []Session{{Length: 0, Volume: 1e-4}}}}, Defaults)
	assert.ErrorContains(t, err, "car 42: a session needs a length above 0")
	p := Defaults
	p.Factor = 1
	_, err = Pool(context.Background(), nil, p)
	assert.ErrorContains(t, err, "factor above 1")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Pool(ctx, nil, Defaults)
	assert.ErrorIs(t, err, context.Canceled)
	flat := Priors{Median: 1e-7, Factor: math.Inf(1), KnownWithin: 0.3, KnownBetween: 0.5}
	assert.True(t, math.IsNaN(pooled(t, nil, flat).New.Median), "flat, and nothing read")
}
