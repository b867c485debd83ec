package track

import (
	"fmt"
	"math"
)

// PowerPoint is the power at the wheels at one speed.
type PowerPoint struct {
	Speed float64 // m/s
	Power float64 // W
}

// PowerCurve is the power at the wheels against speed: linear between its
// points, which rise in speed, and constant beyond the first and the last.
type PowerCurve []PowerPoint

// ConstantPower is the same power, W, at any speed.
func ConstantPower(power float64) PowerCurve { return PowerCurve{{Power: power}} }

// At returns the power at a speed in m/s, W.
func (c PowerCurve) At(speed float64) float64 {
	s := c.stretch(speed)
	return s.constant + s.slope*speed
}

// Vehicle is what drives.
type Vehicle struct {
	Mass        float64    // kg, above 0
	Power       PowerCurve // at the wheels, full throttle
	Grip        float64    // friction coefficient that is used (tyre grip times the driver's share), above 0
	DragArea    float64    // drag coefficient times frontal area, m2; 0: no drag
	AirDensity  float64    // kg/m3
	TopSpeed    float64    // m/s, geared limit; +Inf: none
	ShiftTime   float64    // s without drive at each upshift; 0: none
	ShiftStep   float64    // ratio of speed from one gear to the next, above 1; upshifts are at TopSpeed/ShiftStep^k, k = 1, 2 …
	LowestShift float64    // m/s, no upshift below; above 0
}

// mostShifts is how many upshifts a car may have.
const mostShifts = 30

// check tells what is wrong with a vehicle.
func (v *Vehicle) check() error {
	for _, f := range [...]struct {
		value float64
		what  string
		unit  string
		zero  bool
	}{
		{v.Mass, "mass", "kg", false},
		{v.Grip, "grip", "", false},
		{v.DragArea, "drag area", "m2", true},
		{v.AirDensity, "air density", "kg/m3", true},
		{v.ShiftTime, "shift time", "s", true},
	} {
		if !(f.value > 0 || f.zero && f.value == 0) || math.IsInf(f.value, 0) {
			return fmt.Errorf("vehicle: its %s is %s: give one above 0", f.what, quantity(f.value, f.unit))
		}
	}
	if !(v.TopSpeed > 0) {
		return fmt.Errorf("vehicle: its top speed is %g m/s: give one above 0", v.TopSpeed)
	}
	if err := v.Power.check(); err != nil {
		return err
	}
	return v.checkShifts()
}

func quantity(value float64, unit string) string {
	if unit == "" {
		return fmt.Sprintf("%g", value)
	}
	return fmt.Sprintf("%g %s", value, unit)
}

func (v *Vehicle) checkShifts() error {
	if v.ShiftTime == 0 {
		return nil
	}
	switch {
	case math.IsInf(v.TopSpeed, 1):
		return fmt.Errorf("vehicle: it shifts, but has no top speed: give the speed at the end of its last gear, or a shift time of 0")
	case !(v.ShiftStep > 1) || math.IsInf(v.ShiftStep, 0):
		return fmt.Errorf("vehicle: the ratio of speed from gear to gear is %g: give one above 1", v.ShiftStep)
	case !(v.LowestShift > 0):
		return fmt.Errorf("vehicle: its lowest upshift is at %g m/s: give a speed above 0", v.LowestShift)
	case math.Log(v.TopSpeed/v.LowestShift) > mostShifts*math.Log(v.ShiftStep):
		return fmt.Errorf("vehicle: it would have more than %d upshifts: give wider gears or a faster lowest upshift", mostShifts)
	}
	return nil
}

func (c PowerCurve) check() error {
	if len(c) == 0 {
		return fmt.Errorf("vehicle: it has no power: give at least one value")
	}
	for i, p := range c {
		if !(p.Power > 0) || math.IsInf(p.Power, 0) {
			return fmt.Errorf("vehicle: point %d of its power curve is %g W: give one above 0", i+1, p.Power)
		}
		if !(p.Speed >= 0) || math.IsInf(p.Speed, 0) || i > 0 && !(p.Speed > c[i-1].Speed) {
			return fmt.Errorf("vehicle: point %d of its power curve is at %g m/s: give speeds that rise", i+1, p.Speed)
		}
	}
	return nil
}

// stretch is a piece of a power curve: constant + slope times speed, between two
// squares of speed.
type stretch struct {
	constant  float64 // W
	slope     float64 // W s/m
	low, high float64 // m2/s2
}

// stretch returns the stretch of the curve at a speed. On the speed of a point
// it is the one above.
func (c PowerCurve) stretch(speed float64) stretch {
	n := len(c)
	if !(speed < c[n-1].Speed) {
		return stretch{constant: c[n-1].Power, low: square(c[n-1].Speed), high: math.Inf(1)}
	}
	if speed < c[0].Speed {
		return stretch{constant: c[0].Power, low: math.Inf(-1), high: square(c[0].Speed)}
	}
	i := 1
	for speed >= c[i].Speed {
		i++
	}
	a, b := c[i-1], c[i]
	slope := (b.Power - a.Power) / (b.Speed - a.Speed)
	return stretch{constant: a.Power - slope*a.Speed, slope: slope, low: square(a.Speed), high: square(b.Speed)}
}

func square(x float64) float64 { return x * x }

// shiftSpeeds appends the squares of the upshift speeds to dst, rising.
func (v *Vehicle) shiftSpeeds(dst []float64) []float64 {
	if v.ShiftTime == 0 {
		return dst
	}
	for k := mostShifts; k >= 1; k-- {
		if speed := v.TopSpeed / math.Pow(v.ShiftStep, float64(k)); speed >= v.LowestShift {
			dst = append(dst, speed*speed)
		}
	}
	return dst
}
