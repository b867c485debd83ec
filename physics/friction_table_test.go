package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFrictionTableIsChurchills(t *testing.T) {
	worst := 0.0
	for re := laminarReynolds * 0.9; re < 1.1*highestTabled; re *= 1.00037 {
		f, slope := tabledFriction(re)
		want, wantSlope := smoothFriction(re)
		within := 1e-10
		if re > 1500 && re < 6000 {
			within = 1e-7
		}
		require.InEpsilon(t, want, f, within, "Re %g", re)
		require.InDelta(t, wantSlope, slope, 1e4*within, "Re %g", re)
		worst = max(worst, math.Abs(f/want-1))
	}
	assert.Positive(t, worst, "it is the table that is looked at")
}

// The table has no steps, so that what inverts it finds its way.
func TestFrictionTableHasNoSteps(t *testing.T) {
	for i := 1; i < len(frictionTable.cells); i++ {
		edge := frictionTable.edge(i)
		before, _ := tabledFriction(math.Nextafter(edge, 0))
		at, _ := tabledFriction(edge)
		require.InEpsilon(t, before, at, 1e-13, "Re %g", edge)
	}
}

func BenchmarkFrictionTable(b *testing.B) {
	re, sum := 3e3, 0.0
	for b.Loop() {
		f, _ := tabledFriction(re)
		sum += f
		if re *= 1.01; re > 1e5 {
			re = 3e3
		}
	}
	assert.Positive(b, sum)
}
