package scenarios

import "fmt"

const mostPowerPoints = 100

// trackCar binds the car as a point mass.
func (b *binder) trackCar() TrackCar {
	const car = "duty.car."
	c := TrackCar{Mass: b.required(car+"mass", "the mass of the car with driver and fuel")}
	switch {
	case b.conflict(car+"power", car+"power_curve", "one stands for the other"):
	case b.has(car + "power_curve"):
		c.Curve = b.powerCurve(car + "power_curve")
	default:
		c.Power = b.required(car+"power", "power at the wheels, or a power_curve")
	}
	c.Grip, c.Driver = b.quantity(car+"grip"), b.quantity(car+"driver")
	c.DragArea, c.TopSpeed = b.quantity(car+"drag_area"), b.quantity(car+"top_speed")
	c.ShiftTime, c.ShiftStep = b.quantity(car+"shift_time"), b.quantity(car+"shift_step")
	return c
}

func (b *binder) powerCurve(at string) []PowerPoint {
	paths := b.elements[at]
	if !b.several(at, mostPowerPoints) {
		return nil
	}
	var curve []PowerPoint
	for _, path := range paths {
		curve = append(curve, PowerPoint{
			Speed: b.required(path+".speed", "the speed of a point"),
			Power: b.required(path+".power", "the power at that speed"),
		})
	}
	for i := 1; i < len(curve); i++ {
		b.ascending(curve[i-1].Speed, curve[i].Speed)
	}
	return curve
}

// several insists on two or more elements of a list, and not too many.
func (b *binder) several(at string, most int) bool {
	v := b.values[at]
	if v == nil || v.bad {
		return false
	}
	if n := len(b.elements[at]); n < 2 || n > most {
		b.problem(v.line, at, fmt.Sprintf("2 to %d points are wanted here (got %d)", most, n), v.field.hint(""))
		return false
	}
	return true
}

// ascending insists on a point beyond the one before.
func (b *binder) ascending(before, q *Quantity) {
	if q.Nominal() <= before.Nominal() {
		b.problem(q.Line, q.Path, "no more than that of the point before (got "+q.Text+" after "+before.Text+")", "put the points in ascending order")
	}
}
