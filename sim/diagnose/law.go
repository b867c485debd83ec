package diagnose

import "math"

// law is what a check would read under one hypothesis: a mixture of normal laws, and
// a share that never ends; of a yes or no only the chance of yes.
type law struct {
	yes       float64
	never     float64
	at, width []float64 // of the mixture's parts, all alike in weight
}

// smoothing is how wide a part of a mixture is, over the spread of all n of them
// and to the power of -1/5 of their number: half of Silverman's rule (1986, from
// memory), which is for one hump.
const smoothing = 0.53

// lawOf returns the law of a reading from what is predicted of drawn cars, distinct
// of which are different ones. Parts are shrunk towards their mean as much as they
// are widened, so that mean and spread stay (West 1993, from memory).
func lawOf(c *Check, predicted []float64, distinct int) law {
	var l law
	if c.whether() {
		for _, p := range predicted {
			l.yes += (c.observation.Error + (1-2*c.observation.Error)*p) / float64(len(predicted))
		}
		return l
	}
	var p pool
	for _, v := range predicted {
		p.add(v, 1)
	}
	l.never = p.never / float64(len(predicted))
	if p.weight == 0 {
		return l
	}
	mean := p.sum / p.weight
	spread := math.Sqrt(max(0, p.squares/p.weight-mean*mean))
	h := min(smoothing*math.Pow(float64(max(distinct, 1)), -0.2), 0.9)
	shrink := math.Sqrt(1 - h*h)
	for _, v := range predicted {
		if math.IsInf(v, 0) {
			continue
		}
		l.at = append(l.at, mean+shrink*(v-mean))
		l.width = append(l.width, math.Hypot(h*spread, c.errorAt(v)))
	}
	return l
}

// wideLaw is that of "none of these": three times as wide as all others together.
func wideLaw(c *Check, p pool) law {
	if c.whether() {
		return law{yes: 0.5}
	}
	w := p.wide()
	l := law{never: ratio(p.never, p.never+p.weight)}
	if p.weight > 0 {
		l.at, l.width = []float64{w.mean}, []float64{math.Hypot(w.sd, c.errorAt(w.mean))}
	}
	return l
}

// errorAt is the standard error of a reading of a value.
func (c *Check) errorAt(v float64) float64 {
	if c.Error.GSD > 0 {
		return math.Abs(v) * math.Log(c.Error.GSD)
	}
	return c.Error.SD
}

// widths is how many of its widths a normal law reaches.
const widths = 5

// reach widens an interval to hold what the law can read.
func (l *law) reach(low, high float64) (float64, float64) {
	for i, v := range l.at {
		low, high = min(low, v-widths*l.width[i]), max(high, v+widths*l.width[i])
	}
	return low, high
}

// cells is into how many values a reading is parted.
const cells = 150

// over returns the chances of readings: of the cells between low and high, and of never.
func (l *law) over(low, high float64, dst []float64) []float64 {
	dst = append(dst[:0], make([]float64, cells+1)...)
	dst[cells] = l.never
	if len(l.at) == 0 {
		return dst
	}
	step := (high - low) / cells
	each := (1 - l.never) / float64(len(l.at))
	for i, v := range l.at {
		w := l.width[i]
		first := min(max(int((v-widths*w-low)/step), 0), cells-1)
		last := min(max(int((v+widths*w-low)/step), first), cells-1)
		below := 0.0
		for k := first; k <= last; k++ {
			upTo := 1.0
			if k < last {
				upTo = 0.5 * math.Erfc((v-low-float64(k+1)*step)/(w*math.Sqrt2))
			}
			dst[k] += each * (upTo - below)
			below = upTo
		}
	}
	return dst
}

// at returns the density of a reading; of never, or a yes or no, its chance.
func (l *law) density(whether bool, reading float64) float64 {
	switch {
	case whether && reading > 0.5:
		return l.yes
	case whether:
		return 1 - l.yes
	case math.IsInf(reading, 0):
		return l.never
	}
	sum := 0.0
	for i, v := range l.at {
		z := (reading - v) / l.width[i]
		sum += math.Exp(-z*z/2) / l.width[i]
	}
	return sum * (1 - l.never) / (float64(max(len(l.at), 1)) * math.Sqrt(2*math.Pi))
}
