package physics

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tableGravity is the g of the tables, m/s2; ours is the standard one.
const tableGravity = 9.81

// readTable reads a CSV table of numbers below testdata by its column names.
func readTable(t *testing.T, name string) []map[string]float64 {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	lines, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 1)
	var rows []map[string]float64
	for _, line := range lines[1:] {
		row := map[string]float64{}
		for i, text := range line {
			row[lines[0][i]], err = strconv.ParseFloat(text, 64)
			require.NoError(t, err)
		}
		rows = append(rows, row)
	}
	return rows
}

// tableDroplet is a droplet under the conditions of the tables, in gas of no
// density.
func tableDroplet(microns float64) Droplet {
	return Droplet{Diameter: microns * 1e-6, Density: 1000, Gas: Gas{Viscosity: 1.81e-5}, MeanFreePath: 0.066e-6}
}

func TestSlipCorrections(t *testing.T) {
	const lastDigit = 5.1e-6
	for _, row := range readTable(t, "droplet_slip.csv") {
		d := tableDroplet(row["diameter_um"])
		assert.InDelta(t, row["hinds"], d.SlipCorrection(), lastDigit)
		assert.InDelta(t, row["davies"], Davies1945.Correction(d.Diameter, d.MeanFreePath), lastDigit)
		assert.InDelta(t, row["allen_raabe_1982"], AllenRaabe1982.Correction(d.Diameter, d.MeanFreePath), lastDigit)
		assert.InDelta(t, row["allen_raabe_1985"], AllenRaabe1985.Correction(d.Diameter, d.MeanFreePath), lastDigit)
		assert.InDelta(t, row["kim"], KimISO15900Slip.Correction(d.Diameter, d.MeanFreePath), lastDigit)
		assert.InEpsilon(t, row["relaxation_s"], d.RelaxationTime(), 7.2e-6)
		assert.InEpsilon(t, row["velocity_m_per_s"], d.SettlingVelocity()*tableGravity/StandardGravity, 5.8e-6)
	}
	// A university course page prints 1.15 for 1 µm and 0.066 µm.
	assert.InDelta(t, 1.15, SlipCorrection(1e-6, 0.066e-6), 0.005)
	assert.Equal(t, 1.0, SlipCorrection(1e-6, 0), "no slip")
}

func TestSettlingVelocityPrinted(t *testing.T) {
	for _, row := range readTable(t, "droplet_hinds_a11.csv") {
		v := tableDroplet(row["diameter_um"]).SettlingVelocity() * tableGravity / StandardGravity
		assert.InEpsilon(t, row["velocity_m_per_s"], v, 0.5/306, "three digits are printed")
	}
}

func TestMeanFreePath(t *testing.T) {
	// Willeke 1976 (form and constants from memory), computed independently.
	assert.InEpsilon(t, 0.0868344e-6, MeanFreePath(363.15, 101325), 6e-7)
	assert.InEpsilon(t, 0.0837952e-6, MeanFreePath(363.15, 105000), 6e-7)
	assert.InEpsilon(t, 0.0664e-6, MeanFreePath(293.15, 101325), 1e-12, "the reference")
	// Kinetic theory, λ = μ √(π R T/8)/(0.499 p) with the viscosity of air by
	// Sutherland's law: another route, whose λ at 20 °C is 0.0655 µm, 1.4 % less.
	for _, celsius := range []float64{0, 40, 90, 120} {
		temperature := celsius + CelsiusZero
		kinetic := AirViscosity(temperature) / (0.499 * StandardPressure) * math.Sqrt(math.Pi*AirGasConstant*temperature/8)
		assert.InEpsilon(t, kinetic, MeanFreePath(temperature, StandardPressure), 0.02)
	}
}

func TestSettlingBeyondStokes(t *testing.T) {
	// Schiller & Naumann 1933 (from memory), computed independently with g 9.81,
	// no slip, 1000 in 1.205 kg/m3; the density here makes up for our g.
	for _, c := range []struct{ microns, velocity float64 }{{100, 0.248180}, {200, 0.707508}, {500, 2.027310}} {
		d := Droplet{
			Diameter: c.microns * 1e-6, Density: 1.205 + (1000-1.205)*tableGravity/StandardGravity,
			Gas: Gas{Density: 1.205, Viscosity: 1.81e-5},
		}
		v := d.SettlingVelocitySchillerNaumann()
		assert.InDelta(t, c.velocity, v, 6e-7)
		if c.microns == 100 {
			assert.InDelta(t, 1.6522, 1.205*v*d.Diameter/1.81e-5, 5e-5, "Reynolds number")
		}
	}
}

func TestSchillerNaumannSolvesItsEquation(t *testing.T) {
	for x := 1e-14; x < 1e7; x *= 3 {
		r := schillerNaumannSlowing(x)
		assert.InDelta(t, 1, r*(1+0.15*math.Pow(x*r, 0.687)), 2e-9, "Stokes Reynolds number %g", x)
	}
	assert.Equal(t, 1.0, schillerNaumannSlowing(0))
	for x := 1e-14; x < 1e7; x *= 1.1 {
		assert.InEpsilon(t, schillerNaumannSlowing(x), quickSlowing(x), 2e-7, "from the table, %g", x)
	}
	small := tableDroplet(1)
	small.Gas.Density = 1.2
	assert.InEpsilon(t, small.SettlingVelocity(), small.SettlingVelocitySchillerNaumann(), 1e-4, "Stokes where small")
}

func TestDropletThatHangs(t *testing.T) {
	// Stokes without slip: oil of 820 in air at 90 °C, of 1.00 kg/m3; computed
	// independently.
	gas := Gas{Density: 1.00, Viscosity: AirViscosity(90 + CelsiusZero)}
	for velocity, microns := range map[float64]float64{0.01: 21.8522, 0.1: 69.1026} {
		assert.InEpsilon(t, velocity, Droplet{Diameter: microns * 1e-6, Density: 820, Gas: gas}.SettlingVelocity(), 5e-6)
	}
}

func TestDiameterWithSlip(t *testing.T) {
	for _, path := range []float64{1e-12, 0.066e-6, 1e-4} {
		for d := 1e-9; d < 1e-2; d *= 3 {
			assert.InEpsilon(t, d, diameterWithSlip(d*math.Sqrt(SlipCorrection(d, path)), path), 1e-11)
		}
	}
	assert.Equal(t, 1e-6, diameterWithSlip(1e-6, 0), "no slip")
	assert.Zero(t, diameterWithSlip(0, 0.066e-6))
	assert.True(t, math.IsInf(diameterWithSlip(math.Inf(1), 0.066e-6), 1))
}
