package preset

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// Ways of returning oil, as a scenario writes them.
const (
	aboveOil = string(scenarios.AboveOil)
	belowOil = string(scenarios.BelowOil)
	byHand   = string(scenarios.EmptiedByHand)
)

// oilReturn is where the oil goes back, and at which place of the engine.
type oilReturn struct {
	name, returns, port string
	also                []string
}

var returns = []oilReturn{
	{"above the oil", aboveOil, "", []string{"above oil", "above"}},
	{"block breather", aboveOil, "block breather", []string{"block", "crankcase"}},
	{"cam cover", aboveOil, "cam cover", []string{"cover", "valve cover", "rocker cover"}},
	{"turbo drain", aboveOil, "turbo drain", []string{"turbo"}},
	{"below the oil", belowOil, "", []string{"below oil", "below", "sump", "sump boss"}},
	{"by hand", byHand, "", []string{"emptied by hand", "hand", "none", "sealed can", "not returned"}},
}

// ReturnNames lists where the oil may go back, as [Known].Return takes it.
func ReturnNames() []string {
	var names []string
	for _, r := range returns {
		names = append(names, r.name)
	}
	return names
}

func returnNamed(name string) (oilReturn, bool) {
	for _, r := range returns {
		if same(name, r.name) || slices.ContainsFunc(r.also, func(a string) bool { return same(name, a) }) {
			return r, true
		}
	}
	return oilReturn{}, false
}

func same(a, b string) bool { return strings.Join(words(a), "") == strings.Join(words(b), "") }

// SealNames lists the seals, ConditionNames the conditions, AmountNames what
// stands for a volume of oil used that nobody read.
func SealNames() []string { return []string{"none", "valve", "trap"} }

// ConditionNames: see [SealNames].
func ConditionNames() []string { return []string{"fresh", "used", "tired"} }

// AmountNames: see [SealNames].
func AmountNames() []string { return []string{"none", "some", "much"} }

var sealSynonyms = map[string]string{"no": "none", "open": "none", "plain hose": "none", "check valve": "valve", "one way valve": "valve", "low point": "trap"}

// answers are what is known, its words read; empty ones aren't known.
type answers struct {
	Known
	at     oilReturn // where the oil goes back
	period period    // over what oil was used
}

// period is what oil use was read over.
type period int

const (
	unknownPeriod period = iota
	aSession
	anOilChange
	aTime     // on these laps
	aDistance // on roads
)

// read reads the answers that are words; those that are quantities are read
// with the scenario.
func read(k Known) (answers, error) {
	var wrong []error
	note := func(err error) {
		if err != nil {
			wrong = append(wrong, err)
		}
	}
	for _, answer := range []struct {
		name string
		text *string
	}{
		{"displacement", &k.Displacement}, {"boost", &k.Boost}, {"condition", &k.Condition}, {"oil used", &k.OilUsed}, {"oil used over", &k.OilOver},
		{"can volume", &k.CanVolume}, {"return", &k.Return}, {"seal", &k.Seal}, {"fall", &k.Fall}, {"bore", &k.Bore}, {"dip", &k.Dip},
	} {
		*answer.text = strings.Join(strings.Fields(*answer.text), " ")
		note(printable(answer.name, *answer.text))
	}
	if len(wrong) > 0 {
		return answers{}, errors.Join(wrong...)
	}
	a := answers{Known: k, at: returns[0]}
	note(oneOf("condition", &a.Condition, ConditionNames(), map[string]string{"new": "fresh", "worn": "tired"}))
	note(oneOf("seal", &a.Seal, SealNames(), sealSynonyms))
	if a.Return != "" {
		at, ok := returnNamed(a.Return)
		if !ok {
			note(notOneOf("return", a.Return, ReturnNames()))
		}
		a.at = at
	}
	for _, word := range AmountNames() {
		if same(a.OilUsed, word) {
			a.OilUsed = word
		}
	}
	switch {
	case same(a.Dip, "no"), same(a.Dip, "none"):
		a.Dip = ""
	case same(a.Dip, "yes"):
		a.Dip = "yes"
	}
	note(a.readPeriod())
	return a, errors.Join(wrong...)
}

// printable refuses what nobody types.
func printable(answer, text string) error {
	const longest = 200
	if len(text) > longest {
		return &Wrong{Answer: answer, What: fmt.Sprintf("too long (got %d characters, allowed 1 to %d)", len(text), longest)}
	}
	if !utf8.ValidString(text) || strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return &Wrong{Answer: answer, What: "not plain text (got " + strconv.QuoteToASCII(text) + ")"}
	}
	return nil
}

// oneOf reads one of several words, forgivingly.
func oneOf(answer string, text *string, names []string, also map[string]string) error {
	if *text == "" {
		return nil
	}
	for _, name := range names {
		if same(*text, name) {
			*text = name
			return nil
		}
	}
	for other, name := range also {
		if same(*text, other) {
			*text = name
			return nil
		}
	}
	return notOneOf(answer, *text, names)
}

func notOneOf(answer, got string, names []string) error {
	w := &Wrong{Answer: answer, What: "not one of the choices (got " + units.Shorten(got) + ", allowed " + strings.Join(names, ", ") + ")"}
	if meant := scenarios.Suggest(got, names); meant != "" {
		w.Hint = "did you mean " + meant + "?"
	}
	return w
}

// readPeriod reads over what oil was used.
func (a *answers) readPeriod() error {
	over := a.OilOver
	_, notTime := uncertainty.Parse(over, units.Time)
	_, notDistance := uncertainty.Parse(over, units.Distance)
	switch {
	case over == "" || same(over, "unknown"):
	case same(over, "session") || same(over, "a session"):
		a.period = aSession
	case same(over, "oil change") || same(over, "an oil change") || same(over, "oil change interval"):
		a.period = anOilChange
	case notTime == nil:
		a.period = aTime
	case notDistance == nil:
		a.period = aDistance
	default:
		return &Wrong{Answer: "oil used over", What: "not a time, a distance, session or oil change (got " + units.Shorten(over) + ")", Hint: "for instance session, 25 min or 6000 km"}
	}
	return nil
}
