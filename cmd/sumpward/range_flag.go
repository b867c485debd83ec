package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sumpward/scenarios/units"
)

// The number of values of a range, where it is not stated, and its bounds.
const (
	usualValues = 9
	fewestOfAny = 2
	mostValues  = 200
)

// rangeFlag is a flag that takes the values of an input, as a range or a list:
//
//	30mm..130mm:6      six values, evenly spaced, both ends among them
//	30..130mm          nine values; a unit that stands once is that of all
//	10mm,12.7mm,16mm   these values
type rangeFlag struct {
	lead      string // what stands ahead of the text: "--volumes ", "--input drain.fall="
	dimension units.Dimension
	single    bool // one value will do
}

// parse returns the values of a range or a list, SI, in the order written.
func (f rangeFlag) parse(text string) ([]float64, error) {
	values, problem := f.values(strings.TrimSpace(text))
	if problem != nil {
		return nil, usageError{fmt.Errorf("%s%s: %w", f.lead, strings.TrimSpace(text), problem)}
	}
	return values, nil
}

func (f rangeFlag) values(text string) ([]float64, *units.Error) {
	if text == "" {
		return nil, f.wrong("nothing is written", text, text, "")
	}
	if strings.Contains(text, "..") {
		return f.between(text)
	}
	list := strings.Split(text, ",")
	if len(list) < fewestOfAny && !f.single {
		return nil, f.wrong("one value is no range", text, text, "")
	}
	if len(list) > mostValues {
		return nil, f.wrong("too many values", text, strconv.Itoa(len(list)), fmt.Sprintf("up to %d", mostValues))
	}
	for i := range list {
		if list[i] = strings.TrimSpace(list[i]); list[i] == "" {
			return nil, f.wrong("a value is missing between commas", text, text, "")
		}
	}
	return f.all(list, func(mended []string) string { return strings.Join(mended, ",") })
}

// between returns the values of a range.
func (f rangeFlag) between(text string) ([]float64, *units.Error) {
	ends, count, counted := strings.Cut(text, ":")
	n := usualValues
	if counted {
		var err error
		if n, err = strconv.Atoi(strings.TrimSpace(count)); err != nil || n < fewestOfAny || n > mostValues {
			return nil, f.wrong("the number of values is not possible", text, strings.TrimSpace(count), fmt.Sprintf("%d to %d", fewestOfAny, mostValues))
		}
	}
	list := strings.Split(ends, "..")
	for i := range list {
		list[i] = strings.TrimSpace(list[i])
	}
	if len(list) != 2 || list[0] == "" || list[1] == "" || strings.HasPrefix(list[1], ".") {
		return nil, f.wrong("a range has two ends with .. between them", text, text, "")
	}
	values, problem := f.all(list, func(mended []string) string {
		return strings.TrimSuffix(strings.Join(mended, "..")+":"+strings.TrimSpace(count), ":")
	})
	switch {
	case problem != nil:
		return nil, problem
	case values[0] == values[1]:
		return nil, f.wrong("both ends are the same", text, text, "")
	}
	return f.spaced(f.withUnits(list), values, n), nil
}

// spaced returns n values from one end to the other, evenly spaced in the unit
// that they are written in, so that round values stay round.
func (f rangeFlag) spaced(ends []string, si []float64, n int) []float64 {
	from, unit, _ := units.Split(ends[0])
	to, other, _ := units.Split(ends[1])
	u, err := units.ParseUnit(unit, f.dimension)
	if err != nil || unit != other || u.ToSI(from) != si[0] || u.ToSI(to) != si[1] {
		from, to, u = si[0], si[1], units.Unit{Factor: 1}
	}
	values := make([]float64, n)
	for i := range values {
		values[i] = u.ToSI((from*float64(n-1-i) + to*float64(i)) / float64(n-1))
	}
	values[0], values[n-1] = si[0], si[1]
	return values
}

// all reads a list of quantities. joined puts the list, mended, together again
// for a hint.
func (f rangeFlag) all(list []string, joined func(mended []string) string) ([]float64, *units.Error) {
	list = f.withUnits(list)
	values := make([]float64, len(list))
	for i, text := range list {
		var err error
		if values[i], err = units.Parse(text, f.dimension); err == nil {
			continue
		}
		e, ok := err.(*units.Error)
		switch {
		case !ok:
			e = &units.Error{What: err.Error()}
		case e.What == units.MissingUnit, e.What == units.BareFraction:
			e.Hint = "write " + f.quoted(joined(f.guessed(list)))
		}
		return nil, e
	}
	return values, nil
}

// withUnits puts the unit of the last quantity that has one at those that have
// none.
func (f rangeFlag) withUnits(list []string) []string {
	last := ""
	for _, text := range list {
		if unit := unitOf(text); unit != "" && !units.IsDashSize(text) {
			last = unit
		}
	}
	return f.ending(list, last)
}

// guessed puts the usual unit at what has none.
func (f rangeFlag) guessed(list []string) []string { return f.ending(list, f.usualUnit()) }

// ending puts a unit at what has none.
func (f rangeFlag) ending(list []string, unit string) []string {
	out := slices.Clone(list)
	for i, text := range list {
		if _, _, err := units.Split(text); err == nil && unitOf(text) == "" && !units.IsDashSize(text) {
			out[i] += unit
		}
	}
	return out
}

func unitOf(text string) string {
	_, unit, _ := units.Split(text)
	return unit
}

func (f rangeFlag) usualUnit() string {
	if all := f.dimension.Units(); len(all) > 0 {
		return all[0]
	}
	return ""
}

// given returns the first two different numbers of a text, ascending, and their
// unit; twice the one where there is but one, and 1 and 2 where there is none.
func (f rangeFlag) given(text string) (from, to float64, unit string) {
	var list []float64
	values, _, _ := strings.Cut(text, ":")
	for _, part := range strings.Split(strings.ReplaceAll(values, "..", ","), ",") {
		v, u, err := units.Split(strings.TrimSpace(part))
		if _, wrong := units.ParseUnit(u, f.dimension); err != nil || units.IsDashSize(part) || u != "" && wrong != nil || slices.Contains(list, v) {
			continue
		}
		if u != "" && len(list) > 0 && unit != "" && u != unit {
			continue // 1 in and 30 mm are no range of one unit
		}
		if u != "" {
			unit = u
		}
		list = append(list, v)
	}
	if unit == "" {
		unit = f.usualUnit()
	}
	switch {
	case len(list) == 0:
		return 1, 2, f.usualUnit()
	case len(list) == 1 && list[0] > 0:
		return list[0], 2 * list[0], unit
	case len(list) == 1:
		return list[0], list[0] + 1, unit
	}
	return min(list[0], list[1]), max(list[0], list[1]), unit
}

// wrong is an error of the form, with an example of what would be right, made of
// the numbers of the text.
func (f rangeFlag) wrong(what, text, got, wanted string) *units.Error {
	from, to, unit := f.given(text)
	middle := (from + to) / 2
	write := func(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) + unit }
	hint := fmt.Sprintf("write for instance %s or %s", f.quoted(write(from)+".."+write(to)+":6"), f.quoted(write(from)+","+write(middle)+","+write(to)))
	return &units.Error{What: what, Got: got, Wanted: wanted, Hint: hint}
}

// quoted is a flag with its text as a shell takes it.
func (f rangeFlag) quoted(text string) string {
	if strings.ContainsAny(text, " ;&|<>()$`\"'") {
		name, value, _ := strings.Cut(f.lead, " ")
		return fmt.Sprintf("%s %q", name, value+text)
	}
	return f.lead + text
}
