package decide

import (
	"fmt"
	"math"
	"strings"

	"sumpward/scenarios"
	"sumpward/sim"
)

// How far emptying is looked at.
const (
	mostSessionsFull = 8       // sessions that a can goes without being emptied
	mostStops        = 7       // emptyings within a session
	soonestStop      = 5 * 60  // s of session between two
	wholeStops       = 60      // s, what the time between two is rounded down to
	longestRun       = 360_000 // s, the longest session that a scenario may hold
)

// emptying finds how often each can that is emptied by hand must be.
//
// A can that isn't emptied between sessions of length L holds after k of them what
// it would after one of k L: the number of sessions is the largest k, up to 8, for
// which the whole interval of the chance to overflow within k L, on the same
// draws, meets the limit, and that of every smaller k. It leaves out that each
// session starts with a cool sump; the oil that is carried over doesn't depend on
// its temperature. Where not even one session meets the limit, emptyings at equal
// times within it are simulated, at least 5 min apart.
func (r *choiceRun) emptying() error {
	var full, within []*Option
	for _, o := range r.simulated() {
		if !o.Mounting.ByHand() {
			continue
		}
		last := lastOf(o.Result)
		o.Emptying = &Emptying{Overflow: last.Overflow, Events: last.Events.Overflow, Of: o.Result.Realizations, Else: r.worst(last.OverPressure, last.OilLost)}
		if r.Stands(last.Overflow) == Meets {
			o.Emptying.Does, o.Emptying.Sessions = true, 1
			full = append(full, o)
		} else {
			within = append(within, o)
		}
	}
	if err := r.afterSessions(full); err != nil {
		return err
	}
	return r.withinSession(within)
}

func lastOf(res *sim.Result) *sim.SessionResult { return &res.Sessions[len(res.Sessions)-1] }

// longest is the longest session, s.
func (c *Choice) longest() float64 { return c.Sessions[len(c.Sessions)-1] }

// afterSessions finds after how many sessions cans must be emptied that meet the
// limit with one. Few last eight: two are tried first, then four; then once more,
// with more realizations, the number that can't be told.
func (r *choiceRun) afterSessions(options []*Option) error {
	possible := min(mostSessionsFull, int(longestRun/r.longest()))
	going := options
	for _, upTo := range []int{2, 4, 8} {
		upTo = min(upTo, possible)
		if err := r.upTo(going, func(*Option) int { return upTo }, 0); err != nil {
			return err
		}
		going = filter(going, func(o *Option) bool { return o.Emptying.Sessions == upTo })
	}
	if len(r.more) > 0 {
		untold := filter(options, func(o *Option) bool { return o.Emptying.Untold })
		if err := r.upTo(untold, func(o *Option) int { return o.Emptying.Sessions + 1 }, r.more[0]); err != nil {
			return err
		}
	}
	for _, o := range options {
		o.Emptying.Most = o.Emptying.Sessions == possible
	}
	return nil
}

// upTo goes up the multiples of the longest session for as long as they meet the
// limit.
func (r *choiceRun) upTo(options []*Option, sessions func(*Option) int, realizations int) error {
	var models []*sim.Model
	for _, o := range options {
		m, err := otherwise(o, scenarios.Change{Path: "sessions", Value: multiples(r.longest(), sessions(o))})
		if err != nil {
			return err
		}
		models = append(models, m)
	}
	results, err := r.together(models, realizations)
	for i, res := range results {
		e := options[i].Emptying
		for k := e.Sessions; k < len(res.Sessions); k++ {
			s := &res.Sessions[k]
			standing := r.Stands(s.Overflow)
			if e.Untold = standing == Untold; standing != Meets {
				break
			}
			e.Sessions, e.Overflow, e.Events, e.Of = k+1, s.Overflow, s.Events.Overflow, res.Realizations
		}
	}
	return err
}

// multiples lists 1 to n times a session, as a scenario holds them.
func multiples(length float64, n int) string {
	var list []string
	for k := range n {
		list = append(list, fmt.Sprintf("%.17g s", float64(k+1)*length))
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// filter returns those of a list that are wanted.
func filter[T any](list []T, wanted func(T) bool) []T {
	var kept []T
	for _, x := range list {
		if wanted(x) {
			kept = append(kept, x)
		}
	}
	return kept
}

// withinSession finds the longest time between emptyings within a session, by
// halving the list of times; then, with more realizations, what can't be told.
func (r *choiceRun) withinSession(options []*Option) error {
	times := stops(r.longest())
	var searches []*stopSearch
	for _, o := range options {
		searches = append(searches, &stopSearch{option: o, to: len(times), known: map[int]Standing{-1: r.Stands(lastOf(o.Result).Overflow)}})
	}
	open := func(s *stopSearch) bool { return s.from < s.to }
	for going := filter(searches, open); len(going) > 0; going = filter(going, open) {
		if err := r.emptiedEvery(going, times, func(s *stopSearch) int { return (s.from + s.to) / 2 }, 0); err != nil {
			return err
		}
	}
	before := func(s *stopSearch) int { return s.to - 1 }
	if len(r.more) > 0 {
		untold := func(s *stopSearch) bool { return s.to > 0 && s.known[before(s)] == Untold }
		for again := filter(searches, untold); len(again) > 0; again = filter(again, func(s *stopSearch) bool { return s.to > 0 && s.known[s.to] == Meets && s.again }) {
			if err := r.emptiedEvery(again, times, before, r.more[0]); err != nil {
				return err
			}
		}
	}
	for _, s := range searches {
		s.option.Emptying.Untold = s.known[before(s)] == Untold
	}
	return nil
}

// stopSearch is the search for the longest time between emptyings of one can: the
// first in the list of times that meets the limit is from .. to.
type stopSearch struct {
	option   *Option
	from, to int
	known    map[int]Standing // by index of the times; -1: no emptying within a session
	again    bool             // the last look met the limit
}

func (s *stopSearch) note(at int, standing Standing) {
	s.known[at] = standing
	if s.again = standing == Meets; s.again {
		s.to = at
	} else {
		s.from = at + 1
	}
}

// emptiedEvery empties each can after the time that at tells, and notes it where
// it meets the limit.
func (r *choiceRun) emptiedEvery(searches []*stopSearch, times []float64, at func(*stopSearch) int, realizations int) error {
	var models []*sim.Model
	for _, s := range searches {
		m, err := otherwise(s.option,
			scenarios.Change{Path: "drain.emptied", Value: times[at(s)]},
			scenarios.Change{Path: "sessions", Value: multiples(r.longest(), 1)})
		if err != nil {
			return err
		}
		models = append(models, m)
	}
	results, err := r.together(models, realizations)
	for i, res := range results {
		s, chance := searches[i], lastOf(res)
		k, standing := at(s), r.Stands(chance.Overflow)
		if standing == Meets {
			e := s.option.Emptying
			e.Does, e.Every, e.Overflow, e.Events, e.Of = true, times[k], chance.Overflow, chance.Events.Overflow, res.Realizations
		}
		s.note(k, standing)
	}
	return err
}

// stops lists times between emptyings that part a session evenly, whole minutes,
// the longest first.
func stops(session float64) []float64 {
	var times []float64
	for parts := 2; parts <= mostStops+1; parts++ {
		t := wholeStops * math.Floor(session/float64(parts)/wholeStops)
		if t < soonestStop {
			break
		}
		times = append(times, t)
	}
	return times
}

// otherwise returns the model of an option with changes of its scenario.
func otherwise(o *Option, changes ...scenarios.Change) (*sim.Model, error) {
	s, err := o.Layout.Model.Scenario().With(changes...)
	if err != nil {
		return nil, err
	}
	return sim.NewModel(s)
}
