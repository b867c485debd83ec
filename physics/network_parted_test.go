package physics

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where next to nothing goes through the separator, each hose still loses what lies between
// its ends, and the flows add to the demand.
func TestNextToNothingThroughTheSeparator(t *testing.T) {
	thin := Hose{Bore: 1e-3, Length: 2, LossCoefficient: 2}
	wide := []Hose{{Bore: 0.2, Length: 7, LossCoefficient: 140}, {Bore: 0.2, Length: 0.6, LossCoefficient: 3}, {Bore: 0.016, Length: 0.1, LossCoefficient: 1}}
	for name, n := range map[string]Network{
		"circuits": {ToSeparator: []Hose{thin, {Bore: 2e-3, Length: 4, LossCoefficient: 2}}, PastSeparator: wide},
		"a drain":  {Drain: &thin, PastSeparator: wide[:2]},
	} {
		n.Gas, n.LossFactor, n.Outlet = BlowByGas(363.15), 1.5, thin
		n.Element = Element{Loss: 3.6e4, Flow: 2e-4, Density: 1.2, ClosesFrom: 1}
		d := Demand{Flow: 0.012, OutletPressure: -3000, PastPressure: []float64{0, 0, -3000}[:len(n.PastSeparator)]}
		var out Flows
		require.NoError(t, n.Solve(d, &out), name)
		sum := out.Drain
		lost := func(h Hose, q float64) float64 { return n.LossFactor * h.PressureDrop(q, n.Gas) }
		for i, q := range out.ToSeparator {
			sum += q
			assert.InDelta(t, out.Crankcase-out.Before, lost(n.ToSeparator[i], q), 1e-6, name)
		}
		for i, q := range out.PastSeparator {
			sum += q
			assert.InDelta(t, out.Crankcase-d.PastPressure[i], lost(n.PastSeparator[i], q), 1e-6, name)
		}
		if n.Drain != nil {
			assert.InDelta(t, out.Crankcase-out.After, lost(thin, out.Drain), 1e-6, name)
		}
		assert.InDelta(t, out.After-d.OutletPressure, lost(n.Outlet, out.Outlet), 1e-6, name)
		assert.InEpsilon(t, d.Flow, sum, 1e-9, name)
		assert.Less(t, out.Outlet, 1e-3*d.Flow, name)
	}
}

// An outlet of the size of a needle beside a circuit past the separator that loses next to
// nothing: found all the same.
func TestNeedleBesideAWideCircuit(t *testing.T) {
	n := Network{
		Gas: BlowByGas(523.15), LossFactor: 1.0001, Outlet: Hose{Bore: 1e-3, Length: 0.6, LossCoefficient: 458},
		ToSeparator:   []Hose{{Bore: 0.05, Length: 0.6, LossCoefficient: 1.9}, {Bore: 0.016, LossCoefficient: 1000}},
		PastSeparator: []Hose{{Bore: 0.2, Length: 3.8e-4}},
		Element:       Element{Loss: 6.2, Flow: 0.076, Density: 0.3, ClosesFrom: 1},
	}
	for _, flow := range []float64{1e-6, 7.25e-6, 3e-5, 1e-3} {
		const intake = -38446.8
		var out Flows
		require.NoError(t, n.Solve(Demand{Flow: flow, OutletPressure: intake, PastPressure: []float64{intake}}, &out), "%g m3/s", flow)
		assert.InEpsilon(t, flow, out.PastSeparator[0]+out.Outlet, 1e-6)
	}
}

// Two wide circuits past the separator at different pressures: much more goes round
// between them than comes out of the engine, and what comes out is found all the same.
func TestMuchGoesRoundPastTheSeparator(t *testing.T) {
	n := Network{
		Gas: BlowByGas(363.15), LossFactor: 1.0001, Outlet: Hose{Bore: 0.016, Length: 0.6, LossCoefficient: 2},
		Drain: &Hose{Bore: 1e-3, Length: 5, LossCoefficient: 40.5}, DrainSide: AfterElement,
		PastSeparator: []Hose{{Bore: 0.2, Length: 0.6, LossCoefficient: 3}, {Bore: 0.2, Length: 4.92e-4}},
		Element:       Element{ClosesFrom: 1},
	}
	for i := range 200 {
		flow := -2e-4 + 3e-6*float64(i)
		d := Demand{Flow: flow, PastPressure: []float64{-5e4, 0}, DrainHead: 1e4}
		var out Flows
		require.NoError(t, n.Solve(d, &out), "%g m3/s", flow)
		assert.InDelta(t, flow, out.PastSeparator[0]+out.PastSeparator[1]+out.Drain, 1e-12)
		for i, q := range out.PastSeparator {
			assert.InDelta(t, out.Crankcase-d.PastPressure[i], n.LossFactor*n.PastSeparator[i].PressureDrop(q, n.Gas), 1e-9)
		}
		assert.Less(t, out.PastSeparator[1], -1.0, "drawn in")
	}
}

// A wide drain under a head of oil and a wide circuit past the separator leave next to
// nothing for a needle of a circuit and an element that chokes: pressures hold to a
// ten-millionth of the highest.
func TestNeedleBesideAWideDrainUnderOil(t *testing.T) {
	drain := Hose{Bore: 0.15, Length: 0.186, LossCoefficient: 4}
	n := Network{
		Gas: BlowByGas(363.15), LossFactor: 3, Outlet: Hose{Bore: 0.019, Length: 0.6}, Drain: &drain, DrainSide: BeforeElement,
		ToSeparator: []Hose{{Bore: 1e-3, Length: 0.166, LossCoefficient: 2}}, PastSeparator: []Hose{{Bore: 0.163, Length: 0.17, LossCoefficient: 2}},
		Element: Element{Loss: 5e4, Flow: 1.0 / 6e4, Density: 1.2, ClosesFrom: 1},
	}
	for _, head := range []float64{1e-3, 7, 70, 135, 203, 411} {
		var out Flows
		d := Demand{Flow: 6.4782e-3, OutletPressure: -2537, PastPressure: []float64{0}, DrainHead: head}
		require.NoError(t, n.Solve(d, &out), "%g Pa", head)
		assert.InEpsilon(t, d.Flow, out.Drain+out.ToSeparator[0]+out.PastSeparator[0], 1e-9)
		assert.InDelta(t, out.Crankcase, n.LossFactor*n.PastSeparator[0].PressureDrop(out.PastSeparator[0], n.Gas), 3e-4)
		assert.InDelta(t, out.Crankcase-out.Before, head+n.LossFactor*drain.PressureDrop(out.Drain, n.Gas), 1e-9)
	}
}

// A drain as wide as a bucket under standing oil, beside a needle of a circuit and an outlet
// that is one, too: what comes up it is less than the last digits of the head let through.
func TestWideDrainUnderOil(t *testing.T) {
	drain := Hose{Bore: 0.146, LossCoefficient: 8.2}
	n := Network{
		Gas: BlowByGas(244.26), LossFactor: 1.09, Outlet: Hose{Bore: 1e-3, Length: 0.6, LossCoefficient: 2},
		ToSeparator:   []Hose{{Bore: 1e-3, Length: 20}},
		PastSeparator: []Hose{{Bore: 0.016, Length: 0.6, LossCoefficient: 2.5}},
		Element:       Element{Loss: 14.72, Flow: 1.6667e-5, Density: 1.2, ClosesFrom: 1},
		Drain:         &drain,
	}
	for _, side := range []Side{AfterElement, BeforeElement} {
		n.DrainSide = side
		for _, head := range []float64{0.81, 0.735, 0.774, 0.5} {
			const flow, intake = 9.26e-5, -291.34
			var out Flows
			require.NoError(t, n.Solve(Demand{Flow: flow, OutletPressure: intake, PastPressure: []float64{intake}, DrainHead: head}, &out), "%g Pa", head)
			assert.InEpsilon(t, flow, out.ToSeparator[0]+out.PastSeparator[0]+out.Drain, 1e-7)
			lost := func(h Hose, q float64) float64 { return n.LossFactor * h.PressureDrop(q, n.Gas) }
			assert.InDelta(t, out.Crankcase-intake, lost(n.PastSeparator[0], out.PastSeparator[0]), 1e-6)
			assert.InDelta(t, out.After-intake, lost(n.Outlet, out.Outlet), 1e-9)
			assert.InEpsilon(t, out.ToSeparator[0]+out.Drain, out.Outlet, 1e-9)
			assert.Positive(t, out.Drain, "%g Pa", head)
		}
	}
}
