package main

import (
	"context"
	"errors"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/interview"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// What ask simulates unless flags say otherwise: enough for a first answer. Fewer
// realizations than these are those of sizes and others too.
const (
	askSamplingError = 0.01
	askEnds          = 8     // inputs that are put at the ends of their ranges
	askSizing        = 1_000 // realizations behind the size of a can
	askOthers        = 500   // behind each thing that the car could be, too
)

// atMost returns how many realizations stand behind a part of the answer.
func atMost(n int, o sim.Options) int {
	if o.Realizations > 0 {
		return min(n, o.Realizations)
	}
	return n
}

// askFound is what ask found.
type askFound struct {
	report.Ask
	file     []byte      // the scenario
	sampling sim.Options // that it was run with
}

// workOut sizes the can where that was asked, simulates what was told, and finds
// what the answer depends on.
func (a *app) workOut(ctx context.Context, told interview.Answers, o sim.Options, u units.System) (*askFound, error) {
	if o.Realizations == 0 && o.SamplingError == 0 {
		o.SamplingError = askSamplingError
	}
	o.Keep = keptForRestsOn
	found := &askFound{sampling: o, Ask: report.Ask{Taken: told.Taken(), Unread: told.CarryOverUnread(), Units: u}}
	if a.onTerminal() {
		a.say("working it out on some thousand simulated sessions: a few seconds …")
	}
	if told.ToSize() {
		var err error
		if told, err = found.size(ctx, told, o); err != nil {
			return nil, err
		}
	}
	var err error
	if found.file, err = told.File(); err != nil {
		return nil, err
	}
	s, err := parsed("answers", found.file)
	if err != nil {
		return nil, err
	}
	m, err := model(s)
	if err != nil {
		return nil, err
	}
	res, err := m.Run(ctx, o)
	if err != nil {
		return nil, err
	}
	found.Result = res
	found.Dependence, err = a.dependsOn(ctx, m, res, o, decide.Question{
		Event: sim.OverflowOrChoked, Session: report.AskSession(res), Limit: s.Limits.Risk.Nominal(), Ends: askEnds,
	})
	if err != nil || found.Dependence == nil {
		return found, err
	}
	return found, found.others(ctx, told, o)
}

// size finds the smallest can that does for the longest session. Where one does,
// it is the one that the answer is about.
func (f *askFound) size(ctx context.Context, told interview.Answers, o sim.Options) (interview.Answers, error) {
	data, err := told.File()
	if err != nil {
		return told, err
	}
	s, err := parsed("answers", data)
	if err != nil {
		return told, err
	}
	longest := s.Sessions[len(s.Sessions)-1]
	if s, err = s.With(scenarios.Change{Path: "sessions", Value: "[" + units.Format(longest, units.Time, units.Metric) + "]"}); err != nil {
		return told, err
	}
	o.Realizations, o.SamplingError, o.Keep = atMost(askSizing, o), 0, 0
	f.Sizing, err = decide.Size(ctx, s, decide.SizeOptions{
		Options: o, Units: f.Units, VolumeOnly: true, Volumes: []float64{s.Separator.UsableVolume.Nominal()},
	})
	if err != nil {
		return told, err
	}
	if t := f.Sizing.Volume[0]; t.Found && t.Buy == t.Buy { // a number
		return told.WithCan(units.Format(t.Buy, units.Volume, f.Units))
	}
	return told, nil
}

// others simulates what else the car could be.
func (f *askFound) others(ctx context.Context, told interview.Answers, o sim.Options) error {
	o.Realizations, o.SamplingError, o.Keep, o.Progress = atMost(askOthers, o), 0, 0, nil
	for _, other := range told.Others() {
		data, err := other.File()
		if err != nil {
			return err
		}
		s, err := parsed(other.Name, data)
		if err != nil {
			return err
		}
		res, err := sim.Run(ctx, s, o)
		if errors.Is(err, context.Canceled) || err == nil && res.Interrupted {
			return nil // what was found stands without it
		}
		if err != nil {
			return err
		}
		session := f.Dependence.Session
		if other.Question == "use" {
			session = len(res.Sessions) - 1
		}
		f.Others = append(f.Others, report.AskOther{
			Question: other.Question, Name: other.Name, Instead: other.Instead, Length: res.Sessions[session].Length, Fails: res.Sessions[session].Fails,
		})
	}
	return nil
}
