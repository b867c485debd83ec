package scenarios

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// TestCatalogue checks every field: a line of doc, an example that decodes, a
// default that decodes, has a source and lies inside its bounds uncut.
func TestCatalogue(t *testing.T) {
	require.NotEmpty(t, Fields())
	for _, field := range Fields() {
		f := field
		t.Run(f.Path, func(t *testing.T) {
			assert.NotEmpty(t, f.Doc)
			assert.Equal(t, f.Default != "", f.Source != "", "a default has a source")
			switch f.Kind {
			case BlockKind:
				assert.NotEmpty(t, f.children)
				return
			case QuantityKind, ExactKind:
				assert.Less(t, f.low, f.high)
				d, err := f.assumed()
				if f.Default != "" {
					require.NoError(t, err)
					_, cut, err := d.Truncate(f.low, f.high)
					assert.NoError(t, err)
					assert.Less(t, cut, 0.001)
				}
			}
			for _, text := range []string{f.Example, f.Default} {
				if text != "" && f.Path != "scenario" {
					assert.NoError(t, decodes(&f, text), text)
				}
			}
		})
	}
}

// decodes decodes one value by its field.
func decodes(f *Field, text string) error {
	n, problems := document("value", []byte("value: "+text+"\n"))
	if len(problems) > 0 {
		return problems
	}
	d := newDecoder(&source{file: "value", memory: newMemory()}, "")
	d.decode(f, n.get("value"), strings.ReplaceAll(f.Path, ".*", ".1"), 1)
	if len(d.problems) > 0 {
		return d.problems
	}
	return nil
}

// TestSynonyms sees that no synonym is the name of a sibling, and that each
// leads to its field.
func TestSynonyms(t *testing.T) {
	for _, f := range fields().list {
		for _, s := range f.Synonyms {
			d := newDecoder(&source{file: "f", memory: newMemory()}, "")
			block := fields().byPath[strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(f.Path, f.Name()), "."), ".*")]
			if block == nil {
				block = fields().root
			}
			require.Nil(t, block.child(s), "%s is a field beside %s", s, f.Path)
			d.unknown(block, "here", entry{s, 1, &node{}})
			require.Len(t, d.problems, 1)
			hint := d.problems[0].Hint
			assert.True(t, hint == "did you mean "+f.Name()+"?" || strings.Contains(hint, " belongs to "), "%s: %s", s, hint)
		}
	}
}

// TestBoundsFromUnits converts the bounds with the definitions of the units.
func TestBoundsFromUnits(t *testing.T) {
	for path, want := range map[string][2]float64{
		"drain.bore":              {0.001, 0.150},              // mm
		"oil.viscosity.at_40C":    {2e-6, 5e-3},                // 1 cSt = 1e-6 m2/s
		"oil.ambient":             {213.15, 343.15},            // 0 °C = 273.15 K
		"engine.blow_by_law":      {0.5 / 60, 100.0 / 60},      // L/min per L = 1/min
		"carry_over.oil_used":     {0, 0.030},                  // L
		"duty.lap.*.left":         {-5 * 9.80665, 5 * 9.80665}, // standard acceleration
		"separator.cross_section": {0.5e-4, 1},                 // cm2
	} {
		f := fields().byPath[path]
		require.NotNil(t, f, path)
		assert.InDelta(t, want[0], f.low, 1e-12*math.Abs(want[1]), path)
		assert.InDelta(t, want[1], f.high, 1e-12*math.Abs(want[1]), path)
	}
}

// TestDefaults reads a file with the least in it and compares every default
// with its range as the trade knows it (see the sources in the catalogue).
func TestDefaults(t *testing.T) {
	s := parsed(t, least)
	type span struct{ low, nominal, high float64 }
	for path, want := range map[string]span{
		"engine.displacement":                   {1.6e-3, 2.05e-3, 2.5e-3},
		"engine.boost":                          {0, 60e3, 120e3},
		"engine.wear":                           {1.3, 1.6, 2.2},
		"engine.blow_by_law":                    {7.0 / 60, 13.0 / 60, 20.0 / 60},
		"engine.shaft_seals":                    {1.05, 1.15, 1.4},
		"engine.closed_throttle_per_litre":      {0, 2.0 / 60, 4.0 / 60},
		"engine.gas_temperature":                {363.15, 363.15, 363.15},
		"engine.intake_depression":              {1000, 3000, 5000},
		"engine.pulsation":                      {0, 0.3, 0.6},
		"oil.density":                           {850, 870, 885},
		"oil.aeration":                          {0.05, 0.2, 0.35},
		"oil.aeration_in_hose":                  {0.1, 0.4, 0.7},
		"oil.temperature.start":                 {333.15, 333.15, 333.15},
		"oil.temperature.settled":               {388.15 - 1.959964*8, 388.15, 388.15 + 1.959964*8},
		"oil.temperature.time_constant":         {360, 360, 360},
		"oil.temperature.cooling_time_constant": {1200, 1200, 1200},
		"oil.ambient":                           {298.15, 298.15, 298.15},
		"oil.hose_warmth":                       {0.5, 0.75, 1},
		"carry_over.through_breathers":          {0.6, 0.8, 1},
		"carry_over.mist":                       {1e-3 / math.Pow(2, 1.959964), 1e-3, 1e-3 * math.Pow(2, 1.959964)},
		"carry_over.flow_exponent":              {1, 2, 3},
		"carry_over.corner_share":               {0, 0.45, 0.9},
		"breathers.first.bore":                  {0.016, 0.016, 0.016},
		"breathers.second.length":               {0.6, 0.6, 0.6},
		"breathers.second.loss_coefficient":     {2.5, 2.5, 2.5},
		"separator.efficiency":                  {0.4, 0.625, 0.85},
		"separator.pressure_loss.loss":          {500, 1000, 1500},
		"separator.pressure_loss.at":            {110e-3 / 60, 110e-3 / 60, 110e-3 / 60},
		"separator.pressure_loss.gas_density":   {1.2, 1.2, 1.2},
		"separator.gas_path_closes_from":        {1, 1, 1},
		"separator.oil_blown_out_from":          {1, 1, 1},
		"separator.efficiency_when_full":        {1, 1, 1},
		"separator.outlet.bore":                 {0.019, 0.019, 0.019},
		"separator.outlet.length":               {0.6, 0.6, 0.6},
		"separator.outlet.loss_coefficient":     {2, 2, 2},
		"separator.outlet.off_axis":             {0, 0, 0},
		"drain.loss_coefficient":                {3, 3, 3},
		"drain.port_pressure":                   {-100, 0, 100},
		"drain.flooding_constant":               {0.55, 0.775, 1},
		"duty.lap_variation":                    {0.12, 0.12, 0.12},
		"limits.risk":                           {0.01, 0.01, 0.01},
		"limits.crankcase_pressure":             {1000, 1000, 1000},
		"limits.oil_lost":                       {1e-3, 1e-3, 1e-3},
		"limits.choke_level":                    {0.1, 0.1, 0.1},
	} {
		q := s.Input(path)
		if !assert.NotNil(t, q, path) {
			continue
		}
		low, high := q.Distribution.Range()
		scale := max(math.Abs(want.low), math.Abs(want.high), 1e-9)
		assert.InDelta(t, want.low, low, 1e-6*scale, path)
		assert.InDelta(t, want.nominal, q.Nominal(), 1e-6*scale, path)
		assert.InDelta(t, want.high, high, 1e-6*scale, path)
		assert.Equal(t, Assumed, q.Basis, path)
		assert.NotEmpty(t, q.Source, path)
		assert.Zero(t, q.Line, path)
	}
	assert.Equal(t, "SAE 40", s.Oil.Grade)
	assert.Equal(t, "after", s.Separator.OilCollects)
	assert.Equal(t, ToIntake, s.Separator.Outlet.To)
	assert.Equal(t, NoSeal, s.Drain.Seal)
	assert.Equal(t, []float64{900, 1200, 1800, 3600}, s.Sessions)
	assert.Equal(t, Simulation{Seed: 1, SamplingError: 0.005}, s.Simulation)
	assert.Len(t, s.Breathers, 2)
	for _, b := range s.Breathers {
		assert.Equal(t, ToSeparator, b.To)
	}
	assert.Nil(t, s.Drain.Length)
	var rules []string
	for _, r := range s.Rules {
		rules = append(rules, r.Path)
		assert.NotEmpty(t, r.Text)
		assert.NotEmpty(t, r.Source)
	}
	assert.Equal(t, []string{"engine.blow_by.full_throttle", "engine.blow_by.closed_throttle", "oil.grade", "drain.length", "sessions", "breathers"}, rules)
}

// TestConditions reads the wear of each condition.
func TestConditions(t *testing.T) {
	for condition, want := range map[string][3]float64{"fresh": {0.9, 1, 1.2}, "used": {1.3, 1.6, 2.2}, "tired": {2, 3, 6}} {
		s := parsed(t, least+"engine: {condition: "+condition+", boost: 0 bar}\n")
		d := s.Engine.Wear.Distribution
		assert.Equal(t, uncertainty.TriangularLaw, d.Kind)
		assert.Equal(t, want, [3]float64{d.A, d.B, d.C}, condition)
		assert.Nil(t, s.Engine.ShaftSeals, "no boost, no shaft seals")
	}
}

// TestClosedThrottle chooses between the three ways to blow-by at closed
// throttle.
func TestClosedThrottle(t *testing.T) {
	share := parsed(t, least+"engine: {blow_by: {full_throttle: 90 L/min}}\n").Engine
	assert.NotNil(t, share.ClosedShare)
	low, high := share.ClosedShare.Distribution.Range()
	assert.Equal(t, [2]float64{0, 0.15}, [2]float64{low, high})
	assert.Nil(t, share.Displacement)

	volume := parsed(t, least+"engine: {displacement: 2 L, blow_by: {full_throttle: 90 L/min}}\n").Engine
	assert.NotNil(t, volume.ClosedPerVolume)
	assert.InDelta(t, 2e-3, volume.Displacement.Nominal(), 1e-15)
	assert.Nil(t, volume.ClosedShare)

	stated := parsed(t, least+"engine: {blow_by: {full_throttle: 90 L/min, closed_throttle: -5 L/min}}\n").Engine
	assert.InDelta(t, -5e-3/60, stated.BlowByClosed.Nominal(), 1e-15)
	assert.Nil(t, stated.ClosedPerVolume)
	assert.Nil(t, stated.ClosedShare)
	assert.Nil(t, stated.Law)
}

// TestQuantityPer writes a quantity that is counted per something.
func TestQuantityPer(t *testing.T) {
	q := parsed(t, least).Engine.Law
	assert.Equal(t, "13 L/min per L and bar", q.Format(q.Nominal(), units.Metric))
	assert.Equal(t, "7 .. 13 .. 20 L/min per L and bar", q.Notation(units.Metric))
}
