package main

// piece is a stretch of the circuit of constant radius. A straight has radius
// 0, a left turn a positive radius, a right turn a negative one.
type piece struct {
	length float64 // m
	radius float64 // m
}

// larkmoor is an invented circuit, driven clockwise, from the line on.
var larkmoor = []piece{
	{255, 0},
	{75, -48},
	{90, 0},
	{60, 62},
	{230, 0},
	{150, -70},
	{430, 0},
	{70, -38},
	{60, 0},
	{65, 52},
	{200, 0},
	{170, -115},
	{160, 0},
	{85, -55},
	{120, 0},
	{110, 90},
	{270, 0},
	{120, -65},
	{205, 0},
}

const (
	grid     = 1.0  // m between the points of the lap
	turnIn   = 12.0 // points to either side over which a turn begins and ends
	gravity  = 9.80665
	airDrag  = 0.47   // kg/m: half air density times drag area
	mass     = 1150.0 // kg
	power    = 165e3  // W at the wheels
	traction = 0.55   // g, most that the driven wheels put down
	braking  = 1.02   // g
	grip     = 1.08   // g across
)

// curvature gives 1/radius at each point of the lap, eased at the ends of each
// turn.
func curvature() []float64 {
	var sharp []float64
	for _, p := range larkmoor {
		for range int(p.length / grid) {
			k := 0.0
			if p.radius != 0 {
				k = 1 / p.radius
			}
			sharp = append(sharp, k)
		}
	}
	n := len(sharp)
	eased := make([]float64, n)
	for i := range eased {
		for j := -int(turnIn); j <= int(turnIn); j++ {
			eased[i] += sharp[(i+j+n)%n] / (2*turnIn + 1)
		}
	}
	return eased
}
