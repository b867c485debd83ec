package scenarios

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// laws are the distributions that may be spelled out, with their parameters.
// Each may also carry from and to, which cut it (the support of a beta).
var laws = map[string][]string{
	"normal":     {"mean", "standard_deviation"},
	"uniform":    {"low", "high"},
	"triangular": {"low", "mode", "high"},
	"log-normal": {"median", "geometric_standard_deviation"},
	"beta":       {"shape", "from", "to"},
	"table":      {"values", "weights"},
}

func lawNames() []string {
	names := make([]string, 0, len(laws))
	for name := range laws {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
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
			return dist, "", errors.New("a block of values and weights is wanted here (got " + table.describe() + ")")
		}
		s.allow(table, "values", "weights")
		return s.law("table", table)
	}
	if name := v.node.get("distribution"); name != nil {
		word := plainName(name.text)
		for law, parameters := range laws {
			if oneWord(law) == oneWord(word) {
				s.allow(v.node, append([]string{"distribution", "basis", "source", "from", "to"}, parameters...)...)
				s.basis()
				return s.law(law, v.node)
			}
		}
		v.bad = true
		d.problem(name.line, v.path, "unknown distribution (got "+name.describe()+", allowed "+strings.Join(lawNames(), ", ")+")", "write: distribution: "+nearest(word, lawNames(), "normal"))
		return dist, "", nil
	}
	s.allow(v.node, "value", "basis", "source")
	s.basis()
	n := v.node.get("value")
	if n == nil || n.kind != scalarNode {
		got := "no value"
		if n != nil {
			got = n.describe()
		}
		v.bad = true
		d.problem(v.line, v.path, "a block with a value is wanted here (got "+got+")", v.field.hint("{value: "+v.field.Example+", basis: measured}"))
		return dist, "", nil
	}
	text = strings.TrimSpace(n.text)
	dist, err = d.memory.quantity(text, v.field)
	return dist, text, err
}

// oneWord lets "lognormal" meet "log-normal".
func oneWord(name string) string { return strings.ReplaceAll(plainName(name), "_", "") }

func nearest(word string, names []string, otherwise string) string {
	if near := suggest(word, names); near != "" {
		return near
	}
	return otherwise
}

// allow tells of keys that don't belong.
func (s spelled) allow(n *node, keys ...string) {
	for _, e := range n.entries {
		known := false
		for _, k := range keys {
			known = known || k == e.key
		}
		if !known {
			s.v.bad = true
			s.d.unknownAmong(keys, s.v.path, e)
		}
	}
}

// basis reads basis and source.
func (s spelled) basis() {
	if n := s.v.node.get("basis"); n != nil {
		switch Basis(strings.ToLower(strings.TrimSpace(n.text))) {
		case Measured:
			s.v.basis = Measured
		case Stated:
			s.v.basis = Stated
		case Assumed:
			s.v.basis = Assumed
		default:
			s.v.bad = true
			s.d.problem(n.line, s.v.path+".basis", "not one of the choices (got "+n.describe()+", allowed measured, stated, assumed)",
				"write: basis: "+nearest(n.text, []string{"measured", "stated", "assumed"}, "stated"))
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

// law builds a distribution from its parameters in n.
func (s spelled) law(name string, n *node) (dist uncertainty.Distribution, text string, err error) {
	if s.v.bad {
		return dist, "", nil
	}
	parameters := map[string][]float64{}
	var written []string
	for _, key := range append(laws[name], "from", "to") {
		p := n.get(key)
		optional := key == "weights" || name != "beta" && (key == "from" || key == "to")
		if p == nil && optional || parameters[key] != nil {
			continue
		}
		if p == nil {
			s.v.bad = true
			s.d.problem(s.v.line, s.v.path, fmt.Sprintf("a %s distribution needs %s", name, strings.Join(laws[name], ", ")), "write: "+key+": "+s.example(key))
			return dist, "", nil
		}
		numbers, texts, err := s.numbers(key, p)
		if err != nil {
			s.v.bad = true
			s.d.problem(p.line, s.v.path+"."+key, plainError(err), "write: "+key+": "+s.example(key))
			return dist, "", nil
		}
		parameters[key] = numbers
		written = append(written, key+" "+texts)
	}
	dist, err = build(name, parameters)
	if err == nil {
		dist, err = cutAsStated(name, dist, parameters)
	}
	if name == "table" && len(parameters["values"]) > 12 {
		return dist, fmt.Sprintf("table of %d values", len(parameters["values"])), err
	}
	return dist, name + ": " + strings.Join(written, ", "), err
}

// numbers reads one parameter: values, weights and shape are lists.
func (s spelled) numbers(key string, n *node) (numbers []float64, text string, err error) {
	f := *s.v.field
	switch key {
	case "weights", "shape", "geometric_standard_deviation":
		f.Dimension = units.Number
	case "standard_deviation":
		if f.Dimension == units.Temperature {
			f.Dimension = units.TemperatureDifference
		}
	}
	list := key == "values" || key == "weights" || key == "shape"
	items := []*node{n}
	if list {
		if n.kind != listNode || len(n.items) == 0 {
			return nil, "", errors.New("a list is wanted here (got " + n.describe() + ")")
		}
		items = n.items
	}
	var texts []string
	for _, item := range items {
		if item.kind != scalarNode {
			return nil, "", errors.New("a number is wanted here (got " + item.describe() + ")")
		}
		d, err := parseQuantity(item.text, &f)
		if err != nil {
			return nil, "", err
		}
		if !d.IsExact() {
			return nil, "", errors.New("an exact value is wanted here (got " + item.describe() + ")")
		}
		numbers = append(numbers, d.Nominal())
		texts = append(texts, strings.TrimSpace(item.text))
	}
	if list {
		return numbers, "[" + strings.Join(texts, ", ") + "]", nil
	}
	return numbers, texts[0], nil
}

// example of a parameter, for a hint.
func (s spelled) example(key string) string {
	switch key {
	case "shape":
		return "[2, 5]"
	case "weights":
		return "[1, 2, 1]"
	case "geometric_standard_deviation":
		return "1.5"
	}
	example := s.v.field.Example
	for _, mark := range []string{" ..", " +-", " x/"} {
		if i := strings.Index(example, mark); i > 0 {
			unit := example[strings.LastIndexByte(example, ' ')+1:]
			example = example[:i]
			if _, err := strconv.ParseFloat(unit, 64); err != nil {
				example += " " + unit
			}
		}
	}
	switch key {
	case "values":
		return "[" + example + ", " + example + "]"
	case "standard_deviation":
		return s.spreadExample(example)
	}
	return example
}

// spreadExample is a tenth of an example.
func (s spelled) spreadExample(example string) string {
	d := s.v.field.Dimension
	if d == units.Temperature {
		return "5 K"
	}
	value, err := units.Parse(example, d)
	if err != nil {
		return example
	}
	return units.Format(value/10, d, units.Metric)
}

func build(name string, p map[string][]float64) (uncertainty.Distribution, error) {
	switch name {
	case "normal":
		return uncertainty.Normal(p["mean"][0], p["standard_deviation"][0])
	case "uniform":
		return uncertainty.Uniform(p["low"][0], p["high"][0])
	case "triangular":
		return uncertainty.Triangular(p["low"][0], p["mode"][0], p["high"][0])
	case "log-normal":
		return uncertainty.LogNormal(p["median"][0], p["geometric_standard_deviation"][0])
	case "beta":
		if len(p["shape"]) != 2 {
			return uncertainty.Distribution{}, &units.Error{What: "a beta distribution has two shape numbers", Got: fmt.Sprint(p["shape"]), Hint: "write shape: [2, 5]"}
		}
		return uncertainty.Beta(p["shape"][0], p["shape"][1], p["from"][0], p["to"][0])
	}
	return uncertainty.Table(p["values"], p["weights"])
}

// cutAsStated cuts any law but a beta between from and to, as the user asks.
func cutAsStated(name string, d uncertainty.Distribution, p map[string][]float64) (uncertainty.Distribution, error) {
	low, high := math.Inf(-1), math.Inf(1)
	if name == "beta" || p["from"] == nil && p["to"] == nil {
		return d, nil
	}
	if p["from"] != nil {
		low = p["from"][0]
	}
	if p["to"] != nil {
		high = p["to"][0]
	}
	cut, _, err := d.Truncate(low, high)
	if err != nil {
		return d, errors.New("nothing is left between from and to, or a stated bound lies outside them")
	}
	return cut, nil
}
