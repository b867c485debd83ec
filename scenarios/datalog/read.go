package datalog

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// raw holds the columns of a log as they are read: values in the file's own
// units, NaN where a value is missing.
type raw struct {
	columns []column
	values  [][]float64 // by column, then by row
	lines   []int       // line number of each row; 0 for a row filled in
	filled  []bool      // rows in which a value was filled in
}

// column gives the values of a quantity, nil if the log doesn't hold it.
func (w *raw) column(key string) []float64 {
	for i, c := range w.columns {
		if c.key == key {
			return w.values[i]
		}
	}
	return nil
}

// Read reads the log in r. name is what messages call it.
//
// The file is text (UTF-8, UTF-16 or ISO 8859-1) with one row a sample. Its
// delimiter (comma, semicolon, tab, pipe, blank) and decimal sign are found
// from the rows. What stands before the header is passed over; so is a row of
// units below it, unless a unit is wanted from there. A cell that is empty,
// "-" or "NaN" is missing: it is interpolated between neighbours at most 1 s
// apart, and so are rows that are absent; a longer gap is an error. Time has
// to go forward; only where a lap column changes may it start from zero again.
// Rows with the same time stamp are spread evenly up to the next one.
//
// On failure the error is of type Errors and holds every problem that could be
// told, up to 20. The log is nil then.
func Read(r io.Reader, name string, s Spec) (*Log, error) {
	p := &problems{name: name}
	s.check(p)
	maxBytes, maxRows := s.MaxBytes, s.MaxRows
	if maxBytes <= 0 {
		maxBytes = DefaultMaxBytes
	}
	if maxRows <= 0 {
		maxRows = DefaultMaxRows
	}
	text, notes := readText(r, maxBytes, p)
	if err := p.err(); err != nil {
		return nil, err
	}
	l := &Log{Name: name, Notes: notes, Tolerance: s.Tolerance, Header: map[string]string{}}
	w := l.readRows(text, s, maxRows, p)
	if err := p.err(); err != nil {
		return nil, err
	}
	l.settleTime(w, maxRows, p)
	if err := p.err(); err != nil {
		return nil, err
	}
	l.scale(w, s, p)
	l.fillMissing(w, p)
	if err := p.err(); err != nil {
		return nil, err
	}
	l.makeSamples(w)
	l.checkSigns()
	return l, nil
}

// table is where the header and the rows of a log are.
type table struct {
	delimiter byte
	header    []string
	line      int // of the header
	rest      string
}

// findHeader finds the header: of the first lines, the one that names most
// quantities, the first of them if there are several.
func findHeader(text string, s Spec, p *problems) (t table, ok bool) {
	if strings.TrimSpace(text) == "" {
		p.add(0, "", "the file is empty", "export the log again")
		return t, false
	}
	d, _ := sniffDelimiter(text)
	if d == 0 {
		p.add(0, "", "no columns found (allowed delimiters: comma, semicolon, tab, pipe, blank)",
			"export the log as text with one row a sample and a header row")
		return t, false
	}
	best, line, rest := 0, 0, text
	for rest != "" && line < headerRows {
		var one string
		one, rest, _ = strings.Cut(rest, "\n")
		line++
		if len(one) > maxLine {
			continue
		}
		fields, _ := split(strings.TrimRight(one, "\r"), d, nil)
		if len(fields) > maxFields {
			continue
		}
		fields = headerLine(fields, d)
		if n := countKnown(fields, s); n > best && len(fields) > 1 {
			best, t = n, table{delimiter: d, header: fields, line: line, rest: rest}
		}
	}
	if best == 0 {
		p.add(0, "", fmt.Sprintf("no header found in the first %d lines (delimiter taken: %s)", line, delimiterNames[d]),
			"put a line above the rows that names the columns, such as time,throttle,lateral,longitudinal, or say columns: {time: …, throttle: …} with the names in the file")
		return t, false
	}
	return t, true
}

// readRows reads header, units and rows.
func (l *Log) readRows(text string, s Spec, maxRows int, p *problems) *raw {
	t, ok := findHeader(text, s, p)
	if !ok {
		return nil
	}
	columns := chooseColumns(t.header, s, t.line, p)
	rest, line := l.passUnitRows(t, columns)
	for _, c := range columns {
		if d, axis := directions[c.key]; axis && s.sign(c.key) == 0 {
			p.add(t.line, c.key, fmt.Sprintf("which way it counts positive isn't stated (got nothing, allowed %s, %s)", d[0], d[1]), signHint(c.key))
		}
	}
	columns, notes, warnings := settleUnits(columns, s, t.line, p)
	l.Notes, l.Warnings = append(l.Notes, notes...), append(l.Warnings, warnings...)
	for _, c := range columns {
		l.Header[c.key] = c.header
	}
	if len(p.list) > 0 {
		return nil
	}
	w := &raw{columns: columns, values: make([][]float64, len(columns))}
	l.readCells(w, rest, line, t, maxRows, p)
	return w
}

// passUnitRows passes over the rows between header and data, at most three,
// and takes units from them. It gives the text from the first row of data on
// and the number of the line before it.
func (l *Log) passUnitRows(t table, columns []column) (rest string, line int) {
	rest, line = t.rest, t.line
	for range 3 {
		one, after, _ := strings.Cut(rest, "\n")
		cells, _ := split(strings.TrimRight(one, "\r"), t.delimiter, nil)
		if len(one) > maxLine || anyNumber(cells, columns) {
			break
		}
		blank := strings.TrimSpace(one) == ""
		if !unitRow(cells, columns) && !blank {
			if !anyText(cells, columns) {
				break // a row whose values are all missing
			}
			l.Notes = append(l.Notes, fmt.Sprintf("line %d, below the header, holds neither numbers nor units and is passed over", line+1))
		}
		rest, line = after, line+1
	}
	return rest, line
}

// anyNumber tells whether a row holds a number in a column that is read. A
// bare 1 under throttle may be a unit; alone it makes no row of data.
func anyNumber(cells []string, columns []column) bool {
	for _, c := range columns {
		if c.index < len(cells) && isNumeric(cells[c.index]) && !(c.key == Throttle && cells[c.index] == "1") {
			return true
		}
	}
	return false
}

func anyText(cells []string, columns []column) bool {
	for _, c := range columns {
		if c.index < len(cells) && !isMissing(cells[c.index]) {
			return true
		}
	}
	return false
}

// readCells reads the rows of data.
func (l *Log) readCells(w *raw, rest string, line int, t table, maxRows int, p *problems) {
	var sign decimalSign
	var buf []string
	noTime, repeated := 0, 0
	row := make([]float64, len(w.columns))
	for rest != "" {
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
			p.add(line, "", fmt.Sprintf("too many rows (got more than %d)", maxRows), "keep the laps that matter, or a lower sample rate: 20 Hz is plenty")
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
	if len(p.list) == 0 && len(w.lines) < 2 {
		p.add(t.line, "", fmt.Sprintf("too few rows below the header (got %d, allowed 2 and more)", len(w.lines)), "export the log again, with its samples")
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
			what, hint = "not a number (got "+quoted(cell)+", the unit is not min:s)", "say units: {time: min:s}"
		default:
			values[i], what, hint = d.parse(cell)
		}
		if what != "" {
			p.addRow(line, c.key, what, hint)
			values[i] = math.NaN()
		}
	}
}
