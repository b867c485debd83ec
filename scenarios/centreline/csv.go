package centreline

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"sumpward/scenarios/internal/problem"
)

// maxLine is how many bytes a line may have.
const maxLine = 64 << 10

// table is a CSV file while it is read.
type table struct {
	*reading
	columns []column
	fields  int  // of the header, or of the first row
	decimal byte // the decimal sign; 0 until a number shows it
	comma   bool // the comma delimits
}

// readCSV reads the rows of a CSV file.
func (w *reading) readCSV(text string, s Spec) {
	if !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n")
	}
	number := 0
	for line := range strings.SplitSeq(text, "\n") {
		if number++; len(line) > maxLine {
			w.Add(number, "", fmt.Sprintf("line too long (got %d bytes, allowed %d)", len(line), maxLine), "write one point a line")
			return
		}
	}
	c := csv.NewReader(strings.NewReader(text))
	c.Comma, c.FieldsPerRecord, c.ReuseRecord = delimiter(text), -1, true
	t := &table{reading: w, comma: c.Comma == ','}
	for {
		row, err := c.Read()
		var bad *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			if t.columns == nil && w.Len() == 0 {
				w.Add(0, "", "no points found", "write one point a line, such as 12.5,-3.0")
			}
			return
		case errors.As(err, &bad):
			w.Add(bad.StartLine, "", "a quote is opened and not closed, or stands within a field", "take the quotes out")
			continue
		case err != nil:
			w.Add(0, "", "can't be read: "+err.Error(), "")
			return
		}
		line, _ := c.FieldPos(0)
		for i := range row {
			row[i] = strings.TrimSpace(row[i])
		}
		if strings.Join(row, "") != "" && !t.read(row, line, s) {
			return
		}
	}
}

// delimiter gives the delimiter of the first line that has one: tab or
// semicolon, or else the comma.
func delimiter(text string) rune {
	for line := range strings.SplitSeq(text, "\n") {
		for _, d := range "\t;," {
			if strings.ContainsRune(strings.TrimSpace(line), d) && !strings.HasPrefix(line, "#") {
				return d
			}
		}
	}
	return ','
}

// read reads one row. It reports false where reading ends.
func (t *table) read(row []string, line int, s Spec) bool {
	comment := strings.HasPrefix(row[0], "#")
	if comment {
		row[0] = strings.TrimSpace(strings.TrimLeft(row[0], "#"))
	}
	switch {
	case t.columns != nil && comment:
		return true
	case t.columns != nil:
		return t.readPoint(row, line)
	case comment && len(row) == 1:
		return true
	case comment:
		if found := columnsOf(row, s); found[0] == nil || found[1] == nil {
			return true
		}
	case isNumber(row[0]) || len(row) > 1 && isNumber(row[1]):
		return t.withoutHeader(row, line, s) && t.readPoint(row, line)
	}
	if len(row) == 1 {
		t.Add(line, "", "one column (got "+problem.Quoted(row[0])+", allowed two and more, between commas, semicolons or tabs)", "begin a line of comment with #")
		return false
	}
	before := t.Len()
	t.fields = len(row)
	t.columns = t.chooseColumns(row, s, line)
	t.settleUnits(t.columns, s, line)
	return t.Len() == before
}

// withoutHeader takes the first two or three columns for x, y and z.
func (t *table) withoutHeader(row []string, line int, s Spec) bool {
	switch {
	case len(s.Columns) > 0:
		t.Add(line, "columns", "the file has no header whose names could be meant", "put a line such as x,y,z above the rows, or leave columns out")
		return false
	case len(row) != 2 && len(row) != 3:
		hint := "put a line such as x,y,z above the rows"
		if t.comma && len(row) > 3 {
			hint += "; for decimal commas, put semicolons between the columns"
		}
		t.Add(line, "", fmt.Sprintf("no header, and not two or three columns (got %d)", len(row)), hint)
		return false
	}
	t.fields = len(row)
	for i := range row {
		t.columns = append(t.columns, column{axis: i, index: i})
	}
	t.settleUnits(t.columns, s, line)
	names := []string{"x", "y", "z"}
	if t.line.Geographic {
		names = []string{"longitude", "latitude", "height"}
	}
	t.note("no header: the columns are taken for %s", strings.Join(names[:len(row)], ", "))
	return true
}

// readPoint reads one row of numbers.
func (t *table) readPoint(row []string, line int) bool {
	if len(row) > t.fields {
		hint := ""
		if t.comma {
			hint = "for decimal commas, put semicolons between the columns"
		}
		t.Add(line, "", fmt.Sprintf("too many fields (got %d, allowed %d)", len(row), t.fields), hint)
		return true
	}
	var v [3]float64
	hasZ := false
	for _, c := range t.columns {
		cell := ""
		if c.index < len(row) {
			cell = row[c.index]
		}
		if c.axis == 2 {
			if cell == "" {
				continue
			}
			hasZ = true
		}
		v[c.axis] = t.number(cell, line, axes[c.axis])
	}
	return t.addPoint(v, hasZ, line)
}

// number reads one number, or adds what is wrong with it and gives NaN.
func (t *table) number(cell string, line int, axis string) float64 {
	plain, sign := plainNumber(cell)
	v, err := strconv.ParseFloat(plain, 64)
	switch _, isUnit := factor(cell); {
	case plain == "" && isUnit:
		t.Add(line, axis, "a unit where a number is wanted (got "+problem.Quoted(cell)+")", fmt.Sprintf("write it into the header, such as %s [%s]", axis, cell))
	case plain == "" || err != nil:
		t.Add(line, axis, "not a number (got "+problem.Quoted(cell)+")", "")
	case sign != 0 && t.decimal != 0 && sign != t.decimal:
		t.Add(line, axis, fmt.Sprintf("the decimal sign changes within the file (got %s, the numbers before have %q)", problem.Quoted(cell), string(rune(t.decimal))), "write every number with the same decimal sign and no grouping of digits")
	default:
		if sign != 0 {
			t.decimal = sign
		}
		return v
	}
	return math.NaN()
}

func isNumber(cell string) bool {
	plain, _ := plainNumber(cell)
	_, err := strconv.ParseFloat(plain, 64)
	return err == nil
}

// plainNumber gives a decimal number with a point, and the decimal sign that
// it is written with (0 for none). What can't be one gives an empty text.
func plainNumber(cell string) (plain string, sign byte) {
	if rest, minus := strings.CutPrefix(cell, "−"); minus { // U+2212
		cell = "-" + rest
	}
	if strings.Trim(cell, "0123456789+-.,eE") != "" || strings.Count(cell, ".")+strings.Count(cell, ",") > 1 {
		return "", 0
	}
	if i := strings.IndexAny(cell, ".,"); i >= 0 {
		sign = cell[i]
	}
	return strings.Replace(cell, ",", ".", 1), sign
}
