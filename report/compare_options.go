package report

import (
	"fmt"
	"math"

	"sumpward/report/words"
	"sumpward/sim/decide"
)

// options lists the layouts that there are to choose from: not the car before
// fitting, unless all are.
func (r Compare) options() []int {
	var list, all []int
	for i := range r.Comparison.Layouts {
		all = append(all, i)
		if !r.isBefore(i) {
			list = append(list, i)
		}
	}
	if len(list) == 0 {
		return all
	}
	return list
}

// isBefore reports whether a layout is the car before fitting.
func (r Compare) isBefore(layout int) bool { return r.scenario(layout).VariantName == decide.AsItWas }

// isOption reports whether a layout is one of the options.
func (r Compare) isOption(layout int) bool {
	return !r.isBefore(layout) || len(r.options()) == len(r.Comparison.Layouts)
}

// groups ranks the options within a session, best first (see
// [decide.Comparison.Ranking]).
func (r Compare) groups(session int) [][]int {
	options := r.options()
	among := *r.Comparison
	among.Layouts, among.Results, among.Pairs = nil, nil, nil
	for n, i := range options {
		among.Layouts = append(among.Layouts, r.Comparison.Layouts[i])
		among.Results = append(among.Results, r.Comparison.Results[i])
		for m, j := range options[:n] {
			p := r.Comparison.Pair(j, i)
			p.A, p.B = m, n
			among.Pairs = append(among.Pairs, p)
		}
	}
	groups := among.Ranking(session)
	for _, g := range groups {
		for n := range g {
			g[n] = options[g[n]]
		}
	}
	return groups
}

// leftOut says that the car before fitting is no option, and how much more oil it
// sends past than the first option where that is much; empty where all are options.
func (r Compare) leftOut() string {
	var names []string
	oil := ""
	for i := range r.Comparison.Layouts {
		if !r.isOption(i) {
			names = append(names, r.quoted(i))
			oil += r.muchMoreOil(r.options()[0], i)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf("%s %s the car before fitting, no option, and left out of that.%s", words.Sentence(words.Joined(names, "and")), verb(names, "is", "are"), oil)
}

// muchMore is from how many times as much oil on it is named. Chosen, no published
// source.
const muchMore = 2

// muchMoreOil says how much more oil a layout sends past than another, where that is
// told and much.
func (r Compare) muchMoreOil(than, layout int) string {
	s := r.Comparison.Pair(than, layout).Sessions[r.last()].OilToIntake
	unit := words.SmallVolumes(r.Units).Unit
	d := meanOf(s, unit)
	mean := r.Comparison.Results[than].Sessions[r.last()].OilToIntake.Mean
	if d.unbounded() || !(d.low > 0) || !(s.Difference >= (muchMore-1)*mean) {
		return ""
	}
	return fmt.Sprintf(" With it %s (%s .. %s) more oil goes to the %s within %s than with %s.", unit.Attach(withoutSign(d)),
		precisely(math.Abs(d.low), d.halfWidth()), precisely(math.Abs(d.high), d.halfWidth()), r.oilTo(), r.length(), r.quoted(than))
}
