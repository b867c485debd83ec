package pool

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fleet makes cars: levels about a shop's, sessions about a car's. Rates are logs
// of m3/s, volumes are read with a normal error.
type fleet struct {
	level, between, within float64
	cars, sessions         int
	error                  float64 // m3
}

const session = 1500.0 // s

func (f fleet) make(r *rand.Rand) (cars []Car, levels []float64, next float64) {
	for range f.cars {
		theta := f.level + f.between*r.NormFloat64()
		c := Car{Name: "made"}
		for range f.sessions {
			v := session * math.Exp(theta+f.within*r.NormFloat64())
			c.Sessions = append(c.Sessions, Session{Length: session, Volume: max(0, v+f.error*r.NormFloat64())})
		}
		cars, levels = append(cars, c), append(levels, theta)
	}
	return cars, levels, f.level + f.between*r.NormFloat64()
}

func pooled(t *testing.T, cars []Car, p Priors) *Pooled {
	t.Helper()
	out, err := Pool(context.Background(), cars, p)
	require.NoError(t, err)
	return out
}

// carOf makes a car from logs of its rates, read without error.
func carOf(logs ...float64) Car {
	c := Car{Name: "42"}
	for _, y := range logs {
		c.Sessions = append(c.Sessions, Session{Length: session, Volume: session * math.Exp(y)})
	}
	return c
}

func TestHermiteIntegratesANormal(t *testing.T) {
	var one, square, fourth float64
	for _, at := range hermite(24) {
		one, square, fourth = one+at.weight, square+at.weight*at.z*at.z, fourth+at.weight*math.Pow(at.z, 4)
	}
	assert.InDelta(t, 1, one, 1e-12)
	assert.InDelta(t, 1, square, 1e-10)
	assert.InDelta(t, 3, fourth, 1e-9)
}

// With s = 1/2 and τ = 1 known, a prior N(-10, 2²) and two cars, means -10.5 (two
// readings) and -9 (one): by hand, V1 = 1/8 + 1 = 9/8, V2 = 1/4 + 1 = 5/4,
// precision of μ 8/9 + 4/5 + 1/4 = 349/180.
func TestKnownSpreadsByHand(t *testing.T) {
	p := Priors{Median: math.Exp(-10), Factor: math.Exp(2), KnownBetween: 1, KnownWithin: 0.5}
	out := pooled(t, []Car{carOf(-10, -11), carOf(-9)}, p)
	level := (-10.5*8/9 - 9*0.8 - 10*0.25) / (349.0 / 180)
	v := 180.0 / 349
	assert.InDelta(t, level, math.Log(out.New.Median), 1e-9)
	assert.InDelta(t, math.Sqrt(1+v), math.Log(out.New.Factor), 1e-6)
	assert.InDelta(t, math.Sqrt(1.25+v), math.Log(out.Session.Factor), 1e-6)

	share := (1.0 / 8) / (9.0 / 8) // of the shop in the first car
	assert.InDelta(t, share*level-(1-share)*10.5, math.Log(out.Cars[0].Median), 1e-9)
	assert.InDelta(t, math.Sqrt(1.0/9+v/81), math.Log(out.Cars[0].Factor), 1e-6)
	share = (1.0 / 4) / (5.0 / 4)
	assert.InDelta(t, share*level-(1-share)*9, math.Log(out.Cars[1].Median), 1e-9)
	assert.InDelta(t, -10.5, math.Log(out.Cars[0].Alone), 1e-9)
}

// A τ of 0 is complete pooling: the precision-weighted mean of all readings. A very
// large τ is none: each car its own mean. Flat prior of the level.
func TestLimitsOfPooling(t *testing.T) {
	cars := []Car{carOf(-10, -11, -10.2), carOf(-9), carOf(-12, -11.5)}
	p := Priors{Median: 1e-7, Factor: math.Inf(1), KnownWithin: 0.3, CompletePooled: true}
	mean := (-10 - 11 - 10.2 - 9 - 12 - 11.5) / 6
	out := pooled(t, cars, p)
	assert.InDelta(t, mean, math.Log(out.New.Median), 1e-9)
	assert.InDelta(t, 0.3/math.Sqrt(6), math.Log(out.New.Factor), 1e-6)
	for _, c := range out.Cars {
		assert.InDelta(t, mean, math.Log(c.Median), 1e-9)
	}
	p.CompletePooled, p.KnownBetween = false, 1e-6
	assert.InDelta(t, mean, math.Log(pooled(t, cars, p).Cars[1].Median), 1e-6)

	p.KnownBetween = 1e6
	out = pooled(t, cars, p)
	for i, own := range []float64{(-10 - 11 - 10.2) / 3, -9, (-12 - 11.5) / 2} {
		assert.InDelta(t, own, math.Log(out.Cars[i].Median), 1e-6)
		assert.InDelta(t, 0.3/math.Sqrt(float64(len(cars[i].Sessions))), math.Log(out.Cars[i].Factor), 1e-6)
	}
}

// Between the two lies partial pooling, and more sessions are pulled less.
func TestShrinksBetweenNoneAndComplete(t *testing.T) {
	cars := []Car{carOf(-10, -10.4, -9.8), carOf(-8.6), carOf(-8.4, -8.7, -8.6, -8.5), carOf(-11, -11.2)}
	out := pooled(t, cars, Defaults)
	shop := math.Log(out.New.Median)
	pull := func(i int) float64 {
		own := math.Log(out.Cars[i].Alone)
		got := math.Log(out.Cars[i].Median)
		assert.Less(t, math.Abs(got-shop), math.Abs(own-shop), i)
		assert.Greater(t, (own-got)*(own-shop), 0.0, i)
		return (own - got) / (own - shop)
	}
	assert.Greater(t, pull(1), pull(2)*1.5)
	pull(0)
	pull(3)
}

// One car says little of the next: at least what the prior of τ allows, however
// many sessions it drove.
func TestOneCarStaysWide(t *testing.T) {
	var prior mixture // ln rate of another car about this one's, τ from its prior alone
	for i := range 2000 {
		u := (float64(i) + 0.5) / 2000
		prior = append(prior, part{1.0 / 2000, 0, Defaults.BetweenScale * math.Sqrt2 * math.Erfinv(u)})
	}
	least := prior.level().Factor
	for _, sessions := range []int{1, 5, 100} {
		r := rand.New(rand.NewPCG(3, uint64(sessions)))
		cars, _, _ := fleet{level: math.Log(Defaults.Median), between: 0.6, within: 0.4, cars: 1, sessions: sessions}.make(r)
		out := pooled(t, cars, Defaults)
		assert.Greater(t, out.New.Factor, least, sessions)
	}
	none := pooled(t, nil, Defaults)
	one := pooled(t, []Car{carOf(-17, -17.5)}, Defaults)
	assert.Less(t, one.New.Factor, none.New.Factor, "a car says something")
}

// coverage counts, over made fleets, how often the 90 % interval of a new car holds
// it, and sums the squared errors, on the log, of the pooled and of the default.
type coverage struct {
	held                       int
	squared, byDefault         float64
	carsHeld, cars             int
	shrunken, alone, completed float64
}

func overFleets(t *testing.T, n int, p Priors, one func(r *rand.Rand) fleet) coverage {
	var c coverage
	for i := range n {
		r := rand.New(rand.NewPCG(17, uint64(i)))
		cars, levels, next := one(r).make(r)
		out := pooled(t, cars, p)
		if x := math.Exp(next); x >= out.New.Low && x <= out.New.High {
			c.held++
		}
		c.squared += square(math.Log(out.New.Median) - next)
		c.byDefault += square(math.Log(p.Median) - next)
		for k, l := range out.Cars {
			c.cars++
			if x := math.Exp(levels[k]); x >= l.Low && x <= l.High {
				c.carsHeld++
			}
			c.shrunken += square(math.Log(l.Median) - levels[k])
			c.alone += square(math.Log(l.Alone) - levels[k])
			c.completed += square(math.Log(out.New.Median) - levels[k])
		}
	}
	return c
}

func square(x float64) float64 { return x * x }

// Shops that are like the priors: what is said with 90 % comes in 90 %, within four
// standard errors; and of shops that are all like one, in 85 to 95 %. A shop that
// happens to be like the default, with cars unlike each other, gains nothing.
func TestCoverageAndErrorOnMadeFleets(t *testing.T) {
	const n = 400
	shop := math.Log(Defaults.Median)
	careful := Defaults // read to 0.1 mL: hardly a can that says only "less"
	careful.VolumeError = 1e-7
	like := overFleets(t, n, careful, func(r *rand.Rand) fleet {
		return fleet{level: shop + math.Log(Defaults.Factor)*r.NormFloat64(), between: math.Abs(r.NormFloat64()) * Defaults.BetweenScale,
			within: math.Abs(r.NormFloat64()) * Defaults.WithinScale, cars: 5, sessions: 3}
	})
	se := math.Sqrt(0.9 * 0.1 / n)
	assert.InDelta(t, 0.9, float64(like.held)/n, 4*se)
	assert.InDelta(t, 0.9, float64(like.carsHeld)/float64(like.cars), 4*math.Sqrt(0.9*0.1/n), "cars of a fleet go together: counted as one")
	assert.Less(t, like.squared, like.byDefault)

	for name, f := range map[string]fleet{
		"alike, much oil":  {level: shop + 1, between: 0.3, within: 0.4, cars: 6, sessions: 4, error: careful.VolumeError},
		"unlike, much oil": {level: shop + 1, between: 0.9, within: 0.5, cars: 8, sessions: 3, error: careful.VolumeError},
	} {
		c := overFleets(t, n, careful, func(*rand.Rand) fleet { return f })
		t.Logf("%s: new car held in %d of %d, known in %d of %d; rms error %.3f pooled, %.3f default; cars %.3f shrunken, %.3f alone, %.3f complete", name,
			c.held, n, c.carsHeld, c.cars, math.Sqrt(c.squared/n), math.Sqrt(c.byDefault/n),
			math.Sqrt(c.shrunken/float64(c.cars)), math.Sqrt(c.alone/float64(c.cars)), math.Sqrt(c.completed/float64(c.cars)))
		assert.GreaterOrEqual(t, float64(c.held)/n, 0.85, name)
		assert.LessOrEqual(t, float64(c.held)/n, 0.95+2*se, name)
		assert.Less(t, c.squared, 0.95*c.byDefault, name)
		assert.Less(t, c.shrunken, c.completed, name)
		assert.Less(t, c.shrunken, c.alone, name)
	}
}
