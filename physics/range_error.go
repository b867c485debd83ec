package physics

import "fmt"

// RangeError says that a quantity lies outside the range for which an equation
// holds.
type RangeError struct {
	Quantity string  // what was out of range, such as "air temperature"
	Value    float64 // what was given, in Unit
	Low      float64 // lowest value allowed, in Unit
	High     float64 // highest value allowed, in Unit
	Unit     string  // unit of the three numbers
	Source   string  // where the range comes from
}

// Error names the quantity, its value, the range allowed, the unit and the
// source of the range.
func (e *RangeError) Error() string {
	unit := e.Unit
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s is %.6g%s, outside %g to %g%s (%s)", e.Quantity, e.Value, unit, e.Low, e.High, unit, e.Source)
}

// check returns a *RangeError if the value of e lies outside its range or is
// not a number, else nil.
func (e RangeError) check() error {
	if e.Value >= e.Low && e.Value <= e.High {
		return nil
	}
	failed := e // apart, so that what is in range takes no memory
	return &failed
}
