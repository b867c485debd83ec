package diagnose

import (
	"cmp"
	"math"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim/observe"
)

// glance is some of what was seen that is predicted together. The cheapest come first: a car
// that these rule out needs no further look.
type glance struct {
	of        []int // observations
	predictor *observe.Predictor
	cost      int64   // µs that it takes to predict, about: the same on every machine
	most      float64 // the highest that the logarithm of their likelihood can be
}

const (
	// negligible is how far below the highest the logarithm of a likelihood counts
	// as none: 3e-7 of it.
	negligible = 15
	// mostCarsBits parts the luck of one glance from that of the next.
	mostCarsBits = 21
)

// What predictions cost, µs, measured on one machine: a car made ready for each phase
// of its lap, and a circuit driven for it; a phase that is driven; a pour.
const (
	readyCost   = 1
	circuitCost = 250
	drivenCost  = 0.3
	pourCost    = 4000
)

// price works out what each glance costs.
func (b *Bank) price() {
	lap, time := b.model.Nominal().Lap, 0.0
	for _, p := range lap {
		time += p.Duration
	}
	ready := readyCost * float64(len(lap))
	if b.scenario.Duty.Circuit != nil {
		ready += circuitCost
	}
	for i := range b.glances {
		g, cost := &b.glances[i], 0.0
		for _, at := range g.of {
			o := &b.seen[at]
			if o.Kind == scenarios.Poured {
				cost += pourCost
			}
			cost += ready * float64(max(len(o.Over), 1))
			for _, length := range o.Over {
				cost += drivenCost * float64(len(lap)) * length / max(time, 1)
			}
		}
		g.cost = int64(cost)
	}
}

// glancesOf parts what was seen: pressures, then one session after the other, then pours.
func glancesOf(s *scenarios.Scenario, seen []scenarios.Observation) ([]glance, error) {
	type group struct {
		cost float64
		name string
		of   []int
	}
	var groups []group
	for i, o := range seen {
		g := group{of: []int{i}, name: o.Session}
		switch o.Kind {
		case scenarios.Crankcase, scenarios.UTube:
			g.name = "" // no session goes with it
		case scenarios.Poured:
			g.cost, g.name = math.Inf(1), ""
		default:
			for _, length := range o.Over {
				g.cost += length
			}
		}
		at := slices.IndexFunc(groups, func(x group) bool {
			return g.cost > 0 && !math.IsInf(g.cost, 1) && x.name == g.name && g.name != "" || g.cost == 0 && x.cost == 0
		})
		if at < 0 {
			groups = append(groups, g)
			continue
		}
		groups[at].of = append(groups[at].of, i)
		groups[at].cost += g.cost
	}
	slices.SortStableFunc(groups, func(x, y group) int { return cmp.Compare(x.cost, y.cost) })
	var list []glance
	for _, x := range groups {
		g := glance{of: x.of}
		var some []scenarios.Observation
		for _, i := range x.of {
			some = append(some, seen[i])
			g.most += mostLogLikelihood(&seen[i])
		}
		var err error
		if g.predictor, err = observe.NewPredictor(s, some); err != nil {
			return nil, err
		}
		list = append(list, g)
	}
	return list, nil
}

// mostLogLikelihood is the highest that the logarithm of an observation's likelihood can be.
func mostLogLikelihood(o *scenarios.Observation) float64 {
	if o.Whether() {
		return math.Log(max(o.Error, 1-o.Error))
	}
	return -math.Log(o.Error * math.Sqrt(2*math.Pi))
}
