package sim

import (
	"encoding/json"
	"errors"
	"fmt"

	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// key names a run in what is kept: all that it depends on.
func (r *runner) key() string {
	return fmt.Sprintf("%s seed %d %s %d", r.model.scenario.Fingerprint(), r.seed, r.design.Name(), r.limit)
}

// restore takes up what is kept of the run: the blocks from the first one on without a
// break, or all there is where that has to do.
func (r *runner) restore(w *Work, partial bool) error {
	r.work, r.partial = w, partial
	if w == nil {
		return nil
	}
	for _, part := range w.run(r.key()) {
		if part.To <= r.done || part.Keep < len(r.kept) {
			continue
		}
		if part.From != r.done && !partial || part.From < r.done {
			break
		}
		if part.From > r.done {
			r.missing = append(r.missing, gapOf(r.done, part.From, r.limit))
		}
		if err := r.take(part); err != nil {
			return fmt.Errorf("kept work: %w", err)
		}
	}
	if partial && r.done < r.blocks() {
		r.missing = append(r.missing, gapOf(r.done, r.blocks(), r.limit))
		r.done = r.blocks()
	}
	if partial && r.total.N == 0 {
		return ErrNothingKept
	}
	return nil
}

// ErrNothingKept is a run that nothing was kept of, and nothing may be simulated for.
var ErrNothingKept = errors.New("none of its realizations are there")

// take adds kept blocks to the total.
func (r *runner) take(part runWork) error {
	if part.To > r.blocks() {
		return fmt.Errorf("block %d of %d", part.To, r.blocks())
	}
	t, err := readTally(part.Tally, len(r.total.Sessions))
	if err != nil {
		return err
	}
	if all := min(part.To*sampling.BlockSize, r.limit) - part.From*sampling.BlockSize; t.N+t.Failed.Count != all {
		return fmt.Errorf("%d realizations in place of %d", t.N+t.Failed.Count, all)
	}
	if err := r.takeKept(part); err != nil {
		return err
	}
	r.total.merge(t)
	r.done = part.To
	return nil
}

// takeKept adds the first times of kept blocks.
func (r *runner) takeKept(part runWork) error {
	from, to := part.keptRange(part.Keep)
	times, err := floatsOf(part.Kept)
	if err != nil || len(times) != 4*(to-from) {
		return fmt.Errorf("first times of %d realizations in place of %d", len(times)/4, to-from)
	}
	for i := from; i < min(to, len(r.kept)); i++ {
		at := times[4*(i-from):]
		r.kept[i] = FirstTimes{at[0], at[1], at[2], at[3]}
	}
	return nil
}

// keptRange is the range of a part's realizations whose first times are kept, where those
// of the first so many of the run are.
func (p *runWork) keptRange(keep int) (from, to int) {
	return min(p.From*sampling.BlockSize, keep), min(p.To*sampling.BlockSize, keep)
}

// store keeps what was done so far.
func (r *runner) store() {
	if r.work == nil || r.partial || r.simulated == 0 {
		return
	}
	part := runWork{From: r.from, To: r.done, Keep: len(r.kept)}
	text, err := json.Marshal(r.total)
	if err != nil {
		return // a number that is not finite: it is simulated again
	}
	part.Tally = text
	from, to := part.keptRange(part.Keep)
	times := make([]float64, 0, 4*(to-from))
	for _, f := range r.kept[from:to] {
		times = append(times, f.Overflow, f.DrainChoked, f.OverPressure, f.OilLost)
	}
	part.Kept = floatBytes(times)
	r.work.keepRun(r.key(), part, r.simulated)
	r.simulated = 0
}

// readTally reads a tally of a model with so many session lengths, and checks it.
func readTally(data []byte, sessions int) (*tally, error) {
	t := newTally(sessions)
	if err := json.Unmarshal(data, t); err != nil {
		return nil, err
	}
	switch {
	case len(t.Sessions) != sessions:
		return nil, fmt.Errorf("%d session lengths in place of %d", len(t.Sessions), sessions)
	case len(t.Stints) > mostStints:
		return nil, fmt.Errorf("%d stints (allowed up to %d)", len(t.Stints), mostStints)
	case t.N < 0 || t.Failed.Count < len(t.Failed.First) || t.RangeExits < 0 || t.StageExits < 0:
		return nil, errors.New("a count below 0")
	case t.Pressure == nil || t.Margin == nil || t.Flood == nil || t.ToStand == nil || t.ToOver == nil:
		return nil, errors.New("a distribution is missing")
	case t.Failed.Count > 0 && len(t.Failed.First) == 0:
		return nil, errors.New("realizations that failed are not named")
	}
	for _, s := range t.Sessions {
		if s.Fill == nil || s.Held == nil || s.Intake == nil {
			return nil, errors.New("a distribution is missing")
		}
	}
	if !t.agrees() {
		return nil, errors.New("counts of one number of realizations beside another")
	}
	return t, nil
}

// agrees reports whether all counts of a tally are of one number of realizations. A file
// that was made by hand may say anything; what it says has to be possible, so that
// nothing overflows when it is added up.
func (t *tally) agrees() bool {
	n := int64(t.N)
	all := func(chances *[eventCount]stats.Chance, n int64) bool {
		for i := range chances {
			if c := &chances[i]; c.Trials() != n || !c.BlocksUpTo(sampling.BlockSize) {
				return false
			}
		}
		return true
	}
	for i := range t.Sessions {
		s := &t.Sessions[i]
		if !all(&s.Events, n) || s.Fill.Count() != n || s.Intake.Count() != n || s.Held.Count() > n {
			return false
		}
	}
	for i := range t.Stints {
		s := &t.Stints[i]
		if s.Reached < 0 || s.Reached > t.N {
			return false
		}
		for _, e := range toldByStint {
			if c := &s.Events[e]; c.Trials() != int64(s.Reached) || !c.BlocksUpTo(sampling.BlockSize) {
				return false
			}
		}
	}
	return t.Pressure.Count() == n && t.Margin.Count() <= n && t.Flood.Count() <= n &&
		t.ToStand.Count() <= n && t.ToOver.Count() <= n && t.RangeExits <= n && t.StageExits <= n
}

// missed says which realizations are missing.
func (r *runner) missed() []string {
	var list []string
	for _, g := range r.missing {
		list = append(list, fmt.Sprintf("realizations %d to %d are missing", g.From, g.To-1))
	}
	return list
}
