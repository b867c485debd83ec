package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// mostToTell is the largest number of realizations that is worth naming.
const mostToTell = 1e9

// untold says of each layout what can't be told from the first, and how many
// realizations would tell it.
func (r Compare) untold() []string {
	var list []string
	for i := 1; i < len(r.Comparison.Layouts); i++ {
		var parts, none, few []string
		for _, x := range r.compared() {
			switch d := x.of(r.Comparison.Pair(0, i)); {
			case d.tells():
			case d.unbounded():
				few = append(few, x.name)
			case d.toTell < mostToTell:
				would := " realizations would tell"
				if len(parts) > 0 {
					would = ""
				}
				parts = append(parts, fmt.Sprintf("%s: about %s%s", x.name, words.Grouped(int64(d.toTell)), would))
			default:
				none = append(none, x.name)
			}
		}
		if len(none) > 0 {
			parts = append(parts, fmt.Sprintf("%s: no difference seen in %s", words.Joined(none, "and"), words.Grouped(int64(r.Comparison.Realizations))))
		}
		if len(few) > 0 {
			parts = append(parts, fmt.Sprintf("%s: takes more than %s", words.Joined(few, "and"), words.Grouped(int64(r.Comparison.Realizations))))
		}
		if len(parts) > 0 {
			list = append(list, r.name(i)+": "+strings.Join(parts, "; "))
		}
	}
	return list
}

// beforeFitting compares crankcase pressure with that of the car before fitting.
func (r Compare) beforeFitting() (heading string, list []string) {
	kPa := units.DisplayUnit(units.Pressure, r.Units)
	for i := range r.Comparison.Layouts {
		was := r.asItWas(i)
		if was < 0 || was == i {
			continue
		}
		d := meanOf(r.Comparison.Pair(was, i).Pressure, kPa)
		text := "the same"
		switch {
		case d.unbounded():
			text = "can't tell, too few realizations"
		case d.none:
		case !d.tells():
			text = fmt.Sprintf("can't tell (%s)", kPa.Attach(d.interval()))
		default:
			more := map[bool]string{true: "higher", false: "lower"}[d.value > 0]
			low, high := math.Abs(d.low), math.Abs(d.high)
			text = fmt.Sprintf("%s %s (%s .. %s)", kPa.Attach(withoutSign(d)), more,
				precisely(min(low, high), d.halfWidth()), precisely(max(low, high), d.halfWidth()))
		}
		list = append(list, r.name(i)+": "+text)
	}
	return "Crankcase pressure against the car as it was, mean highest within " + r.length(), list
}

// asItWas returns the layout that is a layout's car before fitting: that of the
// same file, else the only one there is; -1 where there is none.
func (r Compare) asItWas(layout int) int {
	found, n := -1, 0
	for i := range r.Comparison.Layouts {
		if r.scenario(i).VariantName != decide.AsItWas {
			continue
		}
		if r.scenario(i).SHA256 == r.scenario(layout).SHA256 {
			return i
		}
		found, n = i, n+1
	}
	if n == 1 {
		return found
	}
	return -1
}

// verdict is what follows, in sentences.
func (r Compare) verdict() []string {
	list := append([]string{r.ranking()}, r.meets()...)
	if text := r.leftOut(); text != "" {
		list = append(list, text)
	}
	return append(list, r.largerCans()...)
}

// ranking says which layouts are better, as far as that is supported.
func (r Compare) ranking() string {
	groups := r.groups(r.last())
	about := fmt.Sprintf("the chance of overflow or a choked drain within %s", r.length())
	if n := len(r.options()); n == 1 {
		return fmt.Sprintf("There is one option, %s: nothing to rank.", r.quoted(r.options()[0]))
	}
	if len(groups) < 2 {
		return fmt.Sprintf("By %s no ranking is supported: %s can't be told apart.", about, r.allOf(groups))
	}
	var parts []string
	for _, g := range groups {
		parts = append(parts, r.group(g))
	}
	pairs := "the one difference"
	if n := len(r.Comparison.Pairs); n > 1 {
		pairs = fmt.Sprintf("all %d differences together", n)
	}
	return fmt.Sprintf("Ranked by %s, at %s for %s: best %s; then %s.", about, percentOf(r.Comparison.Level), pairs, parts[0], strings.Join(parts[1:], "; then "))
}

// percentOf writes a confidence level.
func percentOf(level float64) string { return fmt.Sprintf("%.3g %%", 100*level) }

// allOf names the layouts of a comparison that has no ranking.
func (r Compare) allOf(groups [][]int) string {
	if len(groups) == 1 && len(groups[0]) == 2 {
		return "the two layouts"
	}
	return "the layouts"
}

// group names layouts that are not ranked among themselves.
func (r Compare) group(group []int) string {
	var names []string
	apart := false
	for n, a := range group {
		names = append(names, r.quoted(a))
		for _, b := range group[:n] {
			apart = apart || r.Comparison.Pair(b, a).Sessions[r.last()].FailsRanking.Tells()
		}
	}
	switch {
	case len(group) == 1:
		return names[0]
	case apart:
		return words.Joined(names, "and") + " (not all told apart)"
	}
	return words.Joined(names, "and") + " (can't tell them apart)"
}

// meets says which options meet their limit.
func (r Compare) meets() []string {
	var meet, miss, unsure []string
	for _, i := range r.options() {
		switch r.standing(i) {
		case words.Within:
			meet = append(meet, r.quoted(i))
		case words.Beyond:
			miss = append(miss, r.quoted(i)+r.reason(i))
		default:
			unsure = append(unsure, r.quoted(i)+r.reason(i))
		}
	}
	var parts []string
	if len(meet) > 0 {
		parts = append(parts, words.Joined(meet, "and")+" "+verb(meet, "meets", "meet")+" it")
	}
	if len(miss) > 0 {
		parts = append(parts, words.Joined(miss, "and")+" "+verb(miss, "does", "do")+" not meet it")
	}
	if len(unsure) > 0 {
		parts = append(parts, fmt.Sprintf("of %s %s realizations can't tell", words.Joined(unsure, "and"), words.Grouped(int64(r.Comparison.Realizations))))
	}
	return []string{fmt.Sprintf("%s within %s: %s.", r.limit(), r.length(), strings.Join(parts, "; "))}
}

func verb(list []string, one, many string) string {
	if len(list) == 1 {
		return one
	}
	return many
}

// limit says what the limit of risk is, where all layouts have the same.
func (r Compare) limit() string {
	limit := r.scenario(0).Limits.Risk.Nominal()
	for i := range r.Comparison.Layouts {
		if r.scenario(i).Limits.Risk.Nominal() != limit {
			return "Each layout has a limit of risk of its own; it holds"
		}
	}
	return "The limit of risk is " + words.Show(limit, units.Fraction, r.Units)
}

// reason says what does not meet a limit, or may not, where it isn't overflow or a choked drain.
func (r Compare) reason(layout int) string {
	res, limits := r.Comparison.Results[layout], r.scenario(layout).Limits
	names := map[int]string{
		words.OverPressure: "crankcase pressure over " + words.Show(limits.CrankcasePressure.Nominal(), units.Pressure, r.Units),
		words.OilLost:      "oil lost over " + words.Show(limits.OilLost.Nominal(), units.Volume, r.Units),
	}
	var list []string
	for _, i := range words.Besides(words.SessionChances(res, &res.Sessions[r.last()]), limits.Risk.Nominal()) {
		list = append(list, names[i])
	}
	if len(list) == 0 {
		return ""
	}
	return " (" + words.Joined(list, "and") + ")"
}

// largerCans says of each layout that has a larger can than the first, and nothing
// else, whether that helps.
func (r Compare) largerCans() []string {
	var list []string
	for i := 1; i < len(r.Comparison.Layouts); i++ {
		if r.onlyLargerCan(i) {
			if text := r.largerCan(i); text != "" {
				list = append(list, text)
			}
		}
	}
	return list
}

// onlyLargerCan reports whether a layout differs from the first by the size of its
// can alone, and has the larger one.
func (r Compare) onlyLargerCan(layout int) bool {
	from, to := r.scenario(0), r.scenario(layout)
	if from.SHA256 != to.SHA256 || to.Separator.UsableVolume.Nominal() <= from.Separator.UsableVolume.Nominal() {
		return false
	}
	for _, c := range changesOf(from, to, units.Metric) {
		switch c.path {
		case "separator.usable_volume", "separator.cross_section", "separator.diameter":
		default:
			return false
		}
	}
	return true
}

func (r Compare) largerCan(layout int) string {
	from, to := r.scenario(0).Separator.UsableVolume, r.scenario(layout).Separator.UsableVolume
	pair := r.Comparison.Pair(0, layout).Sessions[r.last()]
	parts := []string{effect(pointsOf(pair.Overflow), "overflow")}
	backsUp := r.chance(layout, r.last(), words.DrainChoked)
	if !backsUp.Impossible {
		parts = append(parts, effect(pointsOf(pair.DrainChoked), "a choked drain"))
	}
	text := fmt.Sprintf("A larger can alone (%s, %s instead of %s) %s", r.quoted(layout), words.Notation(to, r.Units), words.Notation(from, r.Units), strings.Join(parts, ", and "))
	if backsUp.StandingTo(r.scenario(layout).Limits.Risk.Nominal()) == words.Beyond {
		text += fmt.Sprintf(": the drain still backs up in %s", backsUp.Text())
	}
	return text + "."
}

// effect says what a layout does to a chance.
func effect(d difference, what string) string {
	switch points := withoutSign(d) + " points"; {
	case !d.tells():
		return "makes no difference to " + what + " that could be told"
	case d.value < 0:
		return "makes " + what + " rarer by " + points
	default:
		return "makes " + what + " more frequent by " + points
	}
}

// withoutSign writes the size of a difference.
func withoutSign(d difference) string { return precisely(math.Abs(d.value), d.halfWidth()) }
