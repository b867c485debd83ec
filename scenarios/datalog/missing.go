package datalog

import (
	"fmt"
	"math"
)

// fillMissing interpolates missing values, linear in time, where their
// neighbours are at most 1 s apart; at the ends the nearest value holds for up
// to 1 s. A longer gap is an error, except in speed, which only serves checks.
func (l *Log) fillMissing(w *raw, p *problems) {
	t := w.values[0]
	for i, c := range w.columns {
		if c.key == Time || c.key == Lap {
			continue
		}
		long := fillColumn(t, w.values[i], w.filled, c.key != Speed)
		switch {
		case len(long) == 0:
		case c.key == Speed:
			l.Notes = append(l.Notes, fmt.Sprintf("speed is missing for more than %g s at %d places and stays unknown there", longestGap, len(long)))
		default:
			for _, g := range long {
				p.addRow(lineNear(w.lines, g[0]), c.key, fmt.Sprintf("values are missing for too long (got %.4g s from %.6g s on, allowed up to %g s)",
					g[2], g[1], longestGap), "cut the file there, or leave the column out with columns: {"+c.key+": none}")
			}
		}
	}
	p.countRows()
	for _, f := range w.filled {
		if f {
			l.MissingFilled++
		}
	}
	if share := float64(l.MissingFilled) / float64(len(t)); share > 0.05 {
		l.Warnings = append(l.Warnings, fmt.Sprintf("values were missing in %.1f %% of the samples and are interpolated (columns logged at a lower rate, or a logger that loses data)", 100*share))
	}
}

// fillColumn fills one column and marks the rows it filled. It gives the gaps
// that it left: row, start in s, length in s.
func fillColumn(t, v []float64, filled []bool, mark bool) (long [][3]float64) {
	for i := 0; i < len(v); {
		if !math.IsNaN(v[i]) {
			i++
			continue
		}
		j := i
		for j < len(v) && math.IsNaN(v[j]) {
			j++
		}
		from, to := max(i-1, 0), min(j, len(v)-1)
		if d := t[to] - t[from]; d > longestGap*(1+1e-6) || i == 0 && j == len(v) {
			long = append(long, [3]float64{float64(i), t[from], d})
			i = j
			continue
		}
		for k := i; k < j; k++ {
			switch {
			case i == 0:
				v[k] = v[j]
			case j == len(v):
				v[k] = v[i-1]
			default:
				v[k] = v[from] + (v[to]-v[from])*(t[k]-t[from])/(t[to]-t[from])
			}
			filled[k] = filled[k] || mark
		}
		i = j
	}
	return long
}

// lineNear gives the line of a row, or of the last one before it that stands
// in the file.
func lineNear(lines []int, row float64) int {
	i := int(row)
	for i > 0 && lines[i] == 0 {
		i--
	}
	return lines[i]
}
