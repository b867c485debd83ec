package interview

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"sumpward/scenarios/preset"
	"sumpward/scenarios/units"
)

// Answers are the answers so far. The zero value has none; With makes new ones.
type Answers struct {
	Title string            // of the scenario; empty: one that says what was told
	texts map[string]string // as typed, by question; empty for don't know
	told  told
	sized bool // the can was sized, not told
}

// notKnown are ways to say don't know in words.
var notKnown = []string{"don't know", "dont know", "unknown", "not known", "no idea", "-"}

// longest is how long an answer may be, bytes, and mostBytes with its blanks.
const (
	longest   = 200
	mostBytes = 4000
)

// With returns the answers with one more, which may be empty: don't know. The error
// says why an answer can't be used.
func (a Answers) With(question, text string) (Answers, error) {
	i := slices.IndexFunc(Questions(), func(q Question) bool { return q.Name == question })
	if i < 0 {
		return a, fmt.Errorf("there is no question %q", question)
	}
	if len(text) > mostBytes {
		text = text[:mostBytes] // is refused, below
	}
	text = strings.Join(strings.Fields(text), " ")
	if slices.Contains(notKnown, strings.ToLower(text)) {
		text = ""
	}
	if strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) || len(text) > longest {
		return a, fmt.Errorf("one short line of printable characters is wanted (got %s)", units.Shorten(text))
	}
	next := Answers{Title: a.Title, texts: maps.Clone(a.texts), told: a.told}
	if next.texts == nil {
		next.texts = map[string]string{}
	}
	next.texts[question] = text
	if text == "" {
		return next, nil
	}
	if err := Questions()[i].take(&next.told, text); err != nil {
		return a, err
	}
	if err := next.told.agree(); err != nil {
		return a, err
	}
	if _, err := next.File(); err != nil {
		return a, err
	}
	return next, nil
}

// agree returns an error where two answers contradict each other.
func (t told) agree() error {
	if t.charged == aspirated && t.known.Boost != "" {
		if si, err := units.Parse(t.known.Boost, units.Pressure); err != nil || si != 0 {
			return fmt.Errorf("boost of %s on an engine without a charger\n  leave one of the two out", units.Shorten(t.known.Boost))
		}
	}
	if t.byHand() && (t.known.Fall != "" || t.known.Bore != "" || t.known.Dip != "" || t.known.Seal != "") {
		return fmt.Errorf("a can that is emptied by hand has no drain hose\n  leave fall, bore, dip and seal out")
	}
	return nil
}

// Next returns the question to ask next, and whether there is one: not answered
// yet, and of some use after the answers so far.
func (a Answers) Next() (Question, bool) {
	for _, q := range Questions() {
		if _, answered := a.texts[q.Name]; !answered && (q.matters == nil || q.matters(a.told)) {
			return q, true
		}
	}
	return Question{}, false
}

// Told returns the answers that were not empty, as typed, in the order of the
// questions.
func (a Answers) Told() (list []Answer) {
	for _, q := range Questions() {
		if text := a.texts[q.Name]; text != "" {
			list = append(list, Answer{q.Name, text})
		}
	}
	return list
}

// Answer is an answer as typed.
type Answer struct{ Question, Text string }

// ToSize reports whether the can is to be sized.
func (a Answers) ToSize() bool { return a.told.known.CanVolume == "" }

// WithCan returns the answers with the usable volume that was found for the can.
func (a Answers) WithCan(volume string) (Answers, error) {
	next := a
	next.told.known.CanVolume, next.sized = volume, true
	_, err := next.File()
	return next, err
}

// CarryOverUnread says why the answers tell little of the oil that is carried over
// on track; empty where it was read on laps.
func (a Answers) CarryOverUnread() string {
	k := a.told.known
	switch amount := slices.Contains(preset.AmountNames(), strings.ToLower(k.OilUsed)); {
	case k.OilUsed == "":
		return "how much oil comes over is not known"
	case amount:
		return fmt.Sprintf("%q is no reading of how much oil comes over", strings.ToLower(k.OilUsed))
	case a.told.use == road:
		return ""
	case k.OilOver == "":
		return "over what the oil was used is not known"
	case !overLaps(k.OilOver):
		return "oil used on the road says little of a session"
	}
	return ""
}
