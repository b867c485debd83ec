package centreline

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"sumpward/scenarios/internal/problem"
)

// families are the spellings of x and y that go together, letters and digits
// only. The first family that a header holds whole is taken.
var families = [][2][]string{
	{{"x"}, {"y"}},
	{{"east", "easting", "e"}, {"north", "northing", "n"}},
	{{"longitude", "lon", "long", "lng"}, {"latitude", "lat"}},
}

var heights = []string{"z", "elevation", "ele", "elev", "height", "altitude", "alt", "up"}

// column is one axis of the line and where it stands in a row.
type column struct {
	axis, index int
	unit        string // of its header; empty if it has none
}

// splitUnit takes the unit off a header name: "x [m]", "x (m)", "x/m", "x_m".
// Longitude and latitude without a unit are in degrees.
func splitUnit(header string) (name, unit string) {
	name = strings.TrimSpace(header)
	for _, pair := range []string{"[]", "()"} {
		if open := strings.IndexByte(name, pair[0]); open > 0 && name[len(name)-1] == pair[1] {
			return bareName(name[:open]), strings.TrimSpace(name[open+1 : len(name)-1])
		}
	}
	if i := strings.LastIndexAny(name, "/_ "); i > 0 {
		if _, ok := factor(name[i+1:]); ok {
			return bareName(name[:i]), name[i+1:]
		}
	}
	name = bareName(name)
	if angles := families[2]; slices.Contains(angles[0], name) || slices.Contains(angles[1], name) {
		return name, degrees
	}
	return name, ""
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

// spelled gives the columns whose name is the first of spellings that occurs.
func spelled(header, spellings []string) (found []int) {
	for _, want := range spellings {
		for i, h := range header {
			if name, _ := splitUnit(h); name == want {
				found = append(found, i)
			}
		}
		if found != nil {
			return found
		}
	}
	return nil
}

// stated gives the columns that a name from the Spec fits.
func stated(header []string, want string) (found []int) {
	for i, h := range header {
		name, _ := splitUnit(h)
		if bare := bareName(want); bare != "" && (name == bare || bareName(h) == bare) {
			found = append(found, i)
		}
	}
	return found
}

// columnsOf gives the columns that could be x, y and z. x and y are those of
// the first family that the header holds whole, or else holds most of.
func columnsOf(header []string, s Spec) (found [3][]int) {
	find := func(axis int, spellings []string) []int {
		switch want := s.Columns[axes[axis]]; want {
		case "":
			return spelled(header, spellings)
		case NotUsed:
			return nil
		default:
			return stated(header, want)
		}
	}
	most := -1
	for _, family := range families {
		x, y := find(0, family[0]), find(1, family[1])
		if n := min(len(x), 1) + min(len(y), 1); n > most {
			most, found[0], found[1] = n, x, y
		}
	}
	found[2] = find(2, heights)
	return found
}

// chooseColumns finds the columns of a header, and says what isn't there.
func (w *reading) chooseColumns(header []string, s Spec, line int) (columns []column) {
	used := map[int]bool{}
	for axis, found := range columnsOf(header, s) {
		key := axes[axis]
		want := s.Columns[key]
		switch {
		case len(found) == 1 && used[found[0]]:
			w.Add(line, key, fmt.Sprintf("two axes share one column (got %s)", listNames(header, found)), "name each of them with columns: {x: …, y: …}")
		case len(found) == 1:
			used[found[0]] = true
			_, unit := splitUnit(header[found[0]])
			columns = append(columns, column{axis, found[0], unit})
		case len(found) > 1:
			w.Add(line, key, fmt.Sprintf("%d columns could be it (got %s)", len(found), listNames(header, found)), "rename all but one")
		case want != "" && want != NotUsed:
			w.Add(line, key, fmt.Sprintf("no column of that name (got %s, allowed %s)", problem.Quoted(want), listNames(header, nil)), "copy the name from the header")
		case axis < 2:
			w.Add(line, key, fmt.Sprintf("no such column in the header (got %s)", listNames(header, nil)), fmt.Sprintf("name it with columns: {%s: …}, as it stands in the header", key))
		}
	}
	var unused []int
	for i, h := range header {
		if !used[i] && h != "" {
			unused = append(unused, i)
		}
	}
	if unused != nil {
		w.note("columns not used: %s", listNames(header, unused))
	}
	return columns
}

// listNames lists some columns for a message; all for nil.
func listNames(header []string, which []int) string {
	if which == nil {
		return problem.QuotedList(header)
	}
	var names []string
	for _, i := range which {
		names = append(names, header[i])
	}
	return problem.QuotedList(names)
}
