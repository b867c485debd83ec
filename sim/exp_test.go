package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestExpIsTheLibrarys(t *testing.T) {
	for x := -700.0; x <= 700; x += 0.00713 {
		require.InEpsilon(t, math.Exp(x), exp(x), 2e-15, "%g", x)
	}
	assert.Equal(t, 1.0, exp(0))
	for _, x := range []float64{1e-300, 1e-16, -1e-16, math.Ln2 / 256, -math.Ln2 / 256} {
		assert.InEpsilon(t, math.Exp(x), exp(x), 2e-15, "%g", x)
	}
}
