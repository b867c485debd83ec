package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func measured() GradeMeasurement {
	return GradeMeasurement{
		Diameters: []float64{0.5e-6, 1e-6, 4e-6}, Efficiencies: []float64{0.1, 0.4, 0.9},
		Flow: 2e-3, FlowExponent: 0.5, Loss: 800, Density: 1.2,
	}
}

func TestGradeTable(t *testing.T) {
	table, err := NewGradeTable(measured())
	require.NoError(t, err)
	at := func(flow, microns float64) float64 {
		return table.At(StageConditions{Flow: flow}).Grade(microns * 1e-6)
	}
	for microns, want := range map[float64]float64{
		0.01: 0.1, 0.5: 0.1, math.Sqrt(0.5): 0.25, 1: 0.4, 2: 0.65, 4: 0.9, 1000: 0.9,
	} {
		assert.InDelta(t, want, at(2e-3, microns), 1e-12, "%g µm", microns)
		assert.InDelta(t, want, at(8e-3, microns/2), 1e-12, "four times the flow halves the sizes")
	}
	assert.InDelta(t, 0.1, at(0, 1000), 1e-12, "no flow: as the smallest")
	assert.InDelta(t, 4*800*1.0/1.2, table.Loss(StageConditions{Flow: 4e-3, Gas: Gas{Density: 1.0}}), 1e-9)

	fixed := measured()
	fixed.FlowExponent, fixed.Loss, fixed.Density = 0, 0, 0
	still, err := NewGradeTable(fixed)
	require.NoError(t, err)
	for _, flow := range []float64{0, 1e-3, 8e-3} {
		assert.InDelta(t, 0.65, still.At(StageConditions{Flow: flow}).Grade(2e-6), 1e-12, "it doesn't move")
		assert.Zero(t, still.Loss(StageConditions{Flow: flow}))
	}
}

func TestGradeTableIsItsOwnCopy(t *testing.T) {
	m := measured()
	table, err := NewGradeTable(m)
	require.NoError(t, err)
	m.Efficiencies[2], m.Diameters[1] = 0, 3e-6
	assert.InDelta(t, 0.9, table.At(StageConditions{Flow: 2e-3}).Grade(4e-6), 1e-12)
	assert.InDelta(t, 0.65, table.At(StageConditions{Flow: 2e-3}).Grade(2e-6), 1e-12)
}

func TestGradeTableOfOneRow(t *testing.T) {
	table, err := NewGradeTable(GradeMeasurement{Diameters: []float64{1e-6}, Efficiencies: []float64{0.87}, Flow: 3e-3})
	require.NoError(t, err)
	s := Separation{usualSizes(), []Stage{table}}
	assert.InDelta(t, 0.87, s.Efficiency(usual(110)), 1e-12)
}

func TestGradeTableOfACurve(t *testing.T) {
	// A cyclone's curve, read at 400 sizes, separates as the cyclone does, at
	// this flow and at twice (d50 goes as Q^-1/2).
	y := Cyclone{InletWidth: 6e-3, InletHeight: 12e-3, Count: 2, Turns: 6}
	c := usual(110)
	m := GradeMeasurement{Flow: c.Flow, FlowExponent: 0.5}
	for i := range 400 {
		d := 1e-8 * math.Pow(1e5, float64(i)/399)
		m.Diameters = append(m.Diameters, d)
		m.Efficiencies = append(m.Efficiencies, y.At(c).Grade(d))
	}
	table, err := NewGradeTable(m)
	require.NoError(t, err)
	for _, litres := range []float64{110, 220} {
		read, computed := Separation{usualSizes(), []Stage{table}}, Separation{usualSizes(), []Stage{y}}
		assert.InDelta(t, computed.Efficiency(usual(litres)), read.Efficiency(usual(litres)), 5e-5, "steps of 0.029 in ln d")
	}
}

func TestGradeTableRefuses(t *testing.T) {
	for want, spoil := range map[string]func(*GradeMeasurement){
		"0 diameters":              func(m *GradeMeasurement) { m.Diameters, m.Efficiencies = nil, nil },
		"3 diameters and 2 eff":    func(m *GradeMeasurement) { m.Efficiencies = m.Efficiencies[:2] },
		"diameter 2 is 5e-07 m":    func(m *GradeMeasurement) { m.Diameters[1] = 0.5e-6 },
		"diameter 1 is 0 m":        func(m *GradeMeasurement) { m.Diameters[0] = 0 },
		"diameter 3 is NaN":        func(m *GradeMeasurement) { m.Diameters[2] = math.NaN() },
		"diameter 3 is +Inf":       func(m *GradeMeasurement) { m.Diameters[2] = math.Inf(1) },
		"efficiency 2 is 1.2":      func(m *GradeMeasurement) { m.Efficiencies[1] = 1.2 },
		"efficiency 1 is NaN":      func(m *GradeMeasurement) { m.Efficiencies[0] = math.NaN() },
		"flow of 0 m3/s":           func(m *GradeMeasurement) { m.Flow = 0 },
		"flow of +Inf":             func(m *GradeMeasurement) { m.Flow = math.Inf(1) },
		"flow exponent is -1":      func(m *GradeMeasurement) { m.FlowExponent = -1 },
		"flow exponent is NaN":     func(m *GradeMeasurement) { m.FlowExponent = math.NaN() },
		"pressure loss is -1":      func(m *GradeMeasurement) { m.Loss = -1 },
		"measured loss is 0 kg/m3": func(m *GradeMeasurement) { m.Density = 0 },
	} {
		m := measured()
		spoil(&m)
		_, err := NewGradeTable(m)
		assert.ErrorContains(t, err, want)
	}
}
