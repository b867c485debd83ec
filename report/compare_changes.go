package report

import (
	"fmt"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// change is what sets an input of one layout apart from that of another.
type change struct {
	path          string
	before, after string // empty: there is none
}

// changesOf lists what a scenario has other than another: what a user wrote or
// measured, not the defaults that follow from it.
func changesOf(from, to *scenarios.Scenario, u units.System) []change {
	list := choicesOf(from, to)
	for _, q := range to.Inputs {
		old := from.Input(q.Path)
		switch {
		case old == nil && q.Basis != scenarios.Assumed:
			list = append(list, change{q.Path, "", words.Notation(q, u)})
		case old != nil && old.Notation(units.Metric) != q.Notation(units.Metric):
			list = append(list, change{q.Path, words.Notation(old, u), words.Notation(q, u)})
		}
	}
	for _, q := range from.Inputs {
		unused := slices.ContainsFunc(to.Warnings, func(w scenarios.Warning) bool { return w.Path == q.Path })
		if to.Input(q.Path) == nil && q.Basis != scenarios.Assumed && !unused {
			list = append(list, change{q.Path, words.Notation(q, u), ""})
		}
	}
	return wholeBreathers(list, from, to)
}

// choicesOf lists the words that differ.
func choicesOf(from, to *scenarios.Scenario) []change {
	var list []change
	add := func(path, before, after string) {
		if before != after && after != "" {
			list = append(list, change{path, before, after})
		}
	}
	add("drain.return", string(from.Drain.Return), string(to.Drain.Return))
	add("drain.seal", string(from.Drain.Seal), string(to.Drain.Seal))
	add("separator.oil_collects", from.Separator.OilCollects, to.Separator.OilCollects)
	add("separator.outlet.to", string(from.Separator.Outlet.To), string(to.Separator.Outlet.To))
	for _, b := range to.Breathers {
		if old := breather(from, b.Name); old != nil {
			add("breathers."+b.Name+".to", string(old.To), string(b.To))
		}
	}
	return list
}

func breather(s *scenarios.Scenario, name string) *scenarios.Breather {
	i := slices.IndexFunc(s.Breathers, func(b scenarios.Breather) bool { return b.Name == name })
	if i < 0 {
		return nil
	}
	return &s.Breathers[i]
}

// wholeBreathers puts one entry for the numbers of a circuit that only one of the
// two has.
func wholeBreathers(list []change, from, to *scenarios.Scenario) []change {
	whole := func(of, other *scenarios.Scenario, add func(b scenarios.Breather) change) {
		for _, b := range of.Breathers {
			if breather(other, b.Name) != nil {
				continue
			}
			list = slices.DeleteFunc(list, func(c change) bool { return strings.HasPrefix(c.path, "breathers."+b.Name+".") })
			list = append(list, add(b))
		}
	}
	whole(to, from, func(b scenarios.Breather) change { return change{"breathers." + b.Name, "", "to " + string(b.To)} })
	whole(from, to, func(b scenarios.Breather) change { return change{"breathers." + b.Name, "to " + string(b.To), ""} })
	return list
}

// text writes a change for people.
func (c change) text() string {
	switch {
	case c.before == "":
		return fmt.Sprintf("%s %s (none)", c.path, c.after)
	case c.after == "":
		return "no " + c.path
	}
	return fmt.Sprintf("%s %s (%s)", c.path, c.after, c.before)
}

// layouts says what each layout is: the first as it stands, the others of its
// file by what they have other than the first.
func (r Compare) layouts() *table {
	t := &table{head: []string{"layout", "what it is (in brackets: what the first has)"}, words: []int{0, 1}}
	for i := range r.Comparison.Layouts {
		s := r.scenario(i)
		if i == 0 || s.SHA256 != r.scenario(0).SHA256 {
			t.add(r.name(i), r.standsFor(s))
			continue
		}
		t.add(r.name(i), r.apart(changesOf(r.scenario(0), s, r.Units)))
	}
	return t
}

// standsFor describes a layout by itself.
func (r Compare) standsFor(s *scenarios.Scenario) string {
	text := Layout(s, r.Units)
	if r.oneFile() {
		return text
	}
	return s.Title + ": " + text
}

// apart lists changes, the first few of them.
func (r Compare) apart(list []change) string {
	const few = 5
	var texts []string
	for _, c := range list {
		texts = append(texts, c.text())
	}
	switch n := len(texts); {
	case n == 0:
		return "no other numbers"
	case n > few+1:
		texts = append(texts[:few], fmt.Sprintf("and %d more", n-few))
	}
	return strings.Join(texts, "; ")
}
