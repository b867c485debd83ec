package page

import (
	"fmt"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// standing is a standing to a limit as the page shows it.
type standing words.Standing

const (
	within  = standing(words.Within)
	unclear = standing(words.Unclear)
	beyond  = standing(words.Beyond)
)

// Class is the class of the style sheet that a standing has.
func (s standing) Class() string { return [...]string{"meets", "open", "fails"}[s] }

// Mark is a sign that does not rest on colour.
func (s standing) Mark() string { return [...]string{"✓", "?", "✗"}[s] }

// Short is Words where the limit is named already.
func (s standing) Short() string { return typographic(words.Standing(s).Text()) }

// Words says how a layout stands to the limit.
func (s standing) Words() string {
	return [...]string{"meets the limit", "can’t tell", "does not meet the limit"}[s]
}

func standingOf(c words.Chance, limit float64) standing { return standing(c.StandingTo(limit)) }

func sessionStanding(res *sim.Result, session int, limit float64) standing {
	return standing(words.SessionStanding(res, session, limit))
}

// governing is words.Governing for the page.
func governing(chances [5]words.Chance, limit float64) (worst standing, chance int) {
	s, chance := words.Governing(chances, limit)
	return standing(s), chance
}

// why names what breaks the limit, or may, beside backing up and getting past.
func why(res *sim.Result, session int, limit float64) string {
	var list []string
	for _, i := range words.Besides(words.SessionChances(res, &res.Sessions[session]), limit) {
		list = append(list, map[int]string{words.OverPressure: "over-pressure", words.OilLost: "too much oil lost"}[i])
	}
	return words.Joined(list, "and")
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
	if decides == words.Fails && stands != within && standingOf(chances[words.Overflow], limit) != stands && standingOf(chances[words.DrainChoked], limit) != stands {
		parts = append(parts, "the one or the other in "+chances[words.Fails].Count(of))
	}
	for _, x := range []struct {
		chance int
		what   string
	}{
		{words.OverPressure, "crankcase pressure goes over " + words.Show(v.scenario().Limits.CrankcasePressure.Nominal(), units.Pressure, v.page.Units)},
		{words.OilLost, "more than " + words.Show(v.scenario().Limits.OilLost.Nominal(), units.Volume, v.page.Units) + " of oil is lost"},
	} {
		if stood := standingOf(chances[x.chance], limit); stood != within && stood == stands {
			parts = append(parts, "in "+chances[x.chance].Count(of)+" "+x.what)
		}
	}
	return words.Joined(parts, "and") + v.judgement(stands, of) + "."
}

// happenings says in how many sessions the drain backs up and oil gets past.
func (v *view) happenings(chances [5]words.Chance, of float64, session string) []string {
	past, backs := chances[words.Overflow], chances[words.DrainChoked]
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
		return "Of the other options " + words.Joined(do, "and") + " meet it."
	case len(do) > 2:
		return "Of the other options " + words.Joined(letters, "and") + " meet it."
	case len(maybe) > 0:
		return "None of the other options meets it for sure; " + words.Joined(maybe, "and") + " may."
	}
	return "None of the other options below meets it."
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
