package report

import (
	"fmt"
	"io"
	"strconv"
	"time"

	"sumpward/report/words"
	"sumpward/sim/cost"
)

// Cost is what a work in shards will cost.
type Cost struct {
	*cost.Estimate
	Title      string
	Command    string // run, size or vary
	Tasks      int
	Processors int           // a task
	Limit      time.Duration // of a task
	Memory     int           // MiB a task
}

// Document is the estimate for people.
func (r Cost) Document() *Document {
	d := &Document{}
	d.title(r.Title, fmt.Sprintf("What %s takes in %s, from %s realizations simulated here on one processor", r.Command, howMany("task", r.Tasks), words.Grouped(int64(r.Measured))))
	total, low, high := r.Total()
	mean, most := r.Task(r.Tasks)
	perTask := float64(r.Processors)
	var f facts
	all := words.Grouped(int64(r.Realizations))
	if r.Points > 1 {
		all += fmt.Sprintf(", %s at each of %s points", words.Grouped(int64(r.Realizations/r.Points)), words.Grouped(int64(r.Points)))
	}
	f.add("realizations", all)
	unit := suited(r.Each)
	each := fmt.Sprintf("%s a realization (%s .. %s)", unit.text(r.Each), unit.number(r.Low), unit.text(r.High))
	if r.Slowest > 1.05*r.Each {
		each += fmt.Sprintf("; %s at the slowest point looked at", lasts(r.Slowest))
	}
	f.add("processor time", each)
	core := inCores(total)
	f.add("in all", fmt.Sprintf("%s (%s .. %s)", core.text(total), core.number(low), core.number(high)))
	f.add("a task", fmt.Sprintf("%s on average, %s at the most", lasts(mean/perTask), lasts(most/perTask)))
	f.add("time limit", fmt.Sprintf("%s a task; one that needs more goes on by itself", lasts(r.Limit.Seconds())))
	f.add("memory", fmt.Sprintf("%d MB a task", r.Memory))
	f.add("a part", bytesText(r.PartBytes(r.Tasks)))
	d.facts(f)
	d.paragraph("Other processors are slower or faster than this one.")
	return d
}

// timeUnit is a unit of time, or of the time of processors.
type timeUnit struct {
	name    string
	seconds float64
}

// suited is the unit that suits a time, s: a range about it stands in the same one.
func suited(seconds float64) timeUnit {
	switch {
	case seconds < 1e-3:
		return timeUnit{"µs", 1e-6}
	case seconds < 1:
		return timeUnit{"ms", 1e-3}
	case seconds < 120:
		return timeUnit{"s", 1}
	case seconds < 2*3600:
		return timeUnit{"min", 60}
	}
	return timeUnit{"h", 3600}
}

// inCores is the unit that suits a time of processors, s.
func inCores(seconds float64) timeUnit {
	if seconds < 0.01*3600 {
		return timeUnit{"core-seconds", 1}
	}
	return timeUnit{"core-hours", 3600}
}

func (u timeUnit) number(seconds float64) string { return number3(seconds / u.seconds) }
func (u timeUnit) text(seconds float64) string   { return u.number(seconds) + " " + u.name }

// lasts writes a time in the unit that suits it.
func lasts(seconds float64) string { return suited(seconds).text(seconds) }

// number3 writes a number to three digits, without an exponent.
func number3(x float64) string {
	switch {
	case x >= 1000:
		return words.Grouped(int64(x + 0.5))
	case x >= 100:
		return fmt.Sprintf("%.0f", x)
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	if err != nil { // not a number
		return words.None
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

func bytesText(n float64) string {
	if n < 1e6 {
		return "about " + number3(max(n/1e3, 1)) + " kB"
	}
	return "about " + number3(n/1e6) + " MB"
}

type costJSON struct {
	Format       string  `json:"format"`
	Version      int     `json:"version"`
	Command      string  `json:"command"`
	Points       int     `json:"points"`
	Realizations int     `json:"realizations"`
	Measured     int     `json:"measured_realizations"`
	Each         float64 `json:"realization_s"`
	Low          float64 `json:"realization_low_s"`
	High         float64 `json:"realization_high_s"`
	Slowest      float64 `json:"slowest_realization_s"`
	Total        float64 `json:"total_core_s"`
	TotalLow     float64 `json:"total_low_core_s"`
	TotalHigh    float64 `json:"total_high_core_s"`
	Tasks        int     `json:"tasks"`
	Task         float64 `json:"task_core_s"`
	Longest      float64 `json:"longest_task_core_s"`
	Limit        float64 `json:"task_limit_s"`
	Memory       int     `json:"task_memory_bytes"`
	Part         float64 `json:"part_bytes"`
}

func (r Cost) data() costJSON {
	total, low, high := r.Total()
	mean, most := r.Task(r.Tasks)
	return costJSON{
		"sumpward/estimate", 1, r.Command, r.Points, r.Realizations, r.Measured, r.Each, r.Low, r.High, r.Slowest, total, low, high,
		r.Tasks, mean, most, r.Limit.Seconds(), r.Memory << 20, r.PartBytes(r.Tasks),
	}
}

// WriteJSON writes the estimate, SI units.
func (r Cost) WriteJSON(w io.Writer) error {
	return writeJSON(w, r.data())
}

// WriteCSV writes the estimate as one row.
func (r Cost) WriteCSV(w io.Writer) error {
	d := r.data()
	s := &sheet{head: []string{"command", "points", "realizations", "measured_realizations", "realization_s", "realization_low_s", "realization_high_s",
		"total_core_s", "tasks", "task_core_s", "longest_task_core_s", "task_limit_s", "part_bytes"}}
	s.add(d.Command, d.Points, d.Realizations, d.Measured, d.Each, d.Low, d.High, d.Total, d.Tasks, d.Task, d.Longest, d.Limit, d.Part)
	return s.write(w)
}
