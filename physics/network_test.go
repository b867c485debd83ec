package physics

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// randomNetwork draws a network of any shape and an operating point for it.
func randomNetwork(r *rand.Rand) (*Network, Demand) {
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	hose := func() Hose {
		h := Hose{Bore: between(0.006, 0.025), Length: between(0.1, 2), LossCoefficient: between(0, 8)}
		switch r.IntN(8) {
		case 0:
			h.Length, h.LossCoefficient = 0, between(0.5, 8)
		case 1:
			h.LossCoefficient = 0
		}
		return h
	}
	n := &Network{
		Gas:        BlowByGas(between(280, 420)),
		LossFactor: PulsationFactor(between(0, 0.6)),
		Element: Element{
			Loss: between(100, 2500), Flow: 110.0 / 60000, Density: 1.2,
			ClosesFrom: between(0.3, 1),
		},
		Outlet:    hose(),
		DrainSide: Side(r.IntN(2)),
	}
	if r.IntN(5) == 0 {
		n.Element.Loss = 0
	}
	for range r.IntN(4) {
		h := hose()
		n.ToSeparator = append(n.ToSeparator, h)
		if r.IntN(3) == 0 {
			n.ToSeparator = append(n.ToSeparator, h)
		}
	}
	for range r.IntN(3) {
		n.PastSeparator = append(n.PastSeparator, hose())
	}
	if r.IntN(2) == 0 || len(n.ToSeparator)+len(n.PastSeparator) == 0 {
		h := hose()
		n.Drain = &h
	}
	d := Demand{
		Flow:           between(-1e-3, 4e-3),
		OutletPressure: between(-5000, 0),
		Fill:           between(0, 1.1),
		PassageHead:    between(0, 600),
	}
	for range n.PastSeparator {
		d.PastPressure = append(d.PastPressure, between(-5000, 0))
	}
	switch r.IntN(6) {
	case 0:
		d.Fill = 1
	case 1:
		d.Flow = 0
	}
	if r.IntN(2) == 0 {
		d.DrainHead = between(0, 600)
	}
	return n, d
}

func sum(s []float64) (total float64) {
	for _, x := range s {
		total += x
	}
	return total
}

// Each law of the network is checked on the answer itself: mass at both nodes,
// and the loss of every path against the pressures at its ends.
func TestSolveBalancesAnyNetwork(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 5000 {
		n, d := randomNetwork(r)
		require.NoError(t, n.Check())
		var f Flows
		require.NoError(t, n.Solve(d, &f), "network %d: %+v %+v", i, n, d)
		mass := math.Max(1e-10*math.Abs(d.Flow), 1e-12)
		const pressure = 1e-6 // Pa: below any loss that matters, above the rounding of 5 kPa

		require.InDelta(t, d.Flow, sum(f.ToSeparator)+sum(f.PastSeparator)+f.Drain, mass, "crankcase, network %d: %+v %+v", i, n, d)
		require.InDelta(t, sum(f.ToSeparator)+f.Drain, f.Outlet, 1e-15, "can, network %d", i)
		element := f.Outlet
		side := f.Before
		if n.DrainSide == AfterElement {
			element = sum(f.ToSeparator)
			side = f.After
		}
		require.InDelta(t, element, f.Element, 1e-15, "element, network %d", i)

		require.InDelta(t, n.LossFactor*n.Outlet.PressureDrop(f.Outlet, n.Gas), f.After-d.OutletPressure, pressure, "outlet, network %d", i)
		e := n.Element
		e.Loss *= n.LossFactor
		require.InDelta(t, e.PressureLoss(f.Element, n.Gas, d.Fill, d.PassageHead), f.Before-f.After, pressure, "element, network %d", i)
		for j, h := range n.ToSeparator {
			require.InDelta(t, n.LossFactor*h.PressureDrop(f.ToSeparator[j], n.Gas), f.Crankcase-f.Before, pressure, "circuit %d, network %d: %+v", j, i, f)
		}
		for j, h := range n.PastSeparator {
			require.InDelta(t, n.LossFactor*h.PressureDrop(f.PastSeparator[j], n.Gas), f.Crankcase-d.PastPressure[j], pressure, "past %d, network %d", j, i)
		}
		if n.Drain == nil {
			require.Zero(t, f.Drain)
			continue
		}
		alone := len(n.ToSeparator)+len(n.PastSeparator) == 0
		across := f.Crankcase - side
		switch {
		case f.Drain == 0 && d.DrainHead > 0:
			require.LessOrEqual(t, across, d.DrainHead+pressure, "blocked drain, network %d", i)
		case d.DrainHead > 0 && f.Drain < 0:
			require.True(t, alone, "gas goes down under oil, network %d", i)
		default:
			require.InDelta(t, n.LossFactor*n.Drain.PressureDrop(f.Drain, n.Gas)+d.DrainHead, across, pressure, "drain, network %d: %+v", i, f)
		}
	}
}

func TestSolveCrankcasePressureRisesWithFlow(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for i := range 300 {
		n, d := randomNetwork(r)
		last := math.Inf(-1)
		for q := -1e-3; q < 4e-3; q += 2.5e-4 {
			d.Flow = q
			var f Flows
			require.NoError(t, n.Solve(d, &f))
			require.Greater(t, f.Crankcase, last-1e-7, "network %d at %g m3/s: %+v", i, q, n)
			last = f.Crankcase
		}
	}
}

func TestSolveSlopes(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	for i := range 2000 {
		n, d := randomNetwork(r)
		d.Fill *= 0.9 // where a closed path is steep, finite differences are no check
		var f Flows
		p := n.at(d, &f)
		balance := func(q float64) (pressure, pressureSlope, flow, flowSlope float64) {
			if len(n.ToSeparator) == 0 {
				pressure, pressureSlope = p.behindDrain(q, d.DrainHead)
				return pressure, pressureSlope, q, 1
			}
			return p.behindCircuits(p.circuits(n.ToSeparator[0].resist(n.Gas), q))
		}
		if len(n.ToSeparator) == 0 && n.Drain == nil {
			continue
		}
		q := 1e-4 + 1e-3*r.Float64()
		const step = 1e-6
		upPressure, _, upFlow, _ := balance(q * (1 + step))
		downPressure, _, downFlow, _ := balance(q * (1 - step))
		_, pressureSlope, _, flowSlope := balance(q)
		require.InEpsilon(t, (upPressure-downPressure)/(2*step*q), pressureSlope, 2e-3, "network %d: %+v", i, n)
		require.InEpsilon(t, (upFlow-downFlow)/(2*step*q), flowSlope, 2e-3, "network %d: %+v", i, n)
	}
}

// car42 is a layout with two different circuits, at 110 L/min.
func car42() (*Network, Demand) {
	n := &Network{
		Gas: BlowByGas(363.15), LossFactor: PulsationFactor(0.3),
		ToSeparator: []Hose{{0.016, 0.5, 2.5}, {0.016, 0.7, 3}},
		Element:     Element{Loss: 800, Flow: 110.0 / 60000, Density: 1.2, ClosesFrom: 1},
		Outlet:      Hose{0.019, 0.6, 2},
	}
	return n, Demand{Flow: 110.0 / 60000, OutletPressure: -3200}
}

func TestSolveOfOneCircuitIsTheSumOfItsLosses(t *testing.T) {
	n, d := car42()
	n.ToSeparator = n.ToSeparator[:1]
	var f Flows
	require.NoError(t, n.Solve(d, &f))
	loss := func(h Hose, q float64) float64 { return n.LossFactor * h.PressureDrop(q, n.Gas) }
	element := n.LossFactor * 800 * n.Gas.Density / 1.2
	want := -3200 + loss(n.Outlet, d.Flow) + element + loss(n.ToSeparator[0], d.Flow)
	assert.InEpsilon(t, want, f.Crankcase, 1e-12)

	n.ToSeparator = []Hose{n.ToSeparator[0], n.ToSeparator[0]}
	require.NoError(t, n.Solve(d, &f))
	want = -3200 + loss(n.Outlet, d.Flow) + element + loss(n.ToSeparator[0], d.Flow/2)
	assert.InEpsilon(t, want, f.Crankcase, 1e-12, "two identical circuits carry half each")
}

func TestLosingTheSecondCircuitRaisesCrankcasePressureAndDrainGas(t *testing.T) {
	// common practice, no source
	n, d := car42()
	n.Drain = &Hose{0.0127, 0.5, 3}
	var both, one Flows
	require.NoError(t, n.Solve(d, &both))
	n.ToSeparator = n.ToSeparator[:1]
	require.NoError(t, n.Solve(d, &one))
	assert.Greater(t, one.Crankcase, both.Crankcase)
	assert.Greater(t, one.Drain, both.Drain)
}

func TestSolveAllocatesNothing(t *testing.T) {
	for name, n := range benchmarkNetworks() {
		_, d := car42()
		d.PastPressure = make([]float64, len(n.PastSeparator))
		var f Flows
		require.NoError(t, n.Solve(d, &f))
		assert.Zero(t, testing.AllocsPerRun(100, func() { _ = n.Solve(d, &f) }), name)
	}
}

// Same digits whatever an earlier point left in the storage: realizations may be
// spread over any number of workers.
func TestSolveForgetsTheLastPoint(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	var used Flows
	for i := range 1000 {
		n, d := randomNetwork(r)
		var fresh Flows
		require.NoError(t, n.Solve(d, &fresh))
		require.NoError(t, n.Solve(d, &used))
		require.Equal(t, fresh.Crankcase, used.Crankcase, "network %d", i)
		require.Equal(t, fresh.Drain, used.Drain, "network %d", i)
	}
}

func TestSolveDrainAlone(t *testing.T) {
	n, d := car42()
	n.ToSeparator, n.Drain = nil, &Hose{0.0127, 0.5, 3}
	d.DrainHead = 200
	var f Flows
	require.NoError(t, n.Solve(d, &f))
	assert.Equal(t, d.Flow, f.Drain)
	assert.Zero(t, f.Element, "clean side: nothing passes the element")
	assert.InEpsilon(t, 200+n.LossFactor*n.Drain.PressureDrop(d.Flow, n.Gas), f.Crankcase-f.After, 1e-12)

	n.DrainSide = BeforeElement
	require.NoError(t, n.Solve(d, &f))
	assert.Equal(t, d.Flow, f.Element)
	assert.InEpsilon(t, n.LossFactor*800*n.Gas.Density/1.2, f.Before-f.After, 1e-12)

	d.Flow = 0
	require.NoError(t, n.Solve(d, &f))
	assert.Equal(t, -3200.0, f.Crankcase, "no flow: pressures are equal")
	d.Flow = -1e-4
	require.NoError(t, n.Solve(d, &f))
	assert.Less(t, f.Crankcase, -3200.0, "no other path: drawn down the drain")
}

func TestSolveErrors(t *testing.T) {
	var f Flows
	n, d := car42()
	n.ToSeparator = nil
	assert.ErrorIs(t, n.Solve(d, &f), ErrNoPath)
	assert.ErrorIs(t, n.Check(), ErrNoPath)

	n, d = car42()
	d.Flow = math.NaN()
	assert.ErrorContains(t, n.Solve(d, &f), "breather network: flows of NaN m3/s don't balance")
	d.Flow = math.Inf(1)
	assert.Error(t, n.Solve(d, &f))

	n.ToSeparator, n.Drain = nil, &Hose{0.0127, 0.5, 3}
	assert.Error(t, n.Solve(d, &f))
	n, d = car42()
	n.ToSeparator = n.ToSeparator[:1]
	d.Flow = math.NaN()
	assert.Error(t, n.Solve(d, &f))

	n, d = car42()
	d.PastPressure = []float64{0}
	assert.EqualError(t, n.Solve(d, &f), "breather network: 1 end pressures for 0 circuits past the separator: give one for each")

	n.ToSeparator[1].Bore = 0
	assert.ErrorContains(t, n.Check(), "circuit 2 to the separator: bore 0 m")
	n, _ = car42()
	n.LossFactor = 0
	assert.ErrorContains(t, n.Check(), "loss factor 0")
}

func benchmarkNetworks() map[string]*Network {
	sealed, _ := car42()
	plain, _ := car42()
	plain.ToSeparator = plain.ToSeparator[:1]
	unsealed, _ := car42()
	unsealed.Drain = &Hose{0.0127, 0.5, 3}
	past, _ := car42()
	past.Drain = unsealed.Drain
	past.PastSeparator = []Hose{{0.012, 0.8, 3}}
	return map[string]*Network{
		"plain": plain, "circuits=2/sealed": sealed, "circuits=2/unsealed": unsealed, "circuits=2/unsealed/past=1": past,
	}
}

func BenchmarkSolve(b *testing.B) {
	for name, n := range benchmarkNetworks() {
		b.Run(name, func(b *testing.B) {
			_, d := car42()
			d.PastPressure = make([]float64, len(n.PastSeparator))
			var f Flows
			b.ReportAllocs()
			for b.Loop() {
				if err := n.Solve(d, &f); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
