package report

import (
	"fmt"
	"io"
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
	each := fmt.Sprintf("%s a realization (%s .. %s)", lasts(r.Each), lasts(r.Low), lasts(r.High))
	if r.Slowest > 1.05*r.Each {
		each += fmt.Sprintf("; %s at the slowest point looked at", lasts(r.Slowest))
	}
	f.add("processor time", each)
	f.add("in all", fmt.Sprintf("%s core-hours (%s .. %s)", number3(total/3600), number3(low/3600), number3(high/3600)))
	f.add("a task", fmt.Sprintf("%s on average, %s at the most", lasts(mean/perTask), lasts(most/perTask)))
	f.add("time limit", fmt.Sprintf("%s a task; one that needs more goes on by itself", lasts(r.Limit.Seconds())))
	f.add("memory", fmt.Sprintf("%d MB a task", r.Memory))
	f.add("a part", bytesText(r.PartBytes(r.Tasks)))
	d.facts(f)
	d.paragraph("Other processors are slower or faster than this one.")
	return d
}

// lasts writes a time in the unit that suits it.
func lasts(seconds float64) string {
	switch {
	case seconds < 1e-3:
		return number3(1e6*seconds) + " µs"
	case seconds < 1:
		return number3(1e3*seconds) + " ms"
	case seconds < 120:
		return number3(seconds) + " s"
	case seconds < 2*3600:
		return number3(seconds/60) + " min"
	}
	return number3(seconds/3600) + " h"
}

// number3 writes a number to three digits, without an exponent.
func number3(x float64) string {
	switch {
	case x >= 1000:
		return words.Grouped(int64(x + 0.5))
	case x >= 100:
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.3g", x)
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
