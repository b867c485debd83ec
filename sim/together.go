package sim

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// Mark is what one realization came to, in short; all NaN where it could not be worked out.
type Mark struct {
	FirstTimes
	PeakPressure float64   // Pa, highest crankcase pressure
	ToIntake     []float64 // m3 at 15 °C that reached intake or air, by session length
}

// together is how many blocks all models run before their marks are handed on.
const together = 10

// Together runs several models on the same draws, as many realizations of each as
// make the chances of all precise enough (see [Options]), and hands on block by
// block, in order, what each realization came to: marks[m][i] is realization i of
// the block in model m, valid during the call. The models need not have the same
// session lengths. Where seed or number of realizations are not given, the first
// model's are taken. When the context ends first it is the context's error.
func Together(ctx context.Context, models []*Model, o Options, each func(marks [][]Mark)) ([]*Result, error) {
	if len(models) == 0 {
		return nil, errors.New("no layout to simulate")
	}
	var runners []*runner
	var wanted float64
	for _, m := range models {
		r, w, err := m.runner(o.definite(models[0]))
		if err != nil {
			return nil, err
		}
		runners, wanted = append(runners, r), w
	}
	if o.Progress != nil {
		for i := range runners {
			runners[i].progress = func(n int) { o.Progress(n + finishedByOthers(runners, i)) }
		}
	}
	blocks := (runners[0].limit + sampling.BlockSize - 1) / sampling.BlockSize
	for at := 0; at < blocks; {
		look := blocks
		if wanted > 0 {
			look = min(blocks, stats.NextLook(at))
		}
		for at < look {
			until := min(look, at+together)
			if err := roundOfAll(ctx, runners, at, until, each); err != nil {
				return nil, err
			}
			at = until
		}
		if wanted > 0 && preciseEnough(wanted, runners) {
			break
		}
	}
	var results []*Result
	for _, r := range runners {
		results = append(results, r.result(wanted, false))
	}
	return results, nil
}

// definite fills in what the options leave to a scenario, from one model's.
func (o Options) definite(m *Model) Options {
	s := m.scenario.Simulation
	if o.Seed == nil {
		o.Seed = &s.Seed
	}
	if o.Realizations <= 0 && o.SamplingError <= 0 {
		o.Realizations, o.SamplingError = s.Realizations, s.SamplingError
	}
	return o
}

// roundOfAll runs the blocks from one up to another in every model.
func roundOfAll(ctx context.Context, runners []*runner, from, until int, each func([][]Mark)) error {
	var all [][]Mark // by model, then realization
	for _, r := range runners {
		first := from * sampling.BlockSize
		marks := make([]Mark, min(until*sampling.BlockSize, r.limit)-first)
		intake := make([]float64, len(marks)*len(r.total.Sessions))
		for i := range marks { // of a realization that fails
			marks[i] = unknown(len(r.total.Sessions))
		}
		r.record = func(realization uint64, o *Outcome, density float64) {
			i := int(realization) - first
			into := intake[i*len(o.Sessions) : (i+1)*len(o.Sessions)]
			for s, session := range o.Sessions {
				into[s] = session.ToIntake / density
			}
			marks[i] = Mark{o.Firsts(), o.PeakPressure, into}
		}
		r.round(ctx, until)
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		if err := r.total.Failed.tooMany(r.total.N + r.total.Failed.Count); err != nil {
			return fmt.Errorf("%s: %w", nameOf(r.model), err)
		}
		all = append(all, marks)
	}
	if each == nil {
		return nil
	}
	for n := 0; n < len(all[0]); n += sampling.BlockSize {
		part := make([][]Mark, len(all))
		for m := range all {
			part[m] = all[m][n:min(n+sampling.BlockSize, len(all[m]))]
		}
		each(part)
	}
	return nil
}

// unknown is the mark of a realization that could not be worked out.
func unknown(sessions int) Mark {
	nan := math.NaN()
	m := Mark{FirstTimes{nan, nan, nan, nan}, nan, make([]float64, sessions)}
	for i := range m.ToIntake {
		m.ToIntake[i] = nan
	}
	return m
}

// finishedByOthers counts the realizations of all but one model, while that one runs.
func finishedByOthers(runners []*runner, one int) int {
	n := 0
	for i, r := range runners {
		if i != one {
			n += r.total.N
		}
	}
	return n
}

func preciseEnough(wanted float64, runners []*runner) bool {
	return !slices.ContainsFunc(runners, func(r *runner) bool {
		return !stats.PreciseEnough(wanted, r.reported()...)
	})
}

// nameOf names a model in an error.
func nameOf(m *Model) string {
	if m.scenario.VariantName != "" {
		return fmt.Sprintf("variant %q", m.scenario.VariantName)
	}
	return fmt.Sprintf("scenario %q", m.scenario.Title)
}
