package physics

import (
	"math"
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

func TestElementClosedAt(t *testing.T) {
	open := Element{Loss: 800, Flow: 110.0 / 60000, Density: 1.2, ClosesFrom: 0.5}
	gas, q := Gas{Density: 1.2}, open.Flow
	for _, fill := range []float64{0.3, 0.5, 0.55, 0.6, 0.7, 0.8, 1} {
		one := open
		one.ClosedAt = 1
		assert.Equal(t, open.PressureLoss(q, gas, fill, 500), one.PressureLoss(q, gas, fill, 500), "0 stands for 1")
	}
	e := open
	e.ClosedAt = 0.7
	assert.InEpsilon(t, 800, e.PressureLoss(q, gas, 0.5, 1e9), 1e-12, "still open")
	assert.InEpsilon(t, 800/(0.75*0.75), e.PressureLoss(q, gas, 0.55, 1e9), 1e-12, "φ = 1 - 0.05/0.2")
	assert.InEpsilon(t, 800/(0.5*0.5), e.PressureLoss(q, gas, 0.6, 1e9), 1e-12, "half")
	assert.InEpsilon(t, 800/(closedPath*closedPath), e.PressureLoss(q, gas, 0.7, 1e18), 1e-9, "closed")
	assert.InEpsilon(t, 800/(closedPath*closedPath), e.PressureLoss(q, gas, 0.9, 1e18), 1e-9, "and stays so")
	assert.InEpsilon(t, 800+500*0.4, e.PressureLoss(q, gas, 0.9, 500), 1e-12, "no more than the oil's head from where it begins to close")
	e.ClosedAt = 1.5
	assert.InEpsilon(t, 800/(0.5*0.5), e.PressureLoss(q, gas, 1, 1e9), 1e-12, "full before it is closed")
	e.ClosedAt = 0.5
	assert.InEpsilon(t, 800+500*0.1, e.PressureLoss(q, gas, 0.6, 500), 1e-12, "closed at once")
	e.ClosedAt = 0.4
	assert.InEpsilon(t, 800+500*0.1, e.PressureLoss(q, gas, 0.6, 500), 1e-12, "closed before it begins to: at once")
	e.ClosesFrom, e.ClosedAt = math.Inf(1), math.Inf(1)
	assert.InEpsilon(t, 800, e.PressureLoss(q, gas, 1, 500), 1e-12, "never closes")
}

// Without ClosedAt the loss is what it was before there was one, to the last
// bit. (regression: the law written out)
func TestElementWithoutClosedAt(t *testing.T) {
	for from := 0.0; from < 1; from += 0.07 {
		for fill := 0.0; fill <= 1; fill += 0.013 {
			e := Element{Loss: 731, Flow: 1.7e-3, Density: 1.13, ClosesFrom: from}
			loss := e.resist(Gas{Density: 0.97}, fill, 540, 1.07)
			want := elementResistance{dry: 1.07 * 731 * 0.97 / (e.Flow * e.Flow * 1.13), open: 1}
			if over := math.Min(fill, 1) - from; over > 0 {
				phi := math.Max(closedPath, 1-over/(1-from))
				want.open, want.head = phi*phi, 540*over
			}
			assert.InDelta(t, want.dry, loss.dry, 1e-13*want.dry)
			assert.Equal(t, [2]float64{want.open, want.head}, [2]float64{loss.open, loss.head})
		}
	}
}
