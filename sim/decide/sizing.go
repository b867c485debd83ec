package decide

import (
	"context"
	"errors"
	"fmt"
	"math"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// Paths of what is sized.
const (
	VolumePath = "separator.usable_volume"
	FallPath   = "drain.fall"
	BorePath   = "drain.bore"
)

// Sizing is what size finds.
type Sizing struct {
	Scenario *scenarios.Scenario
	Kind     sim.DrainKind
	Risk     float64 // limit of the chance of overflow or a choked drain
	Seed     uint64
	Sampling string
	Sessions []float64 // s, ascending

	Volumes *Table // usable volume by session length
	Drains  *Table // fall by bore, for the longest session; nil without a drain

	Volume      []Threshold // the smallest usable volume, by session length
	LargestCan  *sim.Result // with the largest volume searched
	TakenCan    *sim.Result // with the volume to take for the longest session; nil where there is none, or for VolumeOnly
	Fall        []Threshold // the least fall, by session length; nil without a drain
	LongestFall *sim.Result // with the longest fall searched; nil without a drain
	TakenFall   *sim.Result // with the fall to take for the longest session; nil where there is none
	Warnings    []string
}

// Table holds chances of overflow or a choked drain over two axes.
type Table struct {
	Rows, Columns Axis
	Session       float64  // s, that all cells are for; 0 where the columns are session lengths
	Cells         [][]Cell // by row, then column
}

// Cell is what one layout comes to within one session length.
type Cell struct {
	Fails        stats.Estimate // overflow or a choked drain
	Events       int64          // realizations in which it happened
	Realizations int64
	Problem      string // why there can be no such layout; empty: there is
}

// SizeOptions say what is sized and how it is sampled.
type SizeOptions struct {
	sim.Options                // Realizations: behind each threshold and each cell of the first table
	Cell          int          // realizations behind each cell of the second table; 0: as many as suit the kind of drain, or Realizations
	Units         units.System // that sizes are round in
	Volumes       []float64    // rows of the first table, m3; empty: chosen around the scenario's
	Falls, Bores  []float64    // rows and columns of the second, m; empty: chosen around the scenario's
	WithoutDrains bool         // leave the second table out
	VolumeOnly    bool         // leave the drain out altogether, the least fall too

	shard Shard // of the realizations, those that are simulated
}

// Realizations that sizing takes where none are asked for. Where gas meets oil in
// the drain, its end is below the oil, or a log has hundreds of phases, a
// realization costs about ten times as much. 2,500 are five blocks, the fewest whose
// spread tells what an even design gains.
const (
	SizeRealizations     = 5_000
	sizeRealizationsSlow = 2_500
	cellRealizations     = 2_500
	cellRealizationsSlow = 1_000
	manyPhases           = 100
)

// definite fills in what the options leave open.
func (o SizeOptions) definite(car *sim.Car) SizeOptions {
	all, cell := SizeRealizations, cellRealizations
	if kind := car.Drain.Kind; kind == sim.Unsealed || kind == sim.BelowOil || len(car.Lap) > manyPhases {
		all, cell = sizeRealizationsSlow, cellRealizationsSlow
	}
	switch {
	case o.Cell <= 0 && o.Realizations > 0:
		o.Cell = o.Realizations
	case o.Cell <= 0:
		o.Cell = cell
	}
	if o.Realizations <= 0 {
		o.Realizations = all
	}
	o.SamplingError = 0
	return o
}

// Size works out the sizing tables of a scenario, and the smallest volume and the
// least fall that keep the chance of overflow or a choked drain within limits.risk.
// Each table and threshold is found on the same realizations throughout. What can't
// be built is a cell with a Problem.
func Size(ctx context.Context, s *scenarios.Scenario, o SizeOptions) (*Sizing, error) {
	m, err := sim.NewModel(s)
	if err != nil {
		return nil, err
	}
	design, err := o.Design()
	if err != nil {
		return nil, err
	}
	kind := m.Nominal().Drain.Kind
	z := &sizer{ctx: ctx, scenario: s, options: o.definite(m.Nominal()), sizes: sizesIn(o.Units)}
	z.sizing = &Sizing{
		Scenario: s, Kind: kind, Risk: s.Limits.Risk.Nominal(), Sessions: s.Sessions,
		Seed: s.Simulation.Seed, Sampling: design.Name(),
	}
	if o.Seed != nil {
		z.sizing.Seed = *o.Seed
	}
	if err := z.volumes(m.Nominal().Can.UsableVolume); err != nil || kind == sim.NoDrain || o.VolumeOnly {
		return z.sizing, err
	}
	return z.sizing, z.falls(m.Nominal().Drain.Hose.Bore)
}

// sizer works out one sizing.
type sizer struct {
	ctx      context.Context
	scenario *scenarios.Scenario
	options  SizeOptions
	sizes    sizes
	sizing   *Sizing
	finished int // realizations
}

// volumes works out the first table and the smallest volume, around a volume in m3.
func (z *sizer) volumes(present float64) error {
	l := z.ladder(z.scenario, VolumePath, z.options.Realizations)
	s := search{
		path: VolumePath, from: smallestCan, to: max(largestCan, 4*present), risk: z.sizing.Risk,
		nearness: func(v float64) float64 { return 1e-3 * v }, rounded: z.sizes.volume,
	}
	var err error
	if z.sizing.Volume, z.sizing.LargestCan, err = z.thresholds(l, s); err != nil {
		return err
	}
	if !z.options.VolumeOnly {
		if z.sizing.TakenCan, err = z.taken(l, z.sizing.Volume); err != nil {
			return err
		}
	}
	t := &Table{Rows: Axis{VolumePath, units.Volume, z.options.Volumes}, Columns: Axis{"sessions", units.Time, z.scenario.Sessions}}
	if len(t.Rows.Values) == 0 {
		t.Rows.Values = z.sizes.volumesAround(present)
	}
	t.Cells = make([][]Cell, len(t.Rows.Values))
	for _, i := range halving(len(t.Rows.Values)) {
		row := make([]Cell, len(t.Columns.Values))
		for j := len(row) - 1; j >= 0; j-- {
			if row[j], err = l.cell(t.Rows.Values[i], t.Columns.Values[j]); err != nil {
				return err
			}
		}
		t.Cells[i] = row
	}
	z.sizing.Volumes = t
	return nil
}

// falls works out the second table and the least fall, around a bore in m.
func (z *sizer) falls(bore float64) error {
	fall := NominalFall(z.scenario)
	s := search{
		path: FallPath, from: leastFall, to: max(longestFall, 2*fall), risk: z.sizing.Risk,
		nearness: func(float64) float64 { return 0.25e-3 }, rounded: z.sizes.fall,
	}
	var err error
	l := z.ladder(z.scenario, FallPath, z.options.Realizations)
	if z.sizing.Fall, z.sizing.LongestFall, err = z.thresholds(l, s); err != nil {
		return err
	}
	if z.sizing.TakenFall, err = z.taken(l, z.sizing.Fall); err != nil || z.options.WithoutDrains {
		return err
	}
	t := &Table{
		Rows: Axis{FallPath, units.Length, z.options.Falls}, Columns: Axis{BorePath, units.Length, z.options.Bores},
		Session: z.longest(),
	}
	if len(t.Rows.Values) == 0 {
		t.Rows.Values = z.sizes.fallsAround(fall)
	}
	if len(t.Columns.Values) == 0 {
		t.Columns.Values = z.sizes.boresAround(bore)
	}
	z.sizing.Drains = t
	t.Cells = make([][]Cell, len(t.Rows.Values))
	for i := range t.Cells {
		t.Cells[i] = make([]Cell, len(t.Columns.Values))
	}
	for j, bore := range t.Columns.Values {
		if err := z.column(t, j, bore); err != nil {
			return err
		}
	}
	return nil
}

// column works out the column of one bore in m, on a ladder of its own.
func (z *sizer) column(t *Table, j int, bore float64) error {
	s, err := Changed(z.scenario, BorePath, bore)
	if err != nil {
		for i := range t.Cells {
			t.Cells[i][j] = Cell{Problem: err.Error()}
		}
		return nil
	}
	l := z.ladder(s, FallPath, z.options.Cell)
	for _, i := range halving(len(t.Rows.Values)) {
		if t.Cells[i][j], err = l.cell(t.Rows.Values[i], t.Session); err != nil {
			return err
		}
	}
	return nil
}

func (z *sizer) longest() float64 { return z.scenario.Sessions[len(z.scenario.Sessions)-1] }

// ladder sets one up along an input of a scenario.
func (z *sizer) ladder(s *scenarios.Scenario, path string, n int) *ladder {
	l := &ladder{event: sim.OverflowOrChoked, ctx: z.ctx, options: z.options.Options, n: n, shard: z.options.shard, at: func(value float64) (*sim.Model, error) {
		changed, err := Changed(s, path, value)
		if err != nil {
			return nil, err
		}
		return sim.NewModel(changed)
	}}
	l.ran = func(n int) {
		if z.finished += n; z.options.Progress != nil {
			z.options.Progress(z.finished)
		}
	}
	return l
}

// thresholds finds a threshold for each session length, the longest first since
// what is learned there tells most about the others, and runs the end of the search.
func (z *sizer) thresholds(l *ladder, s search) ([]Threshold, *sim.Result, error) {
	list := make([]Threshold, len(z.scenario.Sessions))
	for i := len(list) - 1; i >= 0; i-- {
		var err error
		if list[i], err = l.threshold(s, z.scenario.Sessions[i]); err != nil {
			return nil, nil, err
		}
	}
	if err := z.checked(l, &list[len(list)-1]); err != nil {
		return nil, nil, err
	}
	end, err := z.run(l, s.to)
	return list, end, err
}

// taken runs the size to take for the longest session, of which a threshold says
// nothing but overflow and a choked drain; nil where there is none. A size that
// rounding carried past what a scenario may hold is none.
func (z *sizer) taken(l *ladder, list []Threshold) (*sim.Result, error) {
	t := list[len(list)-1]
	if math.IsNaN(t.Buy) {
		return nil, nil
	}
	res, err := z.run(l, t.Buy)
	if problems := (scenarios.Problems{}); errors.As(err, &problems) {
		return nil, nil
	}
	return res, err
}

// run runs the layout at one value of a ladder.
func (z *sizer) run(l *ladder, value float64) (*sim.Result, error) {
	m, err := l.at(value)
	if err != nil {
		return nil, err
	}
	o := z.options.Options
	o.Realizations, o.Progress = z.options.Cell, nil
	if z.options.shard != (Shard{}) {
		from, to := z.options.shard.Of(blockCount(o.Realizations))
		return nil, m.Simulate(z.ctx, o, from, to)
	}
	res, err := m.Run(z.ctx, o)
	if err == nil && res.Interrupted {
		err = context.Cause(z.ctx)
	}
	return res, err
}

// checked looks whether more of the input really never hurt, at the threshold of
// the longest session or else the end of the search.
func (z *sizer) checked(l *ladder, t *Threshold) error {
	at := t.To
	if t.Found {
		at = t.Value
	}
	var err error
	t.Contrary, err = l.contradictions(at, t.Session)
	z.sizing.Warnings = append(z.sizing.Warnings, l.warnings...)
	if err != nil || t.Contrary == 0 {
		return err
	}
	z.sizing.Warnings = append(z.sizing.Warnings, fmt.Sprintf(
		"for %d of %d realizations more of %s is worse, not better: chances and the threshold may be off by as much", t.Contrary, l.n, t.Path))
	return nil
}
