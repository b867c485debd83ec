package datalog

import (
	"math"
	"strconv"
	"strings"

	"sumpward/scenarios/internal/problem"
)

// missingMarks are the cells, in lower case, that stand for "no value".
var missingMarks = map[string]bool{
	"": true, "-": true, "--": true, "---": true, "nan": true, "na": true, "n/a": true, "#n/a": true,
	"null": true, "none": true, "?": true, "*": true,
}

func isMissing(cell string) bool {
	return cell == "" || len(cell) <= 4 && missingMarks[strings.ToLower(cell)]
}

// decimalSign is the decimal sign of a file: 0 until a number shows it.
type decimalSign byte

// parse reads one number. The first number with a decimal sign settles the
// sign for the file; what is empty means missing and gives NaN. The texts that
// come back are empty when the cell is good.
func (d *decimalSign) parse(cell string) (v float64, what, hint string) {
	if isMissing(cell) {
		return math.NaN(), "", ""
	}
	plain, sign, ok := plainNumber(cell)
	if !ok {
		return 0, "not a number (got " + problem.Quoted(cell) + ", allowed a number, or an empty cell where it is missing)", hintForNumber(cell)
	}
	if sign != 0 {
		if *d == 0 {
			*d = decimalSign(sign)
		}
		if byte(*d) != sign {
			return 0, "the decimal sign changes within the file (got " + problem.Quoted(cell) + ", the numbers before have " + problem.Quoted(string(rune(*d))) + ")",
				"write every number with the same decimal sign and no grouping of digits"
		}
	}
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, "not a finite number (got " + problem.Quoted(cell) + ")", "leave the cell empty where the value is missing"
	}
	return v, "", ""
}

// plainNumber gives a decimal number with a point, and the decimal sign that
// it was written with (0 for none). It allows a sign, digits with at most one
// decimal sign, and an exponent.
func plainNumber(cell string) (plain string, sign byte, ok bool) {
	if strings.HasPrefix(cell, "−") { // minus sign, U+2212
		cell = "-" + strings.TrimPrefix(cell, "−")
	}
	digits, at := 0, -1
	for i := 0; i < len(cell); i++ {
		switch c := cell[i]; {
		case c >= '0' && c <= '9':
			digits++
		case c == '.' || c == ',':
			if at >= 0 {
				return "", 0, false
			}
			at, sign = i, c
		case (c == '+' || c == '-') && (i == 0 || cell[i-1] == 'e' || cell[i-1] == 'E'):
		case (c == 'e' || c == 'E') && digits > 0:
		default:
			return "", 0, false
		}
	}
	if digits == 0 {
		return "", 0, false
	}
	if sign == ',' {
		cell = cell[:at] + "." + cell[at+1:]
	}
	return cell, sign, true
}

func hintForNumber(cell string) string {
	switch strings.ToLower(strings.TrimLeft(cell, "+-")) {
	case "inf", "infinity", "∞":
		return "leave the cell empty where the value is missing"
	}
	if strings.Count(cell, ",")+strings.Count(cell, ".") > 1 {
		return "write numbers without grouping of digits"
	}
	return ""
}

// parseClock reads "min:s" or "h:min:s" and gives seconds.
func (d *decimalSign) parseClock(cell string) (v float64, what, hint string) {
	bad := func() (float64, string, string) {
		return 0, "not a time (got " + problem.Quoted(cell) + ", allowed min:s or h:min:s)", "such as 1:02.5"
	}
	parts := strings.Split(cell, ":")
	if len(parts) < 2 || len(parts) > 3 {
		return bad()
	}
	var total float64
	for i, part := range parts {
		if part == "" || part[0] < '0' || part[0] > '9' {
			return bad()
		}
		last := i == len(parts)-1
		x, what, hint := d.parse(part)
		if what != "" {
			return 0, what, hint
		}
		if i > 0 && x >= 60 || !last && (x != math.Trunc(x) || x > 1e6) {
			return bad()
		}
		total = total*60 + x
	}
	return total, "", ""
}
