package physics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

func TestHatchChoate(t *testing.T) {
	// Hatch & Choate 1929; Hinds 1999, chapter 4. Exact; computed independently.
	for _, c := range []struct{ cmd, gsd, mode, mean, averageMass, sauter, massMedian float64 }{
		{1.0, 2.0, 0.618503, 1.271537, 2.055830, 3.323879, 4.226436},
		{0.5, 1.8, 0.353936, 0.594282, 0.839535, 1.185999, 1.409637},
		{0.3, 2.2, 0.161115, 0.409368, 0.762254, 1.419337, 1.936771},
	} {
		for b, want := range map[float64]float64{-1: c.mode, 0.5: c.mean, 1.5: c.averageMass, 2.5: c.sauter, 3: c.massMedian} {
			assert.InDelta(t, want, HatchChoate(c.cmd, c.gsd, b), 5.1e-7, "b %g", b)
		}
		// b 1, 2 and 3.5: moments of the distribution itself, from its quantiles'
		// library.
		law := distuv.LogNormal{Mu: math.Log(c.cmd), Sigma: math.Log(c.gsd)}
		moment := func(k float64) float64 {
			return quad.Fixed(func(l float64) float64 { return math.Exp(k*l) * law.Prob(math.Exp(l)) * math.Exp(l) },
				law.Mu-8*law.Sigma, law.Mu+14*law.Sigma, 400, quad.Legendre{}, 0)
		}
		assert.InEpsilon(t, math.Sqrt(moment(2)), HatchChoate(c.cmd, c.gsd, 1), 1e-9)
		assert.InEpsilon(t, moment(4)/moment(3), HatchChoate(c.cmd, c.gsd, 3.5), 1e-9)
		assert.InEpsilon(t, HatchChoate(c.cmd, c.gsd, 2)*c.gsd, HatchChoate(c.cmd*c.gsd, c.gsd, 2), 1e-12)
	}
	assert.Equal(t, 0.7, HatchChoate(0.7, 1, 3), "all of one size")
}

// tails is the mass beyond 5.4 standard deviations, which the integral leaves
// out.
const tails = 7e-8

// logistic is 1/(1 + (d50/d)^2s), microns.
func logistic(d50, sharpness float64) []Cut { return []Cut{sharpCut(d50*1e-6, sharpness)} }

func TestDropletsThroughLapplesCurve(t *testing.T) {
	// Exact; quadrature computed independently: mass median 2, spread 2, cut 1 µm
	// and so on. The step cut in closed form: 1 - Φ(ln(d50/MMD)/ln GSD).
	for _, c := range []struct{ median, spread, cut, lapple, step float64 }{
		{2, 2, 1, 0.73666180, 0.84134475}, {0.8, 2.2, 1.5, 0.29396037, 0.21264887}, {5, 2.5, 2, 0.76687504, math.NaN()},
	} {
		mode := DropletMode{c.median * 1e-6, c.spread}
		assert.InDelta(t, c.lapple, 1-mode.passing(logistic(c.cut, 1)), tails)
		step := distuv.UnitNormal.Survival(math.Log(c.cut/c.median) / math.Log(c.spread))
		if !math.IsNaN(c.step) {
			assert.InDelta(t, c.step, step, 5.1e-9, "the printed value is the closed form")
		}
		assert.InDelta(t, step, 1-mode.passing(logistic(c.cut, math.Inf(1))), tails)
		assert.InDelta(t, step, 1-mode.passing(logistic(c.cut, 1e7)), tails, "nearly a step")
	}
}

func TestHalfIsCaughtWhereTheCutIsTheMedian(t *testing.T) {
	// Exact for every spread, by symmetry.
	for _, spread := range []float64{1, 1 + 1e-12, 1.000001, 1.1, 1.6, 2, 2.5, 5, 20} {
		for _, sharpness := range []float64{0.3, 1, 2, 5, 50, math.Inf(1)} {
			assert.InDelta(t, 0.5, 1-DropletMode{1.3e-6, spread}.passing(logistic(1.3, sharpness)), 1e-8, "spread %g, s %g", spread, sharpness)
		}
	}
}

func TestDropletsOfOneSize(t *testing.T) {
	cut := logistic(1, 1)
	assert.InDelta(t, 0.8, 1-DropletMode{2e-6, 1}.passing(cut), 1e-12)
	assert.InDelta(t, 0.8, 1-DropletMode{2e-6, 1.0001}.passing(cut), 1e-7)
}

// byMidpoints integrates what passes all cuts by a plain sum of 40,000 cells, up
// to a diameter.
func byMidpoints(m DropletMode, cuts []Cut, end float64) float64 {
	const cells = 40000
	sum, sd := 0.0, math.Log(m.Spread)
	high := math.Min(8, math.Log(end/m.Median)/sd)
	for i := range cells {
		z := -8 + (float64(i)+0.5)/cells*(high+8)
		mass := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * (high + 8) / cells
		for _, c := range cuts {
			mass *= 1 - c.Grade(m.Median*math.Exp(sd*z))
		}
		sum += mass
	}
	return sum
}

// cutsOf are stages of every kind at a flow.
func cutsOf(t *testing.T, c StageConditions) map[string]Cut {
	found := map[string]Cut{}
	for name, stage := range everyStage(t) {
		found[name] = stage.At(c)
	}
	return found
}

func TestPassingAgainstAPlainSum(t *testing.T) {
	modes := []DropletMode{{0.7e-6, 1.6}, {1.2e-6, 2}, {2.5e-6, 2.5}, {1.2e-6, 1.2}, {20e-6, 4}, {100e-6, 2}, {500e-6, 2}}
	worst := 0.0
	for _, litres := range []float64{20, 110, 300} {
		cuts := cutsOf(t, BlowByConditions(litres/60000, 363.15, 830))
		for name, cut := range cuts {
			end := math.Inf(1)
			if name == "step" {
				end = math.Exp(cut.centre) // where it begins to catch all
			}
			for _, m := range modes {
				for with, others := range map[string][]Cut{"alone": {cut}, "after a mesh": {cut, cuts["mesh"]}} {
					miss := math.Abs(m.passing(others) - byMidpoints(m, others, end))
					assert.Less(t, miss, 1e-6, "%s %s, %v, %g L/min", name, with, m, litres)
					worst = math.Max(worst, miss)
				}
			}
		}
	}
	t.Logf("largest difference %.1e", worst)
}

func TestPassingOfSharpCurves(t *testing.T) {
	for _, sharpness := range []float64{0.2, 0.5, 3, 8, 20, 100, 1000} {
		for _, d50 := range []float64{0.4, 1, 3.3} {
			for _, spread := range []float64{1.3, 2, 4} {
				m := DropletMode{1.2e-6, spread}
				cuts := append(logistic(d50, sharpness), logistic(0.7, 4)...)
				assert.InDelta(t, byMidpoints(m, cuts, math.Inf(1)), m.passing(cuts), 1e-6, "s %g, d50 %g, spread %g", sharpness, d50, spread)
			}
		}
	}
}

func TestStepsInSeriesAreTheFinest(t *testing.T) {
	cuts := append(logistic(3, math.Inf(1)), logistic(0.9, math.Inf(1))...)
	want := distuv.UnitNormal.Survival(math.Log(0.9/1.2) / math.Log(2))
	assert.InDelta(t, want, 1-DropletMode{1.2e-6, 2}.passing(cuts), tails)
}

func TestPassingAgainstRandomDroplets(t *testing.T) {
	// Droplets drawn by the library; four standard errors at a fixed seed.
	const droplets = 200_000
	conditions := BlowByConditions(110.0/60000, 363.15, 830)
	for name, stage := range everyStage(t) {
		cut := stage.At(conditions)
		law := distuv.LogNormal{Mu: math.Log(1.2e-6), Sigma: math.Log(2), Src: rand.NewPCG(5, 0)}
		sum, squares := 0.0, 0.0
		for range droplets {
			p := 1 - cut.Grade(law.Rand())
			sum += p
			squares += p * p
		}
		mean := sum / droplets
		deviation := math.Sqrt(math.Max(0, squares/droplets-mean*mean) / droplets)
		assert.InDelta(t, mean, DropletMode{1.2e-6, 2}.passing([]Cut{cut}), 4*deviation+1e-9, name)
	}
}

func ExampleHatchChoate() {
	fmt.Printf("%.2f µm by mass\n", HatchChoate(0.3, 2.2, 3))
	// Output: 1.94 µm by mass
}
