package scenarios

import (
	"strconv"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// parameterHint says how to write a parameter: of a table, both of them.
func (s spelled) parameterHint(l law, key string, n *node) string {
	if l.name == "table" {
		return s.tableHint(n)
	}
	return "write: " + key + ": " + s.example(key)
}

// tableHint says how to write a table of weighted draws, with the values that
// stand in n where they are right and few.
func (s spelled) tableHint(n *node) string {
	values := s.tableValues(n)
	weights := make([]string, len(values))
	for i := range weights {
		weights[i] = strconv.Itoa(1 + 2*(i%2))
	}
	return s.v.field.hint("{distribution: table, values: [" + strings.Join(values, ", ") + "], weights: [" + strings.Join(weights, ", ") + "]}")
}

// tableValues returns the values of a table as written or, where they can't be
// used, two of the field's own.
func (s spelled) tableValues(n *node) []string {
	const few = 8
	var texts []string
	if list := n.get("values"); list != nil && list.kind == listNode && len(list.items) > 1 && len(list.items) <= few {
		for _, item := range list.items {
			if text, err := s.exactText(item, s.v.field); err == nil && s.v.field.takes(text) {
				texts = append(texts, text)
			}
		}
		if len(texts) == len(list.items) {
			return texts
		}
	}
	f := s.v.field
	d, err := parseQuantity(f.Example, f)
	if err != nil {
		return nil // no field is without an example
	}
	low, high := d.Quantile(0.1), d.Quantile(0.9)
	if d.IsExact() {
		low *= 0.9
	}
	return []string{units.Format(low, f.Dimension, units.Metric), units.Format(high, f.Dimension, units.Metric)}
}

// example of a parameter, for a hint.
func (s spelled) example(key string) string {
	switch key {
	case "shape":
		return "[2, 5]"
	case "geometric_standard_deviation":
		return "1.5"
	}
	d, f := uncertainty.Distribution{}, s.v.field
	if parsed, err := parseQuantity(f.Example, f); err == nil {
		d = parsed
	}
	middle := units.Format(d.Nominal(), f.Dimension, units.Metric)
	switch key {
	case "standard_deviation":
		if f.Dimension == units.Temperature {
			return "5 K"
		}
		return units.Format(d.Nominal()/10, f.Dimension, units.Metric)
	}
	return middle
}
