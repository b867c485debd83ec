package units

import (
	"regexp"
	"strconv"
)

// The dash sizes that are read. Hoses are made from about 2 (1/8 in) to 48
// (3 in); a larger number is taken for a mistake.
const (
	smallestDash = 2
	largestDash  = 48
)

var dashPattern = regexp.MustCompile(`(?i)^(?:dash *-? *(\d{1,9})|- ?(\d{1,9}) *(?:dash|AN)|(\d{1,9}) *(?:dash|AN)|AN *-? *(\d{1,9}))$`)

// dashSize reads a hose by its dash size: "dash 8", "-8 dash", "-8 AN",
// "AN-8". The number is the nominal inside diameter in sixteenths of an inch,
//
//	D = n/16 in
//
// as SAE J517 numbers hoses (from memory). Valid for n 2..48; others are an
// error. The bore of a real hose of that size can be smaller, in some
// constructions by an eighth and more, and a fitting is narrower than its
// hose: a bore that was measured is better. isDash is false if text is not in
// this notation.
func dashSize(text string) (bore float64, isDash bool, err error) {
	m := dashPattern.FindStringSubmatch(clean(text))
	if m == nil {
		return 0, false, nil
	}
	n, err := strconv.Atoi(m[1] + m[2] + m[3] + m[4])
	if err != nil || n < smallestDash || n > largestDash {
		return 0, true, &Error{What: "no such dash size", Got: clean(text),
			Wanted: "a dash size from 2 to 48", Hint: "write dash 8 or 12.7 mm"}
	}
	return float64(n) / 16 * inch, true, nil
}

// IsDashSize says whether text has the form of a dash size, which has no
// unit behind its number.
func IsDashSize(text string) bool {
	return dashPattern.MatchString(clean(text))
}
