package physics

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestHoseFlowInvertsPressureDrop(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 100000 {
		h := Hose{Bore: 0.004 + 0.03*r.Float64(), Length: 3 * r.Float64(), LossCoefficient: 8 * r.Float64()}
		switch r.IntN(5) {
		case 0:
			h.Length = 0
		case 1:
			h.LossCoefficient = 0
		}
		gas := BlowByGas(280 + 140*r.Float64())
		q := math.Exp(-20 + 16*r.Float64())
		drop := h.PressureDrop(q, gas)
		require.InEpsilon(t, q, h.Flow(drop, gas), 1e-12, "%+v at %g m3/s", h, q)
		near, _ := h.resist(gas).flow(drop, math.Exp(-20+16*r.Float64()))
		require.InEpsilon(t, q, near, 1e-12, "from a trial far off")
		require.Equal(t, -drop, h.PressureDrop(-q, gas))
		require.Equal(t, -h.Flow(drop, gas), h.Flow(-drop, gas))
	}
}

func TestHoseSlopes(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 2000 {
		h := Hose{Bore: 0.004 + 0.03*r.Float64(), Length: 0.1 + r.Float64(), LossCoefficient: 8 * r.Float64()}
		res := h.resist(BlowByGas(363))
		q := math.Exp(-14 + 9*r.Float64())
		drop, slope := res.drop(q)
		up, _ := res.drop(q * (1 + 1e-5))
		down, _ := res.drop(q * (1 - 1e-5))
		require.InEpsilon(t, (up-down)/(2e-5*q), slope, 1e-4)
		_, inverse := res.flow(drop, 0)
		require.InEpsilon(t, 1/slope, inverse, 1e-6)
	}
}

func TestHoseLimits(t *testing.T) {
	gas := BlowByGas(363.15)
	h := Hose{Bore: 0.016, Length: 0.5, LossCoefficient: 2.5}
	assert.Zero(t, h.PressureDrop(0, gas))
	assert.Zero(t, h.Flow(0, gas))
	slow := 1e-9
	assert.InEpsilon(t, 128*gas.Viscosity*h.Length*slow/(math.Pi*math.Pow(h.Bore, 4)), Hose{h.Bore, h.Length, 0}.PressureDrop(slow, gas), 1e-12, "Hagen-Poiseuille")
	orifice := Hose{Bore: 0.016, LossCoefficient: 2.5}
	v := 1e-3 / (math.Pi / 4 * 0.016 * 0.016)
	assert.InEpsilon(t, 2.5*0.5*gas.Density*v*v, orifice.PressureDrop(1e-3, gas), 1e-14)
	assert.True(t, math.IsInf(Hose{Bore: 0.016}.Flow(1, gas), 1))
}

func TestHoseAllocatesNothing(t *testing.T) {
	gas := BlowByGas(363.15)
	h := Hose{Bore: 0.016, Length: 0.5, LossCoefficient: 2.5}
	assert.Zero(t, testing.AllocsPerRun(100, func() { h.Flow(h.PressureDrop(1e-3, gas), gas) }))
}

func BenchmarkHose(b *testing.B) {
	gas := BlowByGas(363.15)
	h := Hose{Bore: 0.016, Length: 0.5, LossCoefficient: 2.5}
	b.Run("drop", func(b *testing.B) {
		for b.Loop() {
			h.PressureDrop(1e-3, gas)
		}
	})
	drop := h.PressureDrop(1e-3, gas)
	b.Run("flow", func(b *testing.B) {
		for b.Loop() {
			h.Flow(drop, gas)
		}
	})
}
