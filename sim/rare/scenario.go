package rare

import (
	"context"

	"sumpward/sim"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// MostSeen is how often direct sampling may see an event for it to count as rare: an
// interval that rests on more is narrow enough.
const MostSeen = 10

// Found is the small chance of one event of a scenario within a session length, beside
// what direct sampling made of it.
type Found struct {
	Event    sim.Event
	Session  float64 // s
	Estimate *Estimate
	Direct   stats.Estimate
	Seen     int64 // realizations of the direct run in which it happened
	Of       int   // realizations of the direct run
}

// Disagrees reports whether the interval of the small chance and that of direct sampling
// have nothing in common.
func (f *Found) Disagrees() bool {
	return f.Estimate.Low > f.Direct.High || f.Estimate.High < f.Direct.Low
}

// Rare lists the events, of those that can happen, that direct sampling saw in fewer than
// [MostSeen] realizations of a session of the result, by its index.
func Rare(res *sim.Result, session int) []sim.Event {
	s := &res.Sessions[session]
	var list []sim.Event
	for _, e := range []sim.Event{sim.Overflow, sim.DrainChoked, sim.OverPressure, sim.OilLost} {
		if s.Events.Of(e) < MostSeen && !(e == sim.DrainChoked && res.Kind == sim.NoDrain) {
			list = append(list, e)
		}
	}
	return list
}

// Find estimates the chances of the rare events of a session of a result of the model, by
// its index; none where none is rare. The zero Seed and Key of the options are filled in.
func Find(ctx context.Context, m *sim.Model, res *sim.Result, session int, o Options) ([]Found, error) {
	s := &res.Sessions[session]
	var found []Found
	progress := o.Progress
	for i, e := range Rare(res, session) {
		if progress != nil {
			o.Progress = func(repeats int) { progress(i*max(o.Repeats, fewestRepeats) + repeats) }
		}
		o.Seed, o.Key = res.Seed, sampling.InputKey("rare#"+eventKeys[e])
		estimate, err := Chance(ctx, func() Event { return NewEvent(m, e, s.Length) }, o)
		if err != nil {
			return nil, err
		}
		found = append(found, Found{
			Event: e, Session: s.Length, Estimate: estimate, Direct: s.Estimate(e), Seen: s.Events.Of(e), Of: res.Realizations,
		})
	}
	return found, nil
}

// eventKeys keep the draws of events apart.
var eventKeys = map[sim.Event]string{
	sim.Overflow: "overflow", sim.DrainChoked: "drain-choked", sim.OverPressure: "over-pressure",
	sim.OilLost: "oil-lost", sim.OverflowOrChoked: "overflow-or-choked",
}

// NewEvent returns an event of a model within a session of so many seconds.
func NewEvent(m *sim.Model, e sim.Event, session float64) Event {
	return &inScenario{m.Fate(session), e}
}

type inScenario struct {
	fate  *sim.Fate
	event sim.Event
}

func (s *inScenario) Dimensions() int { return s.fate.Dimensions() }

func (s *inScenario) Closeness(z []float64) (float64, error) {
	if err := s.fate.Run(z); err != nil {
		return 0, err
	}
	return s.fate.Closeness(s.event), nil
}
