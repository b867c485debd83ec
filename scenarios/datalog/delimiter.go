package datalog

import (
	"strings"
)

// delimiters that are tried, in the order that settles a draw.
var delimiters = []byte{'\t', ';', '|', ',', ' '}

var delimiterNames = map[byte]string{'\t': "tab", ';': "semicolon", '|': "pipe", ',': "comma", ' ': "space"}

const (
	maxLines   = 2_000_000 // of a file, rows or not
	sniffBytes = 256 << 10 // of the file that are looked at to find its delimiter
	maxLine    = 64 << 10  // bytes of one line
	maxFields  = 1000      // columns of one line
)

// sniffDelimiter finds the delimiter: the one under which most cells are
// numbers, in lines that have the same number of fields (two or more) as most
// others. The number of fields comes with it; 0 if no delimiter fits.
func sniffDelimiter(text string) (delimiter byte, fields int) {
	var best float64
	for _, d := range delimiters {
		score, n := tryDelimiter(text, d)
		if score > best {
			best, delimiter, fields = score, d, n
		}
	}
	return delimiter, fields
}

// tryDelimiter gives the share of lines that have the usual number of fields
// times the share of numbers among their cells.
func tryDelimiter(text string, d byte) (score float64, fields int) {
	lines := make(map[int]int)
	numbers := make(map[int]int)
	total, seen := 0, 0
	var buf []string
	for line := range strings.SplitSeq(text, "\n") {
		if seen += len(line) + 1; seen > sniffBytes {
			break
		}
		if line = strings.TrimRight(line, "\r"); strings.TrimSpace(line) == "" || len(line) > maxLine {
			continue
		}
		total++
		buf, _ = split(line, d, buf[:0])
		lines[len(buf)]++
		for _, cell := range buf {
			if isMissing(cell) || isNumeric(cell) {
				numbers[len(buf)]++
			}
		}
	}
	for n := range lines {
		if n < 2 {
			continue
		}
		s := float64(numbers[n])/float64(n*total) + 1e-6*float64(lines[n])/float64(total) // a header alone has no numbers
		if s > score || s == score && n > fields {
			score, fields = s, n
		}
	}
	return score, fields
}

// isNumeric tells a number, with either decimal sign, or a clock time.
func isNumeric(cell string) bool {
	if _, _, ok := plainNumber(cell); ok {
		return true
	}
	if !strings.Contains(cell, ":") {
		return false
	}
	for part := range strings.SplitSeq(cell, ":") {
		if _, _, ok := plainNumber(part); !ok {
			return false
		}
	}
	return true
}

// split appends the fields of a line to fields, trimmed. Fields may stand in
// double quotes, with "" for a quote. Under the delimiter space any run of
// blanks delimits. It reports whether a quote was left open.
func split(line string, d byte, fields []string) (_ []string, open bool) {
	if d == ' ' {
		line = strings.TrimSpace(line)
	}
	for len(fields) <= maxFields {
		var field string
		var more bool
		if start := strings.TrimLeft(line, " "); strings.HasPrefix(start, `"`) {
			field, line, more, open = quotedField(start[1:], d)
		} else {
			i := strings.IndexByte(line, d)
			if d == ' ' {
				i = strings.IndexAny(line, " \t")
			}
			if more = i >= 0; more {
				field, line = line[:i], line[i+1:]
			} else {
				field = line
			}
			field = strings.TrimSpace(field)
		}
		fields = append(fields, field)
		if !more {
			break
		}
		if d == ' ' {
			line = strings.TrimLeft(line, " \t")
		}
	}
	return fields, open
}

// quotedField takes a field up to its closing quote, and what follows its
// delimiter.
func quotedField(s string, d byte) (field, rest string, more, open bool) {
	var b strings.Builder
	for {
		i := strings.IndexByte(s, '"')
		if i < 0 {
			b.WriteString(s)
			return strings.TrimSpace(b.String()), "", false, true
		}
		b.WriteString(s[:i])
		s = s[i+1:]
		if !strings.HasPrefix(s, `"`) {
			break
		}
		b.WriteByte('"')
		s = s[1:]
	}
	i := strings.IndexByte(s, d)
	if i < 0 {
		return strings.TrimSpace(b.String()), "", false, false
	}
	return strings.TrimSpace(b.String()), s[i+1:], true, false
}
