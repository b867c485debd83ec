package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a bench would show, derived by hand from the equations; the oil is 870
// kg/m3 at 15 °C, 98 mm2/s at 40 °C and 14.5 at 100 °C.

func benchOil(t *testing.T, celsius float64) (density, viscosity float64) {
	t.Helper()
	density = OilDensity(870, celsius+CelsiusZero)
	return density, density * lawThrough(t, 98, 14.5).At(celsius+CelsiusZero)
}

func TestBenchColumnOfASealedDrain(t *testing.T) {
	rho, _ := benchOil(t, 100)
	assert.InDelta(t, 0.062, ColumnHeight(500, rho), 0.003, "500 Pa, clean oil at 100 °C")
	aerated := func(share float64) float64 { return ColumnHeight(500, AeratedDensity(rho, share*0.30)) }
	assert.InDelta(t, 0.071, aerated(0.4), 5e-4, "30 % gas in the can, 0.4 of that in the hose")
	assert.InDelta(t, 0.064, aerated(0.1), 5e-4)
	assert.InDelta(t, 0.079, aerated(0.7), 5e-4)
}

func TestBenchPulsationMovesNoThreshold(t *testing.T) {
	rho, mu := benchOil(t, 100)
	column := PulsatedColumn{Length: ColumnHeight(500, rho), Bore: 0.0127, Density: rho, KinematicViscosity: mu / rho}
	amplitude := column.Amplitude(300, 100)
	assert.Less(t, amplitude, 0.003, "300 Pa at 100 Hz")
	assert.InDelta(t, 1.5e-5, amplitude, 1e-6, "far less: inertia holds it")
	assert.Greater(t, column.Amplitude(300, ColumnFrequency(column.Length)), 0.003, "at its own frequency it would")
}

func TestBenchFloodingOfAnUnsealedDrain(t *testing.T) {
	rho, mu := benchOil(t, 90)
	gas := BlowByGas(90 + CelsiusZero)
	hose := DrainHose{Bore: 0.0127, Length: 0.5, LossCoefficient: 3, LaminarCoefficient: 1200}
	path := Hose{Bore: hose.Bore, Length: hose.Length, LossCoefficient: hose.LossCoefficient}
	rate := func(fall, inletLoss, constant float64) float64 {
		a, b := hose.Resistance(rho, mu)
		flood := Flooding{hose.Bore, gas.Density, rho, mu, constant}
		return math.Min(DrainFlow(a, b, ColumnPressure(fall, rho)), flood.OilLimit(path.Flow(inletLoss, gas)))
	}
	stop := func(fall, constant float64) float64 { // bisection on the inlet loss
		low, high := 0.0, 2000.0
		for range 60 {
			middle := (low + high) / 2
			if rate(fall, middle, constant) > 0 {
				low = middle
			} else {
				high = middle
			}
		}
		return high
	}
	assert.InDelta(t, 20, stop(0.1, 0.55), 1)
	assert.InDelta(t, 225, stop(0.1, 1.0), 3)
	for _, constant := range []float64{0.55, 0.8, 1.0} {
		assert.InEpsilon(t, stop(0.1, constant), stop(0.4, constant), 1e-9, "the same for falls of 100 and 400 mm")
	}
}

func TestBenchTilt(t *testing.T) {
	r := PointsRoute([]Point{{0, 0, 0.12}, {0, 0.3, 0}})
	low, high := 0.0, 2*StandardGravity
	for range 60 {
		a := (low + high) / 2
		fall, rise := WeightedFall(r.Heights(Acceleration{Y: a}, nil), 0.0127)
		if fall > rise {
			low = a
		} else {
			high = a
		}
	}
	assert.InDelta(t, 21.8, FreeSurfaceTilt(high)*180/math.Pi, 0.05)
}

func TestBenchDipInALevelPiece(t *testing.T) {
	const bore = 0.0127
	net := func(dip float64) float64 {
		fall, rise := WeightedFall([]float64{0.12, 0.075, 0.075 - dip, 0.075, 0}, bore)
		return fall - rise
	}
	assert.InDelta(t, 0.0295, net(0)-net(0.005), 5e-5)
	assert.InDelta(t, 0.075, net(0)-net(bore), 1e-12)
}

func TestBenchOutletAtTheWall(t *testing.T) {
	left := UsableVolume(CanUnderAcceleration{
		Volume: 0.30e-3, CrossSection: math.Pi / 4 * 0.075 * 0.075, OutletOffset: 0.0375, Acceleration: StandardGravity,
	}) / 0.30e-3
	assert.InDelta(t, 0.45, left, 0.005)
}

func TestBenchClosingPathOfAShallowCan(t *testing.T) {
	rho, _ := benchOil(t, 100)
	depth := ColumnPressure(0.068, rho)
	most := 0.0
	for _, closes := range []float64{0, 0.3, 0.6, 0.9} {
		e := Element{Loss: 800, Flow: 110.0 / 60000, Density: 1.2, ClosesFrom: closes}
		for fill := 0.0; fill <= 1; fill += 0.01 {
			for _, share := range []float64{0.05, 0.3, 1, 2} {
				gas := BlowByGas(363.15)
				rise := e.PressureLoss(share*e.Flow, gas, fill, depth) - e.PressureLoss(share*e.Flow, gas, 0, depth)
				assert.GreaterOrEqual(t, rise, 0.0)
				most = math.Max(most, rise)
			}
		}
	}
	assert.InDelta(t, 540, most, 5)
}

func TestBenchGasUpAnUnsealedDrain(t *testing.T) {
	// 19 mm, 110 L/min, 90 °C; the oil collects before the element, so that the
	// drain and the second circuit see the same pressure.
	rho, mu := benchOil(t, 90)
	drain := Hose{Bore: 0.019, Length: 0.5, LossCoefficient: 3}
	n := &Network{
		Gas: BlowByGas(363.15), LossFactor: 1,
		ToSeparator: []Hose{{Bore: 0.016, Length: 0.6, LossCoefficient: 2.5}},
		Element:     Element{Loss: 800, Flow: 110.0 / 60000, Density: 1.2, ClosesFrom: 1},
		Outlet:      Hose{Bore: 0.019, Length: 0.6, LossCoefficient: 2},
		Drain:       &drain, DrainSide: BeforeElement,
	}
	d := Demand{Flow: 110.0 / 60000, OutletPressure: -3000}
	flooding := func(constant, oil float64) bool {
		var f Flows
		require.NoError(t, n.Solve(d, &f))
		return Flooding{drain.Bore, n.Gas.Density, oil, mu, constant}.OilLimit(f.Drain) == 0
	}
	var f Flows
	require.NoError(t, n.Solve(d, &f))
	assert.InDelta(t, 3.8, f.Drain/area(drain.Bore), 0.1)
	assert.False(t, flooding(0.55, rho), "beside a second circuit")

	n.ToSeparator = nil
	require.NoError(t, n.Solve(d, &f))
	assert.InDelta(t, 6.5, f.Drain/area(drain.Bore), 0.05)
	assert.True(t, flooding(0.70, rho))
	assert.True(t, flooding(0.74, AeratedDensity(rho, 0.14)))
	assert.False(t, flooding(0.75, AeratedDensity(rho, 0.14)))
	assert.False(t, flooding(0.75, rho))
}

func TestBenchBelowOilReturnIsMeasuredToTheCentroid(t *testing.T) {
	can, port, centroid := Point{0, 0, 0.3}, Point{0.1, 0.1, 0}, Point{0.1, 0, 0}
	corner := Acceleration{Y: 1.1 * StandardGravity}
	threshold := func(end Point) float64 {
		fall, rise := WeightedFall(PointsRoute([]Point{can, end}).Heights(corner, nil), 0.0127)
		return fall - rise
	}
	assert.InDelta(t, 0.110, threshold(centroid)-threshold(port), 1e-12)
	assert.InDelta(t, 0.3, threshold(centroid), 1e-12, "a corner doesn't act along the car")
}
