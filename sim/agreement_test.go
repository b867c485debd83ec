package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/scenarios"
	"sumpward/sim"
)

// physics and scenarios know nothing of each other; what both state must agree.

// The ranges of fittings that a scenario may name hold the handbook's values on
// hoses of 10 to 19 mm.
func TestFittingsAgreeWithHandbook(t *testing.T) {
	for _, f := range scenarios.Fittings() {
		for _, bore := range []float64{0.010, 0.0127, 0.016, 0.019} {
			k, err := physics.Fitting(f.Name, bore)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, k.Nominal, f.Low*0.999, "%s on %v m", f.Name, bore)
			assert.LessOrEqual(t, k.Nominal, f.High*1.001, "%s on %v m", f.Name, bore)
			for _, name := range f.Synonyms {
				same, err := physics.Fitting(name, bore)
				require.NoError(t, err)
				assert.Equal(t, k, same, "%s is another name of %s", name, f.Name)
			}
		}
	}
}

// Every grade that a scenario may name is known.
func TestGradesAgree(t *testing.T) {
	for _, grade := range []string{"SAE 20", "SAE 30", "SAE 40", "SAE 50", "SAE 60", "ISO VG 46", "ISO VG 68", "ISO VG 100"} {
		_, err := sim.NewModel(ready(t, "lost-circuit", change("oil.grade", grade)))
		assert.NoError(t, err, grade)
	}
}

// The drain length by rule.
func TestDrainLengthByRule(t *testing.T) {
	s := ready(t, "sealed-drain", scenarios.Change{Path: "drain.length"}, change("drain.fall", "100 mm"))
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	assert.InDelta(t, 0.33, m.Nominal().Drain.Hose.Length, 1e-12)
}

// A climb of a bore or more seals a drain that is written without a seal.
func TestClimbSealsADrain(t *testing.T) {
	for dip, sealed := range map[string]bool{"5 mm": false, "20 mm": true} {
		s := ready(t, "lost-circuit", change("breathers", "[{name: covers, to: separator, bore: 16 mm}]"), change("drain.dip", dip))
		m, err := sim.NewModel(s)
		require.NoError(t, err)
		assert.Equal(t, sealed, m.SealedByTrap(), dip)
		assert.Equal(t, sealed, m.Nominal().Drain.Kind == sim.Sealed, dip)
	}
}
