package page

import (
	"fmt"
	"html/template"
	"strings"

	"sumpward/report/words"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// mostCurves is how many options one chart can tell apart.
const mostCurves = 4

// curve is the chance of one option against session length.
type curve struct {
	Letter, Name, Class string
	sessions            []sim.SessionResult
}

// curvesOf returns the curves of the options that are drawn: the layout that the
// page is about, then the others in their order.
func (v *view) curvesOf() []curve {
	if v.page.Options == nil {
		return nil
	}
	var list []curve
	for _, o := range v.Options {
		if o.result == nil || len(o.result.Sessions) < 2 {
			continue
		}
		if len(list) == mostCurves {
			break
		}
		list = append(list, curve{o.Letter, o.Name, fmt.Sprintf("c%d", len(list)+1), o.result.Sessions})
	}
	return list
}

// chanceChart draws the chance that oil gets past the can or its drain backs up
// against session length, with bands and the limit.
func (v *view) chanceChart(curves []curve) template.HTML {
	if len(curves) == 0 {
		return ""
	}
	limit := v.limit()
	longest, most := 0.0, 2*limit
	for _, k := range curves {
		last := k.sessions[len(k.sessions)-1]
		longest = max(longest, last.Length)
		for _, s := range k.sessions {
			most = max(most, s.Fails.High)
		}
	}
	c := &chart{width: 440, height: 300, left: 40, right: 76, top: 30, bottom: 40,
		x: timeScale(longest, v.lengthWords().Axis), y: percentScale(most, v.failing("chance that "))}
	c.axes()
	for _, k := range curves {
		x, _, low, high := alongSessions(k.sessions)
		c.band(k.Class, x, low, high)
	}
	c.level("dashed", limit, "")
	labels := []endLabel{{limit, "note", "limit " + percent(limit)}}
	for _, k := range curves {
		x, y, _, _ := alongSessions(k.sessions)
		c.line(k.Class, x, y)
		labels = append(labels, endLabel{y[len(y)-1], "tag " + k.Class, k.Letter})
	}
	for _, k := range curves {
		for _, s := range k.sessions {
			if v.asked(s.Length) {
				c.dot(k.Class, s.Length, s.Fails.Probability)
			}
		}
	}
	c.endLabels(labels)
	return c.svg("chances", v.lengthWords().Against, v.chancesInWords(curves))
}

// alongSessions returns lengths, chances and their intervals, from the start of a
// session on, where nothing has failed.
func alongSessions(sessions []sim.SessionResult) (x, y, low, high []float64) {
	x, y, low, high = []float64{0}, []float64{0}, []float64{0}, []float64{0}
	for _, s := range sessions {
		x, y = append(x, s.Length), append(y, number(s.Fails.Probability, 0))
		low, high = append(low, number(s.Fails.Low, 0)), append(high, number(s.Fails.High, 1))
	}
	return x, y, low, high
}

// curvesNote says what the chart shows, and which options it leaves out.
func (v *view) curvesNote() string {
	text := "Each curve with its 95 % band; dots at the session lengths that were asked about."
	if v.driven().Scheduled() {
		text = "Each curve with its 95 % band; dots at the times that the table below has."
	}
	var left []string
	for _, o := range v.Options[min(len(v.Curves), len(v.Options)):] {
		left = append(left, o.Letter)
	}
	if len(left) > 0 {
		text += " Not drawn: " + words.Joined(left, "and") + "."
	}
	return text
}

// asked reports whether a session length is one of the scenario's.
func (v *view) asked(length float64) bool {
	for _, s := range v.page.Result.Sessions {
		if s.Length == length {
			return true
		}
	}
	return false
}

// chancesInWords says what the chart shows to who can't see it.
func (v *view) chancesInWords(curves []curve) string {
	var b strings.Builder
	for _, k := range curves {
		var parts []string
		for _, s := range k.sessions {
			if v.asked(s.Length) {
				parts = append(parts, v.driven().Length(s.Length)+" "+chanceOf(s.Fails))
			}
		}
		fmt.Fprintf(&b, "%s, %s: %s. ", k.Letter, k.Name, strings.Join(parts, ", "))
	}
	return b.String() + "Limit " + percent(v.limit()) + "."
}

// chanceOf writes an estimate without its count.
func chanceOf(e stats.Estimate) string {
	if e.Probability == 0 {
		return "up to " + words.Percent(e.High, e.HalfWidth()) + " %"
	}
	return words.Percent(e.Probability, e.HalfWidth()) + " %"
}
