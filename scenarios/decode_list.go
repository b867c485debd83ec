package scenarios

import (
	"fmt"
	"regexp"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// What lists may hold, and the longest session.
const (
	mostVariants   = 100
	mostVaried     = 500_000 // values of the file, for each variant
	mostElements   = 5000
	mostSessions   = 50
	mostPoints     = 100
	longestSession = 100 * 3600 // s
)

// times reads times: a list, or one.
func (d *decoder) times(v *value) {
	items := v.node.items
	if v.node.kind == scalarNode {
		items = []*node{v.node}
	}
	if len(items) == 0 || v.node.kind == mappingNode {
		v.bad = true
		d.problem(v.line, v.path, "a list of times is wanted here (got "+v.node.describe()+")", v.field.hint(""))
		return
	}
	if len(items) > mostSessions {
		v.bad = true
		d.problem(v.line, v.path, fmt.Sprintf("too many (got %d, allowed 1 to %d)", len(items), mostSessions), "")
		return
	}
	for _, item := range items {
		t, ok := d.time(v, item)
		if !ok {
			v.bad = true
			continue
		}
		for _, before := range v.times {
			if before == t && v.field.Kind == TimesKind {
				v.bad = true
				d.problem(item.line, v.path, "the length is written twice (got "+item.text+")", "keep one of the two")
			}
		}
		v.times = append(v.times, t)
	}
}

func (d *decoder) time(v *value, item *node) (seconds float64, ok bool) {
	if item.kind != scalarNode {
		d.problem(item.line, v.path, "a time is wanted here (got "+item.describe()+")", v.field.hint(""))
		return 0, false
	}
	dist, err := uncertainty.Parse(item.text, units.Time)
	switch {
	case err != nil:
		d.problem(item.line, v.path, plainError(err), v.field.hint(""))
		return 0, false
	case !dist.IsExact():
		d.problem(item.line, v.path, "an exact value is wanted here (got "+shorten(item.text)+")", v.field.hint(""))
		return 0, false
	case dist.Nominal() < 1 || dist.Nominal() > longestSession:
		d.problem(item.line, v.path, "outside what is possible (got "+shorten(item.text)+", allowed 1 s to 100 h)", v.field.hint(""))
		return 0, false
	}
	return dist.Nominal(), true
}

// points reads a list of points.
func (d *decoder) points(v *value) {
	if v.node.kind != listNode || len(v.node.items) < 2 || len(v.node.items) > mostPoints {
		v.bad = true
		got := v.node.describe()
		if v.node.kind == listNode {
			got = fmt.Sprintf("%d points", len(v.node.items))
		}
		d.problem(v.line, v.path, fmt.Sprintf("a list of 2 to %d points is wanted here (got %s)", mostPoints, got), v.field.hint(""))
		return
	}
	for i, item := range v.node.items {
		point := &value{field: v.field, path: fmt.Sprintf("%s.%d", v.path, i+1), line: item.line, node: item}
		d.point(point)
		v.bad = v.bad || point.bad
		d.elements[v.path] = append(d.elements[v.path], point.path)
	}
}

// unitless is a coordinate without its unit.
var unitless = regexp.MustCompile(`^[-+0-9. ±x/×]+$`)

// point reads [x, y, z]; the unit of the last serves those without one.
func (d *decoder) point(v *value) {
	if v.node.kind != listNode || len(v.node.items) != 3 {
		v.bad = true
		d.problem(v.line, v.path, "a point [x, y, z] is wanted here (got "+v.node.describe()+")", v.field.pointHint())
		return
	}
	unit := unitOf(v.node.items[2].text)
	if d.pointWithoutUnit(v, unit) {
		return
	}
	for i, axis := range []string{"x", "y", "z"} {
		item := v.node.items[i]
		if item.kind == scalarNode && unit != "" && unitless.MatchString(item.text) {
			with := *item
			with.text += " " + unit
			item = &with
		}
		f := quantity(axis, units.Length, "-10 m", "10 m", "-60 mm", "")
		f.low, f.high = -10, 10
		c := &value{field: &f, path: v.path + "." + axis, line: item.line, node: item, basis: Stated}
		d.values[c.path] = c
		if item.kind == nullNode {
			c.bad = true
			d.problem(item.line, c.path, "nothing is written here", v.field.pointHint())
		} else {
			d.quantity(c)
		}
		v.bad = v.bad || c.bad
	}
}

// pointHint returns a point that can be pasted.
func (f *Field) pointHint() string {
	if f.Kind == PointKind {
		return f.hint("")
	}
	return "write: [-50, 0, -60 mm]"
}

// pointWithoutUnit tells of a point that has no unit at all.
func (d *decoder) pointWithoutUnit(v *value, unit string) bool {
	var texts []string
	bare, nonzero := true, false
	for _, item := range v.node.items {
		texts = append(texts, strings.TrimSpace(item.text))
		bare = bare && item.kind == scalarNode && unitless.MatchString(item.text)
		nonzero = nonzero || !bareZero.MatchString(item.text)
	}
	if unit != "" || !bare || !nonzero {
		return false
	}
	v.bad = true
	written := strings.Join(texts, ", ")
	hint := "write: [" + written + " mm]"
	if v.field.Kind == PointKind {
		hint = v.field.hint("[" + written + " mm]")
	}
	d.problem(v.line, v.path, "unit is missing (got ["+written+"])", hint)
	return true
}

// unitOf returns the unit at the end of a coordinate.
func unitOf(text string) string {
	text = strings.TrimSpace(text)
	i := strings.LastIndexAny(text, "0123456789.")
	if i < 0 || i+1 >= len(text) {
		return ""
	}
	return strings.TrimSpace(text[i+1:])
}

// variantNames checks the shape of the variants; their changes are tried later.
func (d *decoder) variantNames(v *value) {
	if v.node.kind != mappingNode {
		v.bad = true
		d.problem(v.line, v.path, "a block of named changes is wanted here (got "+v.node.describe()+")", v.field.hint(""))
		return
	}
	if len(v.node.entries) > mostVariants {
		v.bad = true
		d.problem(v.line, v.path, fmt.Sprintf("too many (got %d, allowed 1 to %d)", len(v.node.entries), mostVariants), "")
		return
	}
	for _, e := range v.node.entries {
		if e.value.kind != mappingNode {
			v.bad = true
			d.problem(e.line, join(v.path, shorten(e.key)), "changes of paths are wanted here (got "+e.value.describe()+")", "write: "+shorten(e.key)+": {separator.usable_volume: 0.9 L}")
			continue
		}
		v.words = append(v.words, e.key)
	}
}
