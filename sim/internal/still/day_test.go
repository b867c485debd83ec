package still

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/scenarios"
)

func TestWritten(t *testing.T) {
	s := Read(t, Written("0.1 g/s", "0.2 g/s", "[20 min]", "[10 min, 30 min]"), scenarios.Change{Path: "separator.usable_volume", Value: "0.3 L"})
	assert.InDelta(t, 0.2e-3, s.Input("carry_over.full_throttle").Nominal(), 1e-12)
	assert.InDelta(t, 0.3e-3, s.Separator.UsableVolume.Nominal(), 1e-12)
	assert.Len(t, s.Sessions, 2)
	assert.Panics(t, func() { Written("7 g/s", "8 g/s") }, "does not stand there")
	assert.Panics(t, func() { Written("0.1 g/s", "0.2 g/s", "0.1 g/s", "0.3 g/s") }, "no more")
	assert.Panics(t, func() { Written("min", "h") }, "more than once")
}
