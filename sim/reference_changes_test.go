package sim_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/sim"
)

// changes are small changes of a car. The kernel on the changed car has to
// disagree with the reference on the car as it was, in at least some cars:
// otherwise the tolerances or the corpus would hide an error in that input.
var changes = []struct {
	name   string
	change func(c *sim.Car)
}{
	{"fall + 2 mm", func(c *sim.Car) { lower(c, 2e-3) }},
	{"blow-by + 1 %", func(c *sim.Car) { c.Gas.BlowByFull *= 1.01 }},
	{"blow-by, closed throttle + 0.5 L/min", func(c *sim.Car) { c.Gas.BlowByClosed += 0.5 * litresPerMinute }},
	{"gas temperature + 5 K", func(c *sim.Car) { c.Gas.Temperature += 5 }},
	{"intake depression + 2 %", func(c *sim.Car) { c.Gas.IntakeDepression *= 1.02 }},
	{"pulsation + 0.05", func(c *sim.Car) { c.Gas.Pulsation += 0.05 }},
	{"first circuit's bore + 2 %", func(c *sim.Car) {
		if len(c.Gas.ToSeparator) > 0 {
			c.Gas.ToSeparator[0].Bore *= 1.02
		}
	}},
	{"past circuit's bore + 2 %", func(c *sim.Car) {
		if len(c.Gas.Past) > 0 {
			c.Gas.Past[0].Bore *= 1.02
		}
	}},
	{"past circuit's end", func(c *sim.Car) {
		if len(c.Gas.Past) > 0 {
			c.Gas.PastToAir[0] = !c.Gas.PastToAir[0]
		}
	}},
	{"outlet's end", func(c *sim.Car) { c.Gas.OutletToAir = !c.Gas.OutletToAir }},
	{"outlet's bore + 2 %", func(c *sim.Car) { c.Gas.Outlet.Bore *= 1.02 }},
	{"element's loss + 1 %", func(c *sim.Car) { c.Gas.Element.Loss *= 1.01 }},
	{"closing from 5 % earlier", func(c *sim.Car) { c.Gas.Element.ClosesFrom *= 0.95 }},
	{"usable volume + 1 %", func(c *sim.Car) { c.Can.UsableVolume *= 1.01 }},
	{"cross-section + 5 %", func(c *sim.Car) { c.Can.CrossSection *= 1.05 }},
	{"outlet 2 mm further off axis", func(c *sim.Car) { c.Can.OutletOffset += 2e-3 }},
	{"mist efficiency + 15 %", func(c *sim.Car) { c.Can.Efficiency += 0.15 }},
	{"collecting side", func(c *sim.Car) { c.Can.CollectsBefore = !c.Can.CollectsBefore }},
	{"blown out from 5 % earlier", func(c *sim.Car) { c.Can.BlownOutFrom *= 0.95 }},
	{"efficiency when full - 5 %", func(c *sim.Car) { c.Can.EfficiencyWhenFull -= 0.05 }},
	{"viscosity + 3 %", func(c *sim.Car) { c.Oil.Viscosity.A += 0.004 }},
	{"density + 1 %", func(c *sim.Car) { c.Oil.Density15 *= 1.01 }},
	{"aeration + 2 %", func(c *sim.Car) { c.Oil.Aeration += 0.02 }},
	{"aeration in hose + 10 %", func(c *sim.Car) { c.Oil.HoseAeration += 0.1 }},
	{"start 5 K hotter", func(c *sim.Car) { c.Oil.Start += 5 }},
	{"settled 5 K hotter", func(c *sim.Car) { c.Oil.Settled += 5 }},
	{"ambient 10 K hotter", func(c *sim.Car) { c.Oil.Ambient += 10 }},
	{"warm-up 20 % slower", func(c *sim.Car) { c.Oil.TimeConstant *= 1.2 }},
	{"cooling twice as fast", func(c *sim.Car) { c.Oil.CoolingTimeConstant /= 2 }},
	{"hose warmth + 10 %", func(c *sim.Car) { c.Oil.HoseWarmth += 0.1 }},
	{"mist + 20 %", func(c *sim.Car) { c.CarryOver.Mist *= 1.2 }},
	{"liquid + 1 %", func(c *sim.Car) { c.CarryOver.Liquid *= 1.01 }},
	{"liquid's meaning", func(c *sim.Car) { c.CarryOver.AtFull = !c.CarryOver.AtFull }},
	{"flow exponent + 0.1", func(c *sim.Car) { c.CarryOver.FlowExponent += 0.1 }},
	{"corner share + 5 %", func(c *sim.Car) { c.CarryOver.CornerShare += 0.05 }},
	{"breather share - 2 %", func(c *sim.Car) { c.CarryOver.BreatherShare -= 0.02 }},
	{"no valve", func(c *sim.Car) { c.Drain.Valve = false }},
	{"valve opens 20 Pa later", func(c *sim.Car) { c.Drain.OpensAt += 20 }},
	{"port pressure + 20 Pa", func(c *sim.Car) { c.Drain.Port += 20 }},
	{"drain bore + 2 %", func(c *sim.Car) { c.Drain.Hose.Bore *= 1.02 }},
	{"drain length + 10 %", func(c *sim.Car) { c.Drain.Hose.Length *= 1.1 }},
	{"drain loss coefficient + 20 %", func(c *sim.Car) { c.Drain.Hose.LossCoefficient *= 1.2 }},
	{"drain laminar coefficient + 20 %", func(c *sim.Car) { c.Drain.Hose.LaminarCoefficient *= 1.2 }},
	{"held length + 5 %", func(c *sim.Car) { c.Drain.HeldLength *= 1.05 }},
	{"flooding constant + 0.02", func(c *sim.Car) { c.Drain.Flooding += 0.02 }},
	{"sump surface 2 mm lower", func(c *sim.Car) {
		if c.Drain.Surface != nil {
			c.Drain.Surface.Z -= 2e-3
		}
	}},
	{"no sump surface", func(c *sim.Car) { c.Drain.Surface = nil }},
	{"sump area + 10 %", func(c *sim.Car) { c.Drain.SumpArea *= 1.1 }},
	{"emptied 5 % later", func(c *sim.Car) { c.Drain.EmptyEvery *= 1.05 }},
	{"emptied at stops", func(c *sim.Car) { c.Drain.EmptyAtStops = !c.Drain.EmptyAtStops }},
	{"first straight 2 % longer", func(c *sim.Car) { c.Lap[0].Duration *= 1.02 }},
	{"cornering + 5 %", func(c *sim.Car) {
		for i := range c.Lap {
			c.Lap[i].Left *= 1.05
		}
	}},
	{"accelerating + 10 %", func(c *sim.Car) {
		for i := range c.Lap {
			c.Lap[i].Forward *= 1.1
		}
	}},
	{"corners mirrored", func(c *sim.Car) {
		for i := range c.Lap {
			c.Lap[i].Left *= -1
		}
	}},
	{"spread of laps + 0.05", func(c *sim.Car) { c.Spread += 0.05 }},
	{"limit of pressure + 20 Pa", func(c *sim.Car) { c.Limits.Pressure += 20 }},
	{"limit of oil lost + 2 %", func(c *sim.Car) { c.Limits.OilLost *= 1.02 }},
	{"choke level + 10 %", func(c *sim.Car) { c.Limits.ChokeLevel += 0.1 }},
	{"choke time + 20 s", func(c *sim.Car) { c.Limits.ChokeTime += 20 }},
}

// lower lowers the end of the drain, and the sump with it.
func lower(c *sim.Car, by float64) {
	if n := len(c.Drain.Route.Points); n > 0 {
		c.Drain.Route.Points[n-1].Z -= by
	}
	if c.Drain.Surface != nil {
		c.Drain.Surface.Z -= by
	}
}

// enoughApart is how many cars have to tell a change apart: then no more are tried.
const enoughApart = 5

// tellApart runs the kernel on changed cars against the reference on the cars
// as they were, of those on which both agree. A change that leaves a car as it
// was (an input that it doesn't have) can't be told apart in it.
func tellApart(t *testing.T, done []*comparison) {
	done = slices.DeleteFunc(slices.Clone(done), func(c *comparison) bool {
		return slices.ContainsFunc(c.all, func(d difference) bool { return d.size() > 1 })
	})
	kernel := sim.NewKernel()
	var b strings.Builder
	byQuantity := map[string]int{}
	for _, change := range changes {
		apart, tried := 0, 0
		for _, c := range done {
			car, _ := randomCar(c.seed)
			if change.change(car); apart == enoughApart || reflect.DeepEqual(car, c.car) {
				continue
			}
			tried++
			var out sim.Outcome
			if !assert.NoError(t, kernel.Realize(car, c.seed, 7, &out), "%s, seed %d", change.name, c.seed) {
				continue
			}
			disagrees := false
			for _, d := range differences(c.car, &out, &c.ref) {
				if d.size() > 1 {
					disagrees = true
					byQuantity[d.quantity]++
				}
			}
			if disagrees {
				apart++
			}
		}
		fmt.Fprintf(&b, "%-40s %4d of %d cars\n", change.name, apart, tried)
		assert.GreaterOrEqual(t, apart, enoughApart, "%s: told apart in too few cars", change.name)
	}
	t.Log("told apart:\n" + b.String())
	for _, d := range done[0].all {
		assert.Positive(t, byQuantity[d.quantity], "no change is told apart by %s", d.quantity)
	}
	t.Log("told apart by quantity:", byQuantity)
}

// TestDifferencesHaveTeeth shows that each tolerance tells a difference just
// above it from one just below.
func TestDifferencesHaveTeeth(t *testing.T) {
	car, _ := randomCar(1)
	car.Drain.Route = physics.StraightRoute(0.1, 0.3)
	ref := answer{watch: newWatch(car)}
	ref.Sessions = make([]sim.SessionOutcome, 2)
	for _, first := range []*float64{&ref.watch.overflow, &ref.watch.nearlyFull, &ref.watch.muchOver, &ref.watch.lost, &ref.watch.choked.first, &ref.watch.pressed.first} {
		*first = 50
	}
	for _, first := range []*float64{&ref.watch.easier.lost, &ref.watch.easier.choked.first, &ref.watch.easier.pressed.first} {
		*first = 50
	}
	for _, first := range []*float64{&ref.watch.harder.lost, &ref.watch.harder.choked.first, &ref.watch.harder.pressed.first} {
		*first = 50
	}
	oil := oilTolerance(car, &ref)
	same := func() sim.Outcome {
		return sim.Outcome{Overflow: 50, DrainChoked: 50, OverPressure: 50, OilLost: 50, Sessions: make([]sim.SessionOutcome, 2)}
	}
	worst := func(o sim.Outcome) (string, float64) {
		name, size := "", 0.0
		for _, d := range differences(car, &o, &ref) {
			if d.size() > size {
				name, size = d.quantity, d.size()
			}
		}
		return name, size
	}
	ref.heldLow, ref.heldHigh = make([]float64, 2), make([]float64, 2)
	_, size := worst(same())
	require.Zero(t, size)
	for _, c := range []struct {
		quantity string
		by       float64
		add      func(o *sim.Outcome, by float64)
	}{
		{"peak fill", 0.005, func(o *sim.Outcome, by float64) { o.Sessions[1].PeakFill += by }},
		{"to intake", oil, func(o *sim.Outcome, by float64) { o.Sessions[0].ToIntake += by }},
		{"held share", 0.005, func(o *sim.Outcome, by float64) { o.Sessions[0].HeldShare += by }},
		{"overflow", 0.2, func(o *sim.Outcome, by float64) { o.Overflow -= by }},
		{"drain choked", nominalLap(car), func(o *sim.Outcome, by float64) { o.DrainChoked += by }},
		{"over-pressure", 0.2, func(o *sim.Outcome, by float64) { o.OverPressure += by }},
		{"oil lost", 0.2, func(o *sim.Outcome, by float64) { o.OilLost -= by }},
		{"peak pressure", peakPressureTolerance(car), func(o *sim.Outcome, by float64) { o.PeakPressure += by }},
		{"drained", oil, func(o *sim.Outcome, by float64) { o.Balance.Drained += by }},
	} {
		for _, factor := range []float64{0.9, 1.1} {
			o := same()
			c.add(&o, factor*c.by)
			name, size := worst(o)
			assert.Equal(t, c.quantity, name)
			assert.InDelta(t, factor, size, 1e-6, c.quantity)
		}
	}
	missed := same()
	missed.Overflow = math.Inf(1)
	name, size := worst(missed)
	assert.Equal(t, "overflow", name, "an event that only one side has")
	assert.Greater(t, size, 1.0)
}
