package interview

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"sumpward/scenarios/preset"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

const road = "road"

func takeUse(t *told, text string) error {
	u, err := preset.MatchUse(text)
	t.use = u.Name
	return err
}

// takeEngine reads "2.2 L flat four turbo, 1.1 bar": sizes and boost by their
// units, the rest as a layout.
func takeEngine(t *told, text string) error {
	t.layout, t.charged, t.known.Displacement = "", maybeCharged, ""
	var layout []string
	for words := strings.Fields(strings.ReplaceAll(text, ",", " ")); len(words) > 0; {
		used := t.takeQuantity(words)
		if used == 0 {
			layout = append(layout, words[0])
			used = 1
		}
		words = words[used:]
	}
	name := t.takeCharging(layout)
	if name == "" {
		return nil
	}
	e, err := preset.MatchEngine(name)
	if first, _, _ := strings.Cut(name, " "); err != nil && strings.ContainsAny(first[:1], "0123456789") {
		return fmt.Errorf("the size needs its unit (got %s)\n  for instance 2.2 L, 2200 cc or 305 cu in", units.Shorten(first))
	}
	t.layout = e.Layout
	return err
}

// takeQuantity takes a displacement or a boost from the front, and returns how many
// words it was; 0 for none.
func (t *told) takeQuantity(words []string) int {
	for n := min(3, len(words)); n > 0; n-- {
		text := strings.Join(words[:n], " ")
		if _, err := units.Parse(text, units.Volume); err == nil {
			t.known.Displacement = text
			return n
		}
		if _, err := units.Parse(text, units.Pressure); err == nil {
			t.known.Boost = text
			return n
		}
	}
	return 0
}

// takeCharging takes what says whether there is a turbocharger, and returns the rest.
func (t *told) takeCharging(words []string) string {
	var rest []string
	before := ""
	for _, w := range words {
		word := strings.ToLower(strings.Trim(w, ".-"))
		switch word {
		case "turbo", "turbocharged", "turbos", "biturbo", "twin-turbo":
			t.charged = turbocharged
			if slices.Contains([]string{"no", "not", "non", "without"}, before) {
				t.charged = aspirated
			}
		case "na", "n/a", "aspirated", "atmospheric":
			t.charged = aspirated
		case "naturally", "engine", "a", "with", "no", "not", "non", "without":
		default:
			rest = append(rest, w)
		}
		before = word
	}
	return strings.Join(rest, " ")
}

func takeBoost(t *told, text string) error {
	text, _, _ = strings.Cut(text, ",")
	if lower := strings.ToLower(text); lower == "0" || lower == "none" || lower == "no" {
		text = "0 bar"
	}
	t.known.Boost = text
	return nil
}

// overWhat parts an amount of oil from what it was used over.
var (
	overWhat  = regexp.MustCompile(`(?i)^(.*?)\s*(?:\s(?:over|per|in|every|each|between|after|during|for|an|a)\s|/\s*([a-z]))(.*)$`)
	someWords = regexp.MustCompile(`(?i)^(?:an?|one|the|each|every)\s+`)
)

func takeOil(t *told, text string) error {
	amount, over := text, ""
	if m := overWhat.FindStringSubmatch(text); m != nil {
		amount, over = strings.TrimSpace(m[1]), strings.TrimSpace(m[2]+m[3])
	}
	for someWords.MatchString(over) {
		over = someWords.ReplaceAllString(over, "")
	}
	switch lower := strings.ToLower(over); {
	case strings.Contains(lower, "session"), strings.Contains(lower, "stint"):
		over = "session"
	case strings.Contains(lower, "change"), strings.Contains(lower, "interval"), strings.Contains(lower, "service"):
		over = "oil change"
	case lower == "day", lower == "track day", lower == "weekend", lower == "event":
		return fmt.Errorf("a %s is so many sessions: give the time on track\n  for instance %s in 80 min", lower, amount)
	}
	t.known.OilUsed, t.known.OilOver = amount, over
	return nil
}

// overLaps reports whether oil was used over a session, or a time of the laps.
func overLaps(over string) bool {
	_, err := uncertainty.Parse(over, units.Time)
	return err == nil || over == "session"
}

var handWords = regexp.MustCompile(`(?i)[,;]?\s*\b(?:and\s+)?(?:(?:it is|it's)\s+)?(?:emptied\s+|drained\s+)?by\s+hand\b\s*[,;]?`)

func takeCan(t *told, text string) error {
	rest := strings.TrimSpace(handWords.ReplaceAllString(text, " "))
	if rest != text {
		t.known.Return = byHand
	}
	if strings.EqualFold(rest, "size it") {
		rest = ""
	}
	t.known.CanVolume = rest
	return nil
}

// seals are words for how a hose is sealed, the longer ones first.
var seals = []struct{ word, seal string }{
	{"one-way valve", "valve"}, {"check valve", "valve"}, {"non-return valve", "valve"}, {"valve", "valve"},
	{"trap", "trap"}, {"low point", "trap"},
	{"not sealed", "none"}, {"unsealed", "none"}, {"no seal", "none"}, {"without a seal", "none"}, {"plain hose", "none"}, {"open hose", "none"}, {"plain", "none"}, {"open", "none"},
}

// takeReturn reads a place and a seal, in either order: "block breather, valve".
func takeReturn(t *told, text string) error {
	t.known.Return, t.known.Seal = "", ""
	rest := " " + strings.ToLower(strings.NewReplacer(",", " ", ";", " ").Replace(text)) + " "
	for _, s := range seals {
		if strings.Contains(rest, " "+s.word+" ") {
			t.known.Seal = s.seal
			rest = strings.Replace(rest, " "+s.word+" ", " ", 1)
			break
		}
	}
	if strings.Contains(rest, " sealed ") && t.known.Seal == "" {
		return fmt.Errorf("sealed by what?\n  for instance block breather, valve; or trap: a low point that holds oil")
	}
	var place []string
	for w := range strings.FieldsSeq(rest) {
		if !slices.Contains([]string{"with", "through", "via", "into", "to", "a", "an", "the", "and", "hose"}, w) {
			place = append(place, w)
		}
	}
	name := strings.Join(place, " ")
	if strings.Contains(name, "below") {
		name = "below the oil"
	}
	if strings.Contains(name, "hand") {
		name = byHand
	}
	t.known.Return = name
	return nil
}

func takeFall(t *told, text string) error { t.known.Fall = text; return nil }
func takeBore(t *told, text string) error { t.known.Bore = text; return nil }

// also is something that may hold besides.
type also struct {
	name  string
	match *regexp.Regexp
	take  func(k *preset.Known, depth string)
}

var alsos = []also{
	{"breather lost", regexp.MustCompile(`(?i)^(?:a |one )?(?:breather |circuit )?(?:is |was )?lost(?: breather| circuit)?()$`), func(k *preset.Known, _ string) { k.BreatherLost = true }},
	{"dip", regexp.MustCompile(`(?i)^(?:a )?dip(?: of)?\s*(.*)$`), func(k *preset.Known, depth string) {
		if k.Dip = depth; depth == "" {
			k.Dip = "yes"
		}
	}},
	{"vents to air", regexp.MustCompile(`(?i)^(?:vents? |vented )?(?:to )?(?:open )?air()$`), func(k *preset.Known, _ string) { k.VentsToAir = true }},
	{"can within a can", regexp.MustCompile(`(?i)^(?:can |cans )?(?:with)?in (?:a )?can()$`), func(k *preset.Known, _ string) { k.CanWithinCan = true }},
}

func alsoNames() []string {
	var names []string
	for _, a := range alsos {
		names = append(names, a.name)
	}
	return names
}

func takeAlso(t *told, text string) error {
	for part := range strings.SplitSeq(strings.ReplaceAll(text, ";", ","), ",") {
		part = strings.TrimSpace(part)
		if part == "" || strings.EqualFold(part, "none") || strings.EqualFold(part, "no") {
			continue
		}
		i := slices.IndexFunc(alsos, func(a also) bool { return a.match.MatchString(part) })
		if i < 0 {
			return fmt.Errorf("not one of these (got %s)\n  use %s, parted by commas", units.Shorten(part), strings.Join(alsoNames(), ", "))
		}
		alsos[i].take(&t.known, alsos[i].match.FindStringSubmatch(part)[1])
	}
	return nil
}
