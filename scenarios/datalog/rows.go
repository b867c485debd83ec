package datalog

import (
	"fmt"
	"math"
	"strings"

	"sumpward/scenarios/internal/problem"
)

// readCells reads the rows of data.
func (l *Log) readCells(w *raw, rest string, line int, t table, maxRows int, p *problems) {
	var sign decimalSign
	var buf []string
	noTime, repeated := 0, 0
	row := make([]float64, len(w.columns))
	for rest != "" {
		if p.ofRows > maxFaultyRows {
			p.countRows()
			p.Add(line, "", "too many rows have problems: reading stopped here", "mend those above first")
			return
		}
		var one string
		one, rest, _ = strings.Cut(rest, "\n")
		line++
		one = strings.TrimRight(one, "\r\x1a\f")
		if trimmed := strings.TrimSpace(one); trimmed == "" || trimmed[0] == '#' {
			continue
		}
		if len(one) > maxLine {
			p.addRow(line, "", fmt.Sprintf("line too long (got %d bytes, allowed %d)", len(one), maxLine), "")
			continue
		}
		var open bool
		if buf, open = split(one, t.delimiter, buf[:0]); open {
			p.addRow(line, "", "a quote is opened and not closed", "")
			continue
		}
		if extra(buf, len(t.header)) {
			p.addRow(line, "", fmt.Sprintf("more fields than the header has columns (got %d, allowed %d)", len(buf), len(t.header)),
				"decimal commas don't go with a comma as delimiter: export with a semicolon between the columns, or with decimal points")
			continue
		}
		if sameRow(buf, t.header) {
			repeated++
			continue
		}
		sign.parseRow(row, buf, w.columns, line, p)
		if math.IsNaN(row[0]) {
			noTime++
			continue
		}
		if len(w.lines) >= maxRows {
			p.Add(line, "", fmt.Sprintf("too many rows (got more than %d)", maxRows), "keep the laps that matter, or a lower sample rate: 20 Hz is plenty")
			return
		}
		for i, v := range row {
			w.values[i] = append(w.values[i], v)
		}
		w.lines = append(w.lines, line)
	}
	p.countRows()
	if noTime > 0 {
		l.Notes = append(l.Notes, fmt.Sprintf("rows without a time, passed over: %d", noTime))
	}
	if repeated > 0 {
		l.Notes = append(l.Notes, fmt.Sprintf("rows that repeat the header, passed over: %d", repeated))
	}
	if p.Len() == 0 && len(w.lines) < 2 {
		p.Add(t.line, "", fmt.Sprintf("too few rows below the header (got %d, allowed 2 and more)", len(w.lines)), "export the log again, with its samples")
	}
}

// extra tells whether a row holds anything beyond the columns of the header.
func extra(cells []string, columns int) bool {
	for i := columns; i < len(cells); i++ {
		if cells[i] != "" {
			return true
		}
	}
	return false
}

func sameRow(cells, header []string) bool {
	if len(cells) != len(header) {
		return false
	}
	for i := range cells {
		if cells[i] != header[i] {
			return false
		}
	}
	return true
}

// parseRow reads the cells of one row into values. Time is the first column.
func (d *decimalSign) parseRow(values []float64, cells []string, columns []column, line int, p *problems) {
	for i := range columns {
		c := &columns[i]
		cell := ""
		if c.index < len(cells) {
			cell = cells[c.index]
		}
		var what, hint string
		colons := c.key == Time && strings.Contains(cell, ":")
		switch {
		case c.key == Time && c.factor == 0 && !isMissing(cell):
			if !colons {
				p.addRow(line, Time, "unit not known (got none, allowed "+allowedUnits(Time)+")", "say units: {time: s}")
				c.factor = 1
			} else {
				c.factor, c.clock = 1, true
				values[i], what, hint = d.parseClock(cell)
			}
		case c.clock && !isMissing(cell):
			values[i], what, hint = d.parseClock(cell)
		case colons:
			what, hint = "not a number (got "+problem.Quoted(cell)+", the unit is not min:s)", "say units: {time: min:s}"
		default:
			values[i], what, hint = d.parse(cell)
		}
		if what != "" {
			p.addRow(line, c.key, what, hint)
			values[i] = math.NaN()
		}
	}
}
