package centreline

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"sumpward/scenarios/internal/problem"
	"sumpward/scenarios/units"
)

// degrees is the unit of longitude and latitude.
const degrees = "deg"

// factor gives the m of a unit of length; 0 for degrees. ok is false if unit
// is neither.
func factor(unit string) (m float64, ok bool) {
	switch strings.ToLower(unit) {
	case degrees, "°", "degree", "degrees":
		return 0, true
	}
	u, err := units.ParseUnit(unit, units.Distance)
	return u.Factor, err == nil && u.Factor > 0
}

func unknownUnit(unit string) string {
	return fmt.Sprintf("unit not known (got %s, allowed deg, %s)", problem.Quoted(unit), strings.Join(units.Distance.Units(), ", "))
}

// check adds what is wrong with the Spec itself.
func (s Spec) check(p *problem.Found) {
	if _, ok := factor(s.Unit); s.Unit != "" && !ok {
		p.Add(0, "unit", unknownUnit(s.Unit), "say unit: m")
	}
	for _, key := range slices.Sorted(maps.Keys(s.Columns)) {
		switch {
		case !slices.Contains(axes, key):
			p.Add(0, "columns", fmt.Sprintf("no such column (got %s, allowed x, y, z)", problem.Quoted(key)), "")
		case s.Columns[key] == NotUsed && key != "z":
			p.Add(0, "columns", key+" is needed", "name it as it stands in the header")
		}
	}
}

// settleUnits finds the unit of each column: its own, or else the stated one.
func (w *reading) settleUnits(columns []column, s Spec, line int) {
	w.scale = [3]float64{1, 1, 1}
	stated, statedOK := factor(s.Unit)
	other := "" // unit of x or y
	for _, c := range columns {
		if c.unit != "" && c.axis < 2 {
			other = c.unit
		}
	}
	for _, c := range columns {
		f, ok := factor(c.unit)
		switch {
		case c.unit != "" && !ok:
			w.Add(line, axes[c.axis], unknownUnit(c.unit), "")
		case c.unit != "" && c.axis == 2 && f == 0:
			w.Add(line, "z", "a height in degrees (allowed m, ft, …)", "name the column of the height with columns: {z: …}")
		case c.unit != "" && c.axis < 2 && statedOK && stated != f:
			w.Add(line, axes[c.axis], fmt.Sprintf("the header says %s, unit says %s", problem.Quoted(c.unit), problem.Quoted(s.Unit)), "leave unit out, or take it out of the header")
		case c.unit != "":
			w.scale[c.axis] = f
		case statedOK && (c.axis < 2 || stated > 0):
			w.scale[c.axis] = stated
		case s.Unit == "" && needsUnit(c.axis, other):
			w.Add(line, axes[c.axis], fmt.Sprintf("unit not known (got none beside one in %s)", problem.Quoted(other)), fmt.Sprintf("write it into the header, such as %s [m]", axes[c.axis]))
		}
	}
	w.line.Geographic = w.scale[0] == 0
	if (w.scale[0] == 0) != (w.scale[1] == 0) {
		w.Add(line, "", "one of x and y is in degrees, the other isn't", "give both in degrees (deg) or both in m")
	}
}

// needsUnit tells whether a column without a unit can't be taken for m because
// x or y has another one. A height beside degrees is in m.
func needsUnit(axis int, other string) bool {
	f, ok := factor(other)
	return ok && f != 1 && !(axis == 2 && f == 0)
}

// Limits of the values, in degrees and in m. A map grid counts up to some
// 10,000 km; roads lie between 430 m below and some 6 km above the sea (from
// memory).
const (
	maxLatitude = 85 // a flat map gets poor close to a pole
	maxMetres   = 1e8
	minHeight   = -1000
	maxHeight   = 10_000
)

// toMetres checks the range of the values and scales them to m.
func (w *reading) toMetres() {
	first, missing := -1, 0
	for i, p := range w.points {
		v := [3]float64{p.X, p.Y, p.Z}
		for axis, x := range v {
			low, high, unit := -float64(maxMetres), float64(maxMetres), "m"
			switch {
			case axis == 2:
				low, high = minHeight, maxHeight
			case w.line.Geographic && axis == 0:
				low, high, unit = -180, 180, "degrees"
			case w.line.Geographic:
				low, high, unit = -maxLatitude, maxLatitude, "degrees"
			}
			if axis == 2 || !w.line.Geographic {
				x *= w.scale[axis]
			}
			if x < low || x > high { // what isn't a number is told already
				w.addAt(i, axis, fmt.Sprintf("out of range (got %.6g %s, allowed %.6g to %.6g)", x, unit, low, high), rangeHints[unit])
			}
			v[axis] = x
		}
		w.points[i] = Point{v[0], v[1], v[2]}
		if w.noZ[i] {
			if missing++; first < 0 {
				first = i
			}
		}
	}
	if missing > 0 && missing < len(w.points) {
		w.addAt(first, 2, fmt.Sprintf("height missing here and in %d more of %d points", missing-1, len(w.points)), w.heightHint())
	}
	w.line.HasHeight = len(w.points) > 0 && missing == 0
}

var rangeHints = map[string]string{
	"m":       "check the value and its unit",
	"degrees": "x is the longitude, y the latitude",
}

func (w *reading) heightHint() string {
	if w.path == "" {
		return "fill it in, or leave the column out with columns: {z: none}"
	}
	return "give every point a height, or none"
}
