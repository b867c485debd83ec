package pool

import (
	"math"

	"sumpward/scenarios/logbook"
	"sumpward/sim/stats"
)

// Forecast is a chance that was said before, and whether it came.
type Forecast struct {
	Said float64 // 0..1
	Came bool
}

// ForecastsOf takes those forecasts out of a logbook that can be scored, and counts
// those of which nobody wrote what came.
func ForecastsOf(b *logbook.Book, said func(*logbook.Entry) float64, came func(*logbook.Entry) logbook.Mark) (list []Forecast, open int) {
	for i := range b.Entries {
		e := &b.Entries[i]
		switch {
		case !logbook.Written(said(e)):
		case came(e) == logbook.NotSeen:
			open++
		default:
			list = append(list, Forecast{said(e), came(e) == logbook.Yes})
		}
	}
	return list, open
}

// Bin is the forecasts between two chances.
type Bin struct {
	From, To float64 // 0..1; To itself belongs to the next bin, but for 1
	Count    int
	Came     int
	Said     float64        // mean of what was said; NaN without any
	Interval stats.Interval // 95 %, Clopper and Pearson, of the chance that it comes
}

// Fits reports whether the mean of what was said lies in the interval.
func (b Bin) Fits() bool {
	return b.Count == 0 || b.Said >= b.Interval.Low && b.Said <= b.Interval.High
}

// edges of the bins: narrow where a small chance matters.
var edges = []float64{0, 0.05, 0.20, 0.40, 0.60, 0.80, 0.95, 1}

// Fewer of these say nothing: forecasts in all, and times that it came, and that it
// didn't. Chosen: with fewer the interval of the chance is wider than 0.3 whatever
// was said.
const (
	LeastForecasts = 20
	LeastEither    = 3
)

// Scored is how forecasts came true.
type Scored struct {
	Forecasts []Forecast
	Count     int
	Came      int
	BaseRate  float64 // share that came; NaN for none
	Brier     float64 // mean of (said - came)²
	Reference float64 // that of always saying the base rate: BaseRate (1 - BaseRate)
	Skill     float64 // 1 - Brier/Reference; NaN where the reference is 0
	Better    stats.MeanDifference
	Bins      []Bin

	// Bias and Deviation are standard normal if every chance was right. Bias is
	// below 0 where less came than was said; Deviation, Spiegelhalter's z, is above 0
	// where chances were too near to 0 and 1, below where they kept to the middle.
	Bias      float64
	Deviation float64
	Enough    bool
}

// Score scores forecasts:
//
//	B = Σ (f - o)² / n,  reference ō (1 - ō)
//	bias      = Σ (o - f) / √(Σ f (1 - f))
//	deviation = Σ (o - f)(1 - 2f) / √(Σ (1 - 2f)² f (1 - f))
//
// Better is B less the reference, below 0 where the forecasts did better, with its
// 95 % interval from the spread of the single differences: of forecasts that are
// independent of each other. The base rate is that of the same sessions, known only
// afterwards, which makes it a hard reference.
//
// Source: Brier 1950, Monthly Weather Review 78, 1-3; Spiegelhalter 1986, Statist.
// Med. 5, 421-433 (from memory).
func Score(list []Forecast) Scored {
	s := Scored{Forecasts: list, Count: len(list)}
	n := float64(len(list))
	for _, f := range list {
		s.Came += count(f.Came)
	}
	s.BaseRate = float64(s.Came) / n
	s.Reference = s.BaseRate * (1 - s.BaseRate)
	var differences stats.PairedMean
	var sum, over, spread, up, down float64
	for _, f := range list {
		o := float64(count(f.Came))
		square := (f.Said - o) * (f.Said - o)
		sum += square
		differences.AddBlock(square-(s.BaseRate-o)*(s.BaseRate-o), 1)
		over, spread = over+o-f.Said, spread+f.Said*(1-f.Said)
		up += (o - f.Said) * (1 - 2*f.Said)
		down += (1 - 2*f.Said) * (1 - 2*f.Said) * f.Said * (1 - f.Said)
	}
	s.Brier = sum / n
	s.Skill = 1 - s.Brier/s.Reference
	if s.Reference == 0 {
		s.Skill = math.NaN()
	}
	s.Better = differences.Estimate(0.95)
	s.Bias, s.Deviation = standardized(over, spread), standardized(up, down)
	s.Enough = s.Count >= LeastForecasts && s.Came >= LeastEither && s.Count-s.Came >= LeastEither
	s.Bins = binned(list)
	return s
}

// standardized is NaN where every chance was 0 or 1, and so says of luck nothing.
func standardized(sum, variance float64) float64 {
	if variance == 0 {
		return math.NaN()
	}
	return sum / math.Sqrt(variance)
}

func count(came bool) int {
	if came {
		return 1
	}
	return 0
}

// binned puts forecasts into the bins.
func binned(list []Forecast) []Bin {
	bins := make([]Bin, len(edges)-1)
	for i := range bins {
		b := Bin{From: edges[i], To: edges[i+1]}
		said := 0.0
		for _, f := range list {
			if last := i == len(bins)-1; f.Said >= b.From && (f.Said < b.To || last && f.Said <= b.To) {
				b.Count++
				b.Came += count(f.Came)
				said += f.Said
			}
		}
		b.Said = said / float64(b.Count)
		b.Interval = stats.ClopperPearson(float64(b.Came), float64(b.Count), 0.95)
		bins[i] = b
	}
	return bins
}
