package page

import (
	"fmt"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// standing says how a chance stands to a limit.
type standing int

const (
	within  standing = iota // all of the interval is at or below the limit
	unclear                 // the interval spans it
	beyond                  // all of the interval is above it
)

func standingOf(c words.Chance, limit float64) standing {
	switch {
	case c.Impossible || c.High <= limit:
		return within
	case c.Low > limit:
		return beyond
	}
	return unclear
}

// Class is the class of the style sheet that a standing has.
func (s standing) Class() string { return [...]string{"meets", "open", "fails"}[s] }

// Mark is a sign that does not rest on colour.
func (s standing) Mark() string { return [...]string{"✓", "?", "✗"}[s] }

// Short is Words where the limit is named already.
func (s standing) Short() string { return [...]string{"met", "can’t tell", "not met"}[s] }

// Words says how a layout stands to the limit.
func (s standing) Words() string {
	return [...]string{"meets the limit", "can’t tell", "does not meet the limit"}[s]
}

// The places of the chances in words.SessionChances.
const (
	overflow = iota
	drainChoked
	overPressure
	oilLost
	fails
)

// sessionStanding is the worst standing of all chances that count.
func sessionStanding(res *sim.Result, session int, limit float64) standing {
	worst, _ := governing(words.SessionChances(res, &res.Sessions[session]), limit)
	return worst
}

// governing returns the worst standing, and which chance has it.
func governing(chances [5]words.Chance, limit float64) (worst standing, chance int) {
	worst, chance = standingOf(chances[fails], limit), fails
	for _, i := range []int{overPressure, oilLost} {
		if s := standingOf(chances[i], limit); s > worst {
			worst, chance = s, i
		}
	}
	return worst, chance
}

// why names what breaks the limit, or may, beside backing up and getting past.
func why(res *sim.Result, session int, limit float64) string {
	chances := words.SessionChances(res, &res.Sessions[session])
	worst, _ := governing(chances, limit)
	if worst == within || standingOf(chances[fails], limit) == worst {
		return ""
	}
	var list []string
	if standingOf(chances[overPressure], limit) == worst {
		list = append(list, "over-pressure")
	}
	if standingOf(chances[oilLost], limit) == worst {
		list = append(list, "too much oil lost")
	}
	return listed(list)
}

// countOfLimit writes the limit on the same footing: "1 of 100".
func countOfLimit(limit, of float64) string {
	return words.Counted(limit*of) + " of " + words.Grouped(int64(of))
}

// answer says in one sentence what happens in the longest session and whether that
// meets the limit. Backing up is kept apart from getting past.
func (v *view) answer() string {
	res, limit := v.page.Result, v.limit()
	last := len(res.Sessions) - 1
	chances := words.SessionChances(res, &res.Sessions[last])
	stands, decides := governing(chances, limit)
	of := words.Denominator(limit, chances[decides])
	session := v.lengthWords().Whole
	parts := v.happenings(chances, of, session)
	if decides == fails && stands != within && standingOf(chances[overflow], limit) != stands && standingOf(chances[drainChoked], limit) != stands {
		parts = append(parts, "the one or the other in "+chances[fails].Count(of))
	}
	for _, x := range []struct {
		chance int
		what   string
	}{
		{overPressure, "crankcase pressure goes over " + words.Show(v.scenario().Limits.CrankcasePressure.Nominal(), units.Pressure, v.page.Units)},
		{oilLost, "more than " + words.Show(v.scenario().Limits.OilLost.Nominal(), units.Volume, v.page.Units) + " of oil is lost"},
	} {
		if stood := standingOf(chances[x.chance], limit); stood != within && stood == stands {
			parts = append(parts, "in "+chances[x.chance].Count(of)+" "+x.what)
		}
	}
	return listed(parts) + v.judgement(stands, of) + "."
}

// happenings says in how many sessions the drain backs up and oil gets past.
func (v *view) happenings(chances [5]words.Chance, of float64, session string) []string {
	past, backs := chances[overflow], chances[drainChoked]
	sessions := func(c words.Chance) string { return c.Count(of) + " simulated " + session }
	switch {
	case !v.drains() && past.Events == 0:
		return []string{"In " + sessions(past) + " does oil get past the can"}
	case !v.drains():
		return []string{"In " + sessions(past) + " oil gets past the can"}
	case past.Events == 0 && backs.Events == 0:
		return []string{"In " + sessions(past) + " does the drain back up or oil get past the can"}
	case past.Events == 0:
		return []string{"In " + sessions(backs) + " the drain backs up", "in " + past.Count(of) + " does oil get past the can"}
	case backs.Events == 0:
		return []string{"In " + sessions(past) + " oil gets past the can", "in " + backs.Count(of) + " does the drain back up"}
	}
	return []string{"In " + sessions(backs) + " the drain backs up", "in " + past.Count(of) + " oil gets past the can"}
}

// judgement says how that stands to the limit.
func (v *view) judgement(s standing, of float64) string {
	limit := countOfLimit(v.limit(), of)
	if v.depends() {
		return ": whether it meets the limit of " + limit + " depends on " + v.namesOf(v.page.Dependence)
	}
	switch s {
	case within:
		return ": this layout meets the limit of " + limit
	case beyond:
		return ": this layout does not meet the limit of " + limit
	}
	return fmt.Sprintf(": whether this layout meets the limit of %s, %s simulated %s can’t tell", limit, words.Grouped(int64(v.page.Result.Realizations)), v.driven().Many())
}

// next says how shorter sessions fare, and which of the options meets the limit.
func (v *view) next() string {
	return sentences(v.measureFirst(), v.shorterSessions(), v.whatWouldDo())
}

// whatWouldDo names the other options that meet the limit in the longest session.
func (v *view) whatWouldDo() string {
	var do, maybe, letters []string
	others := 0
	for _, o := range v.Options {
		if o.subject || o.result == nil || o.Name == decide.AsItWas {
			continue
		}
		others++
		switch o.Stand {
		case within:
			do, letters = append(do, o.Letter+" ("+o.Name+")"), append(letters, o.Letter)
		case unclear:
			maybe = append(maybe, o.Letter+" ("+o.Name+")")
		}
	}
	switch {
	case others == 0:
		return ""
	case len(do) == 1:
		return "Of the other options " + do[0] + " meets it."
	case len(do) == 2:
		return "Of the other options " + listed(do) + " meet it."
	case len(do) > 2:
		return "Of the other options " + listed(letters) + " meet it."
	case len(maybe) > 0:
		return "None of the other options meets it for sure; " + listed(maybe) + " may."
	}
	return "None of the other options below meets it."
}

// listed joins parts: "a, b and c".
func listed(parts []string) string {
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}

// sentences joins what there is of sentences.
func sentences(list ...string) string {
	var there []string
	for _, s := range list {
		if s != "" {
			there = append(there, s)
		}
	}
	return strings.Join(there, " ")
}
