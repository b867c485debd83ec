package preset

import (
	"fmt"
	"slices"
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// UnknownName is an engine or a use that there is no preset of.
type UnknownName struct {
	Kind  string   // "engine" or "use"
	Got   string   // as written; empty where nothing was
	Names []string // what there is
	Meant string   // what was probably meant, or ""
}

func (e *UnknownName) Error() string {
	got := units.Shorten(e.Got)
	if got == "" {
		got = "nothing"
	}
	text := fmt.Sprintf("no such %s (got %s): use one of %s", e.Kind, got, strings.Join(e.Names, ", "))
	if e.Meant != "" {
		text += "\n  did you mean " + e.Meant + "?"
	}
	return text
}

// EngineNames and UseNames list the names of the presets.
func EngineNames() []string {
	var names []string
	for _, e := range Engines() {
		names = append(names, e.Name)
	}
	return names
}

// UseNames: see [EngineNames].
func UseNames() []string {
	var names []string
	for _, u := range Uses() {
		names = append(names, u.Name)
	}
	return names
}

// Other names, each part of the name joined.
var (
	engineSynonyms = map[string][]string{
		"inline four": {"inline4", "i4", "straightfour", "straight4", "four", "4"},
		"flat four":   {"flat4", "boxerfour", "boxer4", "boxer"},
		"V6":          {"vsix", "six", "6"},
		"V8":          {"veight", "eight", "8"},
	}
	useSynonyms = map[string][]string{
		"road":                  {"street", "roaduse"},
		"track day":             {"track", "trackdays"},
		"sprint and hill climb": {"sprint", "hillclimb", "sprints", "hillclimbs", "hillclimbandsprint", "sprinthillclimb", "sprint/hillclimb"},
		"endurance":             {"endurancerace", "enduranceracing", "stint"},
	}
	charged   = []string{"turbo", "turbocharged", "turbos", "twinturbo", "biturbo"}
	uncharged = []string{"na", "n/a", "naturallyaspirated", "aspirated", "naturally", "atmospheric"}
)

// MatchEngine finds an engine by its name, in any case, with or without
// hyphens: "Flat-Four Turbo", "turbo flat 4". Without turbo in it, it is
// naturally aspirated. The error is an [*UnknownName].
func MatchEngine(name string) (Engine, error) {
	var rest []string
	turbo := false
	for _, word := range words(name) {
		switch {
		case slices.Contains(charged, word):
			turbo = true
		case slices.Contains(uncharged, word):
		default:
			rest = append(rest, word)
		}
	}
	joined := strings.Join(rest, "")
	for _, e := range Engines() {
		if e.Turbo == turbo && (joined == strings.Join(words(e.Layout), "") || slices.Contains(engineSynonyms[e.Layout], joined)) {
			return e, nil
		}
	}
	return Engine{}, unknownName("engine", name, EngineNames())
}

// MatchUse finds a use by its name, in any case, with or without hyphens:
// "Track-day", "hill climb". The error is an [*UnknownName].
func MatchUse(name string) (Use, error) {
	joined := strings.Join(words(name), "")
	for _, u := range Uses() {
		if joined == strings.Join(words(u.Name), "") || slices.Contains(useSynonyms[u.Name], joined) {
			return u, nil
		}
	}
	return Use{}, unknownName("use", name, UseNames())
}

func unknownName(kind, got string, names []string) error {
	return &UnknownName{Kind: kind, Got: got, Names: names, Meant: scenarios.Suggest(got, names)}
}

// words splits a name into its words, in lower case.
func words(name string) []string {
	return strings.Fields(strings.NewReplacer("-", " ", "_", " ", "'", "", "’", "").Replace(strings.ToLower(name)))
}
