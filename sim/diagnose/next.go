package diagnose

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/observe"
	"sumpward/sim/sampling"
)

// Next is which check would tell most.
type Next struct {
	Tellings []Telling // by what they tell for their minutes, most first
	Now      float64   // chance that stands on the true fault now, on average: Σ P²
	Doubt    float64   // bits: entropy of the chances
	Apart    []Pair    // of faults that fit, or may: what would tell them apart
}

// Telling is what a check would tell.
type Telling struct {
	Check       Check
	Information float64 // bits of the doubt that it takes away, on average
	After       float64 // chance on the true fault after it, on average

	outcomes [][]float64 // by hypothesis: chances of what may be found
	laws     []law       // of a reading, by hypothesis

	hypotheses []hypothesis
}

// Chances returns the chances of the faults after the check read a value, or a look found
// a fault (its name; [FoundNothing]), by name.
func (t *Telling) Chances(reading float64, found string) map[string]float64 {
	likelihood := func(i int) float64 { return t.laws[i].density(t.Check.whether(), reading) }
	if t.Check.Looks() {
		y := len(t.outcomes[0]) - 1
		for i, k := range findable(&t.Check, t.hypotheses) {
			if t.hypotheses[k].fault.Name == found {
				y = i
			}
		}
		likelihood = func(i int) float64 { return t.outcomes[i][y] }
	}
	chances, total := map[string]float64{}, 0.0
	for i, h := range t.hypotheses {
		v := h.chance * likelihood(i)
		chances[h.name()] = v
		total += v
	}
	for name, v := range chances {
		chances[name] = ratio(v, total)
	}
	return chances
}

func (h *hypothesis) name() string {
	if h.fault == nil {
		return NoneName
	}
	return h.fault.Name
}

// Rate returns the bits for each minute.
func (t *Telling) Rate() float64 { return t.Information / t.Check.Minutes }

// Pair is two faults and the check that tells them apart best.
type Pair struct {
	A, B        *Fault
	Check       *Check  // nil: there is none
	Information float64 // bits, if each of the two were as likely as the other
}

// told is how many drawn cars of a fault a check is predicted for.
const told = 150

// Next works out what each check would tell of the faults as they stand.
//
// What a check would read under a fault comes from cars that are drawn in proportion
// to the likelihood of what was seen of them, systematic and at most 150 different
// ones. With P the chances of the faults now, and y what may be read or found,
//
//	information = Σ_f P_f Σ_y p(y|f) log2( p(y|f)/p(y) )
//	after       = Σ_f P_f Σ_y p(y|f) P(f|y)
//
// Faults with a chance below 0.5 of 100 are left out.
func (b *Bank) Next(ctx context.Context, d *Diagnosis) (*Next, error) {
	h := b.hypotheses(d)
	if err := b.predict(ctx, h); err != nil {
		return nil, err
	}
	n := &Next{}
	for _, x := range h {
		n.Now += x.chance * x.chance
		n.Doubt -= x.chance * math.Log2(x.chance)
	}
	for _, i := range b.possible(h) {
		n.Tellings = append(n.Tellings, b.telling(i, h))
	}
	n.Apart = pairs(d, h, n.Tellings)
	slices.SortStableFunc(n.Tellings, func(x, y Telling) int { return cmp.Compare(y.Rate(), x.Rate()) })
	return n, nil
}

// hypothesis is a fault that may still be, with drawn cars that stand for it.
type hypothesis struct {
	fault  *Fault // nil: none of these
	index  int
	chance float64 // those at hand add to 1
	cars   []int   // draws, in ascending order
	times  []int   // how often each
}

func (b *Bank) hypotheses(d *Diagnosis) []hypothesis {
	var list []hypothesis
	total := 0.0
	for _, s := range d.Standings {
		if s.Chance < leastTold {
			continue
		}
		h := hypothesis{fault: s.Fault, index: s.index, chance: s.Chance}
		if s.index >= 0 {
			h.cars, h.times = systematic(d.weights[s.index], told)
		}
		total += s.Chance
		list = append(list, h)
	}
	for i := range list {
		list[i].chance /= total
	}
	return list
}

// systematic draws n indices in proportion to weights that add to 1, at even steps:
// how often each came.
func systematic(weights []float64, n int) (drawn, times []int) {
	at, sum := 0.5, 0.0
	for i, w := range weights {
		sum += w * float64(n)
		count := 0
		for ; at < sum; at++ {
			count++
		}
		if count > 0 {
			drawn, times = append(drawn, i), append(times, count)
		}
	}
	return drawn, times
}

// possible lists, by their index, the checks that can be made and that some hypothesis
// bears on.
func (b *Bank) possible(hypotheses []hypothesis) []int {
	var list []int
	for i := range b.options.Checks {
		c := &b.options.Checks[i]
		switch {
		case !c.Looks():
			if !c.appliesTo(b.model.Nominal()) {
				continue
			}
		case b.wasLooked(c):
			continue
		case !slices.ContainsFunc(hypotheses, func(h hypothesis) bool { return h.fault != nil && h.fault.FoundBy[c.Name] > 0 }):
			continue
		}
		list = append(list, i)
	}
	return list
}

// readers predict what checks read of one car at a time.
type readers struct {
	open, plugged  *worker
	openAt, plugAt []int // index of the check that each of their observations is of
	intake, blowBy float64
}

// laterSession parts the luck of sessions that checks are made after from that of those
// that were seen.
const laterSession = 1 << 34

// readers returns predictors of all readings that the layout allows, to be copied.
func (b *Bank) readers() (*readers, error) {
	r := &readers{}
	var open, plugged []scenarios.Observation
	for i := range b.options.Checks {
		c := &b.options.Checks[i]
		switch {
		case c.Looks(), c.reads == intakeReading, c.reads == blowByReading, !c.appliesTo(b.model.Nominal()):
		case c.reads == caughtReading:
			plugged, r.plugAt = append(plugged, c.over(b.session)), append(r.plugAt, i)
		default:
			open, r.openAt = append(open, c.over(b.session)), append(r.openAt, i)
		}
	}
	openOne, err := observe.NewPredictor(b.scenario, open)
	if err != nil {
		return nil, err
	}
	pluggedOne, err := observe.NewPredictor(b.scenario, plugged)
	if err != nil {
		return nil, err
	}
	r.open, r.plugged = b.worker(openOne), b.worker(pluggedOne)
	return r, nil
}

func (r *readers) copy(b *Bank) *readers {
	c := &readers{open: b.worker(r.open.predictor.Copy()), plugged: b.worker(r.plugged.predictor.Copy()), openAt: r.openAt, plugAt: r.plugAt}
	c.open.after = func(car *sim.Car) { c.intake, c.blowBy = car.Gas.IntakeDepression, car.Gas.BlowByFull }
	c.plugged.after = (*sim.Car).Plug
	return c
}

// predict predicts every reading of every car that stands for a hypothesis, each car
// once.
func (b *Bank) predict(ctx context.Context, hypotheses []hypothesis) error {
	type chunk struct {
		fault int
		cars  []int // in one block
		read  [][]float64
	}
	var chunks []chunk
	for _, h := range hypotheses {
		var one chunk
		for _, car := range h.cars {
			if b.read[h.index][car] != nil {
				continue
			}
			if n := len(one.cars); n == 0 || n == atOnce || one.cars[0]/sampling.BlockSize != car/sampling.BlockSize {
				if n > 0 {
					chunks = append(chunks, one)
				}
				one = chunk{fault: h.index}
			}
			one.cars, one.read = append(one.cars, car), append(one.read, make([]float64, len(b.options.Checks)))
		}
		if len(one.cars) > 0 {
			chunks = append(chunks, one)
		}
	}
	if len(chunks) == 0 {
		return nil
	}
	all, err := b.readers()
	if err != nil {
		return err
	}
	err = b.parallel(ctx, len(chunks), func() func(int) error {
		r := all.copy(b)
		return func(job int) error {
			k := chunks[job]
			block := k.cars[0] / sampling.BlockSize
			r.open.place(k.fault, block, sampling.BlockSize)
			r.plugged.place(k.fault, block, sampling.BlockSize)
			for i, car := range k.cars {
				if ctx.Err() != nil {
					return ctx.Err()
				}
				if err := r.read(car, b.options.Checks, k.read[i]); err != nil {
					return fmt.Errorf("%s, car %d of seed %d: %w", b.Faults[k.fault].Name, car, b.Seed, err)
				}
			}
			return nil
		}
	})
	if err != nil {
		return err
	}
	for _, k := range chunks {
		for i, car := range k.cars {
			b.read[k.fault][car] = k.read[i]
		}
	}
	return nil
}

// read predicts all readings of one car, by check.
func (r *readers) read(car int, checks []Check, dst []float64) error {
	i, luck := car%sampling.BlockSize, uint64(car)+laterSession
	got, err := r.open.predict(i, luck)
	if err != nil {
		return err
	}
	for o, c := range r.openAt {
		dst[c] = got[o]
	}
	if len(r.plugAt) > 0 {
		if got, err = r.plugged.predict(i, luck); err != nil {
			return err
		}
	}
	for o, c := range r.plugAt {
		dst[c] = got[o]
	}
	for c := range checks {
		switch checks[c].reads {
		case intakeReading:
			dst[c] = r.intake
		case blowByReading:
			dst[c] = r.blowBy
		}
	}
	return nil
}

// readingsOf returns the predictions of a check, as often as each car stands.
func (b *Bank) readingsOf(h *hypothesis, check int) []float64 {
	var list []float64
	for i, car := range h.cars {
		for range h.times[i] {
			list = append(list, b.read[h.index][car][check])
		}
	}
	return list
}

// telling works out what one check would tell.
func (b *Bank) telling(check int, hypotheses []hypothesis) Telling {
	c := &b.options.Checks[check]
	t := Telling{Check: *c, hypotheses: hypotheses}
	if c.Looks() {
		t.outcomes = lookOutcomes(c, hypotheses)
	} else {
		t.laws = b.laws(check, hypotheses)
		t.outcomes = readingOutcomes(c, t.laws)
	}
	chances := make([]float64, len(hypotheses))
	for i, h := range hypotheses {
		chances[i] = h.chance
	}
	t.Information, t.After = information(chances, t.outcomes)
	return t
}

// laws returns what a reading would be under each hypothesis.
func (b *Bank) laws(check int, hypotheses []hypothesis) []law {
	c := &b.options.Checks[check]
	list := make([]law, len(hypotheses))
	var all pool
	for i := range hypotheses {
		if h := &hypotheses[i]; h.fault != nil {
			readings := b.readingsOf(h, check)
			for _, v := range readings {
				all.add(v, h.chance/float64(len(readings)))
			}
			list[i] = lawOf(c, readings, len(h.cars))
		}
	}
	for i := range hypotheses {
		if hypotheses[i].fault == nil {
			list[i] = wideLaw(c, all)
		}
	}
	return list
}

// readingOutcomes parts what may be read into cells.
func readingOutcomes(c *Check, laws []law) [][]float64 {
	list := make([][]float64, len(laws))
	low, high := math.Inf(1), math.Inf(-1)
	for i := range laws {
		low, high = laws[i].reach(low, high)
	}
	for i := range laws {
		if c.whether() {
			list[i] = []float64{laws[i].yes, 1 - laws[i].yes}
		} else {
			list[i] = laws[i].over(low, high, nil)
		}
	}
	return list
}

// lookOutcomes are the faults that a look may find, and nothing: it finds the fault that
// is there as often as that says, and one of the others, where it didn't, now and
// then.
func lookOutcomes(c *Check, hypotheses []hypothesis) [][]float64 {
	findable := findable(c, hypotheses)
	list := make([][]float64, len(hypotheses))
	for i, h := range hypotheses {
		list[i] = make([]float64, len(findable)+1)
		missed, others := 1.0, len(findable)
		if slices.Contains(findable, i) {
			missed, others = 1-h.fault.FoundBy[c.Name], others-1
		}
		falsely := 0.0
		if others > 0 {
			falsely = c.Falsely
		}
		for k, f := range findable {
			if f == i {
				list[i][k] = 1 - missed
			} else {
				list[i][k] = missed * falsely / float64(others)
			}
		}
		list[i][len(findable)] = missed * (1 - falsely)
	}
	return list
}

// findable lists the hypotheses that a look may find.
func findable(c *Check, hypotheses []hypothesis) []int {
	var list []int
	for i, h := range hypotheses {
		if h.fault != nil && h.fault.FoundBy[c.Name] > 0 {
			list = append(list, i)
		}
	}
	return list
}

// information returns the mutual information in bits between hypotheses of these chances
// and outcomes, and the mean chance of the true one after the outcome.
func information(chances []float64, outcomes [][]float64) (bits, after float64) {
	for y := range outcomes[0] {
		all := 0.0
		for f, p := range chances {
			all += p * outcomes[f][y]
		}
		if all <= 0 {
			continue
		}
		for f, p := range chances {
			if joint := p * outcomes[f][y]; joint > 0 {
				bits += joint * math.Log2(outcomes[f][y]/all)
				after += joint * joint / all
			}
		}
	}
	return max(bits, 0), after
}

// pairs lists, for each two faults that fit or may, the check that tells them apart best.
func pairs(d *Diagnosis, hypotheses []hypothesis, tellings []Telling) []Pair {
	var list []Pair
	for i := range hypotheses {
		for j := i + 1; j < len(hypotheses); j++ {
			a, b := &hypotheses[i], &hypotheses[j]
			if a.fault == nil || b.fault == nil || d.fit(a.index) == DoesNotFit || d.fit(b.index) == DoesNotFit {
				continue
			}
			p := Pair{A: a.fault, B: b.fault}
			for k := range tellings {
				t := &tellings[k]
				bits, _ := information([]float64{0.5, 0.5}, [][]float64{t.outcomes[i], t.outcomes[j]})
				if bits > p.Information {
					check := t.Check
					p.Information, p.Check = bits, &check
				}
			}
			list = append(list, p)
		}
	}
	return list
}

func (d *Diagnosis) fit(fault int) Fit {
	for _, s := range d.Standings {
		if s.index == fault {
			return s.Fit
		}
	}
	return DoesNotFit
}
