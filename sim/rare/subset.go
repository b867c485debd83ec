package rare

import (
	"cmp"
	"context"
	"math"
	"slices"

	"sumpward/sim/sampling"
)

// Event is what is rare: it happens where the closeness of standard normal draws is 1 or
// more. One is used by one goroutine at a time.
type Event interface {
	Dimensions() int // 1 or more
	// Closeness tells how near draws come to the event. What can't be worked out is an
	// error: such draws are left out.
	Closeness(z []float64) (float64, error)
}

// How subset simulation goes.
const (
	levelChance  = 0.1  // that a level has of the one before it
	wantedAccept = 0.44 // of moves (Papaioannou et al. 2015)
	firstStep    = 0.6  // standard deviation of the new part of a move
	adaptations  = 10   // of the step in each level
	mostTied     = 0.5  // of a level may lie on a plateau
)

// Level is one level of a repeat.
type Level struct {
	Threshold float64 // closeness from which draws are in it
	Chance    float64 // of it, within the level before
	Accepted  float64 // share of the moves within the level before that were accepted; 0 in the first
}

// repeat is one subset simulation.
type repeat struct {
	event  Event
	n      int
	least  float64
	random sampling.Stream
	now    population
	next   population
	trial  []float64

	Chance       float64
	Levels       []Level
	Realizations int
	Left         int  // of them left out
	Stalled      bool // no level could be told apart from the one before
	Beyond       bool // given up below the least chance
}

// population is the draws of a level, one row each, and how near each came.
type population struct {
	z         [][]float64
	closeness []float64
}

func newPopulation(n, dimensions int) population {
	p := population{make([][]float64, n), make([]float64, n)}
	all := make([]float64, n*dimensions)
	for i := range p.z {
		p.z[i] = all[i*dimensions : (i+1)*dimensions]
	}
	return p
}

func newRepeat(e Event, o Options, index int) *repeat {
	d := e.Dimensions()
	return &repeat{
		event: e, n: o.Realizations, least: o.Least, random: sampling.NewStream(o.Seed, o.Key, uint64(index)),
		now: newPopulation(o.Realizations, d), next: newPopulation(o.Realizations, d), trial: make([]float64, d),
	}
}

// run goes from level to level until the event is among the likely.
func (r *repeat) run(ctx context.Context) error {
	accepted := 0.0
	if err := r.first(ctx); err != nil {
		return err
	}
	for chance := 1.0; ; {
		level, happens := r.level()
		level.Accepted = accepted
		r.Levels = append(r.Levels, level)
		if chance *= level.Chance; happens {
			r.Chance = chance
			return nil
		}
		if r.Stalled = level.Chance == 0; r.Stalled {
			return nil
		}
		if r.Beyond = chance < r.least; r.Beyond {
			return nil
		}
		var err error
		if accepted, err = r.move(ctx, level.Threshold); err != nil {
			return err
		}
	}
}

// first draws the first level.
func (r *repeat) first(ctx context.Context) error {
	for i, z := range r.now.z {
		for j := range z {
			z[j] = r.random.NormFloat64()
		}
		r.now.closeness[i] = r.evaluate(z)
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
	}
	return nil
}

// evaluate is how near draws come; those that can't be worked out are never near.
func (r *repeat) evaluate(z []float64) float64 {
	r.Realizations++
	c, err := r.event.Closeness(z)
	if err != nil || math.IsNaN(c) {
		r.Left++
		return math.Inf(-1)
	}
	return c
}

// level finds the next level: the closeness that a share of levelChance has, or the event
// itself where as many have come so far. A plateau goes whole into a level, or not at all
// where too much lies on it.
func (r *repeat) level() (l Level, happens bool) {
	sorted := slices.Clone(r.now.closeness)
	slices.SortFunc(sorted, func(a, b float64) int { return cmp.Compare(b, a) })
	within := func(threshold float64) int {
		return len(sorted) - countBelow(sorted, threshold)
	}
	n := float64(r.n)
	threshold := sorted[max(int(levelChance*n), 1)-1]
	if threshold >= 1 {
		return Level{Threshold: 1, Chance: float64(within(1)) / n}, true
	}
	if float64(within(threshold)) > mostTied*n {
		above := within(math.Nextafter(threshold, math.Inf(1)))
		if above == 0 {
			return Level{Threshold: threshold}, false
		}
		threshold = sorted[above-1]
	}
	return Level{Threshold: threshold, Chance: float64(within(threshold)) / n}, false
}

// countBelow counts what is below a threshold of numbers that descend.
func countBelow(sorted []float64, threshold float64) int {
	n := 0
	for i := len(sorted) - 1; i >= 0 && sorted[i] < threshold; i-- {
		n++
	}
	return n
}

// move fills the next level with chains that start from the draws that are in it, and
// returns the share of accepted moves.
//
//	z' = √(1-s²) z + s ξ,  accepted where it stays within the level
//
// leaves the standard normal law within the level as it is, whatever the number of draws.
// The step s is led towards the wanted share of accepted moves as chains come in.
func (r *repeat) move(ctx context.Context, threshold float64) (accepted float64, err error) {
	var seeds []int
	for i, c := range r.now.closeness {
		if c >= threshold {
			seeds = append(seeds, i)
		}
	}
	r.shuffle(seeds)
	seeds = seeds[:min(len(seeds), max(int(levelChance*float64(r.n)), 1))]
	step := adaptiveStep{size: firstStep, every: max(len(seeds)/adaptations, 1)}
	filled, moved := 0, 0
	for s, seed := range seeds {
		length := (r.n - filled) / (len(seeds) - s)
		taken := 0
		z, c := r.now.z[seed], r.now.closeness[seed]
		for i := range length {
			to := r.next.z[filled]
			if i > 0 {
				candidate := r.propose(z, step.size)
				if near := r.evaluate(candidate); near >= threshold {
					z, c = candidate, near
					taken++
				}
				if ctx.Err() != nil {
					return 0, context.Cause(ctx)
				}
			}
			copy(to, z)
			z = to
			r.next.closeness[filled] = c
			filled++
		}
		moved += taken
		step.chain(taken, length-1)
	}
	r.now, r.next = r.next, r.now
	return float64(moved) / float64(max(r.n-len(seeds), 1)), nil
}

// propose returns draws a step away.
func (r *repeat) propose(z []float64, step float64) []float64 {
	keep := math.Sqrt(1 - step*step)
	for j := range z {
		r.trial[j] = keep*z[j] + step*r.random.NormFloat64()
	}
	return r.trial
}

func (r *repeat) shuffle(list []int) {
	for i := len(list) - 1; i > 0; i-- {
		j := int(r.random.Float64() * float64(i+1))
		list[i], list[j] = list[j], list[i]
	}
}

// adaptiveStep is the step of moves.
type adaptiveStep struct {
	size         float64
	every        int // chains between two changes
	chains       int
	taken, moves int
}

// chain takes in a chain in which so many of its moves were accepted.
//
//	ln s ← ln s + (accepted - wanted)/√k  at the k-th change, s at most 1
func (a *adaptiveStep) chain(taken, moves int) {
	a.taken += taken
	a.moves += moves
	if a.chains++; a.chains%a.every != 0 || a.moves == 0 {
		return
	}
	k := float64(a.chains / a.every)
	share := float64(a.taken) / float64(a.moves)
	a.size = min(a.size*math.Exp((share-wantedAccept)/math.Sqrt(k)), 1)
	a.taken, a.moves = 0, 0
}
