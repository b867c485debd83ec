package diagnose

import (
	"cmp"
	"math"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim/observe"
)

// NoneName stands for what none of the faults fits.
const NoneName = "none of these"

// Fit says in a word how well something fits what was seen.
type Fit string

// How well: by the likelihood of what was seen over that of what fits best.
const (
	Fits       Fit = "fits"        // more than a third
	CantTell   Fit = "can't tell"  // between
	DoesNotFit Fit = "doesn't fit" // less than a twentieth
	fitsFrom       = 1.0 / 3       // prior
	noFitBelow     = 1.0 / 20      // prior
	leastTold      = 0.005         // chance below which a fault plays no part in what to check next
)

// Standing is how a fault stands after what was seen.
type Standing struct {
	Fault         *Fault  // nil: none of these
	LogLikelihood float64 // of what was seen: the logarithm of its mean over the drawn cars
	Ratio         float64 // likelihood over that of what fits best
	Fit           Fit
	BaseRate      float64 // chance before anything was seen
	Chance        float64 // and after
	Error         float64 // Monte Carlo standard error of Chance
	Draws         float64 // effective number of drawn cars that Chance rests on; NaN: none of these

	index    int     // in the bank's faults; -1: none of these
	relative float64 // standard error of the likelihood, over it
}

// Name returns the name of the fault.
func (s *Standing) Name() string {
	if s.Fault == nil {
		return NoneName
	}
	return s.Fault.Name
}

// Diagnosis is how the faults stand, the likeliest first.
type Diagnosis struct {
	Standings []Standing
	Doubt     float64 // entropy of the chances, bits
	Draws     int     // cars, of all faults

	weights [][]float64 // by fault of the bank: share of each drawn car in its likelihood
}

// Weigh returns how the faults stand where the observations of the bank had these
// values; of a value that isn't a number nothing was seen.
//
// The likelihood of what was seen under a fault is its mean over the drawn cars; that
// of "none of these" the product of wide densities, one an observation. Chances
// are base rate times likelihood. Their errors follow from those of the means,
//
//	se_f² = P_f² [(1-P_f)² r_f² + Σ_g≠f P_g² r_g²],  r² = Σ L²/(Σ L)² - 1/n
//
// (derived; the means taken for independent, which the common draws make the errors
// smaller than, as does the Latin hypercube). Effective draws are (Σ L)²/Σ L².
func (b *Bank) Weigh(values []float64) *Diagnosis {
	logs, most := b.logLikelihoods(values)
	d := &Diagnosis{weights: logs}
	for f, l := range logs {
		total, squares := 0.0, 0.0
		for i := range l {
			l[i] = math.Exp(l[i] - most)
			total += l[i]
			squares += l[i] * l[i]
		}
		for i := range l {
			l[i] = ratio(l[i], total)
		}
		n := float64(b.Draws[f])
		d.Draws += b.Draws[f]
		d.Standings = append(d.Standings, Standing{
			Fault: &b.Faults[f], index: f, BaseRate: b.rates[f], LogLikelihood: math.Log(total/n) + most + b.logLooked(f),
			Draws: ratio(total*total, squares), relative: math.Sqrt(max(0, ratio(squares, total*total)-1/n)),
		})
	}
	if b.none > 0 {
		d.Standings = append(d.Standings, Standing{index: -1, BaseRate: b.none, LogLikelihood: b.logNone(values) + b.logLooked(len(b.Faults)), Draws: math.NaN()})
	}
	d.chances()
	slices.SortStableFunc(d.Standings, func(x, y Standing) int { return cmp.Compare(y.Chance, x.Chance) })
	return d
}

// chances works out ratios, chances and their errors from likelihoods.
func (d *Diagnosis) chances() {
	best := math.Inf(-1)
	for i := range d.Standings {
		best = max(best, d.Standings[i].LogLikelihood)
	}
	if math.IsInf(best, -1) {
		best = 0
	}
	total := 0.0
	for i := range d.Standings {
		s := &d.Standings[i]
		s.Ratio = math.Exp(s.LogLikelihood - best)
		s.Fit = fitOf(s.Ratio)
		total += s.BaseRate * s.Ratio
	}
	all := 0.0
	for i := range d.Standings {
		s := &d.Standings[i]
		s.Chance = ratio(s.BaseRate*s.Ratio, total)
		all += square(s.Chance * s.relative)
		if s.Chance > 0 {
			d.Doubt -= s.Chance * math.Log2(s.Chance)
		}
	}
	for i := range d.Standings {
		s := &d.Standings[i]
		own := square(s.Chance * s.relative)
		s.Error = s.Chance * math.Sqrt(square((1-s.Chance)*s.relative)+all-own)
	}
}

func square(x float64) float64 { return x * x }

func fitOf(ratio float64) Fit {
	switch {
	case ratio > fitsFrom:
		return Fits
	case ratio < noFitBelow:
		return DoesNotFit
	}
	return CantTell
}

// logLikelihoods returns the logarithm of the likelihood of what was seen by fault
// and drawn car, times how often the car counts, and a number to scale them by.
func (b *Bank) logLikelihoods(values []float64) (logs [][]float64, most float64) {
	seen := slices.Clone(b.seen)
	most = math.Inf(-1)
	for f := range b.Faults {
		l := make([]float64, b.Draws[f])
		for o := range seen {
			seen[o].Value = values[o]
			if math.IsNaN(values[o]) {
				continue
			}
			addLogLikelihoods(l, &seen[o], b.predicted[f][o])
		}
		if b.counts != nil {
			for i := range l {
				l[i] += b.counts[f][i]
			}
		}
		for _, v := range l {
			most = max(most, v)
		}
		logs = append(logs, l)
	}
	if b.none > 0 {
		most = max(most, b.logNone(values))
	}
	if math.IsInf(most, -1) {
		most = 0
	}
	return logs, most
}

// addLogLikelihoods adds the logarithm of the likelihood of one observation to those of
// cars. A prediction that isn't a number is of a car that was ruled out before.
func addLogLikelihoods(l []float64, o *scenarios.Observation, predicted []float64) {
	if o.Whether() {
		for i, p := range predicted {
			if l[i] += observe.LogLikelihood(o, p); math.IsNaN(l[i]) {
				l[i] = math.Inf(-1)
			}
		}
		return
	}
	highest := observe.LogLikelihood(o, o.Value)
	for i, p := range predicted {
		z := (o.Value - p) / o.Error
		if l[i] += highest - z*z/2; math.IsNaN(l[i]) {
			l[i] = math.Inf(-1)
		}
	}
}

// logNone is the logarithm of the density of what was seen under "none of these".
func (b *Bank) logNone(values []float64) float64 {
	total := 0.0
	for o, v := range values {
		if !math.IsNaN(v) {
			total += b.wide[o].logDensity(&b.seen[o], v)
		}
	}
	return total
}

func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}

// Interval returns the 95 % interval of the chance for its Monte Carlo error, normal in
// the logarithm of the odds.
func (s *Standing) Interval() (low, high float64) {
	p := s.Chance
	if p <= 0 || p >= 1 {
		return p, p
	}
	const within95 = 1.959964
	odds := p / (1 - p)
	f := math.Exp(within95 * s.Error / (p * (1 - p)))
	return odds / f / (1 + odds/f), odds * f / (1 + odds*f)
}

// Shown is what a fault would have shown of one observation.
type Shown struct {
	P05, P50, P95 float64 // of a reading what is predicted, without error; of yes or no all the chance of yes
	Never         float64 // share of cars in which a pour doesn't end
	Ratio         float64 // likelihood of this observation alone over that of the fault that fits it best
}

// Shows returns what each fault of the bank would have shown, by fault in the order of
// Faults and observation.
func (b *Bank) Shows(values []float64) [][]Shown {
	seen := slices.Clone(b.seen)
	shows := make([][]Shown, len(b.Faults))
	for o := range seen {
		seen[o].Value = values[o]
		best := 0.0
		for f := range b.Faults {
			s := shown(&seen[o], b.predicted[f][o][:b.whole])
			best = max(best, s.Ratio)
			shows[f] = append(shows[f], s)
		}
		for f := range shows {
			shows[f][o].Ratio = ratio(shows[f][o].Ratio, best)
		}
	}
	return shows
}

// shown has the mean likelihood in place of the ratio.
func shown(o *scenarios.Observation, predicted []float64) Shown {
	var s Shown
	n := float64(len(predicted))
	finite := make([]float64, 0, len(predicted))
	total := 0.0
	for _, p := range predicted {
		s.Ratio += math.Exp(observe.LogLikelihood(o, p)) / n
		if !math.IsInf(p, 0) {
			finite = append(finite, p)
			total += p
		}
	}
	s.Never = 1 - float64(len(finite))/n
	if o.Whether() {
		chance := total / n
		s.P05, s.P50, s.P95 = chance, chance, chance
		return s
	}
	slices.Sort(finite)
	at := func(p float64) float64 {
		if len(finite) == 0 {
			return math.Inf(1)
		}
		return finite[min(int(p*float64(len(finite))), len(finite)-1)]
	}
	s.P05, s.P50, s.P95 = at(0.05), at(0.50), at(0.95)
	return s
}
