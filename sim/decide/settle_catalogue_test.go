package decide_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Whatever a verdict can depend on has a test that reads it, or says what to do
// instead: every number of a scenario, and every input of the ready-made ones.
func TestEveryInputHasATestOrSaysWhatToAssume(t *testing.T) {
	paths := map[string]bool{"drain.route.1.z": true, "drain.sump.oil_surface.z": true, "drain.emptied": true, "carry_over.during": true}
	for _, f := range scenarios.Fields() {
		if f.Kind == scenarios.QuantityKind && !strings.HasSuffix(f.Path, "ward") && !strings.HasSuffix(f.Path, ".right") {
			paths[strings.ReplaceAll(f.Path, "*", "1")] = true
		}
	}
	for _, name := range scenarios.ReadyNames() {
		file := example(t, name, "")
		for _, v := range append([]string{""}, file.Variants...) {
			m, err := sim.NewModel(example(t, name, v))
			require.NoError(t, err)
			for _, q := range m.Uncertain() {
				paths[q.Path] = true
			}
		}
	}
	require.Greater(t, len(paths), 60)
	for path := range paths {
		read := false
		for _, test := range decide.Tests() {
			for _, r := range test.Readings {
				read = read || r.Tells(path)
			}
		}
		assert.True(t, read || decide.AssumeFor(path) != "", "%s: neither a test nor what to assume", path)
	}
}

// A test says how long it takes, what is needed, how it is done safely, what to note
// and what to write; its readings have an error.
func TestEveryTestIsComplete(t *testing.T) {
	names := map[string]bool{}
	require.NotEmpty(t, decide.Tests())
	for _, x := range decide.Tests() {
		assert.False(t, names[x.Name], x.Name)
		names[x.Name] = true
		assert.Regexp(t, `^[a-z-]+$`, x.Name)
		assert.NotEmpty(t, x.Title, x.Name)
		assert.NotEmpty(t, x.Where, x.Name)
		assert.Positive(t, x.Minutes, x.Name)
		for part, lines := range map[string][]string{"needs": x.Needs, "safety": x.Safety, "steps": x.Steps, "record": x.Record} {
			assert.NotEmpty(t, lines, "%s: %s", x.Name, part)
			for _, line := range lines {
				assert.Equal(t, strings.TrimSpace(line), line)
				assert.NotEmpty(t, line)
			}
		}
		for _, line := range x.Record {
			assert.Contains(t, line, "___", x.Name)
		}
		assert.NotEmpty(t, x.Readings, x.Name)
		for _, r := range x.Readings {
			assert.True(t, (r.Error.SD > 0) != (r.Error.GSD > 1), "%s: %v", x.Name, r.Paths)
			assert.NotEmpty(t, r.Source)
		}
		_, err := decide.TestNamed(x.Name)
		assert.NoError(t, err)
	}
	_, err := decide.TestNamed("guess")
	assert.ErrorContains(t, err, `there is no test "guess": there are tape, light`)
}

// Where it is hot, burns or spins, the sheet says so.
func TestSafetyOfWhatIsDangerous(t *testing.T) {
	for _, x := range decide.Tests() {
		safety := strings.Join(x.Safety, " ")
		if strings.Contains(x.Where, "rollers") {
			assert.Contains(t, safety, "xtraction", x.Name)
			assert.Contains(t, safety, "outside", x.Name)
		}
		if strings.Contains(x.Where, "straight after") {
			assert.Contains(t, strings.ToLower(safety), "gloves", x.Name)
		}
	}
	for _, name := range []string{"pressure", "port", "blow-by"} {
		x, err := decide.TestNamed(name)
		require.NoError(t, err)
		assert.Contains(t, strings.Join(x.Safety, " "), "low-by burns", name)
	}
}

// What a sheet asks to be written is understood, and counts as measured.
func TestWhatToWriteIsUnderstood(t *testing.T) {
	numbers := map[string]string{
		"drain.fall": "120", "drain.dip": "30", "drain.bore": "12.7", "separator.diameter": "75", "drain.length": "700",
		"breathers.*.bore": "16", "breathers.*.length": "500", "separator.usable_volume": "0.45", "separator.cross_section": "44",
		"drain.valve_opens_at": "300", "drain.loss_coefficient": "3", "drain.flooding_constant": "0.7",
		"separator.pressure_loss.loss": "700", "separator.pressure_loss.at": "110", "separator.gas_path_closes_from": "60",
		"separator.oil_blown_out_from": "80", "breathers.*.loss_coefficient": "2.5", "separator.outlet.loss_coefficient": "2",
		"drain.port_pressure": "20", "engine.blow_by.full_throttle": "96", "engine.blow_by.closed_throttle": "12",
		"engine.intake_depression": "3.2", "carry_over.oil_used": "210", "carry_over.during": "25", "carry_over.through_breathers": "",
		"oil.aeration": "20", "oil.hose_warmth": "70", "oil.ambient": "25", "engine.gas_temperature": "90", "oil.temperature.start": "60",
		"oil.temperature.settled": "115", "oil.temperature.time_constant": "6", "engine.displacement": "2.2", "oil.density": "870", "duty.lap_variation": "10",
		"duty.log": "", "carry_over.full_throttle": "0.3", "oil.viscosity.at_40C": "98", "oil.viscosity.at_100C": "14",
	}
	for _, test := range decide.Tests() {
		require.NotEmpty(t, test.Write, test.Name)
		for _, w := range test.Write {
			number, known := numbers[w.Path]
			require.True(t, known, w.Path)
			if w.Path == "duty.log" {
				continue // a file of the shop's own
			}
			if test.Name == "dipstick" && w.Path == "carry_over.oil_used" {
				number = "0.3"
			}
			s := example(t, "sealed-drain", "")
			if w.Path == "drain.flooding_constant" {
				s = example(t, "lost-circuit", "")
			}
			if w.Path == "engine.displacement" {
				s = example(t, "sealed-can", "")
			}
			if w.Path == "carry_over.full_throttle" {
				s = must(t)(s.With(scenarios.Change{Path: "carry_over", Value: "{full_throttle: 0.4 x/ 1.4 g/s}"}, scenarios.Change{Path: "correlations"}))
			}
			path := strings.ReplaceAll(w.Path, "*", "block")
			c, err := s.With(scenarios.Change{Path: path, Value: strings.ReplaceAll(w.Value, "___", number)}, scenarios.Change{Path: "correlations"})
			require.NoError(t, err, "%s: %s", test.Name, w.Path)
			q := c.Input(path)
			require.NotNil(t, q, path)
			if w.Path != "carry_over.during" {
				assert.Equal(t, scenarios.Measured, q.Basis, w.Path)
			}
			for _, r := range test.Readings {
				if r.Of == "" && r.Tells(path) && !q.IsExact() {
					spread(t, q, r.Error, w.Path)
				}
			}
		}
	}
}

// A sheet has the lines that its layout has, one for each hose, and those that take
// the place of what follows from others.
func TestWritesForALayout(t *testing.T) {
	paths := func(name string, s *scenarios.Scenario) (list []string) {
		x, err := decide.TestNamed(name)
		require.NoError(t, err)
		for _, w := range x.WritesFor(s) {
			list = append(list, w.Path)
		}
		return list
	}
	drained, byHand := example(t, "sealed-drain", ""), example(t, "sealed-can", "")
	assert.Equal(t, []string{"drain.fall", "drain.dip"}, paths("tape", drained), "it may find a dip")
	assert.Equal(t, []string{"drain.dip"}, paths("light", drained))
	assert.Equal(t, []string{"drain.bore", "drain.length", "separator.diameter", "breathers.block.bore", "breathers.block.length", "breathers.covers.bore", "breathers.covers.length"},
		paths("callipers", drained), "block by block")
	assert.Empty(t, paths("tape", byHand))
	assert.Equal(t, []string{"breathers.block.loss_coefficient", "breathers.covers.loss_coefficient", "separator.outlet.loss_coefficient"}, paths("hose", drained))
	assert.Equal(t, []string{"engine.blow_by.full_throttle", "engine.blow_by.closed_throttle"}, paths("blow-by", byHand), "which follows from displacement")
	assert.Equal(t, []string{"carry_over.oil_used", "carry_over.during", "carry_over.through_breathers"}, paths("weigh", byHand))
	assert.Equal(t, []string{"duty.log", "duty.lap_variation"}, paths("log", byHand))
}

func TestTestsForALayout(t *testing.T) {
	names := func(s *scenarios.Scenario) (list []string) {
		for _, x := range decide.TestsFor(s) {
			list = append(list, x.Name)
		}
		return list
	}
	drained := names(example(t, "sealed-drain", ""))
	assert.Subset(t, drained, []string{"tape", "valve", "port", "pressure", "blow-by", "weigh", "sample"})
	assert.NotContains(t, drained, "air-up", "it has a valve")
	assert.NotContains(t, drained, "fill", "its volume is exact")
	byHand := names(example(t, "sealed-can", ""))
	assert.Subset(t, byHand, []string{"blow-by", "weigh", "sample"})
	assert.NotContains(t, byHand, "pressure", "there is no drain")
	assert.Contains(t, names(example(t, "lost-circuit", "")), "air-up")
}

// spread compares what a scenario is told with the error of the reading.
func spread(t *testing.T, q *scenarios.Quantity, e decide.ReadingError, path string) {
	t.Helper()
	if e.GSD > 0 {
		assert.InDelta(t, e.GSD, q.Distribution.B, 1e-9, path)
		return
	}
	assert.InDelta(t, e.SD, q.Distribution.B, 1e-9*math.Max(1, e.SD), path)
}

// step returns the step of a test that holds a formula.
func step(t *testing.T, name, formula string) {
	t.Helper()
	x, err := decide.TestNamed(name)
	require.NoError(t, err)
	assert.Contains(t, strings.Join(x.Steps, " "), formula)
}

// The formulas on the sheets give back what the model's own laws were given.
func TestFormulasOfTheSheets(t *testing.T) {
	step(t, "pour", "K = (9.81 H - 128 n L Q/(3.14 D^4)) / (800 n Q/(3.14 D^3) + 0.81 Q^2/D^4)")
	const density, n, length, bore, head, k = 860.0, 60e-6, 0.5, 12.7e-3, 0.13, 3.0
	a, b := physics.DrainHose{Bore: bore, Length: length, LossCoefficient: k, LaminarCoefficient: physics.DefaultLaminarCoefficient(k)}.Resistance(density, n*density)
	q := physics.DrainFlow(a, b, density*9.80665*head)
	got := (9.81*head - 128*n*length*q/(3.14*math.Pow(bore, 4))) / (800*n*q/(3.14*math.Pow(bore, 3)) + 0.81*q*q/math.Pow(bore, 4))
	assert.InEpsilon(t, k, got, 0.005, "rounded factors")

	step(t, "air-up", "C = root( Q/(0.785 D^2) * root(1.2/(9.81 * 850 * D)) )")
	f := physics.Flooding{Bore: bore, GasDensity: 1.2, OilDensity: 850, OilViscosity: 0.05, Constant: 0.72}
	got = math.Sqrt(f.GasLimit() / (0.785 * bore * bore) * math.Sqrt(1.2/(9.81*850*bore)))
	assert.InEpsilon(t, 0.72, got, 0.005)

	step(t, "hose", "K = dp D^4/(0.97 Q^2) - 0.03 L/D")
	air := physics.Gas{Density: 1.2, Viscosity: physics.AirViscosity(293)}
	const flow, wide = 100.0 / 60e3, 16e-3
	dp := physics.Hose{Bore: wide, Length: 0.5, LossCoefficient: 2.5}.PressureDrop(flow, air)
	assert.InDelta(t, 2.5, dp*math.Pow(wide, 4)/(0.97*flow*flow)-0.03*0.5/wide, 0.15, "0.03 for the friction factor")
}
