package exact

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim/sampling"
)

// The three buffers of the tables below.
var (
	first  = OnOffBuffer{OnRate: 1.0 / 40, OffRate: 1.0 / 20, Rise: 2, Fall: 3, Capacity: 100}
	second = OnOffBuffer{OnRate: 0.02, OffRate: 0.1, Rise: 1.5, Fall: 0.8}
	even   = OnOffBuffer{OnRate: 0.05, OffRate: 0.05, Rise: 1, Fall: 1, Capacity: 40}
)

// The numbers also come, to 8 digits, from an open matrix-analytic library (BuTools).
func TestInfiniteBuffer(t *testing.T) {
	for _, row := range []struct {
		buffer OnOffBuffer
		x, p   float64
	}{
		{first, 0, 0.55555556}, {first, 50, 0.24144345}, {first, 100, 0.10493089}, {first, 200, 0.01981889},
		{second, 0, 0.47916667}, {second, 10, 0.31588614}, {second, 50, 0.05966318}, {second, 100, 0.00742893},
	} {
		assert.InDelta(t, row.p, row.buffer.InfiniteExceedance(row.x), 6e-9, "%+v", row)
	}
	assert.InDelta(t, 0.01666667, first.decay(), 6e-9)
	assert.InDelta(t, 0.04166667, second.decay(), 6e-9)
	assert.Equal(t, 1.0, even.InfiniteExceedance(1e6), "no long-run state: it grows for ever")
	long := second
	long.Capacity = 2000
	assert.InDelta(t, second.InfiniteExceedance(30), long.Stationary().Exceedance(30), 1e-12, "a finite one of great capacity")
}

// The numbers were found by a second implementation, and agree with a simulation to
// 1e-3.
func TestFiniteBuffer(t *testing.T) {
	short := first
	short.Capacity = 30
	for _, row := range []struct {
		buffer                                         OnOffBuffer
		inflow, empty, full, half, overflow, lossShare float64
	}{
		{first, 5, 0.47430606, 0.04479242, 0.19047707, 0.08958484, 0.05375091},
		{short, 5, 0.55707141, 0.16894044, 0.28889889, 0.33788089, 0.20272853},
		{even, 2, 1.0 / 6, 1.0 / 6, 0.5, 0.16666667, 1.0 / 6},
	} {
		s := row.buffer.Stationary()
		assert.InDelta(t, row.empty, s.Empty, 6e-9, "%+v", row)
		assert.InDelta(t, row.full, s.Full, 6e-9, "%+v", row)
		assert.InDelta(t, row.half, s.Exceedance(row.buffer.Capacity/2), 6e-9, "%+v", row)
		assert.InDelta(t, row.overflow, s.OverflowRate(), 6e-9, "%+v", row)
		assert.InDelta(t, row.lossShare, s.LossShare(row.inflow), 6e-9, "%+v", row)
		assert.InDelta(t, 1, s.Empty+s.Exceedance(0), 1e-14, "%+v", row)
		// What comes in goes out: gross inflow = drained + over the top.
		drain := row.inflow - row.buffer.Rise
		drained := drain * (1 - s.Empty)
		assert.InDelta(t, row.buffer.OnShare()*row.inflow, drained+s.OverflowRate(), 1e-13, "%+v", row)
	}
}

func TestMeanPassage(t *testing.T) {
	assert.InDelta(t, 504.756157, first.MeanPassage(0, true), 6e-7)
	assert.InDelta(t, 544.756157, first.MeanPassage(0, false), 6e-7)
	assert.InDelta(t, 135, even.MeanPassage(10, true), 1e-11, "exact")
	assert.InDelta(t, 175, even.MeanPassage(10, false), 1e-11, "exact")
	near := even
	near.OffRate *= 1 + 1e-9
	assert.InDelta(t, 135, near.MeanPassage(10, true), 1e-5, "continuous where z = 0")
	for _, w := range []float64{-0.09, -0.01, 0.01, 0.09, 0.11} { // the series and the closed form
		assert.InEpsilon(t, (math.Expm1(w)-w)/(w*w)*9, doubleIntegralOfExp(w/3, 3), 1e-11, "w %v", w)
	}
	for _, on := range []bool{true, false} {
		// The mean is -d/ds of the transform at 0; the transform here carries e^(sτ).
		const h = 1e-6
		tau := (first.Capacity - 20) / first.Rise
		left := real(first.delayedTransform(complex(-h, 0), 20, on))
		right := real(first.delayedTransform(complex(h, 0), 20, on))
		assert.InDelta(t, first.MeanPassage(20, on), tau-(right-left)/(2*h), 1e-3, "on %v", on)
	}
}

// Numbers with eight digits agree between two or three inversions of high precision
// (mpmath); 0.1017 is given to four, cut rather than rounded.
func TestOnOffReachedBy(t *testing.T) {
	for _, row := range []struct {
		on           bool
		time, p, tol float64
	}{
		{false, 300, 0.39745002, 6e-9},
		{false, 600, 0.67094007, 6e-9},
		{false, 1200, 0.90186163, 6e-9},
		{true, 60, 0.1017, 1e-4},
		{true, 300, 0.44605015, 6e-9},
		{true, 1200, 0.90977722, 6e-9},
	} {
		assert.InDelta(t, row.p, first.ReachedBy(row.time, 0, row.on), row.tol, "%+v", row)
	}
	assert.InDelta(t, 0.08208500, first.ReachedBy(50, 0, true), 6e-9, "the atom e^-2.5")
	assert.Zero(t, first.ReachedBy(49.999, 0, true))
	assert.Zero(t, first.ReachedBy(50, 0, false))
}

// A second route: the chances followed backwards in time along the paths of both
// states, by the trapezoidal rule, extrapolated to a step of 0. With equal rise and fall
// the paths run through the points of one grid.
func TestOnOffReachedByMarching(t *testing.T) {
	b := OnOffBuffer{OnRate: 0.02, OffRate: 0.05, Rise: 1, Fall: 1, Capacity: 40}
	for _, row := range []struct{ time, tol float64 }{
		{41, 2e-9}, {44, 1e-9}, {50, 1e-9}, {51.3, 1e-9}, {80, 1e-9}, {300, 1e-9},
		// kinks at 120 and 200 s
		{110, 1e-8}, {119, 4e-7}, {120, 4e-7}, {121, 4e-7}, {130, 4e-7}, {200, 4e-7},
	} {
		coarseOn, coarseOff := march(b, row.time, 800)
		fineOn, fineOff := march(b, row.time, 1600)
		on, off := fineOn+(fineOn-coarseOn)/3, fineOff+(fineOff-coarseOff)/3
		assert.InDelta(t, on, b.ReachedBy(row.time, 0, true), row.tol, "on at %v", row.time)
		assert.InDelta(t, off, b.ReachedBy(row.time, 0, false), row.tol, "off at %v", row.time)
	}
}

// march returns the chances to be full by the given time from empty, on and off, for
// unit rise and fall, on a grid of n steps up to the capacity.
func march(b OnOffBuffer, time float64, n int) (fromOn, fromOff float64) {
	dt := b.Capacity / float64(n)
	stayOn, stayOff := math.Exp(-b.OffRate*dt), math.Exp(-b.OnRate*dt)
	l, m := b.OnRate*dt/2, b.OffRate*dt/2
	on, off := make([]float64, n+1), make([]float64, n+1)
	nextOn, nextOff := make([]float64, n+1), make([]float64, n+1)
	on[n] = 1
	// At the front, where the chance from on jumps by the atom, its mean value counts.
	smooth := func(on []float64, i, step int) float64 {
		if i == n-step {
			return on[i] - math.Exp(-b.OffRate*dt*float64(step))/2
		}
		return on[i]
	}
	for step := 1; step <= int(math.Round(time/dt)); step++ {
		for i := range on {
			below := max(i-1, 0)
			fixedOff := stayOff*off[below] + l*stayOff*smooth(on, below, step-1)
			if i == n {
				nextOn[n], nextOff[n] = 1, fixedOff+l
				continue
			}
			fixedOn := stayOn*on[i+1] + m*stayOn*off[i+1]
			if i == n-step {
				fixedOff -= l * math.Exp(-b.OffRate*dt*float64(step)) / 2
			}
			nextOn[i] = (fixedOn + m*fixedOff) / (1 - l*m)
			nextOff[i] = fixedOff + l*nextOn[i]
		}
		on, nextOn, off, nextOff = nextOn, on, nextOff, off
	}
	return on[0], off[0]
}

// A third route: the buffer followed event by event, with the streams of the project.
func TestOnOffReachedBySimulation(t *testing.T) {
	const n = 40_000
	times := []float64{60, 120, 300, 600}
	for _, on := range []bool{true, false} {
		reached := make([]float64, len(times))
		for i := range uint64(n) {
			s := sampling.NewStream(3, sampling.InputKey("on-off"), i)
			at := firstPassage(first, &s, on, times[len(times)-1])
			for k, time := range times {
				if at <= time {
					reached[k]++
				}
			}
		}
		for k, time := range times {
			p := first.ReachedBy(time, 0, on)
			assert.InDelta(t, p, reached[k]/n, 4*math.Sqrt(p*(1-p)/n), "on %v at %v s", on, time)
		}
	}
}

func firstPassage(b OnOffBuffer, s *sampling.Stream, on bool, end float64) float64 {
	time, x := 0.0, 0.0
	for time <= end {
		if on {
			spell := s.Gamma(1) / b.OffRate
			if x+b.Rise*spell >= b.Capacity {
				return time + (b.Capacity-x)/b.Rise
			}
			x += b.Rise * spell
			time += spell
		} else {
			spell := s.Gamma(1) / b.OnRate
			x = max(0, x-b.Fall*spell)
			time += spell
		}
		on = !on
	}
	return math.Inf(1)
}

// Known pairs: 1/(s+1) and e^-t; 1/s² and t; s/(s²+1) and cos t.
func TestInvertEuler(t *testing.T) {
	for _, time := range []float64{0.1, 1, 5} {
		assert.InDelta(t, math.Exp(-time), invertEuler(func(s complex128) complex128 { return 1 / (s + 1) }, time), 1e-8)
		assert.InDelta(t, time, invertEuler(func(s complex128) complex128 { return 1 / (s * s) }, time), 1e-8)
		assert.InDelta(t, math.Cos(time), invertEuler(func(s complex128) complex128 { return s / (s*s + 1) }, time), 1e-8)
	}
}
