package diagnose

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sumpward/scenarios"
)

// Look is what was found by looking: the name of a fault, or nothing.
type Look struct{ Check, Found string }

// FoundNothing stands for a look that found none of the faults it may find.
const FoundNothing = "nothing"

// ParseLook reads "hose=low point" or "hose=nothing".
func ParseLook(text string) (Look, error) {
	check, found, ok := strings.Cut(text, "=")
	l := Look{strings.TrimSpace(check), strings.TrimSpace(found)}
	if !ok || l.Check == "" || l.Found == "" {
		return l, fmt.Errorf("a look and what it found, with = between them (got %q): write for instance \"hose=low point\" or hose=%s", text, FoundNothing)
	}
	return l, nil
}

// InputError is a look, or a list of faults, that can't be.
type InputError struct {
	Of   string // which of the two: "looked" or "faults"
	text string
}

// Error says what is wrong.
func (e *InputError) Error() string { return e.text }

func lookError(format string, args ...any) error {
	return &InputError{"looked", fmt.Sprintf(format, args...)}
}

// look works out how likely what was found is under each fault.
func (b *Bank) look() error {
	var all []hypothesis
	for f := range b.Faults {
		all = append(all, hypothesis{fault: &b.Faults[f]})
	}
	all = append(all, hypothesis{})
	for i, l := range b.options.Looked {
		at := slices.IndexFunc(b.options.Checks, func(c Check) bool { return c.Looks() && c.Name == l.Check })
		if at < 0 {
			return lookError("there is no look %q%s: there are %s", l.Check, meant(l.Check, lookNames()), strings.Join(lookNames(), ", "))
		}
		if slices.ContainsFunc(b.options.Looked[:i], func(o Look) bool { return o.Check == l.Check }) {
			return lookError("%s stands twice: a second look is no news", l.Check)
		}
		var names []string
		for _, f := range b.Faults {
			if f.FoundBy[l.Check] > 0 {
				names = append(names, f.Name)
			}
		}
		names = append(names, FoundNothing)
		found := slices.Index(names, l.Found)
		if found < 0 {
			return lookError("%s can't find %q%s: it finds %s", l.Check, l.Found, meant(l.Found, names), strings.Join(names, ", "))
		}
		var chances []float64
		for _, outcomes := range lookOutcomes(&b.options.Checks[at], all) {
			chances = append(chances, outcomes[found])
		}
		b.looked = append(b.looked, chances)
	}
	return nil
}

func meant(wrong string, names []string) string {
	if near := scenarios.Suggest(wrong, names); near != "" {
		return fmt.Sprintf(", did you mean %s", near)
	}
	return ""
}

// logLooked is the logarithm of the chance of all that was found by looking.
func (b *Bank) logLooked(fault int) float64 {
	total := 0.0
	for _, chances := range b.looked {
		total += math.Log(chances[fault])
	}
	return total
}

// wasLooked reports whether a look was made already.
func (b *Bank) wasLooked(c *Check) bool {
	return slices.ContainsFunc(b.options.Looked, func(l Look) bool { return l.Check == c.Name })
}

// Looked returns what was found by looking.
func (b *Bank) Looked() []Look { return b.options.Looked }
