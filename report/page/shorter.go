package page

import (
	"fmt"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/sim/decide"
)

// shorterSessions says which sessions meet the limit where the longest does not, and how
// the one fares that the report speaks of.
func (v *view) shorterSessions() string {
	res, limit := v.page.Result, v.limit()
	last := len(res.Sessions) - 1
	if last == 0 || sessionStanding(res, last, limit) == within {
		return ""
	}
	meet := 0
	for meet < last && sessionStanding(res, meet, limit) == within {
		meet++
	}
	text := ""
	if meet > 0 && !v.depends() {
		text = words.Sentence(v.driven().UpTo(res.Sessions[meet-1].Length)) + " it."
	}
	return sentences(text, v.reportedSession())
}

// reportedSession says how the session fares that the report's verdict is about, where
// that is not the longest, so that the two can be read side by side.
func (v *view) reportedSession() string {
	res, limit := v.page.Result, v.limit()
	at := report.VerdictSession(res)
	if at == len(res.Sessions)-1 {
		return ""
	}
	chances := words.SessionChances(res, &res.Sessions[at])
	stands, decides := governing(chances, limit)
	what := map[int]string{words.OverPressure: "crankcase pressure goes over its limit", words.OilLost: "too much oil is lost"}[decides]
	if decides == words.Fails {
		what = v.failing("")
	}
	length := v.driven().Length(res.Sessions[at].Length)
	if v.driven().Scheduled() {
		length = "the first " + length
	}
	text := fmt.Sprintf("In %s %s in %s", length, what, chances[decides].Count(words.Denominator(limit, chances[decides])))
	d := v.page.Shorter
	if d != nil && d.Session != at {
		d = nil
	}
	switch {
	case v.roadReading() && decides != words.Fails: // what was looked at is backing up and getting past
		return text + ": as drawn, " + stands.Short() + "."
	case d != nil && d.Depends():
		return together(text + ", which depends on " + v.namesOf(d) + v.metAt(d) + ".")
	case d == nil && v.page.Dependence != nil:
		return text + ": as drawn, " + stands.Short() + "."
	}
	return text + ": " + stands.Short() + "."
}

// metAt says at which value the limit is met, where one input alone decides.
func (v *view) metAt(d *decide.Dependence) string {
	if v.dependsOnTrack(d) {
		return ": met " + typographic(report.TrackTipping(d.Track, v.page.Units))
	}
	if tips := d.Tips(); len(tips) == 1 {
		return ": met " + v.tipping(tips[0])
	}
	return ""
}
