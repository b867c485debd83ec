package logbook

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"sumpward/scenarios/units"
)

// Errors of what is read in a shop, as standard deviations. Prior, no published
// source; a file of what was seen states them, to be changed there.
const (
	drainedError   = "5 mL"
	toppedUpError  = "0.1 L"
	crankcaseError = "0.1 kPa"
	uTubeError     = "3 mm"
	pouredError    = 1.0 // s, but no less than a twentieth of the time: when a can is empty is hard to see
)

// mostTopUpSessions is over how many sessions a top-up is taken to say something.
const mostTopUpSessions = 100

// Seen writes what was seen of one car as a file of observations, and tells what
// was left out of it. The entries are those of the car in the order of the book.
//
//   - drained, vent hose and overflowed of one entry are of the same session
//   - a top-up is for the sessions since the one before, with the same layout. One
//     with an unknown session among them is left out; so is the first, unless the
//     book begins with the car's first session and firstTopUp says so
//   - drained of a can that drains back is what stood in the can: stated as it is
func Seen(title string, entries []Entry, firstTopUp bool) (file string, left []string) {
	w := &seenWriter{}
	var since []float64
	known := firstTopUp
	layout := ""
	for i := range entries {
		e := &entries[i]
		if i > 0 && e.Layout != layout {
			since, known = nil, false // oil put back is for what was fitted before, too
		}
		layout = e.Layout
		if e.sessionIn() {
			since = append(since, e.Length)
		}
		w.entry(e, i)
		if Written(e.ToppedUp) {
			if reason := unusable(since, known); reason != "" {
				w.leave(e, "topped up", reason)
			} else {
				w.add(e, i, fmt.Sprintf("topped_up: %s, over: [%s]", show(e.ToppedUp, "L", units.Volume), minutes(since)), toppedUpError, false)
			}
			since, known = nil, true
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "seen: 1\ntitle: %s\n", quotedYAML(title))
	if len(w.lines) == 0 {
		return b.String() + "observations: []\n", w.left
	}
	b.WriteString("observations:\n" + strings.Join(w.lines, ""))
	return b.String(), w.left
}

// sessionIn reports whether the entry is of a session: one with a length, or with
// something that only a session leaves.
func (e *Entry) sessionIn() bool {
	return Written(e.Length) || Written(e.Drained) || e.VentHose != NotSeen || e.Overflowed != NotSeen || e.BackedUp != NotSeen
}

// unusable says why a top-up tells nothing.
func unusable(since []float64, known bool) string {
	switch {
	case !known:
		return "how many sessions it is for is not known: the oil level at their start is not in the book"
	case len(since) == 0:
		return "no session since the top-up before"
	case len(since) > mostTopUpSessions:
		return fmt.Sprintf("for %d sessions, more than %d", len(since), mostTopUpSessions)
	}
	for _, length := range since {
		if !Written(length) {
			return "the length of a session that it is for is not written"
		}
	}
	return ""
}

// seenWriter collects observations.
type seenWriter struct {
	lines, left []string
}

func (w *seenWriter) leave(e *Entry, what, why string) {
	w.left = append(w.left, fmt.Sprintf("line %d, %s: %s", e.Line, what, why))
}

// add adds an observation; of a session, it is named after the entry.
func (w *seenWriter) add(e *Entry, i int, what, reading string, ofSession bool) {
	if reading != "" {
		what += ", error: " + reading
	}
	if ofSession {
		what += fmt.Sprintf(", session: %q", e.Date.Format(time.DateOnly)+" "+strconv.Itoa(i+1))
	}
	if e.Layout != "" {
		what += ", layout: " + quotedYAML(e.Layout)
	}
	w.lines = append(w.lines, "  - {"+what+"}\n")
}

// entry adds what one entry holds, but for a top-up.
func (w *seenWriter) entry(e *Entry, i int) {
	after := ", after: " + show(e.Length, "min", units.Time)
	several := 0
	for _, has := range []bool{Written(e.Drained), e.VentHose != NotSeen, e.Overflowed != NotSeen} {
		if has {
			several++
		}
	}
	session := func(name, what, reading string) {
		if !Written(e.Length) {
			w.leave(e, name, "the length of the session is not written")
			return
		}
		w.add(e, i, what+after, reading, several > 1)
	}
	if Written(e.Drained) {
		session("drained", "drained: "+show(e.Drained, "mL", units.Volume), drainedError)
	}
	if e.VentHose != NotSeen {
		session("vent hose", "vent_hose: "+pick(e.VentHose, "wet", "dry"), "")
	}
	if e.Overflowed != NotSeen {
		session("overflowed", "overflowed: "+pick(e.Overflowed, "yes", "no"), "")
	}
	if Written(e.Crankcase) {
		w.add(e, i, "crankcase: "+show(e.Crankcase, "kPa", units.Pressure)+", load: 100 %", crankcaseError, false)
	}
	if Written(e.UTube) {
		w.add(e, i, "u_tube: "+show(e.UTube, "mm", units.Length), uTubeError, false)
	}
	switch {
	case !Written(e.Pour) || !Written(e.PourTook):
	case !Written(e.OilTemperature):
		w.leave(e, "pour", "the temperature of the oil is not written")
	default:
		w.add(e, i, fmt.Sprintf("poured: %s, took: %s, at: %s", show(e.Pour, "mL", units.Volume), show(e.PourTook, "s", units.Time), show(e.OilTemperature, "C", units.Temperature)), show(max(pouredError, 0.05*e.PourTook), "s", units.Time), false)
	}
}

func pick(m Mark, yes, no string) string {
	if m == Yes {
		return yes
	}
	return no
}

// show writes a value, SI, in a unit.
func show(v float64, unit string, d units.Dimension) string {
	u, _ := units.ParseUnit(unit, d)
	return strconv.FormatFloat(u.FromSI(v), 'g', 6, 64) + " " + unit
}

func minutes(lengths []float64) string {
	var list []string
	for _, l := range lengths {
		list = append(list, show(l, "min", units.Time))
	}
	return strings.Join(list, ", ")
}

// quotedYAML writes a text as a double-quoted scalar: the escapes that Go and
// YAML share.
func quotedYAML(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\x%02x`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
