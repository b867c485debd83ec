package scenarios

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// law is a distribution that may be spelled out.
type law struct {
	name       string
	parameters []string // all needed, but for the weights of a table
}

var laws = []law{
	{"normal", []string{"mean", "standard_deviation"}},
	{"uniform", []string{"low", "high"}},
	{"triangular", []string{"low", "mode", "high"}},
	{"log-normal", []string{"median", "geometric_standard_deviation"}},
	{"beta", []string{"shape", "from", "to"}},
	{"table", []string{"values", "weights"}},
}

// shortNames are other names of keys, as [uncertainty.Distribution.Text]
// writes them. From and to cut every law but a beta, whose ends they are.
var shortNames = map[string]string{"standard_deviation": "sd", "geometric_standard_deviation": "gsd", "from": "at_least", "to": "at_most"}

func lawNames() []string {
	names := make([]string, len(laws))
	for i, l := range laws {
		names[i] = l.name
	}
	return names
}

func lawNamed(word string) (law, bool) {
	for _, l := range laws {
		if oneWord(l.name) == oneWord(word) {
			return l, true
		}
	}
	return law{}, false
}

// oneWord lets "lognormal" meet "log-normal".
func oneWord(name string) string { return strings.ReplaceAll(plainName(name), "_", "") }

// keys lists what may stand in the block of a law, besides basis and source.
func (l law) keys() []string {
	keys := append([]string{"distribution"}, l.parameters...)
	for _, p := range l.parameters {
		if short := shortNames[p]; short != "" && l.name != "beta" {
			keys = append(keys, short)
		}
	}
	if l.name != "beta" {
		keys = append(keys, "from", "to")
	}
	return append(keys, "at_least", "at_most")
}

// spelled is a quantity written as a block.
type spelled struct {
	d *decoder
	v *value
}

// spelledOut reads a quantity written as a block. A problem is either told
// (v.bad) or returned.
func (d *decoder) spelledOut(v *value) (dist uncertainty.Distribution, text string, err error) {
	s := spelled{d, v}
	if table := v.node.get("table"); table != nil && v.node.get("distribution") == nil {
		s.allow(v.node, "table", "basis", "source")
		s.basis()
		if table.kind != mappingNode {
			s.v.bad = true
			d.problem(table.line, v.path, "a block of values and weights is wanted here (got "+table.describe()+")", s.tableHint(table))
			return dist, "", nil
		}
		s.allow(table, "values", "weights")
		l, _ := lawNamed("table")
		return s.law(l, table)
	}
	if name := v.node.get("distribution"); name != nil {
		l, known := lawNamed(name.text)
		if !known {
			v.bad = true
			d.problem(name.line, v.path, "unknown distribution (got "+name.describe()+", allowed "+strings.Join(lawNames(), ", ")+")",
				"write: distribution: "+nearest(name.text, lawNames(), "normal"))
			return dist, "", nil
		}
		s.allow(v.node, append(l.keys(), "basis", "source")...)
		s.basis()
		return s.law(l, v.node)
	}
	if values := v.node.get("values"); v.node.get("weights") != nil || values != nil && values.kind == listNode {
		v.bad = true
		d.problem(v.line, v.path, "values and weights are those of a table, which has to be named", s.tableHint(v.node))
		return dist, "", nil
	}
	s.allow(v.node, "value", "at_least", "at_most", "basis", "source")
	s.basis()
	return s.value()
}

// value reads {value: …}, cut at at_least and at_most.
func (s spelled) value() (dist uncertainty.Distribution, text string, err error) {
	n := s.v.node.get("value")
	if n == nil || n.kind != scalarNode {
		got := "no value"
		if n != nil {
			got = n.describe()
		}
		s.v.bad = true
		s.d.problem(s.v.line, s.v.path, "a block with a value is wanted here (got "+got+")", s.v.field.hint("{value: "+s.v.field.Example+", basis: measured}"))
		return dist, "", nil
	}
	text = strings.TrimSpace(n.text)
	block := uncertainty.Spelled{Value: text}
	s.cut(&block, s.v.node)
	if s.v.bad || block.AtLeast == "" && block.AtMost == "" {
		dist, err = s.d.memory.quantity(text, s.v.field)
		return dist, text, err
	}
	dist, err = block.Build(s.v.field.Dimension)
	return dist, text, err
}

func nearest(word string, names []string, otherwise string) string {
	if near := suggest(word, names); near != "" {
		return near
	}
	return otherwise
}

// allow tells of keys that don't belong.
func (s spelled) allow(n *node, keys ...string) {
	for _, e := range n.entries {
		if !slices.Contains(keys, e.key) {
			s.v.bad = true
			s.d.unknownAmong(keys, s.v.path, e)
		}
	}
}

// basis reads basis and source.
func (s spelled) basis() {
	if n := s.v.node.get("basis"); n != nil {
		bases := []string{string(Measured), string(Stated), string(Assumed)}
		word := strings.ToLower(strings.TrimSpace(n.text))
		if slices.Contains(bases, word) {
			s.v.basis = Basis(word)
		} else {
			s.v.bad = true
			s.d.problem(n.line, s.v.path+".basis", "not one of the choices (got "+n.describe()+", allowed "+strings.Join(bases, ", ")+")",
				"write: basis: "+nearest(n.text, bases, string(Stated)))
		}
	}
	if n := s.v.node.get("source"); n != nil {
		source := &value{field: &Field{Path: "source", Example: "tape measure, car on its wheels"}, path: s.v.path + ".source", line: n.line, node: n}
		word, bad := s.d.word(source)
		s.v.source, s.v.bad = word, s.v.bad || bad
	} else if s.v.basis == Assumed && s.v.source == "" {
		s.v.source = "assumed in the file"
	}
}

// law reads a law from the parameters in n.
func (s spelled) law(l law, n *node) (dist uncertainty.Distribution, text string, err error) {
	if s.v.bad {
		return dist, "", nil
	}
	block := uncertainty.Spelled{Distribution: l.name}
	var told []string
	for _, key := range l.parameters {
		p := n.get(key)
		if p == nil && l.name != "beta" {
			p = n.get(shortNames[key])
		}
		if p == nil && key == "weights" {
			continue
		}
		if p == nil {
			s.v.bad = true
			s.d.problem(s.v.line, s.v.path, fmt.Sprintf("a %s distribution needs %s", l.name, strings.Join(l.parameters, ", ")), s.parameterHint(l, key, n))
			return dist, "", nil
		}
		written, err := s.parameter(&block, key, p)
		if err != nil {
			s.v.bad = true
			s.d.problem(p.line, s.v.path+"."+key, plainError(err), s.parameterHint(l, key, n))
			return dist, "", nil
		}
		told = append(told, key+" "+written)
	}
	s.cut(&block, n)
	if s.v.bad {
		return dist, "", nil
	}
	if l.name == "table" {
		if _, err := (uncertainty.Spelled{Distribution: l.name, Values: block.Values, Weights: block.Weights}).Build(s.v.field.Dimension); err != nil {
			s.v.bad = true
			s.d.problem(s.v.line, s.v.path, plainError(err), s.tableHint(n))
			return dist, "", nil
		}
	}
	dist, err = block.Build(s.v.field.Dimension)
	if len(block.Values) > mostWritten {
		return dist, fmt.Sprintf("table of %d values", len(block.Values)), err
	}
	return dist, l.name + ": " + strings.Join(told, ", "), err
}

// cut reads what cuts a law: at_least and at_most, or from and to where they
// aren't the ends of a beta.
func (s spelled) cut(block *uncertainty.Spelled, n *node) {
	for _, key := range []string{"at_least", "at_most", "from", "to"} {
		p := n.get(key)
		if p == nil || block.Distribution == "beta" && (key == "from" || key == "to") {
			continue
		}
		text, err := s.exactText(p, s.v.field)
		if err != nil {
			s.v.bad = true
			s.d.problem(p.line, s.v.path+"."+key, plainError(err), "write: "+key+": "+s.example(key))
			continue
		}
		if key == "at_least" || key == "from" {
			block.AtLeast = text
		} else {
			block.AtMost = text
		}
	}
}

// parameter puts one parameter into the block.
func (s spelled) parameter(block *uncertainty.Spelled, key string, n *node) (written string, err error) {
	number := &Field{Dimension: units.Number}
	switch key {
	case "shape", "weights", "values":
		return s.listParameter(block, key, n)
	case "geometric_standard_deviation":
		block.GSD, err = s.exactText(n, number)
		return block.GSD, err
	case "standard_deviation":
		block.SD, err = s.exactText(n, s.v.field)
		return block.SD, err
	}
	text, err := s.exactText(n, s.v.field)
	*map[string]*string{"mean": &block.Mean, "low": &block.Low, "mode": &block.Mode, "high": &block.High,
		"median": &block.Median, "from": &block.From, "to": &block.To}[key] = text
	return text, err
}

func (s spelled) listParameter(block *uncertainty.Spelled, key string, n *node) (written string, err error) {
	if n.kind != listNode || len(n.items) == 0 {
		return "", errors.New("a list is wanted here (got " + n.describe() + ")")
	}
	f := s.v.field
	if key != "values" {
		f = &Field{Dimension: units.Number}
	}
	var texts []string
	var numbers []float64
	for _, item := range n.items {
		text, err := s.exactText(item, f)
		if err != nil {
			return "", err
		}
		number, err := parseQuantity(text, f)
		if err != nil {
			return "", err
		}
		texts, numbers = append(texts, text), append(numbers, number.Nominal())
	}
	switch key {
	case "values":
		block.Values = texts
	case "weights":
		block.Weights = numbers
	default:
		block.Shape = numbers
	}
	return "[" + strings.Join(texts, ", ") + "]", nil
}

// exactText checks that a parameter is exact, and returns it as written, a
// bare 0 with a unit.
func (s spelled) exactText(n *node, f *Field) (string, error) {
	if n.kind != scalarNode {
		return "", errors.New("a number is wanted here (got " + n.describe() + ")")
	}
	d, err := s.d.memory.quantity(n.text, f)
	switch {
	case err != nil:
		return "", err
	case !d.IsExact():
		return "", errors.New("an exact value is wanted here (got " + n.describe() + ")")
	case d.Nominal() == 0:
		return d.Text(f.Dimension, units.Metric), nil
	}
	return strings.TrimSpace(n.text), nil
}
