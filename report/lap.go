package report

import (
	"fmt"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/datalog"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// Lap is what the engine does as the model sees it, at nominal values.
type Lap struct {
	Scenario *scenarios.Scenario
	Car      *sim.Car
	Circuit  *sim.CircuitLap // nil: the duty is no circuit
	Follows  *sim.Follows    // how the lap spreads; nil: not looked at
	Units    units.System
	All      bool // all phases, however many
	Samples  bool // CSV and JSON: the samples of a circuit's lap
}

// mostPhases is how many phases are listed without being asked for all.
const mostPhases = 60

// Document is the lap for people.
func (r Lap) Document() *Document {
	d := &Document{}
	about := r.about()
	if name := r.Scenario.VariantName; name != "" {
		about += fmt.Sprintf("; variant %q", name)
	}
	d.title(r.Scenario.Title, about)
	if text := Event(r.Scenario, r.Units); text != "" {
		d.paragraph(text)
	}
	d.table(r.phases())
	d.facts(r.facts())
	if r.Scenario.Duty.Log != nil {
		report := r.Scenario.Duty.Log.Report
		d.table(r.kept(report))
		d.list("How the log was read", report.Notes)
		d.list("Warnings", report.Warnings)
	}
	return d
}

func (r Lap) about() string {
	duty := r.Scenario.Duty
	switch {
	case duty.Pattern != nil:
		return "Random bursts of full throttle: one mean burst, one mean rest"
	case duty.Circuit != nil && r.Circuit != nil:
		return r.circuit()
	case duty.Log != nil:
		return fmt.Sprintf("Data log %s: %s in a row, %d phases", duty.Log.File, howMany("lap", len(r.Car.Laps)), len(r.Car.Lap))
	}
	return fmt.Sprintf("A lap of %s", howMany("phase", len(r.Car.Lap)))
}

// listed returns how many phases are listed.
func (r Lap) listed() int {
	n := len(r.Car.Lap)
	if n <= mostPhases || r.All {
		return n
	}
	if len(r.Car.Laps) > 1 {
		n = r.Car.Laps[1]
	}
	return n
}

func (r Lap) phases() *table {
	n := r.listed()
	load, time, g := words.ColumnOf(units.Fraction, r.Units), words.ColumnOf(units.Time, r.Units), words.ColumnOf(units.Acceleration, r.Units)
	time.Decimals = 2 // the phases of a log are short
	t := &table{head: []string{
		"phase", time.Headed("start"), time.Headed("for"), load.Headed("load"), g.Headed("forward"), g.Headed("left"),
	}}
	place := r.places()
	at, speed := words.ColumnOf(units.TrackLength, r.Units), words.ColumnOf(units.RoadSpeed, r.Units)
	if place != nil {
		t.head = append(t.head, at.Headed("at"), speed.Headed("speed"))
	}
	if n < len(r.Car.Lap) {
		t.heading = fmt.Sprintf("The first lap only, %d of %d phases (--all lists them all)", n, len(r.Car.Lap))
	}
	start := 0.0
	for i, p := range r.Car.Lap[:n] {
		what := load.Text(p.Load)
		if p.Stopped {
			what = "stopped"
		}
		cells := []string{fmt.Sprint(i + 1), time.Text(start), time.Text(p.Duration), what, g.Text(p.Forward), g.Text(p.Left)}
		if place != nil {
			cells = append(cells, at.Text(place[i].at), speed.Text(place[i].speed))
		}
		t.add(cells...)
		start += p.Duration
	}
	return t
}

func (r Lap) facts() facts {
	v := figuresOf(r.Car)
	var f facts
	second := func(x float64) string { return words.Show(x, units.Time, r.Units) }
	f.add("lap time", second(v.lapTime)+r.spreadOfTime())
	text := fmt.Sprintf("%.1f %% of the time", 100*v.fullThrottle)
	switch {
	case v.allFullThrottle:
		text += ", without a break"
	case len(v.bursts) > 0:
		t := words.Alike(r.Units, median(v.bursts), v.bursts[len(v.bursts)-1])
		text += fmt.Sprintf("; bursts of %s (median), longest %s", t[0], t[1])
	}
	f.add("full throttle", text+r.spreadOfShare())
	f = append(f, r.circuitFacts()...)
	f.add("mean load", fmt.Sprintf("%.1f %%", 100*v.meanLoad))
	t := words.Alike(r.Units, v.above, v.corners)
	f.add("above 0.8 g", fmt.Sprintf("%s a lap sideways, %s of it in corners that last 1.5 s or more", t[0], t[1]))
	t = words.Alike(r.Units, v.left, v.right)
	f.add("turning", fmt.Sprintf("left for %s a lap, right for %s (above 0.3 g)", t[0], t[1]))
	if v.stopped > 0 {
		f.add("stopped", second(v.stopped)+" a lap with the engine off")
	}
	if q := r.Scenario.Duty.LapVariation; q != nil {
		f.add("lap to lap", "full-throttle time varies by "+words.Notation(q, r.Units))
	}
	return f
}

// kept compares the phases with the log that they were cut from.
func (r Lap) kept(p datalog.Report) *table {
	t := &table{
		heading: fmt.Sprintf("%s of %s kept, %d samples at %.3g Hz, cut into %d phases; %d samples filled in",
			howMany("lap", p.Laps), words.Show(p.LapTime, units.Time, r.Units), p.Samples, p.Rate, p.Phases, p.MissingFilled),
		head: []string{"", "log", "phases", "error"}, words: []int{0},
	}
	share := func(name string, log, phases float64) {
		t.add(name, fmt.Sprintf("%.2f %%", 100*log), fmt.Sprintf("%.2f %%", 100*phases), signed(100*(phases-log))+" %")
	}
	time := func(name string, log, phases float64) {
		t.add(name, fmt.Sprintf("%.2f s", log), fmt.Sprintf("%.2f s", phases), signed(phases-log)+" s")
	}
	share("full throttle, of the time", p.FullThrottleShareOfLog, p.FullThrottleShare)
	share("mean load", p.MeanLoadOfLog, p.MeanLoad)
	time("above 0.8 g sideways", p.TimeAbove08gOfLog, p.TimeAbove08g)
	time("in corners of 1.5 s or more", p.LongCornersOfLog, p.LongCorners)
	return t
}

// signed writes a difference to two decimals, without the sign of a zero.
func signed(v float64) string {
	if words.Round(v, 2) == 0 {
		return "0.00"
	}
	return fmt.Sprintf("%+.2f", v)
}
