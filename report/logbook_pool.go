package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim/pool"
)

// LogbookPool is the report on what a shop's cars move, pooled into a range for the
// next one.
type LogbookPool struct {
	Pooled       *pool.Pooled
	Book         string
	Length       float64 // s, of the session that volumes are shown for
	FullThrottle float64 // 0..1, share of it at full throttle
	Left         []string
	Units        units.System
}

// Density of the oil where the range is written as a mass flow, kg/m3: that of the
// program's default oil at 15 C.
const pooledDensity = 870

// Document is the report for people.
func (r LogbookPool) Document() *Document {
	p := r.Pooled
	d := &Document{}
	d.title("Logbook "+r.Book+": what the shop's cars move", r.source())
	d.paragraph(r.verdict())
	if len(p.Cars) > 0 {
		d.table(r.table())
	}
	d.paragraph("For the scenario of a new car:")
	d.blocks = append(d.blocks, verbatim(r.lines()))
	d.paragraph(fmt.Sprintf("Or, if all of it comes over in the %s of the time at full throttle, carry_over.full_throttle: %s.", percent(r.FullThrottle), r.flow()))
	d.list("", r.notes())
	return d
}

// source says from what the range was pooled.
func (r LogbookPool) source() string {
	p := r.Pooled
	if p.Sessions == 0 {
		return "pooled from no car: the prior alone"
	}
	return fmt.Sprintf("pooled from %s, %s", several(len(p.Cars), "car", "cars"), several(p.Sessions, "session", "sessions"))
}

func (r LogbookPool) volume(rate float64) float64 { return rate * r.Length }

func (r LogbookPool) session() string { return words.Length(r.Length, r.Units) }

func (r LogbookPool) verdict() string {
	p := r.Pooled
	v := words.SmallVolumes(r.Units)
	show := func(rate float64) string { return words.ShowIn(rounded2(r.volume(rate), v.Unit), v.Unit) }
	text := fmt.Sprintf("A new car of this shop moves, in the mean of its %s sessions, about %s: in nine of ten cars %s to %s. One session of it: %s to %s.",
		r.session(), show(p.New.Median), show(p.New.Low), show(p.New.High), show(p.Session.Low), show(p.Session.High))
	switch {
	case p.Sessions == 0:
		return text + " Nothing was read: that is the program's default range."
	case len(p.Cars) == 1:
		return text + " One car doesn't tell how far the next may differ from it: that is the prior's word still."
	}
	return text + fmt.Sprintf(" Cars differ by a factor of %.2g (%.2g to %.2g), sessions of one car by %.2g (%.2g to %.2g).",
		p.Between.Median, p.Between.Low, p.Between.High, p.Within.Median, p.Within.Low, p.Within.High)
}

// rounded2 keeps two digits of a value, SI, in a unit.
func rounded2(si float64, u units.Unit) float64 {
	v := u.FromSI(si)
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return si
	}
	scale := math.Pow(10, 1-math.Floor(math.Log10(math.Abs(v))))
	return u.ToSI(math.Round(v*scale) / scale)
}

func (r LogbookPool) table() *table {
	v := words.SmallVolumes(r.Units)
	t := &table{
		heading: fmt.Sprintf("Moved in a %s session, %s. Pooled: the car's own level, drawn towards the shop's by what its sessions leave open", r.session(), v.Unit.Symbol),
		head:    []string{"car", "sessions", "its own\nmean", "pooled", "90 %\nfrom", "\nto"}, words: []int{0},
	}
	row := func(name, sessions string, alone, middle, low, high float64) {
		t.add(name, sessions, v.Text(r.volume(alone)), v.Text(r.volume(middle)), v.Text(r.volume(low)), v.Text(r.volume(high)))
	}
	for _, c := range r.Pooled.Cars {
		row(c.Car, fmt.Sprint(c.Sessions), c.Alone, c.Median, c.Low, c.High)
	}
	n := r.Pooled.New
	row("a new one", words.None, math.NaN(), n.Median, n.Low, n.High)
	row("one session of it", words.None, math.NaN(), r.Pooled.Session.Median, r.Pooled.Session.Low, r.Pooled.Session.High)
	return t
}

// amount is the range of a new car as a scenario takes it.
func (r LogbookPool) amount() string {
	u := words.SmallVolumes(units.Metric).Unit
	return fmt.Sprintf("%s x/ %s mL", twoDigits(u.FromSI(r.volume(r.Pooled.New.Median))), twoDigits(r.Pooled.New.Factor))
}

func (r LogbookPool) flowMedian() float64 {
	return r.Pooled.New.Median * pooledDensity / r.FullThrottle
}

func (r LogbookPool) flow() string {
	return fmt.Sprintf("%s x/ %s g/s", twoDigits(1000*r.flowMedian()), twoDigits(r.Pooled.New.Factor))
}

// twoDigits writes two digits, without an exponent.
func twoDigits(v float64) string {
	decimals := 0
	if v > 0 && !math.IsInf(v, 0) {
		decimals = max(0, 1-int(math.Floor(math.Log10(v))))
		scale := math.Pow(10, 1-math.Floor(math.Log10(v)))
		v = math.Round(v*scale) / scale
	}
	return fmt.Sprintf("%.*f", decimals, v)
}

func (r LogbookPool) lines() []string {
	return []string{
		"carry_over:    # " + r.source(),
		"  oil_used: " + r.amount(),
		"  during: " + words.Length(r.Length, units.Metric),
		"  through_breathers: 100 %    # it was read behind them",
	}
}

func (r LogbookPool) notes() []string {
	p := r.Pooled
	prior := p.Priors
	u := words.SmallVolumes(r.Units).Unit
	list := []string{
		fmt.Sprintf("Priors, no published source: a shop's level %s x/ %s in a %s session; between cars and between sessions half-normal on the log, scales %.2g and %.2g; volumes read to %s.",
			words.ShowIn(rounded2(r.volume(prior.Median), u), u), twoDigits(prior.Factor), r.session(), prior.BetweenScale, prior.WithinScale, words.Show(prior.VolumeError, units.Volume, r.Units)),
		"What the can caught stands for what the car moved: mist that got past it is not in these numbers.",
		"The range is that of cars like those in the book, driven as they were. Write from which it was pooled beside it.",
	}
	if p.Below > 0 {
		list = append(list, fmt.Sprintf("%s below twice the reading error: taken as less than that, not as nothing.", several(p.Below, "reading lies", "readings lie")))
	}
	if p.Above > 0 {
		list = append(list, fmt.Sprintf("%s of a can that overflowed: taken as at least that much.", several(p.Above, "reading is", "readings are")))
	}
	for _, text := range r.Left {
		list = append(list, "Left out: "+text+".")
	}
	return list
}

// WriteCSV writes one row a car, and the new one, SI.
func (r LogbookPool) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"car", "sessions", "own_mean_m3_per_s", "median_m3_per_s", "low_m3_per_s", "high_m3_per_s", "geometric_standard_deviation", "source"}}
	for _, c := range r.levels() {
		s.add(c.Car, c.Sessions, c.Alone, c.Median, c.Low, c.High, c.Factor, r.source())
	}
	return s.write(w)
}

// levels are those of the cars, of a new one, and of one session of it.
func (r LogbookPool) levels() []pool.Level {
	list := append([]pool.Level{}, r.Pooled.Cars...)
	next, session := r.Pooled.New, r.Pooled.Session
	next.Car, session.Car = "a new one", "one session of a new one"
	return append(list, next, session)
}

type levelJSON struct {
	Car      string `json:"car,omitempty"`
	Sessions int    `json:"sessions,omitempty"`
	Alone    number `json:"own_mean_m3_per_s"`
	Median   number `json:"median_m3_per_s"`
	Low      number `json:"low_m3_per_s"`
	High     number `json:"high_m3_per_s"`
	Factor   number `json:"geometric_standard_deviation"`
}

func levelOf(l pool.Level) levelJSON {
	return levelJSON{l.Car, l.Sessions, number(l.Alone), number(l.Median), number(l.Low), number(l.High), number(l.Factor)}
}

type factorJSON struct {
	Median number `json:"geometric_standard_deviation"`
	Low    number `json:"low"`
	High   number `json:"high"`
}

type logbookPoolJSON struct {
	Format       string      `json:"format"`
	Version      int         `json:"version"`
	Book         string      `json:"book"`
	Basis        string      `json:"basis"`
	Source       string      `json:"source"`
	NewCar       levelJSON   `json:"new_car"`
	Session      levelJSON   `json:"one_session_of_a_new_car"`
	Cars         []levelJSON `json:"cars"`
	Between      factorJSON  `json:"between_cars"`
	Within       factorJSON  `json:"between_sessions"`
	Below        int         `json:"readings_below_limit"`
	Above        int         `json:"readings_overflowed"`
	Length       number      `json:"length_s"`
	FullThrottle number      `json:"full_throttle"`
	Volume       number      `json:"oil_in_length_m3"`
	Flow         number      `json:"carry_over_full_throttle_kg_per_s"`
	Density      number      `json:"density_kg_per_m3"`
	Notation     string      `json:"carry_over_oil_used"`
	Left         []string    `json:"left_out"`
}

// basis of the range: of other cars than the one it is for, so it is never measured.
func (r LogbookPool) basis() string {
	if r.Pooled.Sessions == 0 {
		return "assumed"
	}
	return "stated"
}

// WriteJSON writes levels and spreads for programs.
func (r LogbookPool) WriteJSON(w io.Writer) error {
	p := r.Pooled
	out := logbookPoolJSON{
		Format: "sumpward/logbook-pool", Version: 1, Book: r.Book, Basis: r.basis(), Source: r.source(), NewCar: levelOf(p.New), Session: levelOf(p.Session), Cars: []levelJSON{},
		Between: factorJSON{number(p.Between.Median), number(p.Between.Low), number(p.Between.High)},
		Within:  factorJSON{number(p.Within.Median), number(p.Within.Low), number(p.Within.High)},
		Below:   p.Below, Above: p.Above, Length: number(r.Length), FullThrottle: number(r.FullThrottle), Volume: number(r.volume(p.New.Median)),
		Flow: number(r.flowMedian()), Density: pooledDensity, Notation: strings.TrimSpace(r.amount()), Left: append([]string{}, r.Left...),
	}
	for _, c := range p.Cars {
		out.Cars = append(out.Cars, levelOf(c))
	}
	return writeJSON(w, out)
}
