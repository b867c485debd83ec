package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestResistanceIsHagenPoiseuille(t *testing.T) {
	// Hagen-Poiseuille, exact; computed independently.
	for _, c := range []struct{ bore, length, viscosity, pressure, flow float64 }{
		{0.010, 1.0, 0.020, 1000, 1.22718463e-5},
		{0.012, 0.8, 0.0145, 2500, 1.09684916e-4},
		{0.006, 0.5, 0.100, 1500, 9.54258769e-7},
	} {
		a, b := DrainHose{Bore: c.bore, Length: c.length}.Resistance(850, c.viscosity)
		assert.Zero(t, b)
		assert.InEpsilon(t, c.flow, DrainFlow(a, b, c.pressure), 1e-8)
	}
}

func TestDrainOfMotorOilDownATube(t *testing.T) {
	// J. Katz, Automotive Aerodynamics, Wiley 2016, example 9.9: oil of 919
	// kg/m3 and 0.29 Pa·s down 2 m of 10 mm tube under 0.1 m of oil, g = 9.8;
	// answer computed independently (the printed one wasn't seen).
	const area = math.Pi / 4 * 0.010 * 0.010
	head := 919 * 9.8 * 2.1
	flow := flowThrough(DrainHose{Bore: 0.010, Length: 2, LossCoefficient: 1}, 919, 0.29, head)
	assert.InDelta(t, 0.101876, flow/area, 5e-7, "with one velocity head at the exit")
	assert.InDelta(t, 8.0013e-6, flow, 5e-10)
	assert.InDelta(t, 3.228, 919*flow/area*0.010/0.29, 5e-4)
	flow = flowThrough(DrainHose{Bore: 0.010, Length: 2}, 919, 0.29, head)
	assert.InDelta(t, 0.101902, flow/area, 5e-7, "without")
	flow = flowThrough(DrainHose{Bore: 0.010, Length: 2, LossCoefficient: 2}, 919, 0.29, head)
	assert.InDelta(t, 0.101851, flow/area, 5e-7, "with the laminar factor of 2")
}

// flowThrough is the flow through a hose at a head.
func flowThrough(h DrainHose, density, viscosity, head float64) float64 {
	a, b := h.Resistance(density, viscosity)
	return DrainFlow(a, b, head)
}

func TestInclinedLaminarPipe(t *testing.T) {
	// White, Fluid Mechanics, laminar flow up a pipe inclined at 40° (from
	// memory): 900 kg/m3, 2e-4 m2/s, 60 mm, 10 m, 350 to 250 kPa; the book
	// prints 4.9 m, 0.0076 m3/s, Re 810. g = 9.80665.
	const density, nu, bore = 900.0, 2e-4, 0.06
	head := 100e3 - ColumnPressure(10*math.Sin(40*math.Pi/180), density)
	assert.InDelta(t, 4.9, ColumnHeight(head, density), 0.005)
	flow := flowThrough(DrainHose{Bore: bore, Length: 10}, density, nu*density, head)
	assert.InDelta(t, 0.0076, flow, 5e-5)
	assert.InDelta(t, 0.007643, flow, 5e-6, "computed independently with g = 9.81")
	assert.InDelta(t, 810.9, 4*flow/(math.Pi*bore*nu), 0.5)
}

func TestLaminarFittingsAreHoopers(t *testing.T) {
	// W. B. Hooper, Chem. Eng., 24 August 1981: a screwed 90° elbow of half an
	// inch, K_1 = 800, K_∞ (1 + 1/D_in) = 0.40 · 3, at Re 200: K = 5.2000.
	const density, viscosity, bore, re = 850.0, 0.012, 0.0127, 200.0
	velocity := re * viscosity / (density * bore)
	flow := velocity * math.Pi / 4 * bore * bore
	head := 0.5 * density * velocity * velocity
	a, b := DrainHose{Bore: bore, LossCoefficient: 1.2, LaminarCoefficient: 800}.Resistance(density, viscosity)
	assert.InEpsilon(t, 5.2000, (a*flow+b*flow*flow)/head, 1e-12)
	a, b = DrainHose{Bore: bore, Length: 0.5, LossCoefficient: 1.2, LaminarCoefficient: 800}.Resistance(density, viscosity)
	assert.InEpsilon(t, 5.2000+64/re*0.5/bore, (a*flow+b*flow*flow)/head, 1e-12, "and the hose in series")
	assert.Equal(t, 1200.0, DefaultLaminarCoefficient(3))
}

func TestDrainFlow(t *testing.T) {
	// A hose of 10 mm and 0.8 m with ΣK 1.5 under 0.35 m of fall and 0.1 or 0 m
	// in the tank, against 1500 Pa: exact root, matched to an ODE solver.
	hose := DrainHose{Bore: 0.010, Length: 0.8, LossCoefficient: 1.5}
	a, b := hose.Resistance(830, 0.012)
	assert.InEpsilon(t, 3.911392e7, a, 2e-7)
	assert.InEpsilon(t, 1.009159e11, b, 5e-7)
	for level, want := range map[float64]float64{0.10: 49.0796275e-6, 0: 31.8649779e-6} {
		head := ColumnPressure(level+0.35, 830) - 1500
		assert.InEpsilon(t, want, DrainFlow(a, b, head), 1e-8)
		assert.Equal(t, -DrainFlow(a, b, head), DrainFlow(a, b, -head))
	}

	assert.Zero(t, DrainFlow(a, b, 0))
	assert.Zero(t, DrainFlow(0, 0, 0))
	assert.Equal(t, 2.0, DrainFlow(50, 0, 100), "linear")
	assert.Equal(t, 2.0, DrainFlow(0, 25, 100), "square")
	for _, n := range []float64{1e-12, 1e-3, 1, 1e3} {
		for _, square := range []float64{1e-30, 1, 1e11, 1e30} {
			q := DrainFlow(a, square, n)
			assert.InEpsilon(t, n, a*q+square*q*q, 1e-12, "no cancellation")
		}
	}
}

func TestColumn(t *testing.T) {
	// Manometer, exact; computed independently.
	assert.InDelta(t, 0.122857, ColumnHeight(1000, 830), 5e-7)
	assert.InDelta(t, 0.307143, ColumnHeight(2500, 830), 5e-7)
	assert.InDelta(t, 0.592858, ColumnHeight(5000, 860), 5e-7)
	assert.InDelta(t, 0.124, ColumnHeight(1000, 825), 5e-4, "about 124 mm per kPa")
	assert.InEpsilon(t, 1500, ColumnPressure(ColumnHeight(1500, 830), 830), 1e-15)
	// Lowering a return by 3 in is worth about 0.63 kPa: common practice, no source.
	assert.InDelta(t, 630, ColumnPressure(0.0762, 840), 5)
}

func TestColumnFrequency(t *testing.T) {
	// A U-tube with 1 m of liquid, both ends free, swings as a column of half
	// that length: ω² = 2g/L, T 1.418746 s, damping 32ν/(2ω D²) = 0.376334.
	// Exact; computed independently.
	half := PulsatedColumn{Length: 0.5, Bore: 0.012, Density: 830, KinematicViscosity: 15e-6}
	assert.InDelta(t, 1.418746, 1/ColumnFrequency(0.5), 5e-7)
	assert.InDelta(t, 0.376334, half.DampingRatio(), 5e-7)
	// 1 to 2 Hz for the hoses of a drain
	assert.InDelta(t, 2.0, ColumnFrequency(0.062), 0.01)
	assert.InDelta(t, 1.0, ColumnFrequency(0.25), 0.01)

	c := PulsatedColumn{Length: 0.1, Bore: 0.0127, Density: 816, KinematicViscosity: 14.5e-6}
	assert.InEpsilon(t, ColumnHeight(300, 816), c.Amplitude(300, 0), 1e-12, "slow: follows as a manometer")
	f0 := ColumnFrequency(0.1)
	assert.InEpsilon(t, ColumnHeight(300, 816)/(2*c.DampingRatio()), c.Amplitude(300, f0), 1e-12, "resonance")
	w := 2 * math.Pi * 1e4
	assert.InEpsilon(t, 300/(816*0.1*w*w), c.Amplitude(300, 1e4), 1e-3, "fast: inertia alone")
}
