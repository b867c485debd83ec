package uncertainty

import (
	"math"
	"regexp"
	"sort"
	"strings"

	"sumpward/scenarios/units"
)

// Parse reads a quantity of dimension dim that may be uncertain:
//
//	110 L/min                 exact
//	110 +- 18 L/min           normal: mean, standard deviation; also ±
//	110 L/min +- 15 %         the same, relative to the mean
//	8 .. 20 L/min             uniform
//	90 .. 110 .. 150 L/min    triangular: low, mode, high
//	0.4 x/ 1.4 g/s            log-normal: median, geometric standard deviation; also ×/
//	{distribution: beta, …}   spelled out, see Spelled
//
// The unit of the last number serves all that have none. The standard
// deviation of a temperature is a temperature difference. For a fraction the
// per cent sign is a unit, and a standard deviation in it is absolute.
//
// Limits of what makes sense are not applied here: see Truncate. Errors are
// of type *units.Error.
func Parse(text string, dim units.Dimension) (Distribution, error) {
	if strings.HasPrefix(strings.TrimSpace(text), "{") {
		return parseSpelled(text, dim)
	}
	n := notation{text: text, dim: dim}
	parts := operator.Split(text, 4)
	signs := operator.FindAllString(text, 4)
	if len(signs) == 0 {
		return n.exact()
	}
	if len(text) > maxBytes {
		return Distribution{}, &units.Error{What: "text is longer than 600 bytes", Got: text, Hint: "write for instance " + n.example()}
	}
	for _, part := range parts {
		o, err := newOperand(part)
		if err != nil {
			return Distribution{}, n.inPart(part, err)
		}
		n.operands = append(n.operands, o)
	}
	n.sign = usualSign(signs[0])
	switch {
	case len(signs) > 2 || len(signs) == 2 && (n.sign != ".." || usualSign(signs[1]) != ".."):
		return Distribution{}, n.fault("not a notation that is known", "")
	case n.sign == ".." && strings.Join(signs, "") != strings.Repeat("..", len(signs)):
		return Distribution{}, n.fault("a range is written with two points", joined(n.operands, " .. ", n.operands[len(signs)].unit))
	case n.sign == "..":
		return n.between()
	case n.sign == "x/":
		return n.timesDivide()
	}
	return n.plusMinus()
}

// usualSign is the spelling of an operator that Text writes.
func usualSign(sign string) string {
	switch {
	case strings.HasPrefix(sign, "+"), sign == "±":
		return "+-"
	case strings.HasSuffix(sign, "/"):
		return "x/"
	}
	return ".."
}

// maxBytes is the longest notation on one line that is read.
const maxBytes = 600

var operator = regexp.MustCompile(`\+/-|\+[-\x{2212}]|±|\.\.\.+|…|\.\.|[xX×] ?/`)

// notation is one text being read.
type notation struct {
	text     string
	dim      units.Dimension
	operands []operand
	sign     string // between the operands, in its usual spelling
}

// operand is one number of a notation, with the unit that stands at it.
type operand struct {
	text   string // as written
	number float64
	digits string // the number as written
	unit   string // empty if none stands there
	whole  bool   // readable only as a whole: a dash size
}

func newOperand(text string) (operand, error) {
	text = strings.TrimSpace(text)
	if _, err := units.Parse(text, units.Length); err == nil && units.IsDashSize(text) {
		return operand{text: text, digits: text, whole: true}, nil
	}
	number, unit, err := units.Split(text)
	if err != nil {
		return operand{}, err
	}
	digits := strings.TrimSpace(strings.TrimSuffix(text, unit))
	return operand{text: text, number: number, digits: digits, unit: unit}, nil
}

func (o operand) bare() bool { return o.unit == "" && !o.whole }

// exact reads a text without an operator.
func (n notation) exact() (Distribution, error) {
	v, err := units.Parse(n.text, n.dim)
	if err != nil {
		return Distribution{}, n.otherRange(err)
	}
	return Exact(v), nil
}

var hyphenRange = regexp.MustCompile(`^(.*?\d[^-–—]*?) *(?:-|–|—|\bto\b|~) *(.*)$`)

// otherRange gives the hint to a range that is written with a dash or "to".
func (n notation) otherRange(err error) error {
	m := hyphenRange.FindStringSubmatch(strings.TrimSpace(n.text))
	if m == nil || len(n.text) > maxBytes {
		return err
	}
	range2 := strings.TrimSpace(m[1]) + " .. " + strings.TrimSpace(m[2])
	if _, bad := Parse(range2, n.dim); bad != nil {
		return err
	}
	return n.fault("a range is written with two points", range2)
}

// value reads operand o in SI; a bare number takes the unit.
func (n notation) value(o operand, unit string, dim units.Dimension) (float64, error) {
	text := o.text
	if o.bare() && unit != "" {
		text = o.digits + " " + unit
	}
	v, err := units.Parse(text, dim)
	if err != nil {
		return 0, n.inPart(text, err)
	}
	return v, nil
}

// between reads a uniform or triangular law.
func (n notation) between() (Distribution, error) {
	last := n.operands[len(n.operands)-1]
	v := make([]float64, len(n.operands))
	for i := len(v) - 1; i >= 0; i-- { // the last first: its unit serves the others
		var err error
		if v[i], err = n.value(n.operands[i], last.unit, n.dim); err != nil {
			return Distribution{}, err
		}
	}
	low, high := 0, len(v)-1
	switch {
	case v[low] > v[high]:
		return Distribution{}, n.fault("the low end is above the high end", n.rising(v))
	case noWidth(v[low], v[high]):
		return Distribution{}, n.fault("the range has no width", n.operands[high].text)
	case high == 1:
		return Uniform(v[0], v[1])
	case v[1] < v[0] || v[1] > v[2]:
		return Distribution{}, n.fault("the mode is outside the range; low, mode and high rise", n.rising(v))
	}
	return Triangular(v[0], v[1], v[2])
}

// rising writes the operands in the order of their values v.
func (n notation) rising(v []float64) string {
	order := make([]int, len(v))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return v[order[i]] < v[order[j]] })
	operands := make([]operand, len(v))
	for i, from := range order {
		operands[i] = n.operands[from]
	}
	return joined(operands, " .. ", n.operands[len(v)-1].unit)
}

// joined writes operands with unit behind the last where it can serve all,
// and else behind each that has none.
func joined(operands []operand, sign, unit string) string {
	shared := true
	for _, o := range operands {
		shared = shared && !o.whole && (o.unit == "" || o.unit == unit)
	}
	texts := make([]string, len(operands))
	for i, o := range operands {
		switch {
		case shared:
			texts[i] = o.digits
		case o.bare():
			texts[i] = o.digits + behind(unit)
		default:
			texts[i] = o.text
		}
	}
	text := strings.Join(texts, sign)
	if shared {
		text += behind(unit)
	}
	return text
}

// behind is a unit as it stands behind a number.
func behind(unit string) string {
	if unit == "" {
		return ""
	}
	return " " + unit
}

// usualUnit is the first unit of a dimension; a bare number has none.
func usualUnit(dim units.Dimension) string {
	if list := dim.Units(); len(list) > 0 {
		return list[0]
	}
	return ""
}

// withUnit writes the whole text with the first unit that stands in it, or
// else the usual one, behind the last number.
func (n notation) withUnit() string {
	unit := usualUnit(n.dim)
	for _, o := range n.operands {
		if o.unit != "" {
			unit = o.unit
			break
		}
	}
	return joined(n.operands, " "+n.sign+" ", unit)
}

// plusMinus reads a normal law.
func (n notation) plusMinus() (Distribution, error) {
	left, right := n.operands[0], n.operands[1]
	if right.number < 0 {
		return Distribution{}, n.fault("the standard deviation is negative",
			left.text+" +- "+strings.TrimLeft(right.text, "- \u2212"))
	}
	if right.unit == "%" && n.dim != units.Fraction {
		return n.relative(left, right)
	}
	if right.bare() && left.unit != "" && n.dim != units.Number {
		return Distribution{}, n.fault("the unit stands behind the last number", n.withUnit())
	}
	if n.dim == units.Fraction && left.bare() && unclearShare(left.number, right) {
		return Distribution{}, n.fault("the mean can be a fraction or per cent",
			rounded(100*left.number)+" +- "+right.text+" or "+left.digits+" % +- "+right.text)
	}
	sdDimension := n.dim
	if n.dim == units.Temperature {
		sdDimension = units.TemperatureDifference
	}
	sd, err := n.value(right, "", sdDimension)
	if err != nil {
		return Distribution{}, err
	}
	mean, err := n.value(left, right.unit, n.dim)
	if err != nil {
		return Distribution{}, err
	}
	return Normal(mean, sd)
}

// unclearShare finds "0.3 +- 10 %", which may mean 0.3 % or 30 %.
func unclearShare(mean float64, sd operand) bool {
	return sd.unit == "%" && math.Abs(mean) <= 1 && sd.number > math.Abs(mean)
}

// relative reads a normal law whose standard deviation is in per cent of the
// mean.
func (n notation) relative(left, right operand) (Distribution, error) {
	if n.dim == units.Temperature || n.dim == units.TemperatureDifference {
		return Distribution{}, n.fault("per cent of a temperature has no meaning", left.text+" +- 5 C")
	}
	if left.bare() && n.dim != units.Number {
		return Distribution{}, n.fault("unit is missing behind the mean", left.digits+behind(usualUnit(n.dim))+" +- "+right.text)
	}
	mean, err := n.value(left, "", n.dim)
	if err != nil {
		return Distribution{}, err
	}
	sd := math.Abs(mean) * right.number / 100
	if mean == 0 && right.number > 0 {
		return Distribution{}, n.fault("per cent of a mean of 0 is no spread", "")
	}
	return Normal(mean, sd)
}

// timesDivide reads a log-normal law.
func (n notation) timesDivide() (Distribution, error) {
	left, right := n.operands[0], n.operands[1]
	if left.unit != "" && right.unit != "" {
		return Distribution{}, n.fault("the geometric standard deviation has no unit", left.text+" x/ "+right.digits)
	}
	if right.whole || left.whole {
		return Distribution{}, n.fault("a dash size can't be log-normal", "")
	}
	unit := right.unit
	if left.unit != "" {
		unit = left.unit
	}
	if left.bare() && unit == "" && n.dim != units.Number && n.dim != units.Fraction {
		return Distribution{}, n.fault("unit is missing", n.withUnit())
	}
	median, err := n.value(left, unit, n.dim)
	if err != nil {
		return Distribution{}, err
	}
	tail := " x/ " + right.digits
	switch {
	case n.dim == units.Temperature && unit != "K":
		return Distribution{}, n.fault("a log-normal temperature is absolute, in K", left.digits+" +- 5 "+unit)
	case median <= 0:
		return Distribution{}, n.fault("the median of a log-normal distribution is not positive", strings.TrimLeft(left.digits, "- \u2212")+tail+behind(unit))
	case right.number <= 0:
		return Distribution{}, n.fault("the geometric standard deviation is a factor of 1 or more", left.digits+" x/ 1.4"+behind(unit))
	case right.number < 1:
		return Distribution{}, n.fault("the geometric standard deviation is a factor of 1 or more",
			left.digits+" x/ "+rounded(1/right.number)+behind(unit))
	case right.number > largestGSD:
		return Distribution{}, n.fault("the geometric standard deviation is above 1000", left.digits+" x/ 1.4"+behind(unit))
	}
	return LogNormal(median, right.number)
}
