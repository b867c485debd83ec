package scenarios

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// LearnedPath is the path of the one coordinate that picks a joint draw.
const LearnedPath = "learned"

// Learned is inputs that take their values together, from one of several weighted
// draws. Each of them still stands in Scenario.Inputs, with the distribution that
// the draws give it alone.
type Learned struct {
	File       string   // of the draws, as the scenario names it
	From       string   // what they were learned from, as the scenario names it
	Scenario   string   // hash of the scenario that they were learned from, see [Scenario.Unlearned]; may be empty
	Readings   []string // marks of what they were learned from, see [Observation.Mark]; nil: not known
	Measured   []string // paths that count as measured now; nil: all of the file, empty: none
	Except     []string // paths for which the scenario's own text counts
	Quantities []*Quantity
	Values     [][]float64 // SI, by quantity, then draw
	Weights    []float64   // by draw, in any scale

	// Which is what picks the draw: uniform from 0 to 1. Its ID is one beyond the
	// last of Scenario.Inputs, among which it is not.
	Which *Quantity

	cumulative []float64 // of Weights, to 1
}

// Len returns the number of draws.
func (l *Learned) Len() int { return len(l.Weights) }

// Draw returns the index of the draw at a place in the open interval (0, 1): each
// is as likely as its weight says.
func (l *Learned) Draw(u float64) int {
	return min(sort.SearchFloat64s(l.cumulative, u), len(l.cumulative)-1)
}

// SI units that stand in the header of a file of draws.
var siUnits = map[units.Dimension]string{
	units.Number: "1", units.Fraction: "1", units.Length: "m", units.Area: "m2", units.Volume: "m3", units.VolumeFlow: "m3/s",
	units.MassFlow: "kg/s", units.Mass: "kg", units.Pressure: "Pa", units.Temperature: "K", units.TemperatureDifference: "K",
	units.Density: "kg/m3", units.Concentration: "kg/m3", units.KinematicViscosity: "m2/s", units.Time: "s", units.Speed: "m/s",
	units.Acceleration: "m/s2", units.Distance: "m", units.Frequency: "Hz", units.Angle: "rad", units.RoadSpeed: "m/s",
	units.Power: "W", units.VehicleMass: "kg", units.DropletSize: "m", units.TrackLength: "m",
}

// siUnit is the SI unit of a quantity, for a header.
func siUnit(d units.Dimension, per string) string {
	unit := siUnits[d]
	if per != "" {
		unit += " " + strings.ReplaceAll(per, "per L", "per m3")
	}
	return unit
}

// drawsVersion is the version of the file format.
const drawsVersion = 1

// WriteLearned writes draws as the file that a scenario reads: what it is in the
// first line, then a column an input, values in SI, and one of weights; one row a
// draw. Only Quantities, Values and Weights of l are read.
func (s *Scenario) WriteLearned(w io.Writer, l *Learned) error {
	if len(l.Values) != len(l.Quantities) || len(l.Quantities) == 0 {
		return fmt.Errorf("draws: values of %d inputs for %d inputs", len(l.Values), len(l.Quantities))
	}
	if _, err := fmt.Fprintf(w, "# sumpward draws, version %d, of scenario %s\n", drawsVersion, s.Unlearned()); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	row := make([]string, 0, len(l.Quantities)+1)
	for i, q := range l.Quantities {
		if len(l.Values[i]) != len(l.Weights) {
			return fmt.Errorf("draws of %s: %d values for %d weights", q.Path, len(l.Values[i]), len(l.Weights))
		}
		row = append(row, q.Path+" ["+siUnit(q.Dimension, q.Per)+"]")
	}
	if err := out.Write(append(row, weightColumn)); err != nil {
		return err
	}
	for r, weight := range l.Weights {
		row = row[:0]
		for i := range l.Values {
			row = append(row, strconv.FormatFloat(l.Values[i][r], 'g', -1, 64))
		}
		if err := out.Write(append(row, strconv.FormatFloat(weight, 'g', -1, 64))); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// What a file of draws may hold.
const (
	weightColumn = "weight"
	mostDraws    = 20_000
	mostColumns  = 1000
	mostDrawn    = 1_500_000 // values in all
	longestRow   = 64 << 10  // bytes of a line
	largestDraws = 1 << 25   // bytes
	mostFaults   = 20        // that are told of one file
)

// draws is a file of draws as it was read.
type draws struct {
	scenario   string
	paths      []string
	values     [][]float64
	laws       []uncertainty.Distribution
	weights    []float64
	cumulative []float64
}

// fault is something wrong with a file of draws.
type fault struct {
	line         int
	column, what string
	hint         string
}

// column is one column of a file of draws.
type column struct {
	name string // as a message calls it
	unit units.Unit
	f    *Field // nil: weights
}

// drawsReader reads one file.
type drawsReader struct {
	columns []column
	d       draws
	faults  []fault
}

func (r *drawsReader) fault(line int, column, what, hint string) {
	r.faults = append(r.faults, fault{line, column, what, hint})
}

var (
	drawsHead  = regexp.MustCompile(`^# sumpward draws, version (\d+)(?:, of scenario ([0-9a-f]{64}))?\s*$`)
	drawsTitle = regexp.MustCompile(`^(.+) \[([^\[\]]+)\]$`)
)

// readDraws reads a file of draws. Nothing of it is returned with faults.
func readDraws(from io.Reader) (*draws, []fault, error) {
	data, err := io.ReadAll(io.LimitReader(from, largestDraws+1))
	if err != nil {
		return nil, nil, err
	}
	r := &drawsReader{}
	if len(data) > largestDraws {
		r.fault(0, "", fmt.Sprintf("the file is too large (allowed 0 to %d bytes)", largestDraws), "")
		return nil, r.faults, nil
	}
	head, rest, _ := strings.Cut(strings.TrimPrefix(string(data), "\ufeff"), "\n")
	m := drawsHead.FindStringSubmatch(head)
	switch {
	case m == nil:
		r.fault(1, "", "not a file of draws: its first line says what it is (got "+shorten(head)+")", "write: # sumpward draws, version 1")
	case m[1] != strconv.Itoa(drawsVersion):
		r.fault(1, "", "another version of the file format (got "+m[1]+", allowed 1)", "learn again, with this program")
	default:
		r.d.scenario = m[2]
		r.table(rest)
	}
	if len(r.faults) > 0 {
		return nil, r.faults, nil
	}
	return &r.d, nil, nil
}

// table reads the header and the rows.
func (r *drawsReader) table(text string) {
	line := 1
	for one := range strings.SplitSeq(text, "\n") {
		if line++; len(one) > longestRow {
			r.fault(line, "", fmt.Sprintf("the line is too long (got %d bytes, allowed 0 to %d)", len(one), longestRow), "")
			return
		}
	}
	in := csv.NewReader(strings.NewReader(text))
	in.ReuseRecord, in.TrimLeadingSpace = true, true
	for len(r.faults) < mostFaults {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var wrong *csv.ParseError
		if errors.As(err, &wrong) {
			r.fault(wrong.Line+1, "", "not readable as a table: "+wrong.Err.Error(), "a row has as many numbers as the header has columns")
			return
		}
		line, _ := in.FieldPos(0)
		if r.columns == nil {
			if r.header(row, line+1); len(r.faults) > 0 {
				return
			}
		} else {
			r.row(row, line+1)
		}
		if len(r.d.weights) > mostDraws {
			r.fault(line+1, "", fmt.Sprintf("too many draws (allowed 1 to %d)", mostDraws), "keep fewer rows; equal weights need fewest")
			return
		}
		if drawn := len(r.d.weights) * len(r.columns); drawn > mostDrawn {
			r.fault(line+1, "", fmt.Sprintf("too many values (got more than %d in %d columns)", mostDrawn, len(r.columns)), "keep fewer rows, or the columns that were learned")
			return
		}
	}
	if len(r.faults) == 0 {
		r.finish()
	}
}

// header reads the names and units of the columns.
func (r *drawsReader) header(row []string, line int) {
	first := map[string]bool{}
	if len(row) > mostColumns {
		r.fault(line, "", fmt.Sprintf("too many columns (got %d, allowed 2 to %d)", len(row), mostColumns), "learn again")
		return
	}
	for _, title := range row {
		title = strings.TrimSpace(title)
		c := column{name: title}
		if title != weightColumn {
			c = r.inputColumn(title, line)
			r.d.paths = append(r.d.paths, c.name)
			r.d.values = append(r.d.values, nil)
		}
		if first[c.name] {
			r.fault(line, shorten(c.name), "the column stands twice", "keep one of the two")
		}
		first[c.name] = true
		r.columns = append(r.columns, c)
	}
	if !first[weightColumn] {
		r.fault(line, weightColumn, "the column is missing", "write 1 for each row, where all draws are as likely")
	}
	if len(r.d.paths) == 0 {
		r.fault(line, "", "no input has a column", "write its path and unit: drain.fall [m]")
	}
}

// inputColumn reads "drain.fall [m]".
func (r *drawsReader) inputColumn(title string, line int) column {
	path, unit := title, ""
	if m := drawsTitle.FindStringSubmatch(title); m != nil {
		path, unit = m[1], m[2]
	}
	c := column{name: path, f: drawable(path)}
	if c.f == nil {
		e := &units.Error{}
		errors.As(unknownPath(path), &e)
		what := "unknown input (got " + shorten(path) + ")"
		if knownPath(path) {
			what, e.Hint = "never uncertain, so it can't be drawn", "leave the column out"
		}
		r.fault(line, shorten(path), what, e.Hint)
		return c
	}
	want := siUnit(c.f.Dimension, c.f.Per)
	switch u, err := units.ParseUnit(unit, c.f.Dimension); {
	case unit == want:
		c.unit.Factor = 1
	case unit == "" || c.f.Per != "" || err != nil:
		if unit == "" {
			unit = "none"
		}
		r.fault(line, shorten(path), "wrong unit (got "+shorten(unit)+", wanted "+want+")", "write: "+path+" ["+want+"]")
	default:
		c.unit = u
	}
	return c
}

// drawable returns the field of a path that may be uncertain, or nil.
func drawable(path string) *Field {
	f := fieldAt(path)
	switch {
	case path == duringTime.Path:
		return duringTime
	case f != nil && f.Kind == QuantityKind:
		return f
	case f != nil && f.Kind == EmptiedKind:
		every := quantity(path, units.Time, "1 s", "100 h", "30 min", "")
		every.low, every.high = 1, longestSession
		return &every
	case f == nil && knownPath(path), f == nil && pointPath(path): // a coordinate
		f := quantity(path, units.Length, "-10 m", "10 m", "-60 mm", "")
		f.low, f.high = -10, 10
		return &f
	}
	return nil
}

// pointPath reports whether a path is a coordinate of a point.
func pointPath(path string) bool {
	i := strings.LastIndexByte(path, '.')
	if i < 0 || !slices.Contains([]string{".x", ".y", ".z"}, path[i:]) {
		return false
	}
	f := fieldAt(path[:i])
	return f != nil && f.Kind == PointKind
}

// row reads the numbers of one draw.
func (r *drawsReader) row(row []string, line int) {
	at := 0
	for i, c := range r.columns {
		text := strings.TrimSpace(row[i])
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || v-v != 0 {
			r.fault(line, shorten(c.name), "a number is wanted here (got "+shorten(text)+")", "")
			v = 0
		}
		if c.f == nil {
			if v < 0 {
				r.fault(line, c.name, "a weight is negative (got "+shorten(text)+")", "")
			}
			r.d.weights = append(r.d.weights, v)
			continue
		}
		v = c.unit.ToSI(v)
		if f := c.f; err == nil && (f.Low != "" || f.High != "") && (v < f.low || v > f.high) {
			r.fault(line, shorten(c.name), "outside what is possible (got "+shorten(text)+", allowed "+f.Low+" to "+f.High+")", "look at the column's unit")
		}
		r.d.values[at] = append(r.d.values[at], v)
		at++
	}
}

// finish adds the weights up, and makes the law of each input alone.
func (r *drawsReader) finish() {
	d := &r.d
	if len(d.weights) == 0 {
		r.fault(0, "", fmt.Sprintf("the file has no draws (allowed 1 to %d)", mostDraws), "learn again")
		return
	}
	for i := range d.paths {
		law, err := uncertainty.Table(d.values[i], d.weights)
		if err != nil {
			r.fault(0, weightColumn, plainError(err), "")
			return
		}
		d.laws = append(d.laws, law)
	}
	d.cumulative = cumulativeOf(d.weights)
}

// cumulativeOf returns the shares of the weights up to each, the last one with a
// weight exactly 1.
func cumulativeOf(weights []float64) []float64 {
	total, sum, last := 0.0, 0.0, 0
	for i, w := range weights {
		total += w
		if w > 0 {
			last = i
		}
	}
	c := make([]float64, len(weights))
	for i, w := range weights {
		sum += w
		c[i] = sum / total
		if i >= last {
			c[i] = 1
		}
	}
	return c
}
