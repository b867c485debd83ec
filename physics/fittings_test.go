package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTurbulentFriction(t *testing.T) {
	// Crane TP-410, 5 in pipe of schedule 40, as computed by the open library
	// fluids by another correlation: 0.5 %.
	assert.InEpsilon(t, 0.015439, TurbulentFriction(0.128194), 0.005)
	// Crane's table for 1/2, 3/4 and 1 in (from memory, two digits): 5 %.
	for bore, want := range map[float64]float64{0.0158: 0.027, 0.0209: 0.025, 0.0266: 0.023} {
		assert.InEpsilon(t, want, TurbulentFriction(bore), 0.05)
	}
}

func TestMitreLoss(t *testing.T) {
	// Rennels & Hudson, Pipe Flow, Wiley 2012; values of the open library fluids.
	for degrees, want := range map[float64]float64{30: 0.153088, 45: 0.304196, 60: 0.530000, 90: 1.202082} {
		assert.InDelta(t, want, MitreLoss(degrees*math.Pi/180), 5e-7)
	}
}

func TestFitting(t *testing.T) {
	const bore = 0.016
	ft := TurbulentFriction(bore)
	for name, want := range map[string]float64{
		"entrance": 0.50, "projecting entrance": 0.78, "exit": 1.0, // Crane TP-410
		"elbow": 30 * ft, "45 elbow": 16 * ft, "return bend": 50 * ft, // Crane TP-410
		"tee": 60 * ft, "tee run": 20 * ft, // Crane TP-410 (from memory)
		"tight elbow":      1.202082, // Rennels & Hudson 2012
		"rounded entrance": 0.202910, // Rennels & Hudson 2012, radius a tenth of the bore
	} {
		k, err := Fitting(name, bore)
		require.NoError(t, err)
		assert.InEpsilon(t, want, k.Nominal, 1e-6, name)
	}
	entrance, _ := Fitting("entrance", bore)
	assert.InDelta(t, 0.57, entrance.High, 1e-12, "Rennels & Hudson 2012")
	banjo, _ := Fitting(" Banjo", bore)
	assert.Equal(t, []float64{3, 8}, []float64{banjo.Low, banjo.High}, "prior")

	for _, name := range FittingNames() {
		k, err := Fitting(name, bore)
		require.NoError(t, err)
		assert.LessOrEqual(t, k.Low, k.Nominal, name)
		assert.GreaterOrEqual(t, k.High, k.Nominal, name)
		assert.NotEmpty(t, k.Source, name)
	}
	_, err := Fitting("elbo", bore)
	assert.ErrorContains(t, err, `fitting "elbo" is not known: use one of straight, sweep elbow`)
	_, err = Fitting("elbow", 0)
	assert.ErrorContains(t, err, "bore is 0 m")
}
