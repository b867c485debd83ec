package sim

import (
	"fmt"
	"math"
	"testing"

	"sumpward/scenarios"
	"sumpward/sim/sampling"
)

// BenchmarkRealization is one realization of a ready-made scenario with its draws and with
// what is taken of it for the result: the mean over a block.
func BenchmarkRealization(b *testing.B) {
	for _, c := range []struct{ scenario, sessions, length string }{
		{"sealed-drain", "[20 min]", "20min"}, {"lost-circuit", "[20 min]", "20min"}, {"sealed-can", "[20 min]", "20min"},
		{"sealed-drain", "[4 h]", "4h"}, {"sealed-drain", "[24 h]", "24h"}, {"four-hours", "", "4h"},
	} {
		b.Run(fmt.Sprintf("scenario=%s/length=%s", c.scenario, c.length), func(b *testing.B) {
			s, err := scenarios.Ready(c.scenario)
			if err == nil && c.sessions != "" {
				s, err = s.With(scenarios.Change{Path: "sessions", Value: c.sessions})
			}
			if err != nil {
				b.Fatal(err)
			}
			m, err := NewModel(s)
			if err != nil {
				b.Fatal(err)
			}
			r, _, err := m.runner(Options{Realizations: 1 << 40, Workers: 1})
			if err != nil {
				b.Fatal(err)
			}
			w, block := r.workers[0], handBlocks
			n := 0
			b.ReportAllocs()
			for b.Loop() {
				n += w.block(r, block)
				block++
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(n), "ns/realization")
		})
	}
}

// BenchmarkDrain is one hour of laps of six phases on a settled car, by kind of drain.
func BenchmarkDrain(b *testing.B) {
	for _, c := range []struct {
		name string
		edit func(*Car)
	}{
		{"sealed", func(c *Car) {}},
		{"closing", func(c *Car) { c.Gas.Element.ClosesFrom = 0.6; c.Drain.OpensAt = 500 }},
		{"none", func(c *Car) { c.Drain.Kind = NoDrain }},
		{"unsealed", func(c *Car) { c.Drain.Kind = Unsealed }},
		{"alone", func(c *Car) {
			c.Drain.Kind = Unsealed
			c.Gas.ToSeparator = c.Gas.ToSeparator[:1]
			c.Drain.Flooding = .6
		}},
		{"below", func(c *Car) { c.Drain.Kind = BelowOil; c.Drain.Valve = false }},
	} {
		b.Run("drain="+c.name, func(b *testing.B) {
			k, car := NewKernel(), larkmoor()
			c.edit(car)
			var out Outcome
			b.ReportAllocs()
			r := uint64(0)
			for b.Loop() {
				if err := k.Realize(car, 1, r, &out); err != nil {
					b.Fatal(err)
				}
				r++
			}
		})
	}
}

// BenchmarkFixedStep is 20 min of the built-in scenario in steps of 50 ms, without draws.
func BenchmarkFixedStep(b *testing.B) {
	cars := carsOf(b, builtIn(b, "[20 min]"), 16)
	b.Run("loop=plain", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			plainSteps(cars[i%len(cars)], 1, uint64(i))
		}
	})
	b.Run("loop=lean", func(b *testing.B) {
		k := NewKernel()
		for i := 0; b.Loop(); i++ {
			k.leanSteps(cars[i%len(cars)], 1, uint64(i))
		}
	})
}

// BenchmarkFloor is what no realization of 20 min of the built-in scenario can do without:
// its draws, and one exponential and twenty multiply-adds a phase, in four chains.
func BenchmarkFloor(b *testing.B) {
	m := builtIn(b, "[20 min]")
	r, _, err := m.runner(Options{Realizations: 1 << 40, Workers: 1})
	if err != nil {
		b.Fatal(err)
	}
	u := r.workers[0].u
	sum, n, block := 0.0, 0, 0
	for b.Loop() {
		r.design.Block(r.seed, m.keys, block, u)
		m.copula.Apply(u)
		for i := range sampling.BlockSize {
			for j, q := range m.uncertain {
				sum += q.Distribution.Quantile(u[j][i])
			}
			sum += leastWork(m.nominal, r.seed, uint64(block*sampling.BlockSize+i))
		}
		n += sampling.BlockSize
		block++
	}
	if math.IsNaN(sum) {
		b.Fatal("not a number")
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(n), "ns/realization")
}

// leastWork drives the laps and does next to nothing in each phase.
func leastWork(car *Car, seed, realization uint64) float64 {
	course := NewCourse(car, seed, realization)
	a, b, c, d := 0.1, 0.2, 0.3, 0.4
	for now := 0.0; now < car.longestSession(); {
		_, duration := course.lapPhase()
		now += duration
		x := math.Exp(-now / 360)
		for range 5 {
			a, b, c, d = a*x+0.1, b*x+0.2, c*x+0.3, d*x+0.4
		}
	}
	return a + b + c + d
}
