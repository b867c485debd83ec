package report

import (
	"fmt"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// Verdict says in plain words whether the layout meets the limit of risk: of
// overflow or a choked drain, of over-pressure, and of oil lost. It speaks of
// the shortest session that surely breaks it; else of the shortest that can't
// be told; else of the longest. Then it says how the other lengths stand.
func Verdict(res *sim.Result, u units.System) string {
	if len(res.Sessions) == 0 {
		return ""
	}
	limit := res.Scenario.Limits.Risk.Nominal()
	p := partedBy(res, limit)
	v := wordingOf(res, u, limit, p.spokenOf())
	return v.happens() + " " + v.judged(p) + v.otherLengths(p)
}

// Happens says what happens in how many sessions of the length that the verdict
// would be about, without judging it.
func Happens(res *sim.Result, u units.System) string {
	limit := res.Scenario.Limits.Risk.Nominal()
	return wordingOf(res, u, limit, partedBy(res, limit).spokenOf()).happens()
}

// parted says how the session lengths, ascending, stand to the limit: before
// meet surely meet it, from breaks on they surely break it, and those between
// can't be told. What a session breaks, a longer one breaks too.
type parted struct{ meet, breaks, all int }

func partedBy(res *sim.Result, limit float64) parted {
	p := parted{all: len(res.Sessions), breaks: len(res.Sessions)}
	for i := range res.Sessions {
		switch words.SessionStanding(res, i, limit) {
		case words.Within:
			p.meet = i + 1
		case words.Beyond:
			p.breaks = i
			return p
		}
	}
	return p
}

// spokenOf returns the session that the verdict is about.
func (p parted) spokenOf() int {
	switch {
	case p.breaks < p.all:
		return p.breaks
	case p.meet < p.all:
		return p.meet
	}
	return p.all - 1
}

// wording puts one verdict to words.
type wording struct {
	res     *sim.Result
	units   units.System
	limit   float64
	session *sim.SessionResult
	chances [5]words.Chance // see words.SessionChances
	of      float64         // events are counted out of so many sessions
}

func wordingOf(res *sim.Result, u units.System, limit float64, session int) wording {
	v := wording{res: res, units: u, limit: limit, session: &res.Sessions[session]}
	v.chances = words.SessionChances(res, v.session)
	v.of = v.denominator()
	return v
}

// happens says what happens in how many sessions.
func (v wording) happens() string {
	n, when := v.driven().Simulated(v.session.Length)
	over, backsUp := v.chances[words.Overflow], v.chances[words.DrainChoked]
	goes := "the can overflows"
	if v.res.Kind == sim.NoDrain {
		goes = "the can, which has to be emptied by hand, overflows"
	}
	var text string
	switch {
	case v.res.Kind != sim.NoDrain && over.Events == 0 && backsUp.Events == 0:
		text = fmt.Sprintf("In none of %s simulated %s does the can overflow or the drain back up%s", words.Grouped(over.Of), n, when)
	case over.Events == 0 && !over.Impossible:
		text = fmt.Sprintf("In none of %s simulated %s does %s%s", words.Grouped(over.Of), n, strings.Replace(goes, "overflows", "overflow", 1), when)
	default:
		text = fmt.Sprintf("In %s simulated %s %s%s", v.count(over), n, goes, when)
	}
	if v.res.Kind != sim.NoDrain && over.Events+backsUp.Events > 0 {
		text += "; the drain backs up in " + v.count(backsUp)
	}
	return text + v.others() + "."
}

// others says of over-pressure and oil lost where they break the limit.
func (v wording) others() string {
	var b strings.Builder
	for _, x := range []struct {
		c    words.Chance
		what string
	}{
		{v.chances[words.OverPressure], "crankcase pressure goes over its limit"},
		{v.chances[words.OilLost], "more oil is lost than allowed"},
	} {
		if x.c.Events > 0 && x.c.StandingTo(v.limit) != words.Within {
			fmt.Fprintf(&b, "; %s in %s", x.what, v.count(x.c))
		}
	}
	return b.String()
}

// judged says how that stands to the limit.
func (v wording) judged(p parted) string {
	limit := fmt.Sprintf("The limit is %s of %s", counted(v.limit*v.of), words.Grouped(int64(v.of)))
	switch {
	case p.breaks == 0:
		return limit + ": this layout does not meet it."
	case p.breaks < p.all:
		return fmt.Sprintf("%s: this layout does not meet it from %s on.", limit, v.lengthOf(p.breaks))
	case p.meet == p.all:
		return limit + ": this layout meets it."
	}
	from := ""
	if p.all > 1 {
		from = fmt.Sprintf("from %s on, ", v.lengthOf(p.meet))
	}
	return fmt.Sprintf("%s, and %s%s simulated %s can't tell whether this layout meets it: run more of them.",
		limit, from, words.Grouped(int64(v.res.Realizations)), v.driven().Many())
}

// otherLengths says how the session lengths fare that were not spoken of.
func (v wording) otherLengths(p parted) string {
	text := ""
	switch {
	case p.meet == p.all || p.all == 1:
		return ""
	case p.meet > 0:
		text = " " + words.Sentence(v.driven().UpTo(v.res.Sessions[p.meet-1].Length)) + " it"
	}
	unclear := p.breaks - p.meet
	switch {
	case p.breaks == 0:
		longest := wordingOf(v.res, v.units, v.limit, p.all-1)
		longest.of = v.of
		return " " + longest.happens()
	case p.breaks == p.all && text == "":
		return ""
	case p.breaks == p.all || unclear == 0:
		return text + "."
	case text != "":
		text += "; for"
	default:
		text = " For"
	}
	var lengths []string
	for i := p.meet; i < p.breaks; i++ {
		lengths = append(lengths, v.lengthOf(i))
	}
	of := "sessions of"
	if v.driven().Scheduled() {
		of = "the first"
	}
	return fmt.Sprintf("%s %s %s, %s simulated ones can't tell: run more of them.",
		text, of, strings.Join(lengths, " or "), words.Grouped(int64(v.res.Realizations)))
}

func (v wording) lengthOf(session int) string {
	return v.driven().Length(v.res.Sessions[session].Length)
}

func (v wording) driven() words.Driven { return words.DrivenBy(v.res.Scenario, v.units) }

// count writes a chance as "about 7 of 100".
func (v wording) count(c words.Chance) string { return c.Count(v.of) }

// denominator tells the chances that are spoken of from the limit.
func (v wording) denominator() float64 {
	spoken := slices.Clone(v.chances[:2])
	for _, c := range v.chances[2:4] {
		if c.StandingTo(v.limit) != words.Within {
			spoken = append(spoken, c)
		}
	}
	return words.Denominator(v.limit, spoken...)
}

// counted writes a count that may have a fraction (a limit of 0.75 %).
func counted(k float64) string { return words.Counted(k) }
