package preset

import (
	"encoding/json"
	"strings"
)

// Range is what a preset says of one input.
type Range struct {
	Path    string // in the scenario: "drain.fall"; empty where other ranges follow from it
	Name    string // in words; empty: the scenario's own words for the path
	Value   string // as a scenario writes it: "1.8 .. 2 .. 2.6 L"
	AtLeast string // where the value is cut; mostly empty
	AtMost  string
	Source  string // never empty
}

// Sources that many ranges share.
const (
	prior        = "prior, no published source"
	fromMemory   = "common practice, from memory"
	allLayouts   = "; shared by all layouts"
	allTrackUses = "; shared by all uses on circuits"
	byDefinition = "by definition"
)

// spelledOut writes the range as a scenario takes it, with basis and source.
func (r Range) spelledOut() string {
	parts := []string{"value: " + scalar(r.Value)}
	if r.AtLeast != "" {
		parts = append(parts, "at_least: "+r.AtLeast)
	}
	if r.AtMost != "" {
		parts = append(parts, "at_most: "+r.AtMost)
	}
	parts = append(parts, "basis: assumed", "source: "+quoted(r.Source))
	return "{" + strings.Join(parts, ", ") + "}"
}

// plainLetters are what a YAML scalar may hold without quotes, in a block and
// between braces alike.
const plainLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .+-/%_"

// scalar writes a text so that YAML reads the same text, in quotes if need be.
func scalar(text string) string {
	plain := strings.Trim(text, plainLetters) == "" && strings.TrimSpace(text) == text &&
		strings.ContainsAny(text, "0123456789") && !strings.HasPrefix(text, "-") && !strings.HasPrefix(text, "%")
	if plain {
		return text
	}
	return quoted(text)
}

// quoted writes a text in double quotes. A JSON string is a YAML scalar.
func quoted(text string) string {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(text); err != nil { // a string can always be written
		return `""`
	}
	return strings.TrimSuffix(b.String(), "\n")
}
