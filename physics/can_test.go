package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestUsableVolume(t *testing.T) {
	can := CanUnderAcceleration{Volume: 0.45e-3, CrossSection: 44e-4, OutletOffset: 0.02}
	assert.Equal(t, 0.45e-3, UsableVolume(can))
	can.Acceleration = StandardGravity
	assert.InDelta(t, 0.45e-3-44e-4*0.02, UsableVolume(can), 1e-18)
	can.Acceleration = -StandardGravity
	assert.InDelta(t, 0.45e-3-44e-4*0.02, UsableVolume(can), 1e-18, "by magnitude")
	can.Acceleration = 10 * StandardGravity
	assert.InDelta(t, 0.09e-3, UsableVolume(can), 1e-18, "a fifth is left")
	can.OutletOffset = 0
	assert.Equal(t, 0.45e-3, UsableVolume(can), "centred")
}

func TestFreeSurfaceTilt(t *testing.T) {
	// atan(a/g), exact; computed independently.
	assert.InDelta(t, 42.543990, FreeSurfaceTilt(9.0)*180/math.Pi, 5e-7)
	assert.InDelta(t, 35.793423, FreeSurfaceTilt(Acceleration{5, 5}.Magnitude())*180/math.Pi, 5e-7)
	assert.InDelta(t, 50, FreeSurfaceTilt(1.2*StandardGravity)*180/math.Pi, 0.2, "1.2 g tilts by about 50°")
}

func TestCaptureFactor(t *testing.T) {
	assert.Equal(t, 1.0, CaptureFactor(0.8, 0.8, 0.5))
	assert.InDelta(t, 0.75, CaptureFactor(0.9, 0.8, 0.5), 1e-15)
	assert.InDelta(t, 0.5, CaptureFactor(1, 0.8, 0.5), 1e-15)
	assert.InDelta(t, 0.5, CaptureFactor(1.3, 0.8, 0.5), 1e-15, "fill is clamped")
	assert.Equal(t, 1.0, CaptureFactor(-1, 0.8, 0.5))
	assert.Equal(t, 1.0, CaptureFactor(1, 1, 0.5), "never")
	assert.Equal(t, 1.0, CaptureFactor(1.3, 1, 0.5), "never")
}
