package report

import (
	"io"

	"sumpward/scenarios"
	"sumpward/sim"
)

type phaseJSON struct {
	Start   number `json:"start_s"`
	For     number `json:"for_s"`
	Load    number `json:"load"`
	Forward number `json:"forward_m_s2"`
	Left    number `json:"left_m_s2"`
	Stopped bool   `json:"stopped"`
	Lap     int    `json:"lap"`

	At    *number `json:"distance_m,omitempty"` // on a circuit: where it begins
	Speed *number `json:"speed_m_s,omitempty"`  // mean
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
	Circuit      *circuitJSON `json:"circuit,omitempty"`
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
	place := r.places()
	r.each(func(i, lap int, start float64, p sim.Phase) {
		x := phaseJSON{
			Start: number(start), For: number(p.Duration), Load: number(p.Load),
			Forward: number(p.Forward), Left: number(p.Left), Stopped: p.Stopped, Lap: lap,
		}
		if place != nil {
			at, speed := number(place[i].at), number(place[i].speed)
			x.At, x.Speed = &at, &speed
		}
		out.Phases = append(out.Phases, x)
	})
	out.Circuit = r.circuitData()
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

// each hands out the phases with their index, the lap, from 1, and their start in s.
func (r Lap) each(take func(i, lap int, start float64, p sim.Phase)) {
	start, lap := 0.0, 0
	for i, p := range r.Car.Lap {
		if lap < len(r.Car.Laps) && r.Car.Laps[lap] == i {
			lap++
		}
		take(i, max(lap, 1), start, p)
		start += p.Duration
	}
}

// WriteCSV writes one row for each phase, all of them, or with Samples for each
// sample of a circuit's lap.
func (r Lap) WriteCSV(w io.Writer) error {
	if r.Samples && r.Circuit != nil {
		return r.writeSamples(w)
	}
	s := &sheet{head: []string{"lap", "start_s", "for_s", "load", "forward_m_s2", "left_m_s2", "stopped"}}
	place := r.places()
	if place != nil {
		s.head = append(s.head, "distance_m", "speed_m_s")
	}
	r.each(func(i, lap int, start float64, p sim.Phase) {
		row := []any{lap, start, p.Duration, p.Load, p.Forward, p.Left, p.Stopped}
		if place != nil {
			row = append(row, place[i].at, place[i].speed)
		}
		s.add(row...)
	})
	return s.write(w)
}

// writeSamples writes one row for each sample: where and when it begins, how long
// it takes, and the means over it.
func (r Lap) writeSamples(w io.Writer) error {
	s := &sheet{head: []string{"distance_m", "time_s", "for_s", "speed_m_s", "load", "forward_m_s2", "left_m_s2"}}
	for _, x := range r.Circuit.Samples {
		s.add(x.Distance, x.Time, x.Duration, x.Speed, x.Load, x.Forward, x.Left)
	}
	return s.write(w)
}
