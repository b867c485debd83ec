package datalog

import (
	"fmt"
	"strings"
)

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
		p.Add(0, "", "the file is empty", "export the log again")
		return t, false
	}
	d, _ := sniffDelimiter(text)
	if d == 0 {
		p.Add(0, "", "no columns found (allowed delimiters: comma, semicolon, tab, pipe, blank)",
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
		p.Add(0, "", fmt.Sprintf("no header found in the first %d lines (delimiter taken: %s)", line, delimiterNames[d]),
			"put a line above the rows that names the columns, such as time,throttle,lateral,longitudinal, or say columns: {time: …, throttle: …} with the names in the file")
		return t, false
	}
	return t, true
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
