package page

import (
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/sim/decide"
)

// mostChanges is how many changed inputs are named in place of the layout.
const mostChanges = 3

// setsApart says what an option has that the layout of the page has not: the inputs
// that differ, or, where these are many or the way of the oil is another, the option
// in short.
func (v *view) setsApart(s *scenarios.Scenario) string {
	from := v.scenario()
	if s.Drain.Return != from.Drain.Return || s.Drain.Seal != from.Drain.Seal || len(s.Breathers) != len(from.Breathers) || s.SHA256 != from.SHA256 {
		return v.inShort(s)
	}
	var list []string
	for _, q := range s.Inputs {
		was := from.Input(q.Path)
		if q.Basis == scenarios.Assumed || was != nil && was.Notation(v.page.Units) == q.Notation(v.page.Units) {
			continue
		}
		name := q.Path[strings.LastIndex(q.Path, ".")+1:]
		if name == "emptied" {
			name = "emptied every"
		}
		if strings.HasPrefix(q.Path, "drain.") && name == "length" || name == "bore" || name == "diameter" {
			name = map[string]string{"drain": "hose ", "separator": "can "}[strings.SplitN(q.Path, ".", 2)[0]] + name
		}
		list = append(list, words.OneLine(strings.ReplaceAll(name, "_", " ")+" "+words.Notation(q, v.page.Units)))
	}
	if len(list) == 0 || len(list) > mostChanges+1 {
		return v.inShort(s)
	}
	return together(ranged(strings.Join(list, ", ")))
}

// inShort says in a line what a layout is.
func (v *view) inShort(s *scenarios.Scenario) string {
	q := func(x *scenarios.Quantity) string { return words.Notation(x, v.page.Units) }
	parts := []string{q(s.Separator.UsableVolume)}
	d := s.Drain
	switch {
	case d.Return == scenarios.EmptiedByHand:
		parts = append(parts, "emptied by hand")
	case d.Return == scenarios.BelowOil:
		parts = append(parts, "return below the oil")
	default:
		parts = append(parts, map[scenarios.Seal]string{
			scenarios.NoSeal: "plain drain", scenarios.ValveSeal: "drain with a valve", scenarios.TrapSeal: "drain with a trap",
		}[d.Seal])
	}
	if d.Bore != nil {
		parts = append(parts, "bore "+q(d.Bore))
	}
	if d.Fall != nil {
		parts = append(parts, "fall "+q(d.Fall))
	}
	if v.breathersDiffer() {
		parts = append(parts, breathers(s))
	}
	return together(ranged(words.OneLine(strings.Join(parts, ", "))))
}

// breathersDiffer reports whether the options have different breather circuits.
func (v *view) breathersDiffer() bool {
	c := v.page.Options
	return c != nil && slices.ContainsFunc(c.Layouts, func(l decide.Layout) bool {
		return breathers(l.Model.Scenario()) != breathers(c.Layouts[0].Model.Scenario())
	})
}

// breathers names the breather circuits of a layout.
func breathers(s *scenarios.Scenario) string {
	var list []string
	for _, b := range s.Breathers {
		name := words.OneLine(b.Name)
		if b.To != scenarios.ToSeparator {
			name += " to " + string(b.To)
		}
		list = append(list, name)
	}
	switch len(list) {
	case 0:
		return "no breather but the drain"
	case 1:
		return "breather " + list[0]
	}
	return "breathers " + words.Joined(list, "and")
}
