package datalog

import (
	"fmt"
	"strings"
)

const g0 = StandardGravity

// A made lap of 40 s that starts and ends at 20 m/s. Its figures follow by hand:
// full throttle 18 s of 40 (45 %), mean load 23/40, above 0.8 g for 13 s, left
// for 7 s and right for 6 s.
var madeLap = []Phase{
	{Duration: 10, Load: 1, Forward: 0.3 * g0},
	{Duration: 3, Load: 0, Forward: -1.0 * g0},
	{Duration: 7, Load: 0.4, Left: 1.0 * g0},
	{Duration: 8, Load: 1, Forward: 0.25 * g0},
	{Duration: 2, Load: 0, Forward: -1.0 * g0},
	{Duration: 6, Load: 0.3, Left: -0.9 * g0},
	{Duration: 4, Load: 0.1},
}

const madeLapTime = 40.0

// made says how a log of the made lap is written. Its zero value, after
// withDefaults, is a plain file at 20 Hz with two laps.
type made struct {
	rate                     float64
	from, to                 float64 // s, of laps that start at 0
	delimiter                string
	header, units            string // header with | between names
	preamble                 string
	decimalComma, quote      bool
	end                      string
	throttle, lateral, speed float64 // what a fraction, m/s², m/s are multiplied by
	longitudinal             float64
	time                     func(t float64) string
	lap                      func(t float64) string // nil: no lap column
	cell                     func(row int, column string, text string) string
	skip                     func(row int) bool
	trailing                 string
	between                  func(row int) string // a line before the row
}

func plain() made {
	return made{
		rate: 20, to: 2 * madeLapTime, delimiter: ",", end: "\n",
		header:   "time [s]|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]|rpm|lap",
		throttle: 100, lateral: 1 / g0, longitudinal: 1 / g0, speed: 3.6,
		time: func(t float64) string { return fmt.Sprintf("%.3f", t) },
		lap:  func(t float64) string { return fmt.Sprint(1 + int(t/madeLapTime+1e-9)) },
	}
}

// at gives the made lap at a time: phase and speed.
func at(t float64) (p Phase, speed float64) {
	for t >= madeLapTime-1e-9 {
		t -= madeLapTime
	}
	speed = 20
	for _, p := range madeLap {
		if t < p.Duration-1e-9 {
			return p, speed + p.Forward*t
		}
		t -= p.Duration
		speed += p.Forward * p.Duration
	}
	return madeLap[0], 20
}

func (m made) String() string {
	var b strings.Builder
	line := func(cells []string) {
		if m.quote {
			for i := range cells {
				cells[i] = `"` + strings.ReplaceAll(cells[i], `"`, `""`) + `"`
			}
		}
		b.WriteString(strings.Join(cells, m.delimiter) + m.trailing + m.end)
	}
	b.WriteString(m.preamble)
	header := strings.Split(m.header, "|")
	line(header)
	if m.units != "" {
		line(strings.Split(m.units, "|"))
	}
	names := []string{Time, Throttle, Lateral, Longitudinal, Speed, RPM, Lap}[:min(len(header), 7)]
	n := int((m.to-m.from)*m.rate + 0.5)
	for row := range n {
		if m.skip != nil && m.skip(row) {
			continue
		}
		if m.between != nil {
			b.WriteString(m.between(row))
		}
		t := m.from + float64(row)/m.rate
		p, speed := at(t)
		values := []string{m.time(t - m.from), decimals(p.Load * m.throttle), decimals(p.Left * m.lateral),
			decimals(p.Forward * m.longitudinal), decimals(speed * m.speed), decimals(120 * speed)}
		if m.lap != nil {
			values = append(values, m.lap(t))
		}
		cells := values[:len(names)]
		for i, name := range names {
			if m.decimalComma {
				cells[i] = strings.Replace(cells[i], ".", ",", 1)
			}
			if m.cell != nil {
				cells[i] = m.cell(row, name, cells[i])
			}
		}
		for i := len(cells); i < len(header); i++ {
			cells = append(cells, "x")
		}
		line(cells)
	}
	return b.String()
}

func decimals(v float64) string { return fmt.Sprintf("%.6f", v) }

// signs of the made log.
func forwardLeft() Spec {
	return Spec{Positive: map[string]string{Longitudinal: "forward", Lateral: "left"}}
}
