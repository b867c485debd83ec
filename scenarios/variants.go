package scenarios

import (
	"fmt"
	"strconv"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// Change is a new value at one path of a scenario. Value is
//
//	string                    as it would be written in the file: "0.9 L", "[15 min, 30 min]"
//	float64                   an exact value, SI
//	uncertainty.Distribution  SI
//	*Quantity                 its distribution, basis and source
//	nil                       nothing: the field is left out
//
// Lists and blocks are replaced whole.
type Change struct {
	Path  string
	Value any
}

// leftOut, written as a value in a variant, takes a field out of the file.
const leftOut = "default"

// alternatives are fields of a block that stand for the same thing; a change
// of one takes the other away.
var alternatives = map[string][]string{
	"left": {"right"}, "right": {"left"}, "forward": {"backward"}, "backward": {"forward"},
	"loss_coefficient": {"fittings"}, "fittings": {"loss_coefficient"},
	"cross_section": {"diameter"}, "diameter": {"cross_section"}, "viscosity": {"grade"}, "grade": {"viscosity"},
	"lap": {"pattern", "log", "circuit"}, "pattern": {"lap", "log", "circuit"},
	"log": {"lap", "pattern", "circuit"}, "circuit": {"lap", "pattern", "log"},
	"layout": {"segments", "centre_line"}, "segments": {"layout", "centre_line"}, "centre_line": {"layout", "segments"},
	"straight": {"corner", "angle", "turns"}, "corner": {"straight"},
	"power": {"power_curve"}, "power_curve": {"power"},
	"efficiency": {"elements"}, "elements": {"efficiency"},
	"mouth": {"off_axis"}, "off_axis": {"mouth"},
	"inner_can": {"gas_path_closes_from"}, "gas_path_closes_from": {"inner_can"},
}

// Variant returns the scenario with a named variant's changes. Inputs that
// both have keep their paths. The error is [Problems].
func (s *Scenario) Variant(name string) (*Scenario, error) {
	changes := s.source.tree.get("variants").get(name)
	if changes == nil {
		hint := "this scenario has no variants"
		if len(s.Variants) > 0 {
			hint = "known here: " + strings.Join(s.Variants, ", ")
		}
		return nil, Problems{{File: s.fileName(), What: "unknown variant (got " + shorten(name) + ")", Hint: hint}}
	}
	v, problems := s.source.variant(name, changes)
	if len(problems) > 0 {
		return nil, problems
	}
	return v, nil
}

// With returns the scenario with some of its values changed. The error is
// [Problems].
func (s *Scenario) With(changes ...Change) (*Scenario, error) {
	tree := s.source.tree.clone()
	var problems Problems
	for _, c := range changes {
		n, err := c.node()
		if err == nil {
			err = apply(tree, c.Path, 0, n)
		}
		if err != nil {
			problems = append(problems, Problem{File: s.fileName(), Path: c.Path, What: plainError(err), Hint: hintOf(err), Variant: s.VariantName})
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	changed, problems := assemble(s.source, tree, s.VariantName)
	if len(problems) > 0 {
		return nil, problems
	}
	changed.VariantName = s.VariantName
	return changed, nil
}

func (s *Scenario) fileName() string { return s.source.name() }

// variant builds one variant.
func (src *source) variant(name string, changes *node) (*Scenario, Problems) {
	tree := src.tree.clone()
	var problems Problems
	for _, e := range changes.entries {
		n := e.value.clone()
		if n.kind == scalarNode && n.text == leftOut {
			n = nil
		}
		if err := apply(tree, e.key, e.line, n); err != nil {
			problems = append(problems, Problem{File: src.name(), Line: e.line, Path: e.key, What: plainError(err), Hint: hintOf(err), Variant: name})
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	s, problems := assemble(src, tree, name)
	s.VariantName = name
	return s, problems
}

// tryVariants returns the problems that show only in variants.
func tryVariants(src *source, names []string) Problems {
	var problems Problems
	if size := src.tree.size(); size*len(names) > mostVaried {
		return Problems{{File: src.name(), Line: src.tree.get("variants").line, Path: "variants",
			What: fmt.Sprintf("too many for a file of %d values (got %d, allowed 0 to %d)", size, len(names), mostVaried/size), Hint: "read long laps from a log, or keep the variants in files of their own"}}
	}
	for _, name := range names {
		_, found := src.variant(name, src.tree.get("variants").get(name))
		problems = append(problems, found...)
	}
	return problems
}

// node returns the value of a change as a part of a file.
func (c Change) node() (*node, error) {
	switch value := c.Value.(type) {
	case nil:
		return nil, nil
	case string:
		if text := strings.TrimSpace(value); strings.HasPrefix(text, "[") || strings.HasPrefix(text, "{") {
			n, problems := document("value", []byte(text))
			if len(problems) > 0 {
				return nil, &units.Error{What: problems[0].What, Got: value, Hint: problems[0].Hint}
			}
			n.assume()
			n.stated()
			return n, nil
		}
		return &node{text: value}, nil
	case int:
		return &node{text: strconv.Itoa(value)}, nil
	case float64:
		return c.exactly(uncertainty.Exact(value)), nil
	case uncertainty.Distribution:
		return c.exactly(value), nil
	case *node: // of a shelf
		n := value.clone()
		n.assume() // its lines are those of another file
		n.stated()
		return n, nil
	case *Quantity:
		n := c.exactly(value.Distribution)
		n.basis, n.source = value.Basis, value.Source
		return n, nil
	}
	return nil, fmt.Errorf("a value of type %T can't be written in a scenario", c.Value)
}

// stated takes back what assume says of the basis; lines stay away.
func (n *node) stated() {
	n.assumed = false
	for _, e := range n.entries {
		e.value.stated()
	}
	for _, item := range n.items {
		item.stated()
	}
}

func (c Change) exactly(d uncertainty.Distribution) *node {
	q := Quantity{Distribution: d, Dimension: units.Length, scale: 1} // a coordinate of a point
	f := fieldAt(c.Path)
	if f != nil {
		q.Dimension, q.scale = f.Dimension, f.scaleOr1()
	}
	if f != nil && (f.Kind == EmptiedKind || f.Kind == DuringKind) {
		q.Dimension = units.Time
	}
	if f != nil && f.Kind == EmptiedKind {
		return &node{text: "every " + q.Notation(units.Metric)}
	}
	return &node{text: q.Notation(units.Metric), distribution: &d}
}

func (src *source) name() string {
	if src.example != "" {
		return src.example + ".yaml"
	}
	return src.file
}
