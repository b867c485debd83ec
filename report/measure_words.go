package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// points writes a share as a count out of 100, or of 1,000 where that says nothing;
// never a bare 0.
func points(share float64) string {
	share = math.Abs(share)
	switch {
	case share >= 0.995:
		return "over 99 of 100"
	case share >= 0.095:
		return fmt.Sprintf("%.0f of 100", 100*share)
	case share >= 0.00995:
		return fmt.Sprintf("%.2g of 100", 100*share)
	case share >= 0.0005:
		return fmt.Sprintf("%.0f of 1,000", 1000*share)
	}
	return "under 1 of 1,000"
}

// reads names what a reading reads.
func (r Measure) reads(x decide.Settling) string {
	switch x.Reading.Of {
	case "":
	case decide.OilReading:
		return "the oil caught in a " + words.Length(r.Settlement.Length, r.Units) + " session"
	default:
		return x.Reading.Of
	}
	return words.InputName(x.Inputs[0].Path)
}

// value writes a value of a reading.
func (r Measure) value(x decide.Settling, v float64) string {
	if x.Reading.Of != "" {
		return words.Show(v, x.Reading.Dimension, r.Units)
	}
	return x.Inputs[0].Format(v, r.Units)
}

// tipping writes a tipping value with its interval.
func (r Measure) tipping(x decide.Settling) string {
	text := r.value(x, x.Tipping.Value)
	open := math.IsInf(x.Tipping.Low, 0) || math.IsInf(x.Tipping.High, 0)
	if low, high := r.value(x, x.Tipping.Low), r.value(x, x.Tipping.High); !open && low != high {
		text += fmt.Sprintf(" (%s to %s)", low, high)
	}
	return text
}

// tells says of each test what its reading would tell.
func (r Measure) tells() []string {
	var list []string
	for _, x := range r.Settlement.Tests {
		list = append(list, fmt.Sprintf("%s: %s. It reads to %s.", x.Test.Name, r.tell(x), readingError(x.Reading, r.Units)))
	}
	return list
}

func (r Measure) tell(x decide.Settling) string {
	known := fmt.Sprintf("known now as %s to %s; ", r.value(x, x.From), r.value(x, x.To))
	if !x.Tips {
		return known + "no value there turns the verdict by itself"
	}
	does, other := "above", "below"
	if x.Tipping.KeptBelow {
		does, other = "below", "above"
	}
	if len(x.Against) == 0 {
		text := fmt.Sprintf("%sthe limit is met %s %s", known, does, r.tipping(x))
		if math.IsInf(x.Tipping.Low, 0) || math.IsInf(x.Tipping.High, 0) {
			text += fmt.Sprintf("; %s it no value surely does not meet it", other)
		}
		return text
	}
	if r.Settlement.Chance.Probability > r.Settlement.Limit {
		return fmt.Sprintf("%s%s %s the limit is not met even with %s at its best, %s it rests on that too",
			known, other, r.tipping(x), either(x.Against), does)
	}
	return fmt.Sprintf("%s%s %s the limit is met even with %s at its worst, %s it rests on that too",
		known, does, r.tipping(x), either(x.Against), other)
}

// either lists inputs of which one counts at a time.
func either(inputs []*scenarios.Quantity) string {
	names := make([]string, len(inputs))
	for i, q := range inputs {
		names[i] = words.InputName(q.Path)
	}
	if len(names) < 3 {
		return strings.Join(names, " or ")
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

// readingError says within what 95 of 100 readings lie.
func readingError(r decide.Reading, u units.System) string {
	const within95 = 1.959964
	if r.Error.GSD > 0 {
		return fmt.Sprintf("± %.2g %%", 100*(math.Pow(r.Error.GSD, within95)-1))
	}
	d := r.Dimension
	if d == units.Temperature {
		d = units.TemperatureDifference
	}
	v := r.Error.SD * within95
	if d == units.Fraction {
		return "± " + strconv.FormatFloat(100*v, 'g', 2, 64) + " of 100"
	}
	unit := smallUnit(v, d, u)
	text := strconv.FormatFloat(v/unit.Factor, 'g', 2, 64)
	return "± " + unit.Attach(text)
}

// smallUnit is a unit in which a small value of a dimension reads well.
func smallUnit(v float64, d units.Dimension, u units.System) units.Unit {
	unit := units.DisplayUnit(d, u)
	if u == units.US {
		return unit
	}
	for symbol, x := range map[string]struct {
		d     units.Dimension
		below float64
	}{"Pa": {units.Pressure, 100}, "mL": {units.Volume, 0.1e-3}} {
		if small, err := units.ParseUnit(symbol, x.d); err == nil && d == x.d && v < x.below {
			unit = small
		}
	}
	return unit
}

// without says what to do about inputs that no test reads.
func (r Measure) without() facts {
	var f facts
	for _, w := range r.Settlement.Without {
		f.add(words.InputName(w.Input.Path), w.Assume)
	}
	return f
}

// lowerFirst begins a text with a small letter, but for a single one ("U-tube" stays).
func lowerFirst(text string) string {
	first, n := utf8.DecodeRuneInString(text)
	if second, _ := utf8.DecodeRuneInString(text[n:]); second == '-' {
		return text
	}
	return string(unicode.ToLower(first)) + text[n:]
}
