package physics

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The table is the network's loss, for any gas and flow.
func TestParallelIsTheNetwork(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	worst, worstTurbulent := 0.0, 0.0
	for range 150 {
		var hoses []Hose
		for range 1 + r.IntN(3) {
			hoses = append(hoses, Hose{Bore: 0.006 + 0.02*r.Float64(), Length: 1.5 * r.Float64(), LossCoefficient: 0.5 + 6*r.Float64()})
		}
		p, err := NewParallel(hoses)
		require.NoError(t, err)
		for range 100 {
			gas := BlowByGas(280 + 140*r.Float64())
			flow := math.Exp(-11 + 6.5*r.Float64())
			n := Network{Gas: gas, LossFactor: 1, ToSeparator: hoses, Outlet: Hose{Bore: 0.05, LossCoefficient: 1}}
			var out Flows
			require.NoError(t, n.Solve(Demand{Flow: flow}, &out))
			drop, err := p.PressureDrop(flow, gas)
			require.NoError(t, err)
			want := out.Crankcase - out.Before
			off := math.Abs(drop-want) / math.Abs(want)
			worst = math.Max(worst, off)
			reynolds := math.Abs(flow) / float64(len(hoses)) * gas.Density / gas.Viscosity / 0.02
			if reynolds > 5000 {
				worstTurbulent = math.Max(worstTurbulent, off)
			}
			require.Less(t, off, 1e-5, "%v at %g m3/s", hoses, flow)
			if back, _ := p.PressureDrop(-flow, gas); back != -drop {
				t.Fatalf("%g one way, %g the other", drop, back)
			}
		}
		assert.True(t, p.Of(hoses))
		assert.False(t, p.Of(hoses[1:]))
	}
	t.Logf("worst %.1e, at the worst where turbulent %.1e", worst, worstTurbulent)
	_, err := NewParallel(nil)
	assert.ErrorIs(t, err, ErrNoPath)
	_, err = NewParallel([]Hose{{}})
	assert.Error(t, err)
	assert.False(t, (*Parallel)(nil).Of(nil))
}

func BenchmarkParallel(b *testing.B) {
	hoses := []Hose{{Bore: 0.016, Length: 0.5, LossCoefficient: 2.5}, {Bore: 0.016, Length: 0.7, LossCoefficient: 3}}
	p, err := NewParallel(hoses)
	if err != nil {
		b.Fatal(err)
	}
	gas := BlowByGas(363)
	for b.Loop() {
		_, _ = p.PressureDrop(1.6e-3, gas)
	}
}
