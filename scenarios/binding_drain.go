package scenarios

import (
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

func (b *binder) drain() Drain {
	if !b.has("drain.return") {
		b.missing("drain.return", "how the oil goes back (above_oil, below_oil or emptied_by_hand)")
	}
	d := Drain{Return: Return(b.word("drain.return"))}
	switch d.Return {
	case EmptiedByHand:
		d.Emptied = b.emptied()
		b.unusedBelow("drain", "the can is emptied by hand", "drain.return", "drain.emptied")
	case AboveOil, BelowOil:
		b.unused("the oil drains back", "drain.emptied")
		b.hose(&d)
	}
	return d
}

// unusedBelow warns of everything under a block but the paths that are used.
func (b *binder) unusedBelow(block, why string, used ...string) {
	paths := b.below(block)
	sort.Strings(paths)
	for _, path := range paths {
		if !slices.Contains(used, path) && b.values[path].field.Kind != BlockKind && !b.insideAnother(block, path) {
			b.unused(why, path)
		}
	}
}

// insideAnother reports whether a path lies in a list, a point or a block of
// names under a block, which is told of as one.
func (b *binder) insideAnother(block, path string) bool {
	for {
		i := strings.LastIndexByte(path, '.')
		if path = path[:max(i, 0)]; len(path) <= len(block) {
			return false
		}
		if v := b.values[path]; v != nil && v.field.Kind != BlockKind {
			return true
		}
	}
}

// hose binds a drain hose.
func (b *binder) hose(d *Drain) {
	d.Seal = Seal(b.word("drain.seal"))
	d.Bore = b.required("drain.bore", "the inside diameter of the drain hose")
	b.way(d)
	d.LossCoefficient = b.lossCoefficient("drain")
	d.PortPressure = b.quantity("drain.port_pressure")
	if d.Seal == ValveSeal {
		d.ValveOpensAt = b.quantity("drain.valve_opens_at")
	} else {
		b.unused("there is no valve", "drain.valve_opens_at")
	}
	if d.Seal == NoSeal {
		d.FloodingConstant = b.quantity("drain.flooding_constant")
	} else {
		b.unused("no gas goes up a drain with a "+string(d.Seal), "drain.flooding_constant")
	}
	if d.Return == AboveOil {
		b.unusedBelow("drain.sump", "the return is above the oil")
		b.trap(d)
		return
	}
	if d.Seal == TrapSeal {
		b.unused("a return below the oil needs no trap", "drain.seal")
	}
	d.Sump = &Sump{Area: b.quantity("drain.sump.area")}
	switch surface := b.values["drain.sump.oil_surface"]; {
	case surface != nil:
		p := b.point("drain.sump.oil_surface")
		d.Sump.OilSurface = &p
	case d.Route != nil:
		b.missing("drain.sump.oil_surface", "a return below the oil is measured to the middle of the oil's surface, not to the port")
	}
}

// trap warns of a trap that the hose itself doesn't make: a climb, at rest, of
// a bore or more. A level piece doesn't break a climb.
func (b *binder) trap(d *Drain) {
	if d.Seal != TrapSeal {
		return
	}
	highest, climb := d.Dip.Nominal(), 0.0
	for i := 1; i < len(d.Route); i++ {
		switch rise := d.Route[i].Z.Nominal() - d.Route[i-1].Z.Nominal(); {
		case rise < 0:
			climb = 0
		default:
			climb += rise
		}
		highest = max(highest, climb)
	}
	if highest < d.Bore.Nominal()*(1-1e-9) {
		b.warn(b.line("drain.seal"), "drain.seal", "no climb of a bore or more is in the hose: the trap is taken to be a fitting of its own; if there is none, write: seal: none")
	}
}

// way binds the fall (with length and dip) or the route.
func (b *binder) way(d *Drain) {
	const why = "a route has its own fall and length"
	if v := b.values["drain.route"]; v != nil {
		for _, path := range []string{"drain.fall", "drain.length", "drain.dip"} {
			b.conflict("drain.route", path, why)
		}
		if !v.bad {
			d.Route = b.route("drain.route")
		}
		return
	}
	if !b.has("drain.fall") {
		b.missing("drain.fall", "how far the oil falls from the can to the return; or a route")
		return
	}
	d.Fall, d.Length, d.Dip = b.given("drain.fall"), b.given("drain.length"), b.given("drain.dip")
	if d.Length == nil {
		b.rule("drain.length", "1.3 times the fall plus 200 mm, and no less than fall and dip take", prior)
		return
	}
	b.longEnough(d.Length, d.Fall, d.Dip)
}

// longEnough insists on a hose as long as its way down.
func (b *binder) longEnough(length, fall, dip *Quantity) {
	least := fall.Nominal() + 2*dip.Nominal()
	if length.Nominal() < least*(1-1e-9) {
		b.problem(length.Line, length.Path, fmt.Sprintf("shorter than the way down (got %s, allowed %s or more)", length.Text, units.Format(least, units.Length, units.Metric)),
			"write: length: "+units.Format(1.3*least+0.2, units.Length, units.Metric))
	}
}

// route binds the points of the route at a path.
func (b *binder) route(at string) []RoutePoint {
	var points []RoutePoint
	for _, path := range b.elements[at] {
		points = append(points, b.point(path))
	}
	for i := 1; i < len(points); i++ {
		p, q := points[i-1], points[i]
		if p.X.Nominal() == q.X.Nominal() && p.Y.Nominal() == q.Y.Nominal() && p.Z.Nominal() == q.Z.Nominal() {
			b.problem(q.X.Line, b.elements[at][i], "the same place as the point before", "leave one of the two out")
		}
	}
	if first, last := points[0].Z, points[len(points)-1].Z; last.Nominal() >= first.Nominal() {
		b.warn(last.Line, at, "the return is no lower than the can: nothing drains with the car level")
	}
	return points
}

func (b *binder) point(path string) RoutePoint {
	if b.values[path+".x"] == nil || b.values[path+".y"] == nil || b.values[path+".z"] == nil { // told already
		unknown := &Quantity{Path: path, Distribution: notKnown}
		return RoutePoint{unknown, unknown, unknown}
	}
	return RoutePoint{b.given(path + ".x"), b.given(path + ".y"), b.given(path + ".z")}
}

var (
	everyTime = regexp.MustCompile(`^every (\S.*)$`)
	everyStop = regexp.MustCompile(`^every (\d{1,4}) ?(?:st|nd|rd|th)? stops?$`)
)

// emptied reads "every session", "at stops", "every 2 stops", "every 30 min".
func (b *binder) emptied() Emptied {
	text := strings.ToLower(strings.Join(strings.Fields(b.word("drain.emptied")), " "))
	v := b.values["drain.emptied"]
	switch {
	case text == "every session" || v != nil && v.bad:
		return Emptied{}
	case text == "at stops" || text == "at every stop" || text == "every stop":
		return Emptied{AtStops: true, Nth: 1}
	}
	what := "not one of the choices (got " + shorten(v.word) + ", allowed every session, at stops, every 2 stops, every 30 min)"
	if m := everyStop.FindStringSubmatch(text); m != nil {
		n, err := strconv.Atoi(m[1])
		if err != nil || n < 1 {
			b.problem(v.line, v.path, what, "write: emptied: every 2 stops")
		}
		return Emptied{AtStops: true, Nth: n}
	}
	m := everyTime.FindStringSubmatch(text)
	if m == nil {
		b.problem(v.line, v.path, what, "write: emptied: every session")
		return Emptied{}
	}
	d, err := uncertainty.Parse(m[1], units.Time)
	if err == nil {
		d, _, err = d.Truncate(1, longestSession)
	}
	if err != nil {
		b.problem(v.line, v.path, what, "write: emptied: every 30 min")
		return Emptied{}
	}
	return Emptied{Every: b.add(&Quantity{Path: v.path, Line: v.line, Dimension: units.Time, Distribution: d, Basis: v.basis, Text: m[1], scale: 1})}
}
