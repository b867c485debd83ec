package units

import (
	"fmt"
	"strings"
)

// Unit is one unit of measurement. A value v in it is, in SI,
//
//	SI = v Factor + Offset
//
// Offset is 0 except for the Celsius and Fahrenheit scales.
type Unit struct {
	Symbol    string
	Factor    float64
	Offset    float64
	Dimension Dimension
}

// ToSI converts a value in this unit to SI.
func (u Unit) ToSI(value float64) float64 { return value*u.Factor + u.Offset }

// FromSI converts a value in SI to this unit.
func (u Unit) FromSI(si float64) float64 { return (si - u.Offset) / u.Factor }

// Attach writes number with the unit behind it: "120 mm", and the bare number
// where the unit has no symbol.
func (u Unit) Attach(number string) string {
	if u.Symbol == "" {
		return number
	}
	return number + " " + u.Symbol
}

// ParseUnit returns the unit of dimension d that is spelled unit. Case counts.
// The empty spelling is a unit for Number and Fraction only (factor 1). Any
// other spelling gives an *Error that says what the unit measures, if it is
// known, and which units are allowed.
func ParseUnit(unit string, d Dimension) (Unit, error) {
	if !d.valid() {
		return Unit{}, &Error{What: "unknown dimension", Got: unit}
	}
	spelling := unitSpelling(unit)
	if spelling == "" && (d == Number || d == Fraction) {
		return Unit{Factor: 1, Dimension: d}, nil
	}
	if u, ok := lookup[d][spelling]; ok {
		return u, nil
	}
	return Unit{}, unitError(spelling, d)
}

// Known returns the dimension that a unit measures, for a message such as
// "kPa is a pressure, a length is wanted". A spelling that serves two
// dimensions ("g": mass and acceleration) gives the one declared first.
func Known(unit string) (Dimension, bool) {
	spelling := unitSpelling(unit)
	if spelling == "" {
		return Number, false
	}
	for d := Number; d < dimensions; d++ {
		if _, ok := lookup[d][spelling]; ok {
			return d, true
		}
	}
	if _, ok := ambiguous[spelling]; ok {
		return Volume, true
	}
	return Number, false
}

var spellings = strings.NewReplacer(
	"²", "2", "³", "3", "^", "", "**", "",
	"µ", "u", "μ", "u", // micro sign U+00B5 and Greek mu U+03BC
	"º", "°", "˚", "°", "℃", "°C", "℉", "°F",
	"″", `"`, "”", `"`, "“", `"`, "''", `"`, "′", "'", "’", "'",
	"₂", "2", ".", "",
)

// unitSpelling brings a unit to the one spelling that the table holds.
func unitSpelling(unit string) string {
	s := strings.Join(strings.Fields(spellings.Replace(clean(unit))), " ")
	return strings.ReplaceAll(strings.ReplaceAll(s, " /", "/"), "/ ", "/")
}

// lookup holds every accepted spelling of every dimension.
var lookup = func() [dimensions]map[string]Unit {
	var l [dimensions]map[string]Unit
	for d, entries := range table {
		l[d] = make(map[string]Unit)
		for _, e := range entries {
			u := Unit{Symbol: e.symbol, Factor: e.factor, Offset: e.offset, Dimension: Dimension(d)}
			for _, name := range append([]string{e.symbol}, e.also...) {
				key := unitSpelling(name)
				if _, taken := l[d][key]; taken {
					panic(fmt.Sprintf("units: %q stands twice in the table of %v", name, Dimension(d)))
				}
				l[d][key] = u
			}
		}
	}
	return l
}()

// ambiguous holds the spellings that mean two units, with what to write.
var ambiguous = map[string][2]string{
	"qt": {"US qt", "imp qt"}, "quart": {"US qt", "imp qt"}, "quarts": {"US qt", "imp qt"},
	"gal": {"US gal", "imp gal"}, "gallon": {"US gal", "imp gal"}, "gallons": {"US gal", "imp gal"},
	"fl oz": {"US fl oz", "imp fl oz"},
}
