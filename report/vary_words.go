package report

import (
	"fmt"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

func (r Vary) facts() facts {
	v := r.Variation
	var f facts
	for i, a := range v.Axes {
		f.add("varied", r.asWritten(i))
		switch decide.TakesAlong(v.Scenario, a.Path) {
		case decide.HoseLength:
			f.add("hose", r.hose(a.Path))
		case decide.RoutesFirstPoint:
			f.add("route", "its first point is moved up or down, so that the oil falls by the value at nominal values; the other points stay")
		}
	}
	for _, text := range r.uncorrelated() {
		f.add("correlation", text)
	}
	if r.has(func(c *sim.PhaseCheck) float64 { return c.Margin }) {
		f.add("drain margin", "at full throttle on a straight, can empty, oil settled, at nominal values; below 0 the drain is held there")
	}
	if r.has(floodShare) {
		f.add("gas up drain", "at full throttle on a straight, oil settled, at nominal values; from 100 % on no oil comes down")
	}
	f.add("sampling", fmt.Sprintf("%s at each point, %s, seed %d: the same draws at each%s", r.realizations(), words.Design(v.Sampling), v.Seed, r.shouted()))
	return f
}

// asWritten says what a varied input is in the scenario.
func (r Vary) asWritten(axis int) string {
	a, s := r.Variation.Axes[axis], r.Variation.Scenario
	written := "left out of the scenario"
	switch q := s.Input(a.Path); {
	case q != nil:
		written = fmt.Sprintf("as written %s (%s)", words.Notation(q, r.Units), q.Basis)
	case decide.TakesAlong(s, a.Path) == decide.RoutesFirstPoint:
		written = fmt.Sprintf("as written %s by the route", words.Show(decide.NominalFall(s), units.Length, r.Units))
	}
	how := "exact at each point"
	if q := r.quantity(axis); q != nil && !q.IsExact() {
		how = fmt.Sprintf("not exact at a point, a reading tells no more (%s at the first)", words.Notation(q, r.Units))
	}
	return fmt.Sprintf("%s, %s; %s", a.Path, how, written)
}

// hose says what a longer way down does to the hose.
func (r Vary) hose(path string) string {
	d := r.Variation.Scenario.Drain
	if len(r.Variation.Axes) == 2 && (r.Variation.Axes[0].Path == "drain.length" || r.Variation.Axes[1].Path == "drain.length") {
		return "as long as its own axis says"
	}
	length := words.Notation(d.Length, r.Units)
	if path == "drain.dip" {
		return fmt.Sprintf("%s long as written, and taken longer by twice what the dip is more than %s", length, words.Show(d.Dip.Nominal(), units.Length, r.Units))
	}
	return fmt.Sprintf("%s long as written, and taken longer by what the fall is more than %s", length, words.Show(d.Fall.Nominal(), units.Length, r.Units))
}

// uncorrelated lists the correlations that fall away since one of the two
// inputs is exact.
func (r Vary) uncorrelated() []string {
	var list []string
	kept := map[[2]string]bool{}
	pair := func(c scenarios.Correlation) [2]string { return [2]string{c.Between[0].Path, c.Between[1].Path} }
	for _, c := range r.first().Result.Scenario.Correlations {
		kept[pair(c)] = true
	}
	for _, c := range r.Variation.Scenario.Correlations {
		if p := pair(c); !kept[p] {
			list = append(list, fmt.Sprintf("of %s with %s falls away: what is exact goes with nothing", p[0], p[1]))
		}
	}
	return list
}

// realizations says how many there are at each point.
func (r Vary) realizations() string {
	least, most := 0, 0
	for _, p := range r.Variation.Points {
		if p.Result == nil {
			continue
		}
		if least == 0 || p.Result.Realizations < least {
			least = p.Result.Realizations
		}
		most = max(most, p.Result.Realizations)
	}
	if least == most {
		return words.Grouped(int64(least)) + " realizations"
	}
	return words.Grouped(int64(least)) + " to " + words.Grouped(int64(most)) + " realizations"
}

// incomplete says that something is missing; nothing where all is there.
func (r Vary) incomplete() string {
	n := 0
	for _, p := range r.Variation.Points {
		if absent(p) || p.Result != nil && missingFrom(p.Result) > 0 {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("at %s some or all", howMany("point", n))
}

// shouted is incomplete where a reader can't miss it.
func (r Vary) shouted() string {
	text := r.incomplete()
	if text == "" {
		return ""
	}
	return "; " + strings.ToUpper(text) + " ARE MISSING, this is what was there"
}

// problems lists the points that can't be.
func (r Vary) problems() []string {
	return r.points(func(p decide.VariedPoint) string {
		if absent(p) {
			return ""
		}
		return p.Problem
	})
}

// missing lists the points of which not all was there.
func (r Vary) missing() []string {
	return r.points(func(p decide.VariedPoint) string {
		switch {
		case absent(p):
			return p.Problem
		case p.Result != nil && missingFrom(p.Result) > 0:
			return words.Grouped(int64(missingFrom(p.Result))) + " of its realizations are missing"
		}
		return ""
	})
}

// points lists the points of which there is something to say.
func (r Vary) points(say func(decide.VariedPoint) string) []string {
	names := make([][]string, len(r.Variation.Axes))
	for i := range names {
		names[i] = r.named(i)
	}
	var list []string
	for n, p := range r.Variation.Points {
		text := say(p)
		if text == "" {
			continue
		}
		at := names[0][n%len(names[0])]
		if len(names) == 2 {
			at = names[0][n/len(names[1])] + " and " + names[1][n%len(names[1])]
		}
		list = append(list, at+": "+text)
	}
	const few = 6
	if len(list) > few {
		list = append(list[:few], fmt.Sprintf("and %d points more (csv and json say why)", len(list)-few))
	}
	return list
}

// verdict says where the limit is met.
func (r Vary) verdict() string {
	if len(r.Variation.Axes) == 2 {
		return r.counts()
	}
	return strings.Join(append(r.crossings(), r.others()...), " ")
}

// counts says at how many points of two axes the limit is met.
func (r Vary) counts() string {
	n := map[words.Standing]int{}
	all := 0
	for _, p := range r.Variation.Points {
		if p.Result != nil {
			n[standingAt(p)]++
			all++
		}
	}
	text := fmt.Sprintf("The limit of %s is met at %d of %s and not met at %d", r.limit(), n[words.Within], howMany("point", all), n[words.Beyond])
	if n[words.Unclear] > 0 {
		text += fmt.Sprintf("; at %d, %s can't tell", n[words.Unclear], r.realizations())
	}
	return text + "."
}

// limit says what the limit is about.
func (r Vary) limit() string {
	about := fmt.Sprintf("(%s within %s)", r.what(), r.length())
	if slices.ContainsFunc(r.Variation.Axes, func(a decide.Axis) bool { return a.Path == "limits.risk" }) {
		return "risk " + about
	}
	limit := r.Variation.Scenario.Limits.Risk.Nominal()
	return words.Show(limit, units.Fraction, r.Units) + " " + about
}

func (r Vary) what() string {
	if r.first().Result.Kind == sim.NoDrain {
		return "overflow"
	}
	return "overflow or a choked drain"
}

// crossings says between which values of one axis the chance crosses the limit.
func (r Vary) crossings() []string {
	values := r.named(0)
	var list, unsure []string
	before := -1 // the last value at which it is sure
	any := map[words.Standing]bool{}
	for i, p := range r.Variation.Points {
		if p.Result == nil {
			continue
		}
		s := standingAt(p)
		any[s] = true
		if s == words.Unclear {
			unsure = append(unsure, values[i])
			continue
		}
		if before >= 0 && standingAt(r.Variation.Points[before]) != s {
			list = append(list, r.crossing(before, i, values))
		}
		before = i
	}
	if len(list) == 0 {
		list = append(list, r.nowhere(any))
	}
	if len(unsure) > 0 && (any[words.Within] || any[words.Beyond]) {
		list = append(list, fmt.Sprintf("At %s, %s can't tell.", words.Joined(unsure, "and"), r.realizations()))
	}
	return list
}

// crossing puts one crossing to words.
func (r Vary) crossing(from, to int, values []string) string {
	a, b := r.Variation.Points[from], r.Variation.Points[to]
	comes := "comes down to"
	if standingAt(a) == words.Within {
		comes = "goes over"
	}
	return fmt.Sprintf("Between %s and %s the chance %s the limit of %s: %s at %s, %s at %s.",
		values[from], values[to], comes, r.limit(), fails(a).Text(), values[from], fails(b).Text(), values[to])
}

// nowhere says how it stands where the limit isn't crossed for sure.
func (r Vary) nowhere(any map[words.Standing]bool) string {
	switch {
	case any[words.Within] && !any[words.Unclear]:
		return fmt.Sprintf("The limit of %s is met %s.", r.limit(), r.everywhere())
	case any[words.Beyond] && !any[words.Unclear]:
		return fmt.Sprintf("The limit of %s is not met %s.", r.limit(), r.anywhere())
	case any[words.Within]:
		return fmt.Sprintf("The limit of %s is met wherever it can be told.", r.limit())
	case any[words.Beyond]:
		return fmt.Sprintf("The limit of %s is not met wherever it can be told.", r.limit())
	case r.possible() < len(r.Variation.Points):
		return fmt.Sprintf("%s, %s can't tell whether the limit of %s is met: run more of them.", words.Sentence(r.everywhere()), r.realizations(), r.limit())
	}
	return fmt.Sprintf("Nowhere in this range can %s tell whether the limit of %s is met: run more of them.", r.realizations(), r.limit())
}

// possible counts the points that can be.
func (r Vary) possible() int {
	n := 0
	for _, p := range r.Variation.Points {
		if p.Result != nil {
			n++
		}
	}
	return n
}

// left says what is so of the points that were simulated, where not all were.
func (r Vary) left() string {
	if slices.ContainsFunc(r.Variation.Points, absent) {
		return "there"
	}
	return "possible"
}

// everywhere says where the points are that can be.
func (r Vary) everywhere() string {
	switch n := r.possible(); {
	case n == len(r.Variation.Points):
		return "over the whole range"
	case n == 1:
		return "at the one point that is " + r.left()
	default:
		return fmt.Sprintf("at all %d points that are %s", n, r.left())
	}
}

// anywhere is everywhere after a "not".
func (r Vary) anywhere() string {
	switch n := r.possible(); {
	case n == len(r.Variation.Points):
		return "anywhere in this range"
	case n == 1:
		return r.everywhere()
	default:
		return fmt.Sprintf("at any of the %d points that are %s", n, r.left())
	}
}

// others says of over-pressure and oil lost where they don't meet the limit, or may not.
func (r Vary) others() []string {
	values, limits := r.named(0), r.Variation.Scenario.Limits
	var list []string
	for _, x := range []struct {
		event int // see words.SessionChances
		what  string
	}{
		{words.OverPressure, "crankcase pressure over " + words.Show(limits.CrankcasePressure.Nominal(), units.Pressure, r.Units)},
		{words.OilLost, "oil lost over " + words.Show(limits.OilLost.Nominal(), units.Volume, r.Units)},
	} {
		var breaks, may []string
		for i, p := range r.Variation.Points {
			if p.Result == nil {
				continue
			}
			c := words.SessionChances(p.Result, longest(p))[x.event]
			switch s := c.StandingTo(p.Result.Scenario.Limits.Risk.Nominal()); {
			case s == words.Beyond:
				breaks = append(breaks, values[i])
			case s == words.Unclear && c.Events > 0:
				may = append(may, values[i])
			}
		}
		if len(breaks) > 0 {
			list = append(list, fmt.Sprintf("For %s the limit is not met at %s.", x.what, words.Joined(breaks, "and")))
		} else if len(may) > 0 {
			list = append(list, fmt.Sprintf("For %s, %s can't tell whether the limit is met at %s.", x.what, r.realizations(), words.Joined(may, "and")))
		}
	}
	return list
}
