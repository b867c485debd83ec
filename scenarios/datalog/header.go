package datalog

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"sumpward/scenarios/internal/problem"
)

// quantities in the order in which they are read and reported.
var quantities = []string{Time, Throttle, Lateral, Longitudinal, Speed, RPM, Lap}

// spellings under which a column is recognised, letters and digits only, the
// plainest first. Bare x and y axes are not among them: loggers don't agree on
// which is which.
var spellings = map[string][]string{
	Time:     {"time", "elapsedtime", "logtime", "sessiontime", "timestamp", "t"},
	Throttle: {"throttle", "throttleposition", "throttlepos", "throttlevalve", "tps"},
	Lateral: {"lateral", "lateralacceleration", "lateralaccel", "lateralacc", "latacceleration", "lataccel", "latacc",
		"accelerationlateral", "accellateral", "acclateral", "accellat", "acclat", "lateralg", "latg", "glateral", "glat"},
	Longitudinal: {"longitudinal", "longitudinalacceleration", "longitudinalaccel", "longitudinalacc", "longacceleration", "longaccel", "longacc",
		"accelerationlongitudinal", "accellongitudinal", "acclongitudinal", "accellong", "acclong", "longitudinalg", "longg", "glongitudinal", "glong"},
	Speed: {"speed", "vehiclespeed", "carspeed", "groundspeed", "velocity", "gpsspeed"},
	RPM:   {"rpm", "enginespeed", "enginerpm", "revs", "enginerevs"},
	Lap:   {"lap", "lapnumber", "lapno", "lapnr", "lapcount", "lapindex", "lapmarker", "beacon"},
}

// gSpellings name their unit: g.
var gSpellings = []string{"lateralg", "latg", "glateral", "glat", "longitudinalg", "longg", "glongitudinal", "glong"}

// headerRows is how many lines are searched for the header.
const headerRows = 200

// column is one quantity of the log and where it stands.
type column struct {
	key    string
	index  int
	header string // as it stands in the file
	unit   string // as found or stated; empty if not known
	stated bool   // the user named the column
	factor float64
	clock  bool // times are written min:s
}

// bareName keeps letters and digits, in lower case.
func bareName(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// splitUnit takes a unit in brackets off the end of a header name.
func splitUnit(header string) (name, unit string) {
	header = strings.TrimSpace(header)
	for _, pair := range []string{"[]", "()", "{}"} {
		open := strings.LastIndexByte(header, pair[0])
		if open > 0 && header[len(header)-1] == pair[1] {
			return strings.TrimSpace(header[:open]), strings.TrimSpace(header[open+1 : len(header)-1])
		}
	}
	return header, ""
}

// recognise gives how well a header fits a quantity, as the place in its
// spellings, and the unit that the header carries. ok is false if it doesn't.
func recognise(header, key string) (rank int, unit string, ok bool) {
	name, unit := splitUnit(header)
	if rank = slices.Index(spellings[key], bareName(name)); rank >= 0 {
		bare := spellings[key][rank]
		if unit == "" {
			_, unit = trailingUnit(name, key)
		}
		if unit == "" && slices.Contains(gSpellings, bare) {
			unit = "g"
		}
		return rank, unit, true
	}
	if unit != "" {
		return 0, "", false
	}
	name, unit = trailingUnit(name, key)
	rank = slices.Index(spellings[key], bareName(name))
	return rank, unit, unit != "" && rank >= 0
}

// trailingUnit takes a unit without brackets off the end ("speed km/h",
// "speed_kmh").
func trailingUnit(name, key string) (rest, unit string) {
	i := strings.LastIndexAny(name, " _")
	if i <= 0 {
		return name, ""
	}
	if _, _, err := unitFactor(name[i+1:], key); err != nil {
		return name, ""
	}
	return name[:i], name[i+1:]
}

// headerLine joins bracketed units to the name before them where blanks
// delimit, and takes a comment sign off the first name.
func headerLine(fields []string, delimiter byte) []string {
	if len(fields) > 0 {
		fields[0] = strings.TrimSpace(strings.TrimLeft(fields[0], "#%"))
		if fields[0] == "" && delimiter == ' ' {
			fields = fields[1:]
		}
	}
	if delimiter != ' ' {
		return fields
	}
	joined := fields[:0]
	for _, f := range fields {
		if len(joined) > 0 && (strings.HasPrefix(f, "[") || strings.HasPrefix(f, "(")) {
			joined[len(joined)-1] += " " + f
			continue
		}
		joined = append(joined, f)
	}
	return joined
}

// countKnown tells how many quantities a line names, which makes it the header
// or not.
func countKnown(fields []string, s Spec) (n int) {
	for _, key := range quantities {
		if len(findColumn(fields, key, s.Columns[key])) > 0 {
			n++
		}
	}
	return n
}

// findColumn gives the fields that hold a quantity: those of the stated name,
// or else those of the best spelling.
func findColumn(fields []string, key, stated string) (found []int) {
	if strings.EqualFold(stated, NotUsed) {
		return nil
	}
	best := -1
	for i, f := range fields {
		if stated != "" {
			name, _ := splitUnit(f)
			want := strings.TrimSpace(stated)
			if sameName(f, want) || sameName(name, want) {
				found = append(found, i)
			}
			continue
		}
		rank, _, ok := recognise(f, key)
		switch {
		case !ok || best >= 0 && rank > best:
		case rank == best:
			found = append(found, i)
		default:
			best, found = rank, []int{i}
		}
	}
	return found
}

// sameName compares without regard to case and blanks.
func sameName(a, b string) bool {
	squeeze := func(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
	return a != "" && squeeze(a) == squeeze(b)
}

// chooseColumns finds the columns of the header line.
func chooseColumns(fields []string, s Spec, line int, p *problems) (columns []column) {
	for _, key := range quantities {
		stated := s.Columns[key]
		found := findColumn(fields, key, stated)
		switch {
		case len(found) == 0:
			reportAbsent(fields, key, stated, line, p)
			continue
		case len(found) > 1:
			p.Add(line, key, fmt.Sprintf("%d columns could be it (got %s)", len(found), listNames(fields, found)),
				fmt.Sprintf("rename all but one, or leave it out with columns: {%s: none}", key))
			continue
		}
		c := column{key: key, index: found[0], header: fields[found[0]], stated: stated != "", factor: 1}
		if c.stated {
			_, c.unit = splitUnit(c.header)
		} else {
			_, c.unit, _ = recognise(c.header, key)
		}
		columns = append(columns, c)
	}
	return columns
}

func reportAbsent(fields []string, key, stated string, line int, p *problems) {
	switch {
	case stated != "" && !strings.EqualFold(stated, NotUsed):
		all := make([]int, len(fields))
		for i := range all {
			all[i] = i
		}
		p.Add(line, key, fmt.Sprintf("no column of that name (got %s, allowed %s)", problem.Quoted(stated), listNames(fields, all)),
			"copy the name from the header")
	case key == Time || key == Throttle:
		p.Add(line, key, "no such column in the header",
			fmt.Sprintf("name it with columns: {%s: …}, as it stands in the header", key))
	}
}

// listNames lists some fields for a message, those that have a name.
func listNames(fields []string, which []int) string {
	var names []string
	for _, i := range which {
		if fields[i] != "" {
			names = append(names, fields[i])
		}
	}
	return problem.QuotedList(names)
}
