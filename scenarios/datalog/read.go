package datalog

import (
	"fmt"
	"io"
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
	p := problemsOf(name)
	known := s.check(p)
	inSpec := p.Len()
	maxBytes, maxRows := s.MaxBytes, s.MaxRows
	if maxBytes <= 0 {
		maxBytes = DefaultMaxBytes
	}
	if maxRows <= 0 {
		maxRows = DefaultMaxRows
	}
	text, notes := readText(r, maxBytes, p)
	if !known || p.Len() > inSpec {
		return nil, p.Err()
	}
	l := &Log{Name: name, Notes: notes, Tolerance: s.Tolerance, Header: map[string]string{}}
	w := l.readRows(text, s, maxRows, p)
	if err := p.Err(); err != nil {
		return nil, err
	}
	l.settleTime(w, maxRows, p)
	if err := p.Err(); err != nil {
		return nil, err
	}
	l.scale(w, s, p)
	l.fillMissing(w, p)
	if err := p.Err(); err != nil {
		return nil, err
	}
	l.makeSamples(w)
	l.checkSigns()
	return l, nil
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
		if d, axis := directions[c.key]; axis && s.Positive[c.key] == "" {
			p.Add(t.line, c.key, fmt.Sprintf("which way it counts positive isn't stated (got nothing, allowed %s, %s)", d[0], d[1]), signHint(c.key))
		}
	}
	columns, notes, warnings := settleUnits(columns, s, t.line, p)
	l.Notes, l.Warnings = append(l.Notes, notes...), append(l.Warnings, warnings...)
	for _, c := range columns {
		l.Header[c.key] = c.header
	}
	if p.Len() > 0 {
		return nil
	}
	w := &raw{columns: columns, values: make([][]float64, len(columns))}
	l.readCells(w, rest, line, t, maxRows, p)
	return w
}
