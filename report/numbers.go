package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"sumpward/report/words"
)

// number is a float64 that JSON can hold: what is not finite is null.
type number float64

// MarshalJSON writes the number, or null.
func (n number) MarshalJSON() ([]byte, error) {
	f := float64(n)
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(f)
}

func writeJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return err
	}
	_, err := io.WriteString(w, words.PlainJSON(b.String()))
	return err
}

// sheet is a table for programs: float64, int, int64, uint64, bool or string in each cell.
type sheet struct {
	head []string
	rows [][]any
}

func (s *sheet) add(cells ...any) { s.rows = append(s.rows, cells) }

func (s *sheet) write(w io.Writer) error {
	c := csv.NewWriter(w)
	head := make([]string, len(s.head))
	for i, name := range s.head {
		head[i] = csvCell(name)
	}
	if err := c.Write(head); err != nil {
		return err
	}
	for _, row := range s.rows {
		record := make([]string, len(row))
		for i, cell := range row {
			record[i] = csvCell(cell)
		}
		if err := c.Write(record); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// csvCell writes a cell: what is unknown stays empty, what never happens is inf.
func csvCell(cell any) string {
	switch v := cell.(type) {
	case float64:
		switch {
		case math.IsNaN(v):
			return ""
		case math.IsInf(v, 1):
			return "inf"
		case math.IsInf(v, -1):
			return "-inf"
		}
		return strconv.FormatFloat(v, 'g', -1, 64)
	case string:
		return guarded(words.Plain(v))
	}
	return fmt.Sprint(cell)
}

// csvComment writes a line ahead of a sheet. A spreadsheet knows no comments and parts it
// like any other line: no part is a formula.
func csvComment(line string) string {
	line = partFormula.ReplaceAllString(words.OneLine(line), "$1'$2")
	return strings.TrimRight("# "+line, " ") + "\n"
}

var partFormula = regexp.MustCompile(`([,;|]["' \x{a0}]*)([=+@＝＋－＠-])`)

// formulaSigns begin what a spreadsheet may take for a formula, in any width.
const formulaSigns = "=+-@\t\r＝＋－＠"

// guarded keeps a spreadsheet from reading a text as a formula, also where blanks or
// quotes stand ahead of it, which some take away.
func guarded(text string) string {
	first := strings.TrimLeft(text, " \"'\u00a0")
	if r, _ := utf8.DecodeRuneInString(first); first != "" && strings.ContainsRune(formulaSigns, r) {
		return "'" + text
	}
	return text
}
