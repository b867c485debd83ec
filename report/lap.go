package report

import (
	"fmt"
	"io"

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
	Units    units.System
	All      bool // all phases, however many
}

// mostPhases is how many phases are listed without being asked for all.
const mostPhases = 60

// Document is the lap for people.
func (r Lap) Document() *Document {
	d := &Document{}
	d.title(r.Scenario.Title, r.about())
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
	if n < len(r.Car.Lap) {
		t.heading = fmt.Sprintf("The first lap only, %d of %d phases (--all lists them all)", n, len(r.Car.Lap))
	}
	start := 0.0
	for i, p := range r.Car.Lap[:n] {
		what := load.Text(p.Load)
		if p.Stopped {
			what = "stopped"
		}
		t.add(fmt.Sprint(i+1), time.Text(start), time.Text(p.Duration), what, g.Text(p.Forward), g.Text(p.Left))
		start += p.Duration
	}
	return t
}

func (r Lap) facts() facts {
	v := figuresOf(r.Car)
	var f facts
	second := func(x float64) string { return words.Show(x, units.Time, r.Units) }
	f.add("lap time", second(v.lapTime))
	text := fmt.Sprintf("%.1f %% of the time", 100*v.fullThrottle)
	switch {
	case v.allFullThrottle:
		text += ", without a break"
	case len(v.bursts) > 0:
		t := words.Alike(r.Units, median(v.bursts), v.bursts[len(v.bursts)-1])
		text += fmt.Sprintf("; bursts of %s (median), longest %s", t[0], t[1])
	}
	f.add("full throttle", text)
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

type phaseJSON struct {
	Start   number `json:"start_s"`
	For     number `json:"for_s"`
	Load    number `json:"load"`
	Forward number `json:"forward_m_s2"`
	Left    number `json:"left_m_s2"`
	Stopped bool   `json:"stopped"`
	Lap     int    `json:"lap"`
}

type logJSON struct {
	File             string   `json:"file"`
	Laps             int      `json:"laps"`
	Samples          int      `json:"samples"`
	Filled           int      `json:"samples_filled_in"`
	Rate             number   `json:"rate_Hz"`
	FullThrottle     number   `json:"full_throttle_share"`
	MeanLoad         number   `json:"mean_load"`
	Above            number   `json:"above_0.8g_s"`
	Corners          number   `json:"long_corners_s"`
	FullThrottleCut  number   `json:"full_throttle_share_of_phases"`
	MeanLoadOfPhases number   `json:"mean_load_of_phases"`
	AboveOfPhases    number   `json:"above_0.8g_of_phases_s"`
	CornersOfPhases  number   `json:"long_corners_of_phases_s"`
	Left             number   `json:"turning_left_s"`
	Right            number   `json:"turning_right_s"`
	Notes            []string `json:"notes"`
	Warnings         []string `json:"warnings"`
}

type lapJSON struct {
	Format       string       `json:"format"`
	Version      int          `json:"version"`
	Scenario     scenarioJSON `json:"scenario"`
	Laps         int          `json:"laps"`
	LapTime      number       `json:"lap_time_s"`
	FullThrottle number       `json:"full_throttle_share"`
	MedianBurst  number       `json:"burst_median_s"`
	LongestBurst number       `json:"burst_longest_s"`
	MeanLoad     number       `json:"mean_load"`
	Above        number       `json:"above_0.8g_per_lap_s"`
	Corners      number       `json:"long_corners_per_lap_s"`
	Left         number       `json:"turning_left_per_lap_s"`
	Right        number       `json:"turning_right_per_lap_s"`
	Stopped      number       `json:"stopped_per_lap_s"`
	Phases       []phaseJSON  `json:"phases"`
	Log          *logJSON     `json:"log,omitempty"`
}

// WriteJSON writes all phases and figures for programs.
func (r Lap) WriteJSON(w io.Writer) error {
	v := figuresOf(r.Car)
	out := lapJSON{
		Format: "sumpward/lap", Version: 1, Scenario: scenarioOf(r.Scenario), Laps: max(len(r.Car.Laps), 1),
		LapTime: number(v.lapTime), FullThrottle: number(v.fullThrottle), MedianBurst: number(median(v.bursts)),
		MeanLoad: number(v.meanLoad), Above: number(v.above), Corners: number(v.corners),
		Left: number(v.left), Right: number(v.right), Stopped: number(v.stopped),
	}
	if n := len(v.bursts); n > 0 {
		out.LongestBurst = number(v.bursts[n-1])
	}
	r.each(func(start float64, lap int, p sim.Phase) {
		out.Phases = append(out.Phases, phaseJSON{
			number(start), number(p.Duration), number(p.Load), number(p.Forward), number(p.Left), p.Stopped, lap,
		})
	})
	if log := r.Scenario.Duty.Log; log != nil {
		out.Log = logOf(log)
	}
	return writeJSON(w, out)
}

func logOf(log *scenarios.DataLog) *logJSON {
	p := log.Report
	return &logJSON{
		File: log.File, Laps: p.Laps, Samples: p.Samples, Filled: p.MissingFilled, Rate: number(p.Rate),
		FullThrottle: number(p.FullThrottleShareOfLog), MeanLoad: number(p.MeanLoadOfLog),
		Above: number(p.TimeAbove08gOfLog), Corners: number(p.LongCornersOfLog),
		FullThrottleCut: number(p.FullThrottleShare), MeanLoadOfPhases: number(p.MeanLoad),
		AboveOfPhases: number(p.TimeAbove08g), CornersOfPhases: number(p.LongCorners),
		Left: number(p.TimeLeft), Right: number(p.TimeRight), Notes: listed(p.Notes), Warnings: listed(p.Warnings),
	}
}

// each hands out the phases with their start in s and the lap, from 1.
func (r Lap) each(take func(start float64, lap int, p sim.Phase)) {
	start, lap := 0.0, 0
	for i, p := range r.Car.Lap {
		if lap < len(r.Car.Laps) && r.Car.Laps[lap] == i {
			lap++
		}
		take(start, max(lap, 1), p)
		start += p.Duration
	}
}

// WriteCSV writes one row for each phase, all of them.
func (r Lap) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"lap", "start_s", "for_s", "load", "forward_m_s2", "left_m_s2", "stopped"}}
	r.each(func(start float64, lap int, p sim.Phase) {
		s.add(lap, start, p.Duration, p.Load, p.Forward, p.Left, p.Stopped)
	})
	return s.write(w)
}
