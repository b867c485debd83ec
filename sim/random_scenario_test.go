package sim

import (
	"fmt"
	"io"
	"io/fs"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// scenarioDrawing writes one random scenario as a user would: text, with the files that go
// with it. Its numbers come from the catalogue: near the field's example, anywhere that is
// allowed, or at a bound. Scenario number i of a seed is always the same.
type scenarioDrawing struct {
	*rand.Rand
	wild   float64           // share of the numbers that may lie anywhere in what is allowed
	vague  float64           // share of the numbers that are uncertain
	files  map[string]string // by name
	inputs []drawnInput      // numbers that were written
	kinds  []string          // what the scenario is, in words
	fields map[string]bool   // of the catalogue, by path with *
}

// drawnInput is a number that was written.
type drawnInput struct {
	path      string
	span      span
	uncertain bool
}

// span is what a field allows, in the unit of its upper bound.
type span struct {
	unit      string
	low, high float64
	example   uncertainty.Distribution
}

// randomScenario draws the scenario of an index.
func randomScenario(seed, index uint64) (text string, d *scenarioDrawing) {
	d = &scenarioDrawing{Rand: rand.New(rand.NewPCG(seed, index)), files: map[string]string{}, fields: map[string]bool{}}
	d.wild = []float64{0, 0.02, 0.1, 0.3, 1}[d.IntN(5)]
	d.vague = []float64{0, 0.1, 0.4, 0.9}[d.IntN(4)]
	d.is(fmt.Sprintf("wild %.0f %%", 100*d.wild))
	b := &strings.Builder{}
	b.WriteString("scenario: 1\n")
	returns := []string{"above_oil", "above_oil", "below_oil", "emptied_by_hand"}[d.IntN(4)]
	seal := d.of("none", "none", "valve", "trap")
	for _, block := range []string{
		d.engine(), d.oil(), d.carryOver(), d.breathers(returns == "above_oil" && seal == "none"),
		d.separator(), d.drain(returns, seal), d.duty(), d.limits(), d.block("simulation", "seed: "+strconv.Itoa(d.IntN(100))),
		d.correlations(), d.learned(),
	} {
		if block != "" {
			b.WriteString(block + "\n")
		}
	}
	return b.String(), d
}

// change draws a new value of one number that was written, as a variant would.
func (d *scenarioDrawing) change() (c scenarios.Change, ok bool) {
	if d.chance(0.9) || len(d.inputs) == 0 {
		return c, false
	}
	i := d.inputs[d.IntN(len(d.inputs))]
	_, text, _ := strings.Cut(d.written(i.path, i.span, d.number(i.path, i.span)), ": ")
	return scenarios.Change{Path: i.path, Value: text}, true
}

// open opens a file that goes with the scenario.
func (d *scenarioDrawing) open(name string) (io.ReadCloser, error) {
	text, ok := d.files[name]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return io.NopCloser(strings.NewReader(text)), nil
}

func (d *scenarioDrawing) is(kind string)                   { d.kinds = append(d.kinds, kind) }
func (d *scenarioDrawing) chance(p float64) bool            { return d.Float64() < p }
func (d *scenarioDrawing) of(words ...string) string        { return words[d.IntN(len(words))] }
func (d *scenarioDrawing) between(a, b float64) float64     { return a + (b-a)*d.Float64() }
func (d *scenarioDrawing) logarithmic(a, b float64) float64 { return a * math.Pow(b/a, d.Float64()) }

// block writes a block of fields; those left out are empty. Without any it is left out too.
func (d *scenarioDrawing) block(name string, fields ...string) string {
	if list := joined(fields); list != "" {
		return name + ": {" + list + "}"
	}
	return ""
}

func joined(fields []string) string {
	var list []string
	for _, f := range fields {
		if f != "" {
			list = append(list, f)
		}
	}
	return strings.Join(list, ", ")
}

var listElement = regexp.MustCompile(`\.(breathers|elements|grades|lap|segments|power_curve|schedule|correlations)\.[^.]+`)

// field is the catalogue's entry of a path.
func (d *scenarioDrawing) field(path string) scenarios.Field {
	star := strings.TrimPrefix(listElement.ReplaceAllString("."+path, ".$1.*"), ".")
	d.fields[star] = true
	f, ok := catalogueByPath()[star]
	if !ok {
		panic("no field " + star)
	}
	return f
}

var catalogueByPath = sync.OnceValue(func() map[string]scenarios.Field {
	m := map[string]scenarios.Field{}
	for _, f := range scenarios.Fields() {
		m[f.Path] = f
	}
	return m
})

// span reads what a field allows.
func (d *scenarioDrawing) span(path string) span {
	f := d.field(path)
	_, unit, err := units.Split(f.High)
	must(err)
	unit = strings.TrimSpace(unit)
	s := span{unit: unit}
	s.low, s.high = inUnit(f.Low, unit, f.Dimension), inUnit(f.High, unit, f.Dimension)
	s.example, err = uncertainty.Parse(f.Example, f.Dimension)
	must(err)
	return s
}

// inUnit is a number as written, in a unit.
func inUnit(text, unit string, dimension units.Dimension) float64 {
	si, err := units.Parse(text, dimension)
	must(err)
	return fromSI(si, unit, dimension)
}

func fromSI(si float64, unit string, dimension units.Dimension) float64 {
	none, err := units.Parse("0 "+unit, dimension)
	must(err)
	one, err := units.Parse("1 "+unit, dimension)
	must(err)
	return (si - none) / (one - none)
}

func must(err error) {
	if err != nil {
		panic(err)
	}
}

// number draws a value within a span, for a field whose example is in SI.
func (d *scenarioDrawing) number(path string, s span) float64 {
	if !d.chance(d.wild) {
		v := fromSI(s.example.Quantile(d.between(0.02, 0.98)), s.unit, d.field(path).Dimension)
		return min(max(v*math.Exp(0.3*d.NormFloat64()), s.low), s.high)
	}
	switch at := d.Float64(); {
	case at < 0.15:
		return s.low
	case at < 0.3:
		return s.high
	case at < 0.6 && s.low >= 0:
		return max(s.low, s.high*math.Pow(10, -5*d.Float64()))
	default:
		return d.between(s.low, s.high)
	}
}

// value writes a field that is always there: "bore: 12.7 mm".
func (d *scenarioDrawing) value(path string) string {
	s := d.span(path)
	return d.written(path, s, d.number(path, s))
}

// maybe writes a field, or leaves it out.
func (d *scenarioDrawing) maybe(path string) string {
	if d.chance(0.4) {
		return ""
	}
	return d.value(path)
}

// choice writes a word, or leaves it out.
func (d *scenarioDrawing) choice(path string) string {
	f := d.field(path)
	if d.chance(0.4) {
		return ""
	}
	return f.Name() + ": " + f.Choices[d.IntN(len(f.Choices))]
}

// word writes a stated word.
func (d *scenarioDrawing) word(path, word string) string {
	f := d.field(path)
	return f.Name() + ": " + word
}

// written writes a value, exact or uncertain about it, of an input.
func (d *scenarioDrawing) written(path string, s span, v float64) string {
	f := d.field(path)
	input := drawnInput{path: path, span: s}
	text := d.exact(v, s.unit)
	if f.Kind == scenarios.QuantityKind && d.chance(d.vague) && s.high > s.low {
		text, input.uncertain = d.uncertain(f, s, v), true
	}
	if f.Kind == scenarios.QuantityKind {
		d.inputs = append(d.inputs, input)
	}
	return f.Name() + ": " + text
}

func (d *scenarioDrawing) exact(v float64, unit string) string {
	return strings.TrimSpace(strconv.FormatFloat(v, 'g', 9, 64) + " " + unit)
}

// uncertain writes a value of a span with one of the notations of uncertainty.
func (d *scenarioDrawing) uncertain(f scenarios.Field, s span, v float64) string {
	n := func(x float64) string { return d.exact(x, "") }
	u := func(x float64) string { return d.exact(x, s.unit) }
	width := (s.high - s.low) * math.Pow(10, -1-3*d.Float64())
	if v > 0 && s.low >= 0 {
		width = min(width*10, v) * d.between(0.05, 1)
	}
	a, b := max(v-width, s.low), min(v+width, s.high)
	if d.chance(d.wild * 0.2) {
		a, b = s.low, s.high
	}
	v = min(max(v, a), b)
	notation := d.IntN(9)
	turned := strings.HasSuffix(f.Path, ".backward") || strings.HasSuffix(f.Path, ".right")
	if (notation == 0 || notation == 5) && (!(v > 0) || f.Dimension == units.Temperature || turned) {
		notation = 1 // no logarithm
	}
	d.is([]string{"log-normal", "normal", "uniform", "triangular", "cut normal", "cut log-normal", "beta", "table", "bounded value"}[notation])
	switch notation {
	case 0:
		return n(v) + " x/ " + n(d.between(1.01, 3)) + " " + s.unit
	case 1:
		return u(v) + " +- " + u(width)
	case 2:
		return n(a) + " .. " + u(b)
	case 3:
		return n(a) + " .. " + n(v) + " .. " + u(b)
	case 4:
		return fmt.Sprintf("{distribution: normal, mean: %s, standard_deviation: %s, from: %s, to: %s}", u(v), u(width), u(a), u(b))
	case 5:
		return fmt.Sprintf("{distribution: log-normal, median: %s, geometric_standard_deviation: %s, from: %s, to: %s}", u(v), n(d.between(1.01, 5)), u(a), u(b))
	case 6:
		return fmt.Sprintf("{distribution: beta, shape: [%s, %s], from: %s, to: %s}", n(d.logarithmic(0.2, 20)), n(d.logarithmic(0.2, 20)), u(a), u(b))
	case 7:
		return fmt.Sprintf("{distribution: table, values: [%s, %s, %s], weights: [1, 3, %d]}", u(a), u(v), u(b), d.IntN(3))
	}
	return fmt.Sprintf("{value: %s .. %s, at_least: %s, basis: measured}", n(a), u(b), u(a+(b-a)/4))
}
