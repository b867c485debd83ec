package diagnose

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"sumpward/scenarios"
	"sumpward/sim/decide"
	"sumpward/sim/sampling"
)

// normalBank has two faults, of which one reading is normal with means 0 and 3 and a
// standard deviation of 1, and is read with an error of 0.5.
func normalBank(n int, seed uint64) *Bank {
	b := &Bank{
		Faults: []Fault{{Name: "low"}, {Name: "high"}}, Draws: []int{n, n}, rates: []float64{0.6, 0.35}, none: 0.05, whole: n,
		seen: []scenarios.Observation{{Kind: scenarios.Crankcase, Error: 0.5}, {Kind: scenarios.VentHose, Error: 0.1}},
	}
	luck := sampling.NewStream(seed, sampling.InputKey("normal"), 0)
	for _, mean := range []float64{0, 3} {
		readings, wet := make([]float64, n), make([]float64, n)
		for i := range readings {
			if seed == 0 { // evenly, not drawn
				readings[i] = mean + distuv.UnitNormal.Quantile((float64(i)+0.5)/float64(n))
			} else {
				readings[i] = mean + luck.NormFloat64()
			}
			wet[i] = mean / 4
		}
		b.predicted = append(b.predicted, [][]float64{readings, wet})
	}
	b.widen()
	return b
}

// The likelihood of a normal reading is normal with both variances; chances follow by
// Bayes. Pooled, of 0.6/0.95 and 0.35/0.95, the mean is 1.105 and the variance
// 1 + 9 · 0.6 · 0.35/0.95².
func TestChancesAgainstClosedForm(t *testing.T) {
	b := normalBank(20000, 0)
	sd := math.Hypot(1, 0.5)
	low := distuv.Normal{Mu: 0, Sigma: sd}
	high := distuv.Normal{Mu: 3, Sigma: sd}
	pooled := math.Sqrt(1 + 9*0.6*0.35/(0.95*0.95))
	none := distuv.Normal{Mu: 3 * 0.35 / 0.95, Sigma: math.Hypot(3*pooled, 0.5)}
	for _, y := range []float64{0, 1.2, 2, 3} {
		d := b.Weigh([]float64{y, math.NaN()})
		want := map[string]float64{"low": 0.6 * low.Prob(y), "high": 0.35 * high.Prob(y), NoneName: 0.05 * none.Prob(y)}
		total := want["low"] + want["high"] + want[NoneName]
		doubt := 0.0
		for _, s := range d.Standings {
			p := want[s.Name()] / total
			assert.InEpsilon(t, p, s.Chance, 2e-3, "%s at %g", s.Name(), y)
			assert.InDelta(t, math.Log(want[s.Name()]/s.BaseRate), s.LogLikelihood, 2e-3)
			doubt -= p * math.Log2(p)
		}
		assert.InDelta(t, doubt, d.Doubt, 3e-3)
		for i := 1; i < len(d.Standings); i++ {
			assert.GreaterOrEqual(t, d.Standings[i-1].Chance, d.Standings[i].Chance)
		}
		wet := b.Weigh([]float64{y, 1}) // 0.1 and 0.1 + 0.8 · 3/4 see it wet, none of these 1/2
		want["low"], want["high"], want[NoneName] = 0.1*want["low"], 0.7*want["high"], 0.5*want[NoneName]
		total = want["low"] + want["high"] + want[NoneName]
		for _, s := range wet.Standings {
			assert.InEpsilon(t, want[s.Name()]/total, s.Chance, 2e-3)
		}
	}
	nothing := b.Weigh([]float64{math.NaN(), math.NaN()})
	for _, s := range nothing.Standings {
		assert.InDelta(t, s.BaseRate, s.Chance, 1e-12, "nothing seen, nothing changed")
	}
}

// The spread of chances over banks is what their error says, within its own: of 300
// banks a standard deviation is known to 4 %.
func TestErrorsOfChances(t *testing.T) {
	exact := normalBank(20000, 0).Weigh([]float64{2, math.NaN()})
	want := map[string]float64{}
	for _, s := range exact.Standings {
		want[s.Name()] = s.Chance
	}
	const banks = 300
	squares, stated, inside := 0.0, 0.0, 0
	for seed := range uint64(banks) {
		for _, s := range normalBank(200, seed+1).Weigh([]float64{2, math.NaN()}).Standings {
			if s.Name() != "high" {
				continue
			}
			squares += square(s.Chance - want["high"])
			stated += square(s.Error)
			if low, high := s.Interval(); low <= want["high"] && want["high"] <= high {
				inside++
			}
		}
	}
	assert.InDelta(t, 1, math.Sqrt(squares/stated), 0.17)
	assert.InDelta(t, 0.95, float64(inside)/banks, 4*math.Sqrt(0.95*0.05/banks))
}

func TestFitByRatio(t *testing.T) {
	for ratio, want := range map[float64]Fit{1: Fits, 0.34: Fits, 0.33: CantTell, 0.051: CantTell, 0.049: DoesNotFit, 0: DoesNotFit} {
		assert.Equal(t, want, fitOf(ratio), "%g", ratio)
	}
}

// A symmetric channel of error e tells 1 - H(e) bits; two faults alike, nothing; what is
// certain, the whole entropy.
func TestInformation(t *testing.T) {
	const e = 0.1
	bits, after := information([]float64{0.5, 0.5}, [][]float64{{1 - e, e}, {e, 1 - e}})
	assert.InDelta(t, 1+e*math.Log2(e)+(1-e)*math.Log2(1-e), bits, 1e-12)
	assert.InDelta(t, (1-e)*(1-e)+e*e, after, 1e-12)
	bits, after = information([]float64{0.7, 0.3}, [][]float64{{0.2, 0.8}, {0.2, 0.8}})
	assert.InDelta(t, 0, bits, 1e-12)
	assert.InDelta(t, 0.7*0.7+0.3*0.3, after, 1e-12)
	bits, after = information([]float64{0.7, 0.3}, [][]float64{{1, 0}, {0, 1}})
	assert.InDelta(t, -0.7*math.Log2(0.7)-0.3*math.Log2(0.3), bits, 1e-12)
	assert.InDelta(t, 1, after, 1e-12)
}

// gauge is a check that reads with an error.
func gauge(e decide.ReadingError) *Check {
	return &Check{Name: "gauge", Minutes: 10, reads: intakeReading, Error: e}
}

// Two normal readings, two errors apart: the information against a fine quadrature of
// the closed form. Mean and spread are those of what was predicted.
func TestReadingsAgainstQuadrature(t *testing.T) {
	const n, error = 150, 0.5
	var even [2][]float64
	for i := range n {
		z := distuv.UnitNormal.Quantile((float64(i) + 0.5) / n)
		even[0], even[1] = append(even[0], z), append(even[1], 2+z)
	}
	c := gauge(decide.ReadingError{SD: error})
	l := []law{lawOf(c, even[0], n), lawOf(c, even[1], n)}
	outcomes := readingOutcomes(c, l)
	for f := range outcomes {
		total, mean := 0.0, 0.0
		for _, p := range outcomes[f] {
			total += p
		}
		assert.InDelta(t, 1, total, 1e-9)
		for _, at := range l[f].at {
			mean += at / n
		}
		assert.InDelta(t, 2*float64(f), mean, 1e-9)
	}
	spread := 0.0
	for i, at := range l[0].at {
		spread += (at*at + square(l[0].width[i]) - error*error) / n
	}
	variance := 0.0
	for _, v := range even[0] {
		variance += v * v / n
	}
	assert.InDelta(t, variance, spread, 1e-9, "smoothing leaves the spread")

	low := distuv.Normal{Mu: 0, Sigma: math.Sqrt(variance + error*error)}
	high := distuv.Normal{Mu: 2, Sigma: low.Sigma}
	want := 0.0
	for y := -8.0; y < 10; y += 1e-3 {
		p, q := low.Prob(y), high.Prob(y)
		want += 0.5e-3 * (p*math.Log2(2*p/(p+q)) + q*math.Log2(2*q/(p+q)))
	}
	bits, _ := information([]float64{0.5, 0.5}, outcomes)
	assert.InDelta(t, want, bits, 0.01)
	for _, y := range []float64{-1, 0.5, 3} {
		assert.InEpsilon(t, low.Prob(y), l[0].density(false, y), 0.03)
	}
}

// What never ends is a reading of its own; an error in proportion grows with what is read.
func TestReadingsThatNeverEnd(t *testing.T) {
	c := gauge(decide.ReadingError{GSD: 1.1})
	l := lawOf(c, []float64{100, 100, math.Inf(1), math.Inf(1)}, 4)
	assert.InDelta(t, 0.5, l.never, 1e-12)
	assert.InDelta(t, 100*math.Log(1.1), l.width[0], 1e-9)
	never := lawOf(c, []float64{math.Inf(1)}, 1)
	outcomes := readingOutcomes(c, []law{l, never})
	assert.InDelta(t, 1, outcomes[1][cells], 1e-12)
	assert.InDelta(t, 0.5, outcomes[0][cells], 1e-12)
	total := 0.0
	for _, p := range outcomes[0] {
		total += p
	}
	assert.InDelta(t, 1, total, 1e-9)
	assert.InDelta(t, 0.5, l.density(false, math.Inf(1)), 1e-12)
	assert.Zero(t, never.density(false, 100))
	var p pool
	for range 2 {
		p.add(math.Inf(1), 1)
	}
	p.add(5, 6)
	assert.InDelta(t, 0.25, wideLaw(c, p).never, 1e-12)
}

// Two humps stay two: between them hardly anything is read.
func TestReadingsOfTwoHumps(t *testing.T) {
	var humps []float64
	for i := range 150 {
		humps = append(humps, 10*float64(i%2))
	}
	l := lawOf(gauge(decide.ReadingError{SD: 0.5}), humps, 150)
	assert.Less(t, l.density(false, 5), 0.02*l.density(false, 0.2))
}

// Of a look that finds two faults, by hand: one in 90 and one in 60 of 100, falsely in 10.
func TestLooks(t *testing.T) {
	c := &Check{Name: "hose", Falsely: 0.1}
	h := []hypothesis{
		{fault: &Fault{Name: "a", FoundBy: map[string]float64{"hose": 0.9}}, chance: 0.5},
		{fault: &Fault{Name: "b", FoundBy: map[string]float64{"hose": 0.6}}, chance: 0.2},
		{fault: &Fault{Name: "c"}, chance: 0.2}, {chance: 0.1},
	}
	got := lookOutcomes(c, h)
	want := [][]float64{{0.9, 0.01, 0.09}, {0.04, 0.6, 0.36}, {0.05, 0.05, 0.9}, {0.05, 0.05, 0.9}}
	for i := range want {
		assert.InDeltaSlice(t, want[i], got[i], 1e-12)
	}
	one := lookOutcomes(c, []hypothesis{h[0], h[2]})
	assert.InDeltaSlice(t, []float64{0.9, 0.1}, one[0], 1e-12, "nothing else to find")
	assert.InDeltaSlice(t, []float64{0.1, 0.9}, one[1], 1e-12)

	x := Telling{Check: *c, outcomes: got, hypotheses: h}
	after := x.Chances(0, "b")
	total := 0.5*0.01 + 0.2*0.6 + 0.3*0.05
	assert.InDelta(t, 0.2*0.6/total, after["b"], 1e-12)
	assert.InDelta(t, 0.1*0.05/total, after[NoneName], 1e-12)
}

// Drawn at even steps, each as often as its weight says, to one.
func TestSystematic(t *testing.T) {
	drawn, times := systematic([]float64{0.5, 0, 0.26, 0.24}, 100)
	assert.Equal(t, []int{0, 2, 3}, drawn)
	assert.Equal(t, []int{50, 26, 24}, times)
	total := 0
	_, times = systematic([]float64{1. / 3, 1. / 3, 1. / 3}, 100)
	for _, n := range times {
		total += n
		assert.InDelta(t, 100./3, n, 1)
	}
	assert.Equal(t, 100, total)
}

// small is a scenario of two inputs and a bank that costs little.
func small(t *testing.T) *scenarios.Scenario {
	s, err := scenarios.Parse("made.yaml", []byte(madeScenario), nil)
	require.NoError(t, err)
	return s
}

func smallSeen() []scenarios.Observation {
	seen := madeSeen()
	for i, v := range []float64{0.3e-3, -2200, 1, 20e-6} {
		seen[i].Value = v
	}
	return append(seen, scenarios.Observation{Kind: scenarios.Overflew, Error: 0.02, Over: []float64{720}, Session: "s"})
}

// The same on any number of workers, bit by bit; and cars that are cut short change no
// chance.
func TestDiagnoseRepeats(t *testing.T) {
	o := Options{Draws: 140, Checks: cheapChecks(), Workers: 1}
	one, err := Diagnose(context.Background(), small(t), smallSeen(), o)
	require.NoError(t, err)
	o.Workers = 3
	three, err := Diagnose(context.Background(), small(t), smallSeen(), o)
	require.NoError(t, err)
	for i := range one.Standings {
		a, b := one.Standings[i], three.Standings[i]
		assert.Equal(t, a.Name(), b.Name())
		assert.Equal(t, []float64{a.Chance, a.Error, a.LogLikelihood}, []float64{b.Chance, b.Error, b.LogLikelihood})
	}
	for i := range one.Next.Tellings {
		a, b := one.Next.Tellings[i], three.Next.Tellings[i]
		assert.Equal(t, a.Check.Name, b.Check.Name)
		assert.Equal(t, []float64{a.Information, a.After}, []float64{b.Information, b.After})
	}
	whole, err := NewBank(context.Background(), small(t), smallSeen(), o)
	require.NoError(t, err)
	var values []float64
	for _, x := range smallSeen() {
		values = append(values, x.Value)
	}
	cut := 0
	for f := range one.Bank.predicted {
		for i, v := range one.Bank.predicted[f][0] {
			if math.IsNaN(v) {
				cut++
			} else {
				assert.Equal(t, whole.predicted[f][0][i], v, "a car that isn't cut short is the same")
			}
		}
	}
	assert.Positive(t, cut, "some are cut short")
	logs, _ := whole.logLikelihoods(values)
	cutLogs, _ := one.Bank.logLikelihoods(values)
	for f := range logs {
		total, left := 0.0, 0.0
		for i := range logs[f] {
			total += math.Exp(logs[f][i] - one.Bank.best)
			left += math.Exp(cutLogs[f][i] - one.Bank.best)
		}
		assert.InDelta(t, total, left, 140*math.Exp(-negligible))
	}
}
