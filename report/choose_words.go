package report

import (
	"fmt"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// verdict says which cans there are to choose from.
func (r Choose) verdict() string {
	c := r.Choice
	meet, untold, all := 0, 0, 0
	for i := range c.Options {
		o := &c.Options[i]
		if o.Result == nil || o.Return == decide.ByHandName {
			continue
		}
		all++
		switch o.Standing {
		case decide.Meets:
			meet++
		case decide.Untold:
			untold++
		}
	}
	limit := fmt.Sprintf("The limit is %s in a session of %s. ", words.Show(c.Risk, units.Fraction, r.Units), r.longest())
	switch {
	case all == 0:
		return limit + "No can of this shelf fits where its oil could drain back."
	case all == 1:
		how := "does not meet it"
		if meet == 1 {
			how = "meets it with the whole interval"
		} else if untold == 1 {
			how = "may meet it: these realizations can't tell"
		}
		return limit + "The one way to fit a can that drains back " + how + "."
	}
	count := map[int]string{0: "none meets it", 1: "1 meets it"}[meet]
	if count == "" {
		count = fmt.Sprintf("%d meet it", meet)
	}
	text := fmt.Sprintf("%sOf the %d ways to fit a can that drains back %s with the whole interval", limit, all, count)
	if untold > 0 {
		text += fmt.Sprintf("; for %d these realizations can't tell", untold)
	}
	return text + "."
}

// picks names the smallest, the lightest and the cheapest can that do.
func (r Choose) picks() facts {
	var f facts
	for _, byHand := range []bool{false, true} {
		picks, suffix := r.Choice.Picks, ""
		if byHand {
			picks, suffix = r.Choice.ByHand, ", by hand"
		}
		for _, m := range []struct {
			name    string
			measure decide.Measure
		}{{"smallest", decide.BySize}, {"lightest", decide.ByMass}, {"cheapest", decide.ByPrice}} {
			better := r.untold(r.Choice.Better(m.measure, byHand))
			pick := picks.By(m.measure)
			switch {
			case pick >= 0:
				f.add(m.name+suffix, r.named(pick, m.measure)+better)
			case better != "":
				f.add(m.name+suffix, "none for sure"+better)
			}
		}
	}
	return f
}

// named names a pick with what it was picked by and its chance.
func (r Choose) named(option int, m decide.Measure) string {
	o := &r.Choice.Options[option]
	can := &r.Choice.Shelf.Cans[o.Mounting.Can]
	value := ""
	switch m {
	case decide.BySize:
		value = words.Notation(can.UsableVolume, r.Units)
	case decide.ByMass:
		value = words.Notation(can.Mass, r.Units)
	default:
		value = r.price(*can.Price)
	}
	return fmt.Sprintf("%s, %s: %s, %s; %s", o.Can, value, o.Place, r.way(o), r.shortly(o))
}

// way says where the oil of an option goes.
func (r Choose) way(o *decide.Option) string {
	if o.Mounting.ByHand() {
		return decide.ByHandName + " after every session"
	}
	return "drained to " + o.Return
}

// shortly writes an option's chance at the longest session on one line.
func (r Choose) shortly(o *decide.Option) string {
	return words.SessionChances(o.Result, &o.Result.Sessions[len(o.Result.Sessions)-1])[words.Fails].WithInterval()
}

// untold names the cans that would go before a pick if they surely met the limit.
func (r Choose) untold(options []int) string {
	var names []string
	for _, i := range options {
		o := &r.Choice.Options[i]
		name := o.Layout.Name
		if o.Mounting.ByHand() {
			name = o.Can // the place makes no difference
		}
		if !listedIn(names, name) {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	const most = 2
	more := ""
	if n := len(names) - most; n > 0 {
		names, more = names[:most], fmt.Sprintf(" (and %d more)", n)
	}
	return "; can't tell for " + strings.Join(names, "; ") + more
}

// sealedVerdict says whether a sealed can would do.
func (r Choose) sealedVerdict() string {
	var does, holds, may, seen []string
	var first, perhaps *decide.Option
	untold := false
	for i := range r.Choice.Options {
		o := &r.Choice.Options[i]
		if o.Emptying == nil {
			continue
		}
		untold = untold || o.Emptying.Untold && !o.Emptying.Does
		if !o.Emptying.Does || listedIn(seen, o.Can) {
			continue
		}
		seen = append(seen, o.Can)
		text := o.Can + " " + EmptiedEvery(o, r.Units)
		switch {
		case o.Emptying.Else == decide.Meets:
			does = append(does, text)
		case o.Emptying.Else == decide.Untold:
			may = append(may, text)
			if perhaps == nil {
				perhaps = o
			}
		default:
			holds = append(holds, text)
			if first == nil {
				first = o
			}
		}
	}
	switch {
	case !r.anyByHand():
		return ""
	case len(does) > 0:
		return fmt.Sprintf("In sessions of %s a can without a drain would do, if emptied: %s. %s", r.longest(), strings.Join(does, "; "), sealedRule)
	case len(may) > 0:
		return fmt.Sprintf("Emptied in time the cans would meet the limit in sessions of %s (%s). Whether they would do without a drain these realizations can't tell: perhaps %s, and emptying doesn't mend that.",
			r.longest(), strings.Join(may, "; "), r.tooOften(perhaps, decide.Untold))
	case untold:
		return fmt.Sprintf("Whether a can without a drain would do in sessions of %s, if emptied often enough, these realizations can't tell.", r.longest())
	case len(holds) > 0:
		return fmt.Sprintf("A can without a drain would not do in sessions of %s. Emptied in time the cans would meet the limit (%s), but %s: emptying doesn't mend that.",
			r.longest(), strings.Join(holds, "; "), r.tooOften(first, decide.Breaks))
	}
	return fmt.Sprintf("A can without a drain would not do in sessions of %s, however often the can is emptied: looked at was emptying it down to every 5 min.", r.longest())
}

func (r Choose) anyByHand() bool {
	for i := range r.Choice.Options {
		if r.Choice.Options[i].Emptying != nil {
			return true
		}
	}
	return false
}

// tooOften says what of over-pressure and oil lost stands to the limit in a way.
func (r Choose) tooOften(o *decide.Option, s decide.Standing) string {
	last, limits := &o.Result.Sessions[len(o.Result.Sessions)-1], r.Choice.Scenario.Limits
	var list []string
	if r.Choice.Stands(last.OilLost) == s {
		list = append(list, "within a session more than "+words.Show(limits.OilLost.Nominal(), units.Volume, r.Units)+" of oil leaves the sump too often")
	}
	if r.Choice.Stands(last.OverPressure) == s {
		list = append(list, "crankcase pressure goes over "+words.Show(limits.CrankcasePressure.Nominal(), units.Pressure, r.Units)+" too often")
	}
	return strings.Join(list, ", and ")
}

// sealedRule says what a number of sessions leaves out.
const sealedRule = "Sessions without emptying fill the can like one as long as all of them; that each starts with a cool sump is left out."

func listedIn(list []string, text string) bool {
	for _, x := range list {
		if x == text {
			return true
		}
	}
	return false
}

// kept says what the shelf leaves to the scenario.
func (r Choose) kept() string {
	var list []string
	for _, k := range r.Choice.Kept {
		text := k.Path + " " + k.Word
		if k.Quantity != nil {
			text = k.Path + " " + words.Notation(k.Quantity, r.Units)
			if k.Quantity.Basis == scenarios.Assumed {
				text += " (assumed)"
			}
		}
		if len(k.Cans) > 0 {
			text += " (" + strings.Join(k.Cans, ", ") + ")"
		}
		list = append(list, text)
	}
	if len(list) == 0 {
		return ""
	}
	return "Left by the shelf as the scenario has it: " + strings.Join(list, "; ") + "."
}

// restsOn is the scenario whose inputs are counted: of the smallest can that does,
// else of the first that was simulated.
func (r Choose) restsOn() *scenarios.Scenario {
	if i := r.Choice.Smallest; i >= 0 {
		return r.Choice.Options[i].Layout.Model.Scenario()
	}
	for i := range r.Choice.Options {
		if m := r.Choice.Options[i].Layout.Model; m != nil {
			return m.Scenario()
		}
	}
	return r.Choice.Scenario
}

func (r Choose) sampling() string {
	c := r.Choice
	if c.Realizations == 0 {
		return "Nothing was simulated: no can fits."
	}
	text := fmt.Sprintf("%s realizations of each, the same draws for all, %s, seed %d", words.Grouped(int64(c.Realizations)), words.Design(c.Sampling), c.Seed)
	if c.Most > c.Realizations {
		text += fmt.Sprintf("; up to %s where they could not tell", words.Grouped(int64(c.Most)))
	}
	return text + "."
}
