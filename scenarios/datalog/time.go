package datalog

import (
	"fmt"
	"math"
	"slices"
)

const (
	longestGap  = 1.0  // s that are filled by interpolation
	restart     = 1.0  // s up to which a time counts as a new start from zero
	lowestRate  = 2.0  // Hz
	highestRate = 1000 // Hz
	lowRate     = 5.0  // Hz, below which a log is warned of
	highRate    = 100  // Hz, above which a log is warned of
)

// settleTime turns the time column into seconds from the first row that only
// go forward, finds the sample rate, and puts in rows where some are absent.
func (l *Log) settleTime(w *raw, maxRows int, p *problems) {
	t := w.values[0]
	w.filled = make([]bool, len(t))
	for i := range t {
		t[i] *= w.columns[0].factor
	}
	laps := w.column(Lap)
	l.holdLaps(laps, w.lines, p)
	step := medianStep(t)
	l.joinRestarts(t, laps, w.lines, step, p)
	p.countRows()
	first := t[0]
	for i := range t {
		t[i] -= first
	}
	if p.Len() > 0 {
		return
	}
	l.spreadRepeated(t, w.lines, p)
	step = medianStep(t)
	if p.Len() > 0 || !l.checkRate(step, t, p) {
		return
	}
	l.Rate = 1 / step
	l.insertRows(w, step, maxRows, p)
}

// medianStep is the median of the steps that go forward; 0 if none does.
func medianStep(t []float64) float64 {
	steps := make([]float64, 0, len(t))
	for i := 1; i < len(t); i++ {
		if d := t[i] - t[i-1]; d > 0 {
			steps = append(steps, d)
		}
	}
	if len(steps) == 0 {
		return 0
	}
	slices.Sort(steps)
	return steps[len(steps)/2]
}

// joinRestarts puts the times of a log that starts from zero at each lap one
// behind the other. Any other step back is an error.
func (l *Log) joinRestarts(t, laps []float64, lines []int, step float64, p *problems) {
	offset, previous, restarts := 0.0, t[0], 0
	for i := 1; i < len(t); i++ {
		now := t[i]
		if now < previous {
			if lapChanges(laps, i) && math.Abs(now) <= restart {
				restarts++
				offset = t[i-1] + step - now
			} else {
				p.addRow(lines[i], Time, fmt.Sprintf("time goes backwards (got %.6g s after %.6g s)", now, previous),
					"if it starts from zero at each lap, name the lap column with columns: {lap: …}; else cut the file there")
			}
		}
		previous = now
		t[i] = now + offset
	}
	if restarts > 0 {
		l.Notes = append(l.Notes, fmt.Sprintf("time starts from zero where the lap changes, and the laps are put one behind the other: %d", restarts))
	}
}

// lapChanges tells whether the lap changes at row i, give or take one row.
func lapChanges(laps []float64, i int) bool {
	if laps == nil {
		return false
	}
	for j := max(1, i-1); j <= min(i+1, len(laps)-1); j++ {
		if laps[j] != laps[j-1] {
			return true
		}
	}
	return false
}

// spreadRepeated spreads rows with the same time stamp evenly up to the next
// stamp, and those at the end over a step like the one before.
func (l *Log) spreadRepeated(t []float64, lines []int, p *problems) {
	spread, last := 0, 0.0
	for i := 0; i < len(t); {
		j := i + 1
		for j < len(t) && t[j] == t[i] {
			j++
		}
		if j < len(t) {
			last = t[j] - t[i]
		}
		from := t[i]
		for k := i + 1; k < j; k++ {
			t[k] = from + last*float64(k-i)/float64(j-i)
			if spread++; t[k] <= t[k-1] && last > 0 {
				p.Add(lines[k], Time, fmt.Sprintf("too many rows have nearly the same time stamp (%d rows at %.6g s)", j-i, from), "check the time column")
				return
			}
		}
		i = j
	}
	if spread > 0 {
		l.Notes = append(l.Notes, fmt.Sprintf("rows that repeat the time stamp before them, spread evenly up to the next one: %d", spread))
	}
}

// checkRate judges the sample rate.
func (l *Log) checkRate(step float64, t []float64, p *problems) bool {
	switch rate := 1 / step; {
	case step <= 0:
		p.Add(0, Time, "time stands still (every row has the same time stamp)", "name the right column with columns: {time: …}")
		return false
	case rate < lowestRate*(1-1e-6):
		p.Add(0, Time, fmt.Sprintf("too few samples a second (got %.3g Hz, allowed %g Hz and more)", rate, lowestRate),
			"check the unit of time, such as units: {time: ms}; else log at 10 Hz or more")
		return false
	case rate > highestRate*(1+1e-6):
		p.Add(0, Time, fmt.Sprintf("too many samples a second (got %.4g Hz, allowed up to %d Hz)", rate, highestRate),
			"check the unit of time, such as units: {time: s}")
		return false
	case rate < lowRate*0.99:
		l.Warnings = append(l.Warnings, fmt.Sprintf("only %.3g samples a second: short throttle openings are lost (5 to 100 Hz is usual)", rate))
	case rate > highRate*1.01:
		l.Warnings = append(l.Warnings, fmt.Sprintf("%.4g samples a second: check the unit of time (5 to 100 Hz is usual)", rate))
	}
	return true
}

// insertRows puts rows of missing values where rows are absent, and reports
// gaps that are too long to fill.
func (l *Log) insertRows(w *raw, step float64, maxRows int, p *problems) {
	t := w.values[0]
	absent := 0
	for i := 1; i < len(t); i++ {
		d := t[i] - t[i-1]
		if d > max(longestGap, step)*(1+1e-6) {
			p.addRow(w.lines[i], Time, fmt.Sprintf("gap without samples (got %.4g s from %.6g s on, allowed up to %g s)", d, t[i-1], longestGap),
				"cut the file so that it holds one run without a break")
			continue
		}
		absent += absentRows(d, step)
	}
	p.countRows()
	if p.Len() > 0 || absent == 0 {
		return
	}
	if len(t)+absent > maxRows {
		p.Add(0, Time, fmt.Sprintf("too many rows, counting the %d that are absent (allowed %d)", absent, maxRows), "check the time column")
		return
	}
	l.Notes = append(l.Notes, fmt.Sprintf("rows that are absent, filled in: %d", absent))
	w.spread(absent, step)
}

func absentRows(d, step float64) int {
	if d < 1.75*step {
		return 0
	}
	return int(math.Round(d/step)) - 1
}

// spread makes room for the rows that are absent.
func (w *raw) spread(absent int, step float64) {
	t := w.values[0]
	n := len(t) + absent
	values := make([][]float64, len(w.values))
	for c := range values {
		values[c] = make([]float64, 0, n)
	}
	lines, filled := make([]int, 0, n), make([]bool, 0, n)
	for i := range t {
		if i > 0 {
			d := t[i] - t[i-1]
			k := absentRows(d, step)
			for j := 1; j <= k; j++ {
				values[0] = append(values[0], t[i-1]+d*float64(j)/float64(k+1))
				for c := 1; c < len(values); c++ {
					v := math.NaN()
					if w.columns[c].key == Lap {
						v = w.values[c][i-1]
					}
					values[c] = append(values[c], v)
				}
				lines, filled = append(lines, 0), append(filled, true)
			}
		}
		for c := range values {
			values[c] = append(values[c], w.values[c][i])
		}
		lines, filled = append(lines, w.lines[i]), append(filled, false)
	}
	w.values, w.lines, w.filled = values, lines, filled
}
