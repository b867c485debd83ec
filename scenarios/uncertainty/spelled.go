package uncertainty

import (
	"errors"
	"math"
	"strings"

	"github.com/goccy/go-yaml"

	"sumpward/scenarios/units"
)

// Spelled is a distribution that is written out in fields, as in
//
//	{distribution: beta, shape: [2, 5], from: 5 %, to: 35 %}
//	{distribution: table, values: [9 mm, 10 mm, 12.7 mm], weights: [1, 2, 1]}
//	{value: 110 +- 18 L/min, at_least: 80 L/min, at_most: 150 L/min}
//	{distribution: normal, mean: 110 L/min, sd: 18 L/min}
//	{distribution: uniform, low: 8 L/min, high: 20 L/min}
//	{distribution: triangular, low: 90 L/min, mode: 110 L/min, high: 150 L/min}
//	{distribution: log-normal, median: 0.4 g/s, gsd: 1.4}
//
// The distribution is cut at at_least and at_most, which any of them takes.
type Spelled struct {
	Value        string    `yaml:"value,omitempty"`
	Distribution string    `yaml:"distribution,omitempty"`
	Mean         string    `yaml:"mean,omitempty"`
	SD           string    `yaml:"sd,omitempty"`
	Low          string    `yaml:"low,omitempty"`
	Mode         string    `yaml:"mode,omitempty"`
	High         string    `yaml:"high,omitempty"`
	Median       string    `yaml:"median,omitempty"`
	GSD          string    `yaml:"gsd,omitempty"`
	Shape        []float64 `yaml:"shape,omitempty"`
	From         string    `yaml:"from,omitempty"`
	To           string    `yaml:"to,omitempty"`
	Values       []string  `yaml:"values,omitempty"`
	Weights      []float64 `yaml:"weights,omitempty"`
	AtLeast      string    `yaml:"at_least,omitempty"`
	AtMost       string    `yaml:"at_most,omitempty"`
}

// field is one text field of Spelled with its name.
type field struct{ name, text string }

// laws says which fields each distribution takes, and joins what into its
// notation on one line; "" where there is none.
var laws = map[string]struct {
	fields []string
	join   string
}{
	"":           {[]string{"value"}, ""},
	"normal":     {[]string{"mean", "sd"}, " +- "},
	"uniform":    {[]string{"low", "high"}, " .. "},
	"triangular": {[]string{"low", "mode", "high"}, " .. "},
	"log-normal": {[]string{"median", "gsd"}, " x/ "},
	"beta":       {[]string{"from", "to"}, ""},
	"table":      {nil, ""},
}

// Build makes the distribution of dimension dim. Errors are of type
// *units.Error.
func (s Spelled) Build(dim units.Dimension) (Distribution, error) {
	kind := strings.ToLower(strings.TrimSpace(s.Distribution))
	if kind == "lognormal" {
		kind = "log-normal"
	}
	l, known := laws[kind]
	if !known {
		return Distribution{}, &units.Error{What: "unknown distribution", Got: s.Distribution,
			Wanted: "normal, uniform, triangular, log-normal, beta or table", Hint: "write distribution: beta"}
	}
	texts, err := s.texts(kind, l.fields)
	if err != nil {
		return Distribution{}, err
	}
	var d Distribution
	switch kind {
	case "beta":
		d, err = s.beta(dim)
	case "table":
		d, err = s.table(dim)
	default:
		if strings.HasPrefix(strings.TrimSpace(texts[0]), "{") {
			return Distribution{}, &units.Error{What: "braces in braces", Got: texts[0], Hint: "write value: " + Example(dim)}
		}
		d, err = Parse(strings.Join(texts, l.join), dim)
	}
	if err != nil {
		return Distribution{}, err
	}
	return s.bounded(d, dim)
}

// texts returns the fields that a distribution needs, and finds those that
// are missing or that it doesn't take.
func (s Spelled) texts(kind string, wanted []string) ([]string, error) {
	name := kind + " distribution"
	if kind == "" {
		name = "value without a distribution"
	}
	given := []field{{"value", s.Value}, {"mean", s.Mean}, {"sd", s.SD}, {"low", s.Low}, {"mode", s.Mode}, {"high", s.High},
		{"median", s.Median}, {"gsd", s.GSD}, {"from", s.From}, {"to", s.To}}
	texts := make([]string, len(wanted))
	for _, f := range given {
		place := -1
		for i, w := range wanted {
			if w == f.name {
				place = i
			}
		}
		switch {
		case place >= 0 && f.text == "":
			return nil, &units.Error{What: "a " + name + " needs " + f.name,
				Got: "no " + f.name, Hint: "write {distribution: beta, shape: [2, 5], from: …, to: …}"}
		case place >= 0:
			texts[place] = f.text
		case f.text != "":
			return nil, &units.Error{What: "a " + name + " takes no " + f.name, Got: f.name + ": " + f.text, Hint: "leave " + f.name + " out"}
		}
	}
	switch {
	case kind != "beta" && len(s.Shape) > 0:
		return nil, &units.Error{What: "a " + name + " takes no shape", Got: "shape", Hint: "leave shape out"}
	case kind != "table" && (len(s.Values) > 0 || len(s.Weights) > 0):
		return nil, &units.Error{What: "a " + name + " takes no values and weights", Got: "values", Hint: "write distribution: table"}
	}
	return texts, nil
}

func (s Spelled) beta(dim units.Dimension) (Distribution, error) {
	if len(s.Shape) != 2 {
		return Distribution{}, &units.Error{What: "a beta distribution needs two shape parameters", Got: "shape", Hint: "write shape: [2, 5]"}
	}
	ends, err := Parse(s.From+" .. "+s.To, dim)
	if err != nil {
		return Distribution{}, err
	}
	return Beta(s.Shape[0], s.Shape[1], ends.A, ends.B)
}

func (s Spelled) table(dim units.Dimension) (Distribution, error) {
	values := make([]float64, len(s.Values))
	for i, text := range s.Values {
		v, err := units.Parse(text, dim)
		if err != nil {
			return Distribution{}, err
		}
		values[i] = v
	}
	return Table(values, s.Weights)
}

// bounded cuts d at the stated bounds.
func (s Spelled) bounded(d Distribution, dim units.Dimension) (Distribution, error) {
	low, high := math.Inf(-1), math.Inf(1)
	var err error
	if s.AtLeast != "" {
		if low, err = units.Parse(s.AtLeast, dim); err != nil {
			return Distribution{}, err
		}
	}
	if s.AtMost != "" {
		if high, err = units.Parse(s.AtMost, dim); err != nil {
			return Distribution{}, err
		}
	}
	if math.IsInf(low, -1) && math.IsInf(high, 1) {
		return d, nil
	}
	cut, _, err := d.between(low, high)
	if err != nil {
		return Distribution{}, &units.Error{What: "nothing is left between at_least and at_most",
			Got: strings.TrimSpace(s.AtLeast + " to " + s.AtMost), Hint: "write at_least below at_most, with the distribution between them"}
	}
	if !cut.IsExact() {
		cut.atLeast, cut.atMost = low, high
	}
	return cut, nil
}

// What a text in braces may hold.
const (
	maxSpelledBytes = 256 << 10
	maxBrackets     = 20 // that open
)

func parseSpelled(text string, dim units.Dimension) (Distribution, error) {
	var s Spelled
	switch {
	case len(text) > maxSpelledBytes:
		return Distribution{}, &units.Error{What: "text is longer than 256 KiB", Got: text, Hint: "write a shorter table"}
	case strings.Count(text, "{")+strings.Count(text, "[") > maxBrackets, strings.Contains(text, "- -"), strings.Contains(text, "? "):
		return Distribution{}, &units.Error{What: "the braces can't be read: too many brackets in brackets", Got: text, Hint: "write {distribution: beta, shape: [2, 5], from: …, to: …}"}
	case strings.ContainsAny(text, "&*!"):
		return Distribution{}, &units.Error{What: "anchors, aliases and tags are not read here", Got: text, Hint: "write the values out"}
	}
	if err := yaml.UnmarshalWithOptions([]byte(text), &s, yaml.Strict()); err != nil {
		var place yaml.Error
		what := "the braces can't be read"
		if errors.As(err, &place) {
			what += ": " + units.Shorten(place.GetMessage())
		}
		return Distribution{}, &units.Error{What: what, Got: text, Hint: "write {distribution: beta, shape: [2, 5], from: …, to: …}"}
	}
	return s.Build(dim)
}
