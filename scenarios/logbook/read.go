package logbook

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"sumpward/scenarios/internal/problem"
	"sumpward/scenarios/units"
)

// What a logbook may hold.
const (
	mostBytes   = 8 << 20
	mostRows    = 50_000
	mostColumns = 200
	longestCell = 10_000   // bytes
	longestLine = 64 << 10 // bytes
)

// form is how a file is written.
type form struct {
	text    string
	comma   rune // between fields
	number  number
	columns []*column     // by place; nil: not known
	units   []*units.Unit // by place; nil: none stated
	header  string        // its bytes
	crlf    bool
}

const byteOrderMark = "\ufeff"

// Open reads the logbook in a file.
func Open(path string) (*Book, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("read the logbook: %w", err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("read the logbook: %s is a folder: name a file in it", path)
	}
	return Read(f, path)
}

// Read reads a logbook. The name is what messages call it. The error is Problems,
// all that is wrong at once, where the text could be read.
func Read(r io.Reader, name string) (*Book, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read the logbook: %w", err)
	}
	return parse(string(data), name)
}

func parse(text, name string) (*Book, error) {
	if len(text) > mostBytes {
		return nil, tooLarge(name)
	}
	f := &problem.Found{Name: name}
	switch broken := problem.NotUTF8(text); {
	case broken >= 0:
		f.Add(1+strings.Count(text[:broken], "\n"), "", "not UTF-8 text", "save it from the spreadsheet as CSV, UTF-8")
	case strings.ContainsRune(text, 0):
		f.Add(0, "", "not a text file", "save it from the spreadsheet as CSV, UTF-8")
	}
	line := 0
	for one := range strings.SplitSeq(text, "\n") {
		if line++; len(one) > longestLine {
			f.Add(line, "", fmt.Sprintf("line too long (got %d bytes, allowed %d)", len(one), longestLine), "keep a note short, or look for a quote that is not closed")
			break
		}
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	b := &Book{Name: name}
	b.form.text = text
	b.rows(f)
	if err := f.Err(); err != nil {
		return nil, err
	}
	return b, nil
}

// tooLarge refuses a file that is too large.
func tooLarge(name string) error {
	f := &problem.Found{Name: name}
	f.Add(0, "", fmt.Sprintf("too large for a logbook (allowed %d MB)", mostBytes>>20), "begin a new one each year")
	return f.Err()
}

// separator is what parts the fields of the header: the mark that it has most of.
func separator(header string) rune {
	best, count := ',', 0
	for _, mark := range ",;\t" {
		if n := strings.Count(header, string(mark)); n > count {
			best, count = mark, n
		}
	}
	return best
}

// rows reads header and rows.
func (b *Book) rows(f *problem.Found) {
	text := strings.TrimPrefix(b.form.text, byteOrderMark)
	first, _, _ := strings.Cut(text, "\n")
	b.form.crlf = strings.HasSuffix(first, "\r")
	b.form.comma = separator(first)
	b.form.number.comma = b.form.comma != ','
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord = b.form.comma, -1
	for n := 0; ; n++ {
		record, err := r.Read()
		if err == io.EOF {
			if n == 0 {
				f.Add(1, "", "the logbook is empty", "its first line names the columns: "+strings.Join(headers(), ","))
			}
			return
		}
		if err != nil {
			b.unread(f, err)
			return
		}
		line, _ := r.FieldPos(0)
		switch {
		case n == 0:
			b.form.header = strings.TrimRight(text[:r.InputOffset()], "\r\n")
			if !b.head(record, line, f) {
				return
			}
		case n > mostRows:
			f.Add(line, "", fmt.Sprintf("too many rows (allowed %d)", mostRows), "begin a new logbook each year")
			return
		case !empty(record):
			b.row(record, line, f)
		}
	}
}

func (b *Book) unread(f *problem.Found, err error) {
	var at *csv.ParseError
	if !errors.As(err, &at) {
		f.Add(0, "", "can't be read: "+err.Error(), "")
		return
	}
	f.Add(at.StartLine, "", "quotes that don't match", `put a field that holds quotes in quotes, and double those within: "the ""good"" can"`)
}

func empty(record []string) bool {
	for _, cell := range record {
		if tidied(cell) != "" {
			return false
		}
	}
	return true
}

// headers are those of a new logbook.
func headers() []string {
	var list []string
	for _, c := range columns {
		list = append(list, c.header(c.unit))
	}
	return list
}

// head reads the header. It reports whether rows can be read under it.
func (b *Book) head(record []string, line int, f *problem.Found) bool {
	before := f.Len()
	if len(record) > mostColumns {
		f.Add(line, "", fmt.Sprintf("too many columns (got %d, allowed %d)", len(record), mostColumns), "keep those of the logbook")
		return false
	}
	taken := map[*column]bool{}
	var unknown []string
	for _, cell := range record {
		name, unit := splitUnit(unguarded(tidied(cell)))
		c := columnNamed(name)
		if c != nil && taken[c] {
			f.Add(line, c.name, "two columns of that name", "rename one")
		}
		if c == nil && name != "" {
			unknown = append(unknown, problem.Quoted(name))
		}
		taken[c] = true
		b.form.columns = append(b.form.columns, c)
		b.form.units = append(b.form.units, b.unitOf(c, unit, line, f))
	}
	for _, c := range columns {
		if c.needed && !taken[c] {
			f.Add(line, c.name, "no such column in the header", "name one "+c.name+", or begin with the line: "+strings.Join(headers(), ","))
		}
	}
	if n := len(unknown); n > 0 {
		const most = 12
		if n > most {
			unknown = append(unknown[:most], fmt.Sprintf("and %d more", n-most))
		}
		b.Warnings = append(b.Warnings, "columns that are not known are passed over: "+strings.Join(unknown, ", "))
	}
	return f.Len() == before
}

// unitOf is the unit that a header states for a column.
func (b *Book) unitOf(c *column, unit string, line int, f *problem.Found) *units.Unit {
	if c == nil || c.number == nil || unit == "" {
		return nil
	}
	u, err := units.ParseUnit(unit, c.dimension)
	if err != nil {
		p := asProblem(err).(*Problem)
		f.Add(line, c.name, p.What, p.Hint)
		return nil
	}
	return &u
}

// row reads one entry.
func (b *Book) row(record []string, line int, f *problem.Found) {
	e := Blank()
	e.Line = line
	bad := func(name string, err error) {
		var p *Problem
		if errors.As(err, &p) {
			f.Add(line, name, p.What, p.Hint)
		}
	}
	for i, cell := range record {
		cell = tidied(cell)
		if i >= len(b.form.columns) {
			if cell != "" {
				f.Add(line, "", "more fields than the header names (got "+problem.Quoted(cell)+" beyond them)", "put a text that holds the separator in quotes")
				break
			}
			continue
		}
		c := b.form.columns[i]
		if c == nil || cell == "" {
			continue
		}
		if len(cell) > longestCell {
			f.Add(line, c.name, fmt.Sprintf("the text is too long (got %d bytes, allowed %d)", len(cell), longestCell), "keep a note short, or look for a quote that is not closed")
			continue
		}
		if err := b.set(&e, c, b.form.units[i], cell); err != nil {
			bad(c.name, err)
		}
	}
	if e.Date.IsZero() && !cellAt(record, b.form.columns, "date") {
		f.Add(line, "date", "is missing", "write year-month-day: 2026-05-09")
	}
	if e.Car == "" {
		f.Add(line, "car", "is missing", "write its number or name")
	}
	b.Entries = append(b.Entries, e)
}

// cellAt reports whether a row has something in a column.
func cellAt(record []string, columns []*column, name string) bool {
	for i, c := range columns {
		if c != nil && c.name == name && i < len(record) && tidied(record[i]) != "" {
			return true
		}
	}
	return false
}

// set reads one cell.
func (b *Book) set(e *Entry, c *column, unit *units.Unit, cell string) (err error) {
	switch {
	case c.date != nil:
		*c.date(e), err = parseDate(cell)
	case c.text != nil:
		*c.text(e) = tidied(unguarded(cell))
	case c.mark != nil:
		*c.mark(e), err = c.parseMark(cell)
	default:
		var v float64
		if v, err = b.form.number.parse(unguarded(cell), c, unit); err == nil {
			*c.number(e) = v
		}
	}
	return err
}
