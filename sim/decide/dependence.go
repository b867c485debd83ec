package decide

import (
	"cmp"
	"context"
	"math"
	"slices"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/sim"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// Question is what a verdict is about: whether an event's chance within a session
// length stays within a limit.
type Question struct {
	Event   sim.Event
	Session int     // index of the session length
	Limit   float64 // of the chance
	Ends    int     // inputs, the strongest first, whose ends are simulated; 0: as many as the kind of drain lets wait for
}

// Dependence is how the answer to a question moves with each input that is not
// measured.
type Dependence struct {
	Question
	Scenario *scenarios.Scenario
	Length   float64 // s, of the session
	Chance   stats.Estimate
	Inputs   []InputDependence // by how far they move the chance, most first
	Pairs    []PairDependence  // that carry it across the limit only together
	Tried    int               // pairs that were tried
	Open     int               // of them, those that can't be told from the limit
	Low      stats.Estimate    // the least chance that one input alone brings about, at an end of its range
	High     stats.Estimate    // the greatest
	Track    *TrackCarryOver   // where the carry-over on track rests on a road interval alone; else nil
}

// InputDependence is how one input moves the chance across its own range.
type InputDependence struct {
	Input    *scenarios.Quantity
	From, To float64        // ends of its range, SI
	AtFrom   stats.Estimate // the chance with the input there
	AtTo     stats.Estimate
	Tenths   bool         // AtFrom and AtTo are those of its lowest and highest tenth, from the draws of the run
	Tips     bool         // one end keeps the limit for sure, the other breaks it for sure
	Unclear  bool         // an end was simulated and can't be told from the limit
	Tipping  TippingValue // where, if it Tips
}

// TippingValue is where an input carries the chance across the limit.
type TippingValue struct {
	Value, Low, High float64 // SI, with its interval
	KeptBelow        bool    // the limit is kept below it; else above it
	Contrary         int     // realizations that don't go along with it, out of Realizations
	Realizations     int
}

// PairDependence is two inputs that together carry the chance across the limit,
// and neither alone.
type PairDependence struct {
	A, B     *scenarios.Quantity
	AtA, AtB float64 // the ends of their ranges at which they do, SI
	Chance   stats.Estimate
}

// Realizations behind the chance at the end of a range, and behind a tipping value.
// An end that can't be told from the limit gets four times as many.
const (
	endRealizations = 600
	mostAtEnds      = 10_000
	timesMore       = 4
	atEnds          = 16 // inputs whose ends are simulated
	atEndsCostly    = 6  // the same, where a realization is costly
	inPairs         = 5  // inputs of which each two are tried together
	inPairsLong     = 3  // the same, where a realization is long
)

// Tips lists the inputs that carry the chance across the limit alone.
func (d *Dependence) Tips() []InputDependence {
	var list []InputDependence
	for _, in := range d.Inputs {
		if in.Tips {
			list = append(list, in)
		}
	}
	return list
}

// Depends reports whether the verdict depends on an input that is not measured, or
// on two together, or on the carry-over on track.
func (d *Dependence) Depends() bool {
	return len(d.Tips()) > 0 || len(d.Pairs) > 0 || d.DependsOnTrack()
}

// DependsOnTrack reports whether the verdict depends on the carry-over on track,
// which a reading over a road interval does not tell.
func (d *Dependence) DependsOnTrack() bool {
	return d.Track != nil && !d.Track.Keeps(d.Limit) && !d.Track.Breaks(d.Limit)
}

// DependsOn works out what the answer to a question rests on. The result is one of
// the same model that kept first times (sim.Options.Keep); options are those that
// it was run with.
func DependsOn(ctx context.Context, m *sim.Model, res *sim.Result, q Question, o sim.Options) (*Dependence, error) {
	s := m.Scenario()
	d := &Dependence{Question: q, Scenario: s, Length: s.Sessions[q.Session], Chance: res.Sessions[q.Session].Estimate(q.Event)}
	o.Seed, o.SamplingError, o.Progress, o.Partial = &res.Seed, 0, nil, false
	o.Realizations = int(min(max(endRealizations, 5/q.Limit), mostAtEnds)) // enough to keep the limit for sure
	short, err := endingAt(s, d.Length)
	if err != nil {
		return nil, err
	}
	w := &weigher{ctx: ctx, model: m, short: short, options: o, d: d}
	if err := w.tenths(res); err != nil {
		return nil, err
	}
	for i := range d.Inputs[:min(w.atEnds(), len(d.Inputs))] {
		if err := w.ends(&d.Inputs[i]); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(d.Inputs, byEffect)
	for i := range d.Inputs {
		if err := w.tipping(&d.Inputs[i]); err != nil {
			return nil, err
		}
	}
	if len(d.Tips()) == 0 {
		if err := w.pairs(); err != nil {
			return nil, err
		}
	}
	d.band()
	if err := w.track(); err != nil {
		return nil, err
	}
	return d, nil
}

// endingAt returns the scenario with nothing longer than a session length in s.
func endingAt(s *scenarios.Scenario, length float64) (*scenarios.Scenario, error) {
	changes := []scenarios.Change{{Path: "sessions", Value: lengthsList([]float64{length})}}
	if s.Duty.Event > 0 {
		changes = append(changes, scenarios.Change{Path: "duty.event", Value: length})
	}
	return s.With(changes...)
}

// byEffect puts first the input that moves the chance most; of two that don't, the
// one nearer to the drain.
func byEffect(a, b InputDependence) int {
	return cmp.Or(cmp.Compare(b.effect(), a.effect()), cmp.Compare(b.Input.ID, a.Input.ID))
}

func (in *InputDependence) effect() float64 {
	return math.Abs(in.AtTo.Probability - in.AtFrom.Probability)
}

// Moves reports whether the chance differs for sure between the ends, or the tenths.
func (in *InputDependence) Moves() bool {
	return in.AtFrom.High < in.AtTo.Low || in.AtTo.High < in.AtFrom.Low
}

// band finds the least and the greatest chance at the ends.
func (d *Dependence) band() {
	d.Low, d.High = d.Chance, d.Chance
	for _, in := range d.Inputs {
		if in.Tenths {
			continue
		}
		for _, e := range []stats.Estimate{in.AtFrom, in.AtTo} {
			if e.Probability < d.Low.Probability {
				d.Low = e
			}
			if e.Probability > d.High.Probability {
				d.High = e
			}
		}
	}
}

// weigher works out one dependence.
type weigher struct {
	ctx     context.Context
	model   *sim.Model
	short   *scenarios.Scenario // nothing longer than the session in question
	options sim.Options
	d       *Dependence
}

// tenths tells from the draws of the run how the chance differs between the lowest
// and the highest tenth of each input that is not measured.
func (w *weigher) tenths(res *sim.Result) error {
	design, err := w.options.Design()
	if err != nil {
		return err
	}
	u := w.model.Coordinates(design, res.Seed, len(res.Kept))
	for i, q := range w.model.Uncertain() {
		if q.Basis != scenarios.Measured {
			w.tenthsOf(q, u[i], res)
		}
	}
	for _, q := range w.model.DrawnTogether() {
		if q.Basis != scenarios.Measured && !q.IsExact() {
			w.tenthsOf(q, w.model.Shares(q, u[len(u)-1]), res) // the last one picks the draw
		}
	}
	slices.SortStableFunc(w.d.Inputs, byEffect)
	return nil
}

// tenthsOf is tenths of one input, by its place in its own distribution in each
// realization.
func (w *weigher) tenthsOf(q *scenarios.Quantity, places []float64, res *sim.Result) {
	in := InputDependence{Input: q, Tenths: true}
	in.From, in.To = q.Distribution.Range()
	var low, high stats.Chance
	for from := 0; from < len(res.Kept); from += sampling.BlockSize {
		var lowN, lowEvents, highN, highEvents int
		for r := from; r < min(from+sampling.BlockSize, len(res.Kept)); r++ {
			fails := 0
			if res.Kept[r].Of(w.d.Event) <= w.d.Length {
				fails = 1
			}
			switch {
			case math.IsNaN(res.Kept[r].Overflow): // missing, or failed
			case places[r] < 0.1:
				lowN++
				lowEvents += fails
			case places[r] > 0.9:
				highN++
				highEvents += fails
			}
		}
		low.AddBlock(lowEvents, lowN)
		high.AddBlock(highEvents, highN)
	}
	in.AtFrom = low.Estimate(sim.Level, stats.FromWilson)
	in.AtTo = high.Estimate(sim.Level, stats.FromWilson)
	w.d.Inputs = append(w.d.Inputs, in)
}

// ends simulates an input at both ends of its range. Nothing is taken for granted
// between them.
func (w *weigher) ends(in *InputDependence) error {
	var err error
	if in.AtFrom, err = w.told(w.options.Realizations, func(n int) *ladder { return w.ladder(in.Input.Path, 1, n) }, in.From); err != nil {
		return err
	}
	if in.AtTo, err = w.told(w.options.Realizations, func(n int) *ladder { return w.ladder(in.Input.Path, 1, n) }, in.To); err != nil {
		return err
	}
	in.Tenths = false
	in.Unclear = w.spans(in.AtFrom) || w.spans(in.AtTo)
	return nil
}

// atEnds is how many inputs are put at the ends of their ranges.
func (w *weigher) atEnds() int {
	switch {
	case w.d.Ends > 0:
		return w.d.Ends
	case costly(w.model.Nominal()), w.long():
		return atEndsCostly
	}
	return atEnds
}

// told is the chance at a value, with more realizations where it can't be told from
// the limit.
func (w *weigher) told(n int, along func(n int) *ladder, value float64) (stats.Estimate, error) {
	c, err := along(n).chance(value, w.d.Length)
	if err != nil || !w.spans(c) {
		return c, err
	}
	if w.long() {
		return c, nil
	}
	return along(n*timesMore).chance(value, w.d.Length)
}

// longDuty is how many phases a realization may drive before it counts as long.
const longDuty = 6000

// long reports whether a realization drives so many phases that more of them, where
// one can't tell, would take minutes.
func (w *weigher) long() bool { return long(w.model.Nominal(), w.d.Length) }

// long reports whether a realization of so many seconds takes about ten times as
// long as an hour of a lap of a dozen phases.
func long(car *sim.Car, length float64) bool {
	lap := 0.0
	for _, p := range car.Lap {
		lap += p.Duration
	}
	return float64(len(car.Lap))*length > longDuty*lap
}

// spans reports whether the interval of a chance holds the limit.
func (w *weigher) spans(e stats.Estimate) bool { return e.Low <= w.d.Limit && e.High > w.d.Limit }

// costly reports whether a realization of a car takes about ten times as long as
// one of a sealed drain.
func costly(car *sim.Car) bool {
	return car.Drain.Kind == sim.Unsealed || car.Drain.Kind == sim.BelowOil || len(car.Lap) > manyPhases
}

// ladder sets one up along an input, or down it with the sign -1, where less of it
// is what helps.
func (w *weigher) ladder(path string, sign float64, n int) *ladder {
	return &ladder{event: w.d.Event, ctx: w.ctx, options: w.options, n: n, at: func(value float64) (*sim.Model, error) {
		s, err := pinned(w.short, path, sign*value)
		if err != nil {
			return nil, err
		}
		return sim.NewModel(s)
	}}
}

// readingPath is the one input that is never exact: a dipstick's least spread is put
// around what is written.
const readingPath = "carry_over.oil_used"

// pinned returns the scenario with one input at a value. A reading is written as a
// law so narrow that it is next to exact, which no least spread widens.
func pinned(s *scenarios.Scenario, path string, value float64) (*scenarios.Scenario, error) {
	if path != readingPath {
		return Changed(s, path, value)
	}
	law, err := nextToExact(value)
	if err != nil {
		return nil, err
	}
	return s.With(scenarios.Change{Path: path, Value: law})
}

// nextToExact is a log-normal law about a value, m3, that tells no more than it.
func nextToExact(value float64) (uncertainty.Distribution, error) {
	return uncertainty.LogNormal(max(value, math.SmallestNonzeroFloat32), 1.0001)
}

// tipping finds where an input carries the chance across the limit, if it does.
func (w *weigher) tipping(in *InputDependence) error {
	limit := w.d.Limit
	kept := func(e stats.Estimate) bool { return e.High <= limit }
	broken := func(e stats.Estimate) bool { return e.Low > limit }
	s := search{path: in.Input.Path, risk: limit, rounded: func(v float64) float64 { return v }}
	var sign float64
	switch {
	case in.Tenths:
		return nil
	case broken(in.AtFrom) && kept(in.AtTo):
		sign, s.from, s.to = 1, in.From, in.To
	case kept(in.AtFrom) && broken(in.AtTo):
		sign, s.from, s.to = -1, -in.To, -in.From
		in.Tipping.KeptBelow = true
	default:
		return nil
	}
	in.Tips, in.Unclear = true, false
	s.nearness = func(float64) float64 { return 1e-3 * (in.To - in.From) }
	l := w.ladder(in.Input.Path, sign, w.options.Realizations*timesMore)
	t, err := l.threshold(s, w.d.Length)
	if err != nil {
		return err
	}
	in.Tipping.Value, in.Tipping.Low, in.Tipping.High = sign*t.Value, sign*t.Low, sign*t.High
	if sign < 0 {
		in.Tipping.Low, in.Tipping.High = in.Tipping.High, in.Tipping.Low
	}
	in.Tipping.Realizations = l.n
	in.Tipping.Contrary, err = l.contradictions(t.Value, w.d.Length)
	return err
}

// pairs tries two of the strongest inputs at a time at the ends that lead towards
// the other side of the limit.
func (w *weigher) pairs() error {
	var strongest []InputDependence
	for _, in := range w.d.Inputs {
		if !in.Tenths && in.Moves() && len(strongest) < w.inPairs() {
			strongest = append(strongest, in)
		}
	}
	breaks := w.d.Chance.Probability > w.d.Limit
	for i := range strongest {
		for j := i + 1; j < len(strongest); j++ {
			a, b := &strongest[i], &strongest[j]
			p := PairDependence{A: a.Input, B: b.Input, AtA: a.towards(!breaks), AtB: b.towards(!breaks)}
			var err error
			if p.Chance, err = w.told(w.options.Realizations, func(n int) *ladder { return w.both(p, n) }, 0); err != nil {
				return err
			}
			w.d.Tried++
			switch {
			case breaks && p.Chance.High <= w.d.Limit, !breaks && p.Chance.Low > w.d.Limit:
				w.d.Pairs = append(w.d.Pairs, p)
			case w.spans(p.Chance):
				w.d.Open++
			}
		}
	}
	return nil
}

// inPairs is how many inputs are tried by twos.
func (w *weigher) inPairs() int {
	if w.long() {
		return inPairsLong
	}
	return inPairs
}

// towards is the end of the range with the greater chance, or with the lesser.
func (in *InputDependence) towards(greater bool) float64 {
	if (in.AtTo.Probability > in.AtFrom.Probability) == greater {
		return in.To
	}
	return in.From
}

// both is a ladder of one rung: the scenario with both inputs of a pair in place.
func (w *weigher) both(p PairDependence, n int) *ladder {
	return &ladder{event: w.d.Event, ctx: w.ctx, options: w.options, n: n, at: func(float64) (*sim.Model, error) {
		s, err := pinned(w.short, p.A.Path, p.AtA)
		if err == nil {
			s, err = pinned(s, p.B.Path, p.AtB)
		}
		if err != nil {
			return nil, err
		}
		return sim.NewModel(s)
	}}
}
