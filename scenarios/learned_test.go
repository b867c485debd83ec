package scenarios

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/internal/bounded"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// files opens texts by their names.
func files(texts map[string]string) func(string) (io.ReadCloser, error) {
	return func(name string) (io.ReadCloser, error) {
		text, ok := texts[name]
		if !ok {
			return nil, fs.ErrNotExist
		}
		return io.NopCloser(strings.NewReader(text)), nil
	}
}

const drawsOf = "# sumpward draws, version 1\n"

// threeDraws are those of two inputs.
const threeDraws = drawsOf + `drain.fall [m],oil.aeration [1],weight
0.10,0.05,1
0.11,0.20,2
0.13,0.10,1
`

// withDraws is the least scenario with draws learned.
func withDraws(t testing.TB, draws, more string) (*Scenario, error) {
	t.Helper()
	return Parse("test.yaml", []byte(least+more+"learned: {draws: a.csv, from: seen.yaml}\n"), files(map[string]string{"a.csv": draws}))
}

// TestWrongDraws compares the messages about wrong files of draws.
func TestWrongDraws(t *testing.T) {
	const at = "test.yaml:6: learned.draws: a.csv"
	row := strings.Repeat("0.1,1\n", mostDraws)
	for draws, want := range map[string]string{
		"":                                  at + ":1: not a file of draws: its first line says what it is (got )\n  write: # sumpward draws, version 1",
		"time,throttle\n0,1\n":              at + ":1: not a file of draws: its first line says what it is (got time,throttle)\n  write: # sumpward draws, version 1",
		"# sumpward draws, version 2\n":     at + ":1: another version of the file format (got 2, allowed 1)\n  learn again, with this program",
		drawsOf:                             at + ": the file has no draws (allowed 1 to 20000)\n  learn again",
		drawsOf + "weight\n1\n":             at + ":2: no input has a column\n  write its path and unit: drain.fall [m]",
		drawsOf + "drain.fall [m]\n0.1\n":   at + ":2: weight: the column is missing\n  write 1 for each row, where all draws are as likely",
		drawsOf + "drain.fall [m],weight\n": at + ": the file has no draws (allowed 1 to 20000)\n  learn again",
		drawsOf + "drain.fal [m],weight\n0.1,1\n":                     at + ":2: drain.fal: unknown input (got drain.fal)\n  did you mean drain.fall?",
		drawsOf + "sessions [s],weight\n0.1,1\n":                      at + ":2: sessions: never uncertain, so it can't be drawn\n  leave the column out",
		drawsOf + "limits.risk [1],weight\n0.1,1\n":                   at + ":2: limits.risk: never uncertain, so it can't be drawn\n  leave the column out",
		drawsOf + "drain.fall,weight\n0.1,1\n":                        at + ":2: drain.fall: wrong unit (got none, wanted m)\n  write: drain.fall [m]",
		drawsOf + "drain.fall [kPa],weight\n0.1,1\n":                  at + ":2: drain.fall: wrong unit (got kPa, wanted m)\n  write: drain.fall [m]",
		drawsOf + "engine.blow_by_law [m3/s],weight\n1,1\n":           at + ":2: engine.blow_by_law: wrong unit (got m3/s, wanted m3/s per m3 and bar)\n  write: engine.blow_by_law [m3/s per m3 and bar]",
		drawsOf + "drain.fall [m],drain.fall [m],weight\n0.1,0.1,1\n": at + ":2: drain.fall: the column stands twice\n  keep one of the two",
		drawsOf + "drain.fall [m],weight\n0.1,1\n0,1,1\n":             at + ":4: not readable as a table: wrong number of fields\n  a row has as many numbers as the header has columns",
		drawsOf + "drain.fall [m],weight\n0.1,1\nx,-1\nNaN,1\n": at + ":4: drain.fall: a number is wanted here (got x)\n" +
			at + ":4: weight: a weight is negative (got -1)\n" + at + ":5: drain.fall: a number is wanted here (got NaN)",
		drawsOf + "drain.fall [m],weight\n120,1\n":                at + ":3: drain.fall: outside what is possible (got 120, allowed 0 mm to 5 m)\n  look at the column's unit",
		drawsOf + "drain.fall [m],weight\n0.1,0\n":                at + ": weight: the weights don't add to a positive number (got \"0\")",
		drawsOf + "drain.fall [m],weight\n0.1,1e308\n0.1,1e308\n": at + ": weight: the weights don't add to a positive number (got \"+Inf\")",
		drawsOf + "drain.fall [m],weight\n" + row + "0.1,1\n":     at + ":20003: too many draws (allowed 1 to 20000)\n  keep fewer rows; equal weights need fewest",
	} {
		s, err := withDraws(t, draws, "")
		assert.Nil(t, s)
		assert.IsType(t, Problems{}, err)
		assert.EqualError(t, err, want)
	}
	_, err := withDraws(t, drawsOf+"drain.fall [m],weight\n"+row, "")
	assert.NoError(t, err)
	for block, want := range map[string]string{
		"{draws: b.csv}":                        "learned.draws: no such file (got b.csv)\n  put the draws beside the scenario",
		"{draws: ../a.csv}":                     "learned.draws: a file of draws lies beside the scenario or in a folder below it (got ../a.csv)\n  write: draws: a.csv",
		"{draws: /etc/a.csv}":                   "learned.draws: a file of draws lies beside the scenario or in a folder below it (got /etc/a.csv)\n  write: draws: a.csv",
		"{from: seen.yaml}":                     "learned.draws: missing: the file of the draws\n  write: draws: my-car.draws.csv",
		"{draws: a.csv, measured: [drain.fal]}": "learned.measured: not an input of the draws (got drain.fal)\n  did you mean drain.fall?",
		"{draws: a.csv, measured: drain.fall}":  "learned.measured: a list of words is wanted here (got drain.fall)\n  write: measured: [engine.blow_by.full_throttle, drain.fall]",
		"{draws: a.csv, weights: a.csv}":        "learned.weights: unknown field\n  known here: draws, from, readings, measured, except",
		"a.csv":                                 "learned: a block of fields is wanted here (got a.csv)\n  write: learned: {draws: my-car.draws.csv}",
	} {
		_, err := Parse("test.yaml", []byte(least+"learned: "+block+"\n"), files(map[string]string{"a.csv": threeDraws}))
		assert.EqualError(t, err, "test.yaml:6: "+want)
	}
	_, err = Parse("test.yaml", []byte(least+"learned: {draws: a.csv}\n"), nil)
	assert.EqualError(t, err, "test.yaml:6: learned.draws: the file of draws can't be read: this scenario can't refer to other files")
}

// TestLearned puts the draws in the place of the inputs' own distributions.
func TestLearned(t *testing.T) {
	s, err := withDraws(t, threeDraws, "")
	require.NoError(t, err)
	l := s.Learned
	require.NotNil(t, l)
	assert.Equal(t, 3, l.Len())
	fall, aeration := s.Input("drain.fall"), s.Input("oil.aeration")
	assert.Equal(t, []*Quantity{fall, aeration}, l.Quantities)
	assert.Equal(t, [][]float64{{0.10, 0.11, 0.13}, {0.05, 0.20, 0.10}}, l.Values)
	assert.Same(t, fall, s.Drain.Fall)
	assert.Equal(t, uncertainty.TableLaw, fall.Distribution.Kind)
	assert.InDelta(t, (0.10+2*0.11+0.13)/4, fall.Distribution.Mean(), 1e-12)
	assert.Equal(t, Measured, aeration.Basis)
	assert.Equal(t, "learned from seen.yaml", aeration.Source)
	assert.Equal(t, "110 mm (100 .. 130 mm)", fall.Notation(units.Metric))
	assert.Equal(t, Assumed, s.Input("oil.hose_warmth").Basis, "not in the draws")
	assert.Equal(t, len(s.Inputs), l.Which.ID)
	assert.Equal(t, "0.5", l.Which.Format(0.5, units.Metric))
	for u, want := range map[float64]int{1e-9: 0, 0.2499: 0, 0.2501: 1, 0.7499: 1, 0.7501: 2, 1 - 1e-16: 2} {
		assert.Equal(t, want, l.Draw(u), "at %g", u)
	}
	complete(t, s)
}

// TestDrawWithoutWeight never picks a draw that has no weight.
func TestDrawWithoutWeight(t *testing.T) {
	l := &Learned{cumulative: cumulativeOf([]float64{0, 0.1, 0, 0.2, 0.3, 0, 0})}
	for _, u := range []float64{0x1p-53, 0.1 / 0.6, 0.5, 0.9999999, 1 - 0x1p-53} {
		assert.Contains(t, []int{1, 3, 4}, l.Draw(u))
	}
}

// TestLearnedMeasured counts as measured what is listed, and no more.
func TestLearnedMeasured(t *testing.T) {
	s, err := Load("testdata/right/learned.yaml")
	require.NoError(t, err)
	require.Len(t, s.Learned.Quantities, 3, "the fall is excepted")
	assert.Equal(t, uncertainty.UniformLaw, s.Drain.Fall.Distribution.Kind)
	assert.Equal(t, Stated, s.Drain.Fall.Basis)
	settled := s.Input("oil.temperature.settled")
	assert.Equal(t, Assumed, settled.Basis)
	assert.InDelta(t, 118+273.15, settled.Nominal(), 1e-9, "degrees read as such")
	assert.Equal(t, Measured, s.Input("carry_over.oil_used").Basis)
	assert.InDelta(t, 0.36e-3, s.Input("carry_over.oil_used").Nominal(), 1e-12)
	assert.Equal(t, "12 L/min (10.8 .. 14.4 L/min) per L and bar", s.Input("engine.blow_by_law").Notation(units.Metric))
}

// TestLearnedMeasuredNone counts nothing as measured by an empty list, which is
// another thing than none.
func TestLearnedMeasuredNone(t *testing.T) {
	for list, want := range map[string]Basis{"[]": Stated, "[drain.fall]": Measured, "[oil.aeration]": Stated} {
		s, err := Parse("test.yaml", []byte(least+"learned: {draws: a.csv, measured: "+list+"}\n"), files(map[string]string{"a.csv": threeDraws}))
		require.NoError(t, err)
		assert.Equal(t, want, s.Input("drain.fall").Basis, list)
		again, err := s.SourceWith(s.Learned.Block())
		require.NoError(t, err)
		s, err = Parse("test.yaml", again, files(map[string]string{"a.csv": threeDraws}))
		require.NoError(t, err)
		assert.Equal(t, want, s.Input("drain.fall").Basis, list)
	}
}

// TestLearnedAndChanges takes out of the draws what is stated anew, and leaves the
// rest together.
func TestLearnedAndChanges(t *testing.T) {
	const draws = drawsOf + "drain.fall [m],oil.aeration [1],breathers.block.bore [m],drain.loss_coefficient [1],engine.wear [1],weight\n" +
		"0.1,0.1,0.016,3,1.5,1\n0.2,0.2,0.017,4,1.6,1\n"
	const more = "breathers: [{name: block, to: separator, bore: 15 .. 17 mm, length: 0.5 m, loss_coefficient: 2}]\n" +
		"variants: {lower: {drain.fall: 0.2 m}, by hand: {drain: {return: emptied_by_hand}}, plain: {learned: default}}\n"
	s, err := withDraws(t, draws, more)
	require.NoError(t, err)
	together := func(s *Scenario) (paths []string) {
		require.NotNil(t, s.Learned)
		for i, q := range s.Learned.Quantities {
			paths = append(paths, q.Path)
			assert.Len(t, s.Learned.Values[i], 2)
			assert.Same(t, q, s.Inputs[q.ID])
		}
		return paths
	}
	require.Equal(t, []string{"drain.fall", "oil.aeration", "breathers.block.bore", "drain.loss_coefficient", "engine.wear"}, together(s))
	for change, gone := range map[Change]string{
		{"drain.fall", 0.15}:                    "drain.fall",
		{"drain.fall", "100 .. 200 mm"}:         "drain.fall",
		{"oil.aeration", nil}:                   "oil.aeration",
		{"breathers.1.bore", "16 mm"}:           "breathers.block.bore",
		{"breathers.block.bore", "16 mm"}:       "breathers.block.bore",
		{"drain.fittings", "[straight, elbow]"}: "drain.loss_coefficient",
		{"engine.condition", "tired"}:           "engine.wear",
		{"oil.hose_warmth", "60 %"}:             "",
	} {
		c, err := s.With(change)
		require.NoError(t, err)
		got := together(c)
		assert.NotContains(t, got, gone)
		if gone != "" {
			assert.Len(t, got, 4, gone)
			assert.NotEqual(t, "learned from seen.yaml", c.Input(gone).Source)
		}
		again, err := c.With(Change{"oil.temperature.start", "50 C"})
		require.NoError(t, err)
		assert.Equal(t, got, together(again), "stays out")
	}
	assert.Len(t, together(s), 5, "the scenario itself is left alone")
	v, err := s.Variant("lower")
	require.NoError(t, err)
	assert.NotContains(t, together(v), "drain.fall")
	assert.Equal(t, 0.2, v.Drain.Fall.Nominal())
	v, err = s.Variant("by hand")
	require.NoError(t, err)
	assert.Equal(t, []string{"oil.aeration", "breathers.block.bore", "engine.wear"}, together(v))
	for _, w := range v.Warnings {
		assert.NotContains(t, w.Path, "learned", "the drain is gone, and what was learned of it")
	}
	v, err = s.Variant("plain")
	require.NoError(t, err)
	assert.Nil(t, v.Learned)
}

// TestLearnedWarnings tells of draws that are not used, of correlations that the
// draws hold already, and of a scenario that was changed meanwhile.
func TestLearnedWarnings(t *testing.T) {
	const more = "correlations: [{between: [oil.aeration, oil.hose_warmth], rank: 0.5}, {between: [oil.aeration_in_hose, oil.hose_warmth], rank: 0.5}]\n"
	s, err := withDraws(t, drawsOf+"oil.aeration [%],drain.valve_opens_at [Pa],weight\n5,300,1\n10,200,1\n", more)
	require.NoError(t, err)
	assert.Len(t, s.Correlations, 1)
	assert.Contains(t, s.Warnings, Warning{6, "correlations", "not used: oil.aeration is drawn from a.csv, which holds what it goes with"})
	assert.Contains(t, s.Warnings, Warning{7, "learned.draws", "not used: drain.valve_opens_at is no input of this layout"})
	assert.InDelta(t, 0.05, s.Learned.Values[0][0], 1e-15)

	head := "# sumpward draws, version 1, of scenario " + parsed(t, least).Unlearned() + "\n"
	const changed = "the scenario was changed after a.csv was learned, and the draws go before what it says of their inputs; learn again, or name those that you changed under except"
	same, err := withDraws(t, strings.Replace(threeDraws, drawsOf, head, 1), "")
	require.NoError(t, err)
	assert.NotContains(t, same.Warnings, Warning{6, "learned", changed})
	other, err := withDraws(t, strings.Replace(threeDraws, drawsOf, head, 1), "sessions: 20 min\n")
	require.NoError(t, err)
	assert.Contains(t, other.Warnings, Warning{7, "learned", changed})
}

// TestDrawsRoundTrip writes draws of every uncertain input of every right scenario,
// reads them back, and finds the same numbers, to the last bit.
func TestDrawsRoundTrip(t *testing.T) {
	var all []*Scenario
	for _, name := range ReadyNames() {
		s, err := Ready(name)
		require.NoError(t, err)
		all = append(all, s)
	}
	for _, name := range []string{"every-field", "below-oil-and-road", "circuit-and-can", "layout-and-stops", "learned", "log-and-hand"} {
		s, err := Load("testdata/right/" + name + ".yaml")
		require.NoError(t, err)
		all = append(all, s)
	}
	for _, s := range all {
		l := &Learned{File: "b.csv", From: "what was seen.yaml", Weights: []float64{0.1, 1.0 / 3, 2e-300, 7}}
		for _, q := range s.Inputs {
			if q.IsExact() {
				continue
			}
			var values []float64
			for i := range l.Weights {
				values = append(values, q.Distribution.Quantile(math.Pi/13*(float64(i)+0.5)))
			}
			l.Quantities, l.Values = append(l.Quantities, q), append(l.Values, values)
		}
		l.Measured = []string{l.Quantities[0].Path}
		var b bytes.Buffer
		require.NoError(t, s.WriteLearned(&b, l))
		text, err := s.SourceWith(l.Block())
		require.NoError(t, err)
		open := func(name string) (io.ReadCloser, error) {
			if name == "b.csv" {
				return io.NopCloser(bytes.NewReader(b.Bytes())), nil
			}
			return s.source.open(name)
		}
		read, err := Parse("again.yaml", text, open)
		require.NoError(t, err, s.Title)
		require.NotNil(t, read.Learned)
		assert.Equal(t, l.Values, read.Learned.Values)
		assert.Equal(t, l.Weights, read.Learned.Weights)
		assert.Equal(t, l.From, read.Learned.From)
		assert.Equal(t, s.Unlearned(), read.Learned.Scenario)
		for i, q := range read.Learned.Quantities {
			assert.Equal(t, l.Quantities[i].Path, q.Path)
			assert.Equal(t, i == 0 || s.Learned == nil && l.Quantities[i].Basis == Measured, q.Basis == Measured, q.Path)
		}
		for _, w := range read.Warnings {
			assert.False(t, w.Path == "learned" || w.Path == "learned.draws", w.Text)
		}
		var again bytes.Buffer
		require.NoError(t, read.WriteLearned(&again, read.Learned))
		assert.Equal(t, b.String(), again.String())
	}
}

// TestWriteLearnedWrong refuses draws that don't fit together.
func TestWriteLearnedWrong(t *testing.T) {
	s := parsed(t, least)
	q := s.Input("drain.fall")
	assert.EqualError(t, s.WriteLearned(io.Discard, &Learned{}), "draws: values of 0 inputs for 0 inputs")
	assert.EqualError(t, s.WriteLearned(io.Discard, &Learned{Quantities: []*Quantity{q}, Values: [][]float64{{1}}, Weights: []float64{1, 2}}), "draws of drain.fall: 1 values for 2 weights")
}

// TestSIUnits has a unit without a factor for every dimension.
func TestSIUnits(t *testing.T) {
	for _, f := range Fields() {
		unit, ok := siUnits[f.Dimension]
		require.True(t, ok, f.Path)
		if unit == "1" {
			continue
		}
		u, err := units.ParseUnit(unit, f.Dimension)
		require.NoError(t, err, f.Path)
		assert.Equal(t, 1.0, u.Factor, unit)
		assert.Zero(t, u.Offset, unit)
		assert.Equal(t, f.Per != "", f.scale != 1, "%s: counted per L, or turned", f.Path)
	}
}

// TestSourceWith adds a block, or puts another in its place, and keeps all else.
func TestSourceWith(t *testing.T) {
	const block = "learned:\n  draws: new.csv\n"
	draws := map[string]string{"new.csv": threeDraws, "a.csv": threeDraws}
	for _, x := range [][2]string{
		{least, least + "\n" + block},
		{strings.TrimSuffix(least, "\n"), least + "\n" + block},
		{least + "# end\n\n\n", least + "# end\n\n" + block},
		{least + "learned: {draws: a.csv}\n", least + "\n" + block},
		{least + "learned:\n  draws: a.csv   # old\n\n  # more\n  from: x\n\n# about sessions\nsessions: 20 min   # one\n", least + "\n# about sessions\nsessions: 20 min   # one\n\n" + block},
		{least + "\"learned\": {draws: a.csv,\n  measured: [drain.fall\n]}\nsessions: 20 min\n", least + "sessions: 20 min\n\n" + block},
		{"# learned:\n" + least, "# learned:\n" + least + "\n" + block},
	} {
		s, err := Parse("test.yaml", []byte(x[0]), files(draws))
		require.NoError(t, err, x[0])
		got, err := s.SourceWith(block)
		require.NoError(t, err)
		assert.Equal(t, x[1], string(got))
		again, err := Parse("test.yaml", got, files(draws))
		require.NoError(t, err)
		assert.Equal(t, "new.csv", again.Learned.File)
		assert.Equal(t, s.Unlearned(), again.Unlearned())
	}
	for _, text := range []string{
		"{scenario: 1, carry_over: {oil_used: 0.35 L, during: 25 min}, separator: {usable_volume: 0.45 L, diameter: 75 mm}, drain: {return: emptied_by_hand}, duty: {pattern: {full_throttle: 50 %, burst: 7 s}}}\n",
		least + "...\n",
	} {
		s, err := Parse("test.yaml", []byte(text), nil)
		require.NoError(t, err)
		_, err = s.SourceWith(block)
		assert.EqualError(t, err, "the scenario is written in a way that takes no block at its end; add this by hand:\n"+block)
	}
}

// TestBlock writes names that YAML would take for something else in quotes.
func TestBlock(t *testing.T) {
	l := &Learned{File: "my car.csv", From: "a: b.yaml", Measured: []string{"breathers.a, b.bore", "drain.fall"}, Except: []string{}}
	assert.Equal(t, "learned:                                    # goes before what stands above\n"+
		"  draws: \"my car.csv\"\n  from: \"a: b.yaml\"\n  measured: [\"breathers.a, b.bore\", drain.fall]\n  except: []\n", l.Block())
}

// FuzzDraws feeds any bytes as a file of draws.
func FuzzDraws(f *testing.F) {
	f.Add([]byte(threeDraws))
	f.Add([]byte(drawsOf + "\"drain.fall [m]\", oil.aeration [%],weight\n1e-1,0,0\n0.1,50,1e300\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var s *Scenario
		var err error
		bounded.Do(t, func() { s, err = withDraws(t, string(data), "") })
		var problems Problems
		if err != nil {
			if !errors.As(err, &problems) || len(problems) == 0 {
				t.Fatalf("an error without problems: %v", err)
			}
			return
		}
		complete(t, s)
		if s.Learned == nil {
			return
		}
		for _, u := range []float64{1e-16, 0.5, 1 - 1e-16} {
			if i := s.Learned.Draw(u); !(s.Learned.Weights[i] > 0) {
				t.Fatalf("draw %d at %g: %v", i, u, s.Learned.Weights)
			}
		}
	})
}
