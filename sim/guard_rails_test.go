package sim

import (
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"sumpward/scenarios"
	"sumpward/sim/sampling"
)

var (
	manyScenarios = flag.Int("scenarios", 300, "random scenarios to run")
	fromScenario  = flag.Uint64("from", 0, "index of the first one")
	scenarioSeed  = flag.Uint64("scenario-seed", 1, "seed of random scenarios")
	showScenario  = flag.Bool("show", false, "print each random scenario")
)

// realizationsEach is how many realizations each random scenario has.
const realizationsEach = 2

// TestRandomScenarios runs random scenarios through reading, binding and the kernel, and
// looks at everything that comes out. See GUARD_RAILS.md; to run more of them:
//
//	go test ./sim -run TestRandomScenarios -v -scenarios 100000 -from 0
func TestRandomScenarios(t *testing.T) {
	var group sync.WaitGroup
	rails := make([]*guardRails, runtime.GOMAXPROCS(0))
	for w := range rails {
		rails[w] = newGuardRails()
		group.Go(func() {
			for i := w; i < *manyScenarios; i += len(rails) {
				rails[w].scenario(*fromScenario + uint64(i))
			}
		})
	}
	group.Wait()
	all := newGuardRails()
	for _, r := range rails {
		all.merge(r)
	}
	t.Log(all.report())
	for _, fault := range all.faults {
		t.Error(fault)
	}
	assert.Greater(t, float64(all.valid), 0.8*float64(*manyScenarios)-1, "so few are valid that little is tested")
	if *manyScenarios >= 300 {
		assert.Empty(t, all.notDrawn(), "fields of the catalogue")
	}
}

// guardRails runs scenarios with one kernel, and counts.
type guardRails struct {
	kernel   *Kernel
	valid    int            // scenarios of which a model was made
	refused  int            // by the reader
	unmade   int            // read, but no model could be made
	unmet    int            // realizations whose car contradicts itself
	why      map[string]int // of these, with one index each
	example  map[string]uint64
	kinds    map[string]int
	fields   map[string]bool
	faults   []string
	ran      int // realizations
	events   [eventCount]int
	runs     int // Model.Run
	residual float64
	pieces   int
	slowest  []slow
	began    time.Time
	busy     time.Duration
}

// slow is a realization and how long it took.
type slow struct {
	index, realization uint64
	pieces             int
	took               time.Duration
}

func newGuardRails() *guardRails {
	return &guardRails{kernel: NewKernel(), why: map[string]int{}, example: map[string]uint64{}, kinds: map[string]int{}, fields: map[string]bool{}, began: time.Now()}
}

func (g *guardRails) merge(o *guardRails) {
	g.valid += o.valid
	g.refused += o.refused
	g.unmade += o.unmade
	g.unmet += o.unmet
	for k, n := range o.why {
		g.why[k] += n
		if at, ok := g.example[k]; !ok || o.example[k] < at {
			g.example[k] = o.example[k]
		}
	}
	for k, n := range o.kinds {
		g.kinds[k] += n
	}
	for k := range o.fields {
		g.fields[k] = true
	}
	g.faults = append(g.faults, o.faults...)
	g.ran += o.ran
	g.runs += o.runs
	for e := range g.events {
		g.events[e] += o.events[e]
	}
	g.residual = max(g.residual, o.residual)
	g.pieces = max(g.pieces, o.pieces)
	g.slowest = append(g.slowest, o.slowest...)
	g.began = slices.MinFunc([]time.Time{g.began, o.began}, time.Time.Compare)
	g.busy += o.busy
}

// fault notes what must not be.
func (g *guardRails) fault(index uint64, format string, values ...any) {
	g.faults = append(g.faults, fmt.Sprintf("scenario %d: ", index)+fmt.Sprintf(format, values...))
}

var numbers = strings.NewReplacer("0", "", "1", "", "2", "", "3", "", "4", "", "5", "", "6", "", "7", "", "8", "", "9", "")

// because counts a reason, by its words.
func (g *guardRails) because(index uint64, what string, err error) {
	text := err.Error()
	if problems, ok := err.(scenarios.Problems); ok {
		text = problems[0].Path + ": " + problems[0].What
	}
	key := what + ": " + numbers.Replace(text)
	key = key[:min(len(key), 150)]
	g.why[key]++
	if _, ok := g.example[key]; !ok {
		g.example[key] = index
	}
}

// scenario runs the scenario of an index.
func (g *guardRails) scenario(index uint64) {
	began := time.Now()
	defer func() {
		g.busy += time.Since(began)
		if r := recover(); r != nil {
			g.fault(index, "panic: %v", r)
			g.kernel = NewKernel()
		}
	}()
	text, d := randomScenario(*scenarioSeed, index)
	if *showScenario {
		fmt.Println(text)
	}
	s, err := scenarios.Parse("random.yaml", []byte(text), d.open)
	if err != nil {
		g.refused++
		g.because(index, "refused", err)
		return
	}
	if c, ok := d.change(); ok {
		if s, err = s.With(c); err != nil {
			g.refused++
			g.because(index, "change refused", err)
			return
		}
		d.is("changed")
	}
	m, err := NewModel(s)
	if err != nil {
		g.unmade++
		g.because(index, "no model", err)
		return
	}
	g.valid++
	for _, k := range d.kinds {
		g.kinds[k]++
	}
	for f := range d.fields {
		g.fields[f] = true
	}
	g.realizations(index, m)
	if (index%20 == 0 || *showScenario) && g.kernel.pieces < 400 {
		g.run(index, m)
	}
}

// realizations runs a few realizations of a model: with the kernel that ran all scenarios
// before, and with a new one.
func (g *guardRails) realizations(index uint64, m *Model) {
	settler := m.settler()
	for realization := range uint64(realizationsEach) {
		car, err := m.at(settler, realization)
		if err != nil {
			g.unmet++
			g.because(index, "car", err)
			continue
		}
		var out, again Outcome
		began := time.Now()
		err = g.kernel.realized(car, *scenarioSeed, realization, &out)
		g.slow(slow{index, realization, g.kernel.pieces, time.Since(began)})
		if errors.Is(err, errTooMuch) {
			g.unmet++
			g.because(index, "car", err)
			continue
		}
		if err != nil {
			g.fault(index, "%v", err)
			if g.kernel.spoilt {
				g.kernel = NewKernel()
			}
			continue
		}
		g.ran++
		g.check(index, car, &out)
		if err := NewKernel().realized(car, *scenarioSeed, realization, &again); err != nil || !sameBits(&out, &again) {
			g.fault(index, "realization %d: %+v with a used kernel, %+v (%v) with a new one", realization, out, again, err)
		}
		if index%8 == 0 || *showScenario {
			g.hand(index)
		}
	}
}

// at settles the car of a realization.
func (m *Model) at(s *settler, realization uint64) (*Car, error) {
	u := make([]float64, len(m.uncertain))
	sampling.Random{}.Point(*scenarioSeed, m.keys, realization, u)
	m.copula.ApplyPoint(u)
	columns := make([][]float64, len(u))
	for i := range u {
		columns[i] = u[i : i+1]
	}
	return s.settle(columns, 0)
}

// hand looks at full throttle in hand of the car that ran last.
func (g *guardRails) hand(index uint64) {
	stand, over, err := g.kernel.Hand()
	if err != nil {
		g.fault(index, "full throttle in hand: %v", err)
	} else if !(stand >= 0) || !(over >= 0) {
		g.fault(index, "full throttle in hand: %g s, %g s", stand, over)
	}
}

func (g *guardRails) slow(s slow) {
	g.slowest = append(g.slowest, s)
	slices.SortFunc(g.slowest, func(a, b slow) int { return cmp.Compare(b.took, a.took) })
	g.slowest = g.slowest[:min(len(g.slowest), 5)]
}

// check holds an outcome to what can be; that all is finite, and above 0 where it has to
// be, is seen to by [Outcome.sound].
func (g *guardRails) check(index uint64, car *Car, o *Outcome) {
	residual := math.Abs(o.Balance.Residual())
	g.residual = max(g.residual, residual)
	if !(residual <= balanceTolerance) {
		g.fault(index, "residual %g", residual)
	}
	for e := range eventCount {
		if o.Firsts().Of(e) <= car.longestSession() {
			g.events[e]++
		}
		if t := o.Firsts().Of(e); t > car.longestSession()+1e-9 && t != Never {
			g.fault(index, "event %d at %g s, after the longest session", e, t)
		}
	}
	if (o.Balance.Over > 0) != (o.Overflow < Never) {
		g.fault(index, "%g kg over the top, first at %g s", o.Balance.Over, o.Overflow)
	}
	if car.Drain.Kind == NoDrain && o.DrainChoked != Never {
		g.fault(index, "a drain that isn't there chokes")
	}
	before := SessionOutcome{}
	for i, s := range o.Sessions {
		length := car.Sessions[i]
		if s.PeakFill < before.PeakFill || s.PeakFill > 1 || s.ToIntake < before.ToIntake || s.Emptied < before.Emptied {
			g.fault(index, "session %d: %+v after %+v", i+1, s, before)
		}
		if o.Overflow <= length && s.PeakFill < 1-rounding {
			g.fault(index, "session %d: overflow at %g s, peak fill %g", i+1, o.Overflow, s.PeakFill)
		}
		if s.InCan > s.Held*(1+1e-12)+1e-15 {
			g.fault(index, "session %d: %g kg in the can, %g kg in hose and can", i+1, s.InCan, s.Held)
		}
		before = s
	}
	g.checkStints(index, car, o)
}

// checkStints holds stints to follow one another, with oil no colder or hotter than it can
// get.
func (g *guardRails) checkStints(index uint64, car *Car, o *Outcome) {
	last := 0.0
	low, high := min(car.Oil.Start, car.Oil.Settled, car.Oil.Ambient), max(car.Oil.Start, car.Oil.Settled, car.Oil.Ambient)
	for i, s := range o.Stints {
		if !(s.Start >= last-1e-9) || !(s.End >= s.Start) || s.End > car.longestSession()+1e-6 {
			g.fault(index, "stint %d from %g s to %g s, after %g s", i+1, s.Start, s.End, last)
		}
		for _, t := range []float64{s.StartTemperature, s.EndTemperature} {
			if !(t >= low-1e-6 && t <= high+1e-6) {
				g.fault(index, "stint %d: oil of %g K, between %g and %g", i+1, t, low, high)
			}
		}
		last = s.End
	}
}

// run simulates a few realizations as a run, and looks at what it reports.
func (g *guardRails) run(index uint64, m *Model) {
	seed := *scenarioSeed
	r, err := m.Run(context.Background(), Options{Realizations: 12, Seed: &seed, Workers: 1})
	if err != nil {
		g.because(index, "run", err)
		return
	}
	g.runs++
	for i := 1; i < len(r.Sessions); i++ {
		a, b := &r.Sessions[i-1], &r.Sessions[i]
		if b.Overflow.Probability < a.Overflow.Probability || b.DrainChoked.Probability < a.DrainChoked.Probability || b.Fails.Probability < a.Fails.Probability ||
			b.OverPressure.Probability < a.OverPressure.Probability || b.OilLost.Probability < a.OilLost.Probability {
			g.fault(index, "chances fall from session %d to the next: %+v, %+v", i, a, b)
		}
		if b.OilToIntake.Mean < a.OilToIntake.Mean*(1-1e-12) {
			g.fault(index, "less oil to the intake in session %d than in the one before", i+1)
		}
	}
}

// sameBits reports whether two outcomes are the same to the last bit.
func sameBits(a, b *Outcome) bool { return sameBitsOf(reflect.ValueOf(*a), reflect.ValueOf(*b)) }

func sameBitsOf(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Float64:
		return math.Float64bits(a.Float()) == math.Float64bits(b.Float())
	case reflect.Struct:
		for i := range a.NumField() {
			if !sameBitsOf(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !sameBitsOf(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	}
	return a.Equal(b)
}

// notDrawn lists the fields of the catalogue that take a value or a word and that no valid
// scenario had, but for how many realizations a run has.
func (g *guardRails) notDrawn() (left []string) {
	for path, f := range catalogueByPath() {
		takes := f.Kind == scenarios.QuantityKind || f.Kind == scenarios.ExactKind || f.Kind == scenarios.ChoiceKind
		if takes && !g.fields[path] && path != "simulation.sampling_error" {
			left = append(left, path)
		}
	}
	slices.Sort(left)
	return left
}

// report is what the guard rails counted.
func (g *guardRails) report() string {
	b := &strings.Builder{}
	n := float64(max(g.ran, 1))
	fmt.Fprintf(b, "random scenarios %d to %d of seed %d, %s\n", *fromScenario, *fromScenario+uint64(*manyScenarios)-1, *scenarioSeed, runtime.Version())
	fmt.Fprintf(b, "valid %d, refused %d, without a model %d; %d realizations, and %d without a car; %d runs\n", g.valid, g.refused, g.unmade, g.ran, g.unmet, g.runs)
	for e, name := range []string{"overflow", "drain choked", "over-pressure", "oil lost"} {
		fmt.Fprintf(b, "%s %.1f %%, ", name, 100*float64(g.events[e])/n)
	}
	fmt.Fprintf(b, "of realizations\nworst residual %.2g; %.1f s of wall clock, %.1f s in scenarios\nslowest:", g.residual, time.Since(g.began).Seconds(), g.busy.Seconds())
	slices.SortFunc(g.slowest, func(a, b slow) int { return cmp.Compare(b.took, a.took) })
	for _, s := range g.slowest[:min(len(g.slowest), 6)] {
		fmt.Fprintf(b, " scenario %d realization %d %.3g s, %d pieces;", s.index, s.realization, s.took.Seconds(), s.pieces)
	}
	var list []string
	for k, count := range g.kinds {
		list = append(list, fmt.Sprintf("%s %d", k, count))
	}
	slices.Sort(list)
	fmt.Fprintf(b, "\nkinds: %s\n", strings.Join(list, ", "))
	fmt.Fprintf(b, "fields not drawn: %s\n", strings.Join(g.notDrawn(), ", "))
	var why []string
	for k, count := range g.why {
		why = append(why, fmt.Sprintf("%6d  %s (scenario %d)", count, k, g.example[k]))
	}
	slices.SortFunc(why, func(a, b string) int { return cmp.Compare(b, a) })
	fmt.Fprintf(b, "%s\n", strings.Join(why, "\n"))
	return b.String()
}
