package sim

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
)

// Between its nodes the table of gas states is the network's own, for every kind
// of way the gas may take beside the drain: to 1e-6 of the flow in the median,
// and to 5e-4 where a hose passes from laminar to turbulent, a range over which
// the friction law itself is uncertain by a tenth and more.
func TestHeadTableAgainstNetwork(t *testing.T) {
	for name, edit := range map[string]func(*Car){
		"two circuits": func(*Car) {},
		"one circuit":  func(c *Car) { c.Gas.ToSeparator = c.Gas.ToSeparator[:1] },
		"drain alone":  func(c *Car) { c.Gas.ToSeparator = nil },
		"a way past": func(c *Car) {
			c.Gas.Past = []physics.Hose{{Bore: 0.012, Length: 0.5, LossCoefficient: 3}}
			c.Gas.PastToAir = []bool{true}
		},
		"before element": func(c *Car) { c.Can.CollectsBefore = true },
	} {
		car := larkmoor()
		car.Drain.Kind = Unsealed
		edit(car)
		k := NewKernel()
		require.NoError(t, k.prepare(car, &Outcome{}))
		for i := range car.Lap {
			o := &k.points[i]
			k.setPastPressure(o.phase)
			k.gasUnder(o, 0)
			top := o.table.top
			if o.table.shut {
				top *= 1.2
			}
			var off []float64
			for j := range 500 {
				head := top * (float64(j) + 0.37) / 500
				exact, err := k.solveGas(o, &k.openNetwork, 0, 0, head)
				require.NoError(t, err)
				got := k.gasUnder(o, head)
				off = append(off, math.Abs(got.upDrain-exact.upDrain)/o.flow)
				assert.InDelta(t, exact.crankcase, got.crankcase, 0.5, "%s, phase %d, head %.1f Pa", name, i, head)
				assert.InDelta(t, exact.circuits, got.circuits, 1e-3)
				assert.InDelta(t, exact.drain, got.drain, 1e-3)
			}
			slices.Sort(off)
			median, worst := off[len(off)/2], off[len(off)-1]
			assert.Less(t, worst, 5e-4, "%s, phase %d: gas up the drain, over all", name, i)
			assert.Less(t, median, 1e-6, "%s, phase %d: gas up the drain, over all", name, i)
			t.Logf("%s, phase %d: within %.1e of the flow, %.1e in the median", name, i, worst, median)
		}
	}
}
