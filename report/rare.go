package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/sim"
	"sumpward/sim/rare"
)

// Rare is the small chances of a run: those of the events that direct sampling hardly saw
// within one session length.
type Rare struct {
	Session int // index of it
	Found   []rare.Found
}

// rareWords puts small chances to words.
type rareWords struct {
	*Rare
	run Run
}

func (r rareWords) length() string {
	return r.run.driven().Length(r.run.Result.Sessions[r.Session].Length)
}

func (r rareWords) write(d *Document) {
	if len(r.Found) == 0 {
		d.paragraph(fmt.Sprintf("No chance within %s is too small to see: the %s realizations met each event that can happen %d times or more.",
			r.length(), words.Grouped(int64(r.run.Result.Realizations)), rare.MostSeen))
		return
	}
	d.table(r.table())
	d.paragraph(r.tells())
	d.list("", r.doubts())
}

// tells says what the chances rest on.
func (r rareWords) tells() string {
	first := r.Found[0].Estimate
	return fmt.Sprintf("Chances this small rest on the far ends of the distributions as stated, which nobody has measured: what is not known comes first. "+
		"Found by subset simulation, %d repeats; the intervals are those of their spread, and the chances may be a few per cent too high. "+
		"The last column is how many realizations direct sampling would take to tell them as well.", r.repeats(first))
}

func (r rareWords) repeats(e *rare.Estimate) int {
	most := len(e.Chances)
	for i := range r.Found {
		most = max(most, len(r.Found[i].Estimate.Chances))
	}
	return most
}

func (r rareWords) table() *table {
	t := &table{
		heading: "Chances too small to see, within " + r.length(),
		head:    []string{"", "chance", "95 %\ninterval", "levels", "realizations", "the same\ndirectly"},
		words:   []int{0},
		whole:   2,
	}
	for i := range r.Found {
		f := &r.Found[i]
		e := f.Estimate
		chance, interval := RareChance(e)
		direct := words.None
		if e.Probability > 0 {
			direct = rounded(e.Direct())
		}
		t.add(eventName(f.Event), strings.Replace(chance, " in ", " in\n", 1), interval, fmt.Sprintf("%.1f", e.Levels),
			words.Grouped(int64(e.Realizations)), direct)
	}
	return t
}

// doubts lists what makes chances doubtful.
func (r rareWords) doubts() []string {
	var list []string
	for i := range r.Found {
		f := &r.Found[i]
		name := words.Sentence(eventName(f.Event))
		for _, w := range f.Estimate.Warnings {
			list = append(list, name+": "+w+".")
		}
		if f.Disagrees() {
			list = append(list, name+": direct sampling and subset simulation do not agree within their intervals. Trust the direct one.")
		}
	}
	return list
}

// RareChance writes a small chance as a count of a power of ten of sessions, and the
// interval of that count: "3 in 1,000,000" and "1 to 9". One that was not reached is
// below one in so many.
func RareChance(e *rare.Estimate) (chance, interval string) {
	if !(e.Probability > 0) {
		if slices.Contains(e.Chances, 0) && e.Low == 0 && len(e.Warnings) > 0 {
			return "not told", words.None
		}
		return "below 1 in " + rounded(1/e.Least), words.None
	}
	of := 10.0
	for (e.Low*of < 0.95 || (e.High-e.Low)*of < 4) && of < 1e15 {
		of *= 10
	}
	return fmt.Sprintf("%.0f in %s", e.Probability*of, words.Grouped(int64(of))),
		fmt.Sprintf("%.0f to %.0f", e.Low*of, e.High*of)
}

// rounded writes a large number with two digits.
func rounded(x float64) string {
	unit := math.Pow(10, math.Max(math.Floor(math.Log10(x))-1, 0))
	return words.Grouped(int64(math.Round(x/unit) * unit))
}

// eventName is what tables call an event.
func eventName(e sim.Event) string {
	switch e {
	case sim.Overflow:
		return "overflow"
	case sim.DrainChoked:
		return "drain choked"
	case sim.OverPressure:
		return "over-pressure"
	case sim.OilLost:
		return "oil lost"
	default:
		return "overflow or choked"
	}
}
