package physics

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestElementPressureLoss(t *testing.T) {
	e := Element{Loss: 800, Flow: 110.0 / 60000, Density: 1.2, ClosesFrom: 0.6}
	cold := Gas{Density: 1.2, Viscosity: 1.8e-5}
	q := e.Flow
	assert.InEpsilon(t, 800, e.PressureLoss(q, cold, 0, 500), 1e-12, "as measured")
	assert.InEpsilon(t, 800, e.PressureLoss(q, cold, 0.6, 500), 1e-12, "still open")
	assert.InEpsilon(t, 3200, e.PressureLoss(2*q, cold, 0, 500), 1e-12, "square law")
	assert.InEpsilon(t, -3200, e.PressureLoss(-2*q, cold, 0, 500), 1e-12, "signed")
	assert.InEpsilon(t, 600, e.PressureLoss(q, Gas{Density: 0.9}, 0, 500), 1e-12, "lighter gas loses less")
	assert.InEpsilon(t, 800/(0.975*0.975), e.PressureLoss(q, cold, 0.61, 1e6), 1e-12, "a little closed: φ = 1 - 0.01/0.4")
	assert.InEpsilon(t, 800+500*0.2, e.PressureLoss(q, cold, 0.8, 500), 1e-12, "half closed: the oil's head is less than 800/0.25")
	assert.InEpsilon(t, 800+500*0.4, e.PressureLoss(q, cold, 1, 500), 1e-12, "closed")
	assert.Equal(t, e.PressureLoss(q, cold, 1, 500), e.PressureLoss(q, cold, 1.2, 500), "fill is clamped")
	assert.InEpsilon(t, 800, e.PressureLoss(q, cold, -1, 500), 1e-12, "fill is clamped")
	assert.Zero(t, e.PressureLoss(0, cold, 1, 500))
	e.ClosesFrom = 1
	assert.InEpsilon(t, 800, e.PressureLoss(q, cold, 1, 500), 1e-12, "never closes")
	assert.Zero(t, Element{}.PressureLoss(q, cold, 1, 500), "no element")
}

func TestElementSlope(t *testing.T) {
	e := Element{Loss: 800, Flow: 110.0 / 60000, Density: 1.2, ClosesFrom: 0.6}
	for _, fill := range []float64{0.3, 0.65, 0.9, 1} {
		for _, q := range []float64{-2e-3, 1e-4, 5e-4, 2e-3} {
			r := e.resist(BlowByGas(363), fill, 500, 1.1)
			_, slope := r.loss(q)
			up, _ := r.loss(q * (1 + 1e-6))
			down, _ := r.loss(q * (1 - 1e-6))
			assert.InEpsilon(t, (up-down)/(2e-6*q), slope, 1e-6)
		}
	}
}
