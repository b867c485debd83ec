package decide

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// ladder puts the same realizations to one layout after another along an input
// of which more never hurts: a realization that fails with much of it fails with
// less, and one that holds with little of it holds with more. Only what does not
// follow from what was tried before is simulated.
type ladder struct {
	ctx     context.Context
	at      func(value float64) (*sim.Model, error)
	options sim.Options
	event   sim.Event
	n       int       // realizations
	shard   Shard     // of them, those that are looked at
	rungs   []*rung   // by value, ascending
	ran     func(int) // told how many realizations were simulated more; nil: nobody

	warnings []string
}

// rung is what was tried at one value: by realization, when it first failed in s;
// NaN where it was not simulated.
type rung struct {
	value float64
	first []float64
}

// chance returns the chance of failing within a session at a value of the input.
func (l *ladder) chance(value, session float64) (stats.Estimate, error) {
	c, err := l.counted(value, session)
	return c.Estimate(sim.Level, l.method()), err
}

// cell is chance with what it was counted from. A value that can't be is a Problem.
func (l *ladder) cell(value, session float64) (Cell, error) {
	var problems scenarios.Problems
	if _, err := l.at(value); errors.As(err, &problems) {
		return Cell{Problem: problems.Error()}, nil
	}
	c, err := l.counted(value, session)
	return Cell{Fails: c.Estimate(sim.Level, l.method()), Events: c.Events(), Realizations: c.Trials()}, err
}

func (l *ladder) counted(value, session float64) (stats.Chance, error) {
	var c stats.Chance
	if err := l.simulate(value, session); err != nil {
		return c, err
	}
	first, end := l.shard.Of(l.n)
	for from := 0; from < l.n; from += sampling.BlockSize {
		to, events := min(from+sampling.BlockSize, end), 0
		from := max(from, first)
		if from >= to {
			continue
		}
		for i := from; i < to; i++ {
			if known, fails := l.known(i, value, session); known && fails {
				events++
			}
		}
		c.AddBlock(events, to-from)
	}
	return c, nil
}

func (l *ladder) method() stats.Method {
	if l.options.Sampling == (sampling.Random{}).Name() {
		return stats.FromWilson
	}
	return stats.FromReplicates
}

// simulate runs what isn't known at a value.
func (l *ladder) simulate(value, session float64) error {
	open := make([]bool, l.n)
	count := 0
	for i, end := l.shard.Of(l.n); i < end; i++ {
		known, _ := l.known(i, value, session)
		open[i] = !known
		if !known {
			count++
		}
	}
	if count == 0 {
		return nil
	}
	m, err := l.at(value)
	if err != nil {
		return err
	}
	warning, err := m.First(l.ctx, l.options, l.event, func(i int) bool { return open[i] }, l.rung(value).first)
	if err != nil {
		return err
	}
	l.warn(warning)
	l.tell(count)
	return nil
}

// warn keeps a warning, each once.
func (l *ladder) warn(text string) {
	if text != "" && !slices.Contains(l.warnings, text) {
		l.warnings = append(l.warnings, text)
	}
}

func (l *ladder) tell(count int) {
	if l.ran != nil {
		l.ran(count)
	}
}

// rung returns the rung of a value, a new one if it wasn't tried yet.
func (l *ladder) rung(value float64) *rung {
	i, found := slices.BinarySearchFunc(l.rungs, value, func(r *rung, v float64) int {
		return cmp.Compare(r.value, v)
	})
	if found {
		return l.rungs[i]
	}
	r := &rung{value: value, first: make([]float64, l.n)}
	for i := range r.first {
		r.first[i] = math.NaN()
	}
	l.rungs = slices.Insert(l.rungs, i, r)
	return r
}

// known reports whether it follows from what was tried that a realization fails
// within a session at a value, and whether it does.
func (l *ladder) known(realization int, value, session float64) (known, fails bool) {
	for _, r := range l.rungs {
		first := r.first[realization]
		switch {
		case math.IsNaN(first):
		case r.value == value:
			return true, first <= session
		case r.value > value && first <= session:
			return true, true
		case r.value < value && first > session:
			return true, false
		}
	}
	return false, false
}

// contradictions simulates all realizations of the shard at a value and returns how many of
// them turn out otherwise than what followed.
func (l *ladder) contradictions(value, session float64) (int, error) {
	m, err := l.at(value)
	if err != nil {
		return 0, err
	}
	all := make([]float64, l.n)
	from, to := l.shard.Of(l.n)
	if _, err := m.First(l.ctx, l.options, l.event, func(i int) bool { return from <= i && i < to }, all); err != nil {
		return 0, err
	}
	l.tell(to - from)
	n := 0
	for i, first := range all[:to] {
		if i < from {
			continue
		}
		if known, fails := l.known(i, value, session); known && fails != (first <= session) {
			n++
		}
	}
	return n, nil
}

// halving lists the indices below n in the order in which a ladder learns most from
// each: the ends, the middle, the middles of the halves.
func halving(n int) []int {
	var list []int
	seen := make([]bool, n)
	take := func(i int) {
		if !seen[i] {
			seen[i] = true
			list = append(list, i)
		}
	}
	for parts := 1; len(list) < n; parts *= 2 {
		for k := 0; k <= parts; k++ {
			take(k * (n - 1) / parts)
		}
	}
	return list
}
