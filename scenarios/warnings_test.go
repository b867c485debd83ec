package scenarios

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/datalog"
	"sumpward/scenarios/uncertainty"
)

const noTrap = "drain.seal: no climb of a bore or more is in the hose: the trap is taken to be a fitting of its own; if there is none, write: seal: none\n"

// warned returns "line: path: text" of every warning.
func warned(s *Scenario) string {
	var b strings.Builder
	for _, w := range s.Warnings {
		if w.Line > 0 {
			b.WriteString(w.Path + ": " + w.Text + "\n")
		}
	}
	return b.String()
}

// TestWarnings tells of what is valid and not used, and of what was changed.
func TestWarnings(t *testing.T) {
	with := func(block, instead string) string {
		var lines []string
		for _, line := range strings.Split(least, "\n") {
			if !strings.HasPrefix(line, block+":") {
				lines = append(lines, line)
			}
		}
		return strings.Join(lines, "\n") + instead + "\n"
	}
	for _, c := range []struct{ text, want string }{
		{least, ""},
		{with("drain", "drain: {return: above_oil, seal: valve, bore: 12.7 mm, fall: 120 mm, flooding_constant: 0.7}"),
			"drain.flooding_constant: not used: no gas goes up a drain with a valve\n"},
		{with("drain", "drain: {return: above_oil, bore: 12.7 mm, fall: 120 mm, valve_opens_at: 0.3 kPa}"),
			"drain.valve_opens_at: not used: there is no valve\n"},
		{with("drain", "drain: {return: above_oil, bore: 12.7 mm, fall: 120 mm, sump: {area: 0.06 m2}, emptied: at stops}"),
			"drain.emptied: not used: the oil drains back\ndrain.sump.area: not used: the return is above the oil\n"},
		{with("drain", "drain: {return: below_oil, seal: trap, bore: 12.7 mm, fall: 120 mm}"),
			"drain.seal: not used: a return below the oil needs no trap\n"},
		{with("drain", "drain: {return: above_oil, seal: trap, bore: 12.7 mm, fall: 120 mm}"), noTrap},
		{with("drain", "drain: {return: above_oil, seal: trap, bore: 12.7 mm, fall: 120 mm, dip: 12 mm}"), noTrap},
		{with("drain", "drain: {return: above_oil, seal: trap, bore: 12.7 mm, fall: 120 mm, dip: 12.7 mm}"), ""},
		{with("drain", "drain: {return: above_oil, seal: trap, bore: 12 .. 14 mm, fall: 120 mm, dip: 5 .. 25 mm}"), ""},
		{with("drain", "drain: {return: above_oil, seal: trap, bore: 13 mm, route: [[0, 0, 0], [0, 0, -60 mm], [1 cm, 0, -47 mm], [2 cm, 0, -120 mm]]}"), ""},
		{with("drain", "drain: {return: above_oil, seal: trap, bore: 13 mm, route: [[0, 0, 0], [0, 0, -60 mm], [1 cm, 0, -48 mm], [2 cm, 0, -120 mm]]}"), noTrap},
		{with("drain", "drain: {return: above_oil, seal: trap, bore: 13 mm, route: [[0, 0, 0], [0, 0, -60 mm], [1 cm, 0, -52 mm], [2 cm, 0, -52 mm], [3 cm, 0, -44 mm], [4 cm, 0, -120 mm]]}"), ""},
		{with("drain", "drain: {return: above_oil, seal: trap, bore: 13 mm, route: [[0, 0, 0], [0, 0, -60 mm], [1 cm, 0, -52 mm], [2 cm, 0, -62 mm], [3 cm, 0, -54 mm], [4 cm, 0, -120 mm]]}"), noTrap},
		{with("drain", "drain: {return: above_oil, seal: trap, bore: 13 mm, route: [[0, 0, 0], [0, 0, -120 mm], [1 cm, 0, -100 mm]]}"), ""},
		{with("drain", "drain: {return: above_oil, seal: valve, bore: 12.7 mm, fall: 120 mm}"), ""},
		{with("drain", "drain: {return: emptied_by_hand, emptied: at stops}"),
			"drain.emptied: the engine never stops in this duty, so the can isn't emptied within a session; write: emptied: every 30 min; or a duty.lap, in place of the pattern, that holds: - {for: 10 min, engine: stopped}\n"},
		{with("drain", "drain: {return: emptied_by_hand, bore: 12.7 mm, route: [[0, 0, 0], [0, 0, -1 mm]]}"),
			"drain.bore: not used: the can is emptied by hand\ndrain.route: not used: the can is emptied by hand\n"},
		{with("drain", "drain: {return: above_oil, bore: 12.7 mm, route: [[0, 0, 0], [0, 0, 10 mm]]}"),
			"drain.route: the return is no lower than the can: nothing drains with the car level\n"},
		{with("carry_over", "carry_over: {oil_used: 0.35 L, during: 25 min}"),
			"carry_over.oil_used: widened to a standard deviation of 0.1 L: a reading tells no more (got 0.35 L)\n"},
		{with("carry_over", "carry_over: {oil_used: 0.1 +- 0.1 L, during: 25 min}"),
			"carry_over.oil_used: 16 % of 0.1 +- 0.1 L is impossible and was cut off (allowed 0 L to 30 L)\n"},
		{with("carry_over", "carry_over: {oil_used: 0.3 .. 0.4 L, during: 25 min}"), ""},
		{with("carry_over", "carry_over: {full_throttle: 0.4 g/s, during: 25 min, through_breathers: 80 %}"),
			"carry_over.during: not used: carry-over is given at full throttle\ncarry_over.through_breathers: not used: carry-over is given at full throttle\n"},
		{with("separator", "separator: {usable_volume: 0.45 L, diameter: 75 mm, efficiency_when_full: 50 %}"),
			"separator.efficiency_when_full: not used: no oil is blown out again (oil_blown_out_from is 100 %)\n"},
		{with("separator", "separator: {usable_volume: 0.45 L, diameter: 75 mm, efficiency: 95 +- 5 %}"),
			"separator.efficiency: 16 % of 95 +- 5 % is impossible and was cut off (allowed 0 % to 100 %)\n"},
		{least + "simulation: {realizations: 100, sampling_error: 1 %}",
			"simulation.sampling_error: not used: the number of realizations is given\n"},
		{least + "engine: {blow_by: {full_throttle: 96 L/min, closed_throttle: 8 L/min}, displacement: 2 L, boost: 1 bar}",
			"engine.boost: not used: blow-by is given\nengine.displacement: not used: blow-by is given\n"},
		{least + "engine: {wear: 2, condition: used, boost: 0 bar, shaft_seals: 1.2, displacement: 2 L}",
			"engine.condition: not used: wear is given\nengine.shaft_seals: not used: there is no boost\n"},
		{with("duty", "duty: {lap: [{for: 9 s, load: 100 %}, {for: 9 s, load: 50 %, engine: stopped}]}"),
			"duty.lap.2.load: not used: the engine is stopped\n"},
	} {
		assert.Equal(t, c.want, warned(parsed(t, c.text)), c.text)
	}
}

// TestEmptiedNever tells of a can that is emptied at stops that the duty
// doesn't hold.
func TestEmptiedNever(t *testing.T) {
	by := func(emptied, duty string) string {
		text := strings.Replace(least, "drain: {return: above_oil, bore: 12.7 mm, fall: 120 mm}", "drain: {return: emptied_by_hand, emptied: "+emptied+"}", 1)
		s, err := Parse("test.yaml", []byte(strings.Replace(text, "pattern: {full_throttle: 50 %, burst: 7 s}", duty, 1)), within("testdata/wrong"))
		require.NoError(t, err)
		return warned(s)
	}
	const never = "drain.emptied: the engine never stops in this duty, so the can isn't emptied within a session; write"
	running := "lap: [{for: 9 s, load: 100 %}]"
	log := "log: {file: logs/plain.csv, positive: {longitudinal: forward, lateral: left}}"
	assert.Equal(t, never+" a phase of duty.lap: - {for: 10 min, engine: stopped}; or, without one: emptied: every 30 min\n", by("at stops", running))
	assert.Contains(t, by("at stops", log), never+": emptied: every 30 min; or bring a log whose rpm column reads 0 at stops\n")
	for _, emptied := range []string{"every session", "every 30 min"} {
		assert.NotContains(t, by(emptied, running), "never stops")
	}
	assert.Empty(t, by("at stops", "lap: [{for: 9 s, load: 100 %}, {for: 10 min, engine: stopped}]"), "what the warning says to write")

	standing := Duty{Log: &DataLog{Phases: []datalog.Phase{{Load: 1}, {EngineStopped: true}}}}
	assert.True(t, standing.stops())
	standing.Log.Phases[1].EngineStopped = false
	assert.False(t, standing.stops())
}

// TestNotStated warns where the engine is left to priors.
func TestNotStated(t *testing.T) {
	var texts []string
	for _, w := range parsed(t, least).Warnings {
		texts = append(texts, w.Path+": "+w.Text)
	}
	assert.Equal(t, []string{
		"engine.displacement: not stated: 1.6 .. 2.5 L is assumed (prior, no published source)",
		"engine.boost: not stated: 0 .. 1.2 bar is assumed (prior, no published source)",
		"engine.condition: not stated: used is assumed (prior, no published source)",
	}, texts)
}

// TestSpread widens exact and normal readings to 0.1 L, and no others.
func TestSpread(t *testing.T) {
	for text, want := range map[string]float64{"0.35 L": 1e-4, "0.35 +- 0.05 L": 1e-4, "0.35 +- 0.1 L": 1e-4, "0.35 +- 0.2 L": 2e-4} {
		d := parsed(t, strings.Replace(least, "0.35 +- 0.1 L", text, 1)).CarryOver.OilUsed.Distribution
		assert.Equal(t, uncertainty.NormalLaw, d.Kind)
		assert.InDelta(t, want, d.B, 1e-15, text)
		assert.Equal(t, 0.0, d.Low, "cut at no oil")
	}
	for _, text := range []string{"0.34 .. 0.36 L", "0.35 x/ 1.01 L"} {
		d := parsed(t, strings.Replace(least, "0.35 +- 0.1 L", text, 1)).CarryOver.OilUsed.Distribution
		assert.Less(t, d.Quantile(0.9)-d.Quantile(0.1), 0.03e-3, text)
	}
}

// TestCut reports the share that physics cut off: of a normal distribution,
// one standard deviation from the limit, 15.8655 % (exact mathematics).
func TestCut(t *testing.T) {
	q := parsed(t, strings.Replace(least, "0.35 +- 0.1 L", "0.1 +- 0.1 L", 1)).CarryOver.OilUsed
	assert.InDelta(t, 0.158655253931457, q.Cut, 1e-9)
	assert.GreaterOrEqual(t, q.Distribution.Quantile(1e-12), 0.0)
}

// TestReversedAxis makes the wrong sign of an axis visible.
func TestReversedAxis(t *testing.T) {
	text := strings.Replace(least, "pattern: {full_throttle: 50 %, burst: 7 s}", "log: {file: logs/plain.csv, positive: {longitudinal: WAY, lateral: left}}", 1)
	open := within("testdata/wrong")
	right, err := Parse("test.yaml", []byte(strings.Replace(text, "WAY", "forward", 1)), open)
	require.NoError(t, err)
	reversed, err := Parse("test.yaml", []byte(strings.Replace(text, "WAY", "backward", 1)), open)
	require.NoError(t, err)
	assert.NotContains(t, warned(right), "reversed")
	assert.Contains(t, warned(reversed), "reversed")
	assert.InDelta(t, -right.Duty.Log.Phases[0].Forward, reversed.Duty.Log.Phases[0].Forward, 1e-12)
}

// TestFittings sums named fittings, entrance and exit.
func TestFittings(t *testing.T) {
	s := parsed(t, least+"breathers: [{fittings: [Elbow, sweep elbow, banjo]}, {fittings: []}]\n")
	q := s.Breathers[0].LossCoefficient
	low, high := q.Distribution.Range()
	assert.InDelta(t, 1.5+0.69+0.28+3, low, 1e-12)
	assert.InDelta(t, 1.5+0.81+0.38+5, q.Nominal(), 1e-12)
	assert.InDelta(t, 1.5+0.90+0.48+8, high, 1e-12)
	assert.Equal(t, Assumed, q.Basis)
	assert.Contains(t, q.Source, "Crane TP-410")
	bare := s.Breathers[1].LossCoefficient
	assert.True(t, bare.IsExact())
	assert.InDelta(t, 1.5, bare.Nominal(), 1e-15)
	named := map[string]bool{}
	for _, f := range Fittings() {
		for _, name := range append([]string{f.Name}, f.Synonyms...) {
			assert.False(t, named[plainName(name)], "%s stands twice", name)
			named[plainName(name)] = true
			k := parsed(t, least+"breathers: [{fittings: ["+name+"]}]\n").Breathers[0].LossCoefficient
			assert.InDelta(t, 1.5+f.Nominal, k.Nominal(), 1e-12, name)
		}
		assert.LessOrEqual(t, f.Low, f.Nominal, f.Name)
		assert.LessOrEqual(t, f.Nominal, f.High, f.Name)
		assert.NotEmpty(t, f.Source)
	}
}

// TestSpelledOut reads the same distribution in each of its notations.
func TestSpelledOut(t *testing.T) {
	fall := func(text string) *Quantity {
		return parsed(t, strings.Replace(least, "fall: 120 mm", "fall: "+text, 1)).Drain.Fall
	}
	for spelled, short := range map[string]string{
		"{distribution: normal, mean: 120 mm, standard_deviation: 5 mm}":     "120 +- 5 mm",
		"{distribution: normal, mean: 120 mm, sd: 5 mm}":                     "120 +- 5 mm",
		"{distribution: Uniform, low: 8 cm, high: 120 mm}":                   "80 .. 120 mm",
		"{distribution: uniform, low: 0, high: 120 mm}":                      "0 .. 120 mm",
		"{distribution: triangular, low: 100 mm, mode: 110 mm, high: 12 cm}": "100 .. 110 .. 120 mm",
		"{distribution: lognormal, median: 100 mm, gsd: 1.2}":                "100 x/ 1.2 mm",
		"{value: 100 +- 3 mm, basis: measured}":                              "100 +- 3 mm",
		"{value: 100 +- 3 mm, at_least: 0}":                                  "100 +- 3 mm",
		"{table: {values: [0.1 m]}}":                                         "100 mm",
	} {
		for _, u := range []float64{0.01, 0.5, 0.9} {
			assert.InDelta(t, fall(short).Distribution.Quantile(u), fall(spelled).Distribution.Quantile(u), 1e-12, spelled)
		}
	}
	cut := fall("{distribution: normal, mean: 120 mm, standard_deviation: 5 mm, from: 118 mm, to: 125 mm}")
	low, high := cut.Distribution.Low, cut.Distribution.High
	assert.InDelta(t, 0.118, low, 1e-12)
	assert.InDelta(t, 0.125, high, 1e-12)
	assert.Zero(t, cut.Cut, "cut as asked, not by physics")
	assert.Equal(t, Measured, fall("{value: 120 mm, basis: measured}").Basis)
	assert.Equal(t, Stated, fall("120 mm").Basis)
	noted := fall("{value: 120 mm, basis: assumed, source: by eye}")
	assert.Equal(t, [2]string{"assumed", "by eye"}, [2]string{string(noted.Basis), noted.Source})
	table := fall("{table: {values: [100 mm, 120 mm], weights: [1, 3]}}").Distribution
	assert.InDelta(t, 0.1, table.Quantile(0.24), 1e-15)
	assert.InDelta(t, 0.12, table.Quantile(0.26), 1e-15)
	beta := fall("{distribution: beta, shape: [2, 5], from: 100 mm, to: 170 mm}").Distribution
	assert.InDelta(t, 0.1+0.07*2/7, beta.Mean(), 1e-12, "mean of a beta: a/(a+b)")
}

// TestDocument reads what YAML allows in writing the same file.
func TestDocument(t *testing.T) {
	want := inputs(parsed(t, least), "")
	for name, text := range map[string]string{
		"byte order mark":         "\ufeff" + least,
		"carriage returns":        strings.ReplaceAll(least, "\n", "\r\n"),
		"old line ends":           strings.ReplaceAll(least, "\n", "\r"),
		"document mark":           "---\n" + least,
		"end mark":                least + "...\n",
		"quotes":                  strings.Replace(least, "120 mm", `"120 mm"`, 1),
		"single quotes":           strings.Replace(least, "120 mm", `'120 mm'`, 1),
		"comments":                "# a\n" + strings.ReplaceAll(least, "\n", " # b\n"),
		"unicode spaces":          strings.Replace(least, "120 mm", "120\u00a0mm", 1),
		"plus minus":              strings.Replace(least, "+-", "±", 1),
		"without a last line end": strings.TrimSuffix(least, "\n"),
		"block style":             strings.Replace(least, "separator: {usable_volume: 0.45 L, diameter: 75 mm}", "separator:\n  usable_volume:\n    0.45 L\n  diameter: 75 mm", 1),
		"tab before a note":       strings.Replace(least, "scenario: 1", "scenario: 1\t# version", 1),
	} {
		s, err := Parse("test.yaml", []byte(text), nil)
		if assert.NoError(t, err, name) {
			assert.Empty(t, differences(want, inputs(s, "")), name)
		}
	}
}

// TestLineEnds counts lines alike whatever ends them.
func TestLineEnds(t *testing.T) {
	for _, end := range []string{"\n", "\r\n", "\r"} {
		_, err := Parse("test.yaml", []byte(strings.ReplaceAll(strings.Replace(least, "120 mm", "120", 1), "\n", end)), nil)
		assert.ErrorContains(t, err, "test.yaml:4: drain.fall")
	}
}

// TestLines points at the lines of a file.
func TestLines(t *testing.T) {
	data, err := os.ReadFile("testdata/right/every-field.yaml")
	require.NoError(t, err)
	lines := strings.Split(string(data), "\n")
	s, err := Load("testdata/right/every-field.yaml")
	require.NoError(t, err)
	stated := 0
	for _, q := range s.Inputs {
		if q.Line == 0 {
			assert.Equal(t, Assumed, q.Basis, q.Path)
			continue
		}
		stated++
		name := q.Path[strings.LastIndexByte(q.Path, '.')+1:]
		line := lines[q.Line-1]
		switch {
		case strings.Contains(line, "engine: stopped"):
		case strings.Contains(line, "fittings:"):
		case strings.Contains(line, "right:"):
		default:
			assert.Contains(t, line, name+":", q.Path)
		}
	}
	assert.Greater(t, stated, 60)
}

// TestSHA identifies the file's bytes; the digest is that of sha256sum (GNU
// coreutils).
func TestSHA(t *testing.T) {
	a := parsed(t, least)
	assert.Equal(t, "36d6c340cfcd2c639f7525feb11d8c7c1501a914cf36a2f9cfcbe6b612dfb6df", a.SHA256)
	v, err := a.With(Change{"drain.fall", "1 m"})
	require.NoError(t, err)
	assert.Equal(t, a.SHA256, v.SHA256)
}
