package units

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxBytes is the longest quantity that is read.
const maxBytes = 200

var (
	// A number at the start: mixed fraction, fraction, fraction sign, decimal.
	numberPattern = regexp.MustCompile(
		`^([+-]? ?)(?:(\d+)[ -](\d+)/(\d+)|()(\d+)/(\d+)|(\d*) ?([½¼¾⅛⅜⅝⅞])|((?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?))`)
	commaPattern   = regexp.MustCompile(`^([+-]? ?)(\d+(?:,\d+)+)(\.\d+)?(.*)$`)
	groupedComma   = regexp.MustCompile(`^[1-9]\d{0,2}(,\d{3})+$`)
	spacedPattern  = regexp.MustCompile(`^([+-]? ?)([1-9]\d{0,2}(?:[ _']\d{3})+)(\.\d+)?(\D.*|)$`)
	moreNumber     = regexp.MustCompile(`^(?:[\d.,_]|/ ?\d)`)
	notFinite      = regexp.MustCompile(`(?i)^[+-]? ?\.?(nan|inf|infinity|∞)\b`)
	blanks         = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "\u2007", " ", "\t", " ", "\u2212", "-")
	fractionValues = map[string]float64{"½": 1.0 / 2, "¼": 1.0 / 4, "¾": 3.0 / 4, "⅛": 1.0 / 8, "⅜": 3.0 / 8, "⅝": 5.0 / 8, "⅞": 7.0 / 8}
)

// clean turns the blanks of typesetting (no-break, thin) into spaces and the
// minus sign U+2212 into a hyphen, and trims.
func clean(text string) string {
	return strings.TrimSpace(blanks.Replace(text))
}

// Split separates a quantity into its number and the spelling of its unit,
// which is empty for a bare number. The number is decimal (with exponent), a
// fraction "1/2" or a mixed fraction "1 1/4", "1-1/4", "1½". Decimal commas,
// grouped digits, infinities and NaN are errors (*Error).
func Split(text string) (value float64, unit string, err error) {
	text = clean(text)
	switch {
	case text == "":
		return 0, "", &Error{What: "nothing is written"}
	case len(text) > maxBytes:
		return 0, "", &Error{What: "text is longer than 200 bytes", Got: text}
	case !utf8.ValidString(text):
		return 0, "", &Error{What: "text is not UTF-8", Got: text}
	case notFinite.MatchString(text):
		return 0, "", &Error{What: "not a finite number", Got: text}
	}
	if e := groupingError(text); e != nil {
		return 0, "", e
	}
	m := numberPattern.FindStringSubmatch(text)
	if m == nil {
		return 0, "", &Error{What: "no number at the start", Got: text}
	}
	rest := strings.TrimSpace(text[len(m[0]):])
	if moreNumber.MatchString(rest) {
		return 0, "", &Error{What: "not a number", Got: text}
	}
	value, ok := numberValue(m)
	if !ok {
		return 0, "", &Error{What: "not a finite number", Got: text}
	}
	return value, rest, nil
}

// numberValue evaluates a match of numberPattern. ok is false where the
// number is too large or a denominator is 0.
func numberValue(m []string) (value float64, ok bool) {
	switch {
	case m[10] != "":
		v, err := strconv.ParseFloat(m[10], 64)
		if err != nil {
			return 0, false
		}
		value = v
	case m[9] != "":
		value = wholeNumber(m[8]) + fractionValues[m[9]]
	case m[4] != "":
		value = wholeNumber(m[2]) + wholeNumber(m[3])/wholeNumber(m[4])
	default:
		value = wholeNumber(m[6]) / wholeNumber(m[7])
	}
	if strings.HasPrefix(m[1], "-") {
		value = -value
	}
	return value, !math.IsInf(value, 0) && !math.IsNaN(value)
}

// wholeNumber reads digits; no digits are 0, too many +Inf.
func wholeNumber(digits string) float64 {
	v, _ := strconv.ParseFloat(digits, 64)
	return v
}

// groupingError finds decimal commas and grouped digits.
func groupingError(text string) error {
	if m := commaPattern.FindStringSubmatch(text); m != nil {
		joined := m[1] + strings.ReplaceAll(m[2], ",", "") + m[3] + m[4]
		decimal := m[1] + strings.Replace(m[2], ",", ".", 1) + m[4]
		single := strings.Count(m[2], ",") == 1 && m[3] == ""
		switch grouped := groupedComma.MatchString(m[2]); {
		case grouped && single:
			return &Error{What: "a comma can group digits or mark decimals", Got: text, Hint: "write " + joined + " or " + decimal}
		case grouped:
			return &Error{What: "digits are grouped", Got: text, Hint: "write " + joined}
		case single:
			return &Error{What: "decimals are marked by a comma", Got: text, Hint: "write " + decimal}
		}
		return &Error{What: "not a number", Got: text, Hint: "write decimals with a point"}
	}
	if m := spacedPattern.FindStringSubmatch(text); m != nil && !strings.HasPrefix(m[4], "/") {
		joined := m[1] + strings.NewReplacer(" ", "", "_", "", "'", "").Replace(m[2]) + m[3] + m[4]
		return &Error{What: "digits are grouped", Got: text, Hint: "write " + joined}
	}
	return nil
}
