package main

import "math"

// limits are how a driver uses the car on one stretch of the log, as shares of
// what it can do.
type limits struct {
	corner, brake float64
	topSpeed      float64 // m/s
}

// profile gives the speed of a point mass at each point of road, starting at
// startSpeed: at most what the grip allows in the turn, then what power, drag
// and traction allow from behind, then what braking allows from ahead.
func profile(road []float64, l []limits, startSpeed, endSpeed float64) []float64 {
	v := make([]float64, len(road))
	for i, k := range road {
		v[i] = l[i].topSpeed
		if k != 0 {
			v[i] = min(v[i], math.Sqrt(grip*gravity*l[i].corner/math.Abs(k)))
		}
	}
	v[0] = min(v[0], startSpeed)
	for i := 1; i < len(v); i++ {
		a := min(drive(v[i-1]), traction*gravity*left(road[i-1], v[i-1], l[i-1]))
		v[i] = min(v[i], math.Sqrt(max(v[i-1]*v[i-1]+2*a*grid, 1)))
	}
	v[len(v)-1] = min(v[len(v)-1], endSpeed)
	for i := len(v) - 2; i >= 0; i-- {
		a := braking * gravity * l[i].brake * left(road[i+1], v[i+1], l[i+1])
		v[i] = min(v[i], math.Sqrt(v[i+1]*v[i+1]+2*a*grid))
	}
	return v
}

// drive is the acceleration at full throttle, m/s².
func drive(v float64) float64 {
	return (power/max(v, 8) - airDrag*v*v) / mass
}

// left is the share of grip that a turn leaves for driving or braking.
func left(k, v float64, l limits) float64 {
	used := math.Abs(k) * v * v / (grip * gravity * l.corner)
	return math.Sqrt(max(1-used*used, 0.04))
}

// throttleFor gives the throttle that an acceleration takes, 0..1: the power
// asked for over the power there is. Near full it is full, as drivers do.
func throttleFor(v, a float64) float64 {
	share := (mass*a + airDrag*v*v) * max(v, 8) / power
	switch {
	case share > 0.9:
		return 1
	case share < 0.02:
		return 0
	}
	return share
}

// gears are engine revolutions a minute per m/s of speed.
var gears = []float64{430, 295, 215, 165, 134}

// rpm gives the engine speed in the gear that a driver would be in.
func rpm(v float64) float64 {
	for _, g := range gears {
		if v*g < 6900 {
			return max(v*g, 950)
		}
	}
	return v * gears[len(gears)-1]
}
