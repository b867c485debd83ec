package track_test

import (
	"fmt"
	"math"

	"sumpward/physics/track"
)

// Two straights of 300 m and two half-circles of 40 m radius, driven by 1300 kg
// with 180 kW at the wheels.
func ExampleSolver_Lap() {
	straight, corner := track.Piece{Length: 300}, track.Piece{Length: 40 * math.Pi, Curvature: 1.0 / 40}
	path, err := track.FromPieces([]track.Piece{straight, corner, straight, corner}, track.DefaultStep)
	if err != nil {
		fmt.Println(err)
		return
	}
	car := track.Vehicle{Mass: 1300, Power: track.ConstantPower(180e3), Grip: 1.1, TopSpeed: math.Inf(1)}
	var lap track.Lap
	if err := track.NewSolver().Lap(path, car, &lap); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("lap %.3f s, %.0f %% of it at full throttle\n", lap.Time, 100*lap.FullThrottle/lap.Time)
	for _, p := range lap.Phases(track.Tolerance{Acceleration: 5}, nil)[:3] {
		fmt.Printf("%5.1f s at load %3.0f %%, forward %5.1f, left %4.1f m/s²\n", p.Duration, 100*p.Load, p.Forward, p.Left)
	}
	// Output:
	// lap 29.339 s, 43 % of it at full throttle
	//   6.2 s at load 100 %, forward   4.1, left  0.0 m/s²
	//   2.4 s at load   0 %, forward -10.8, left  0.0 m/s²
	//   6.0 s at load   0 %, forward   0.0, left 10.8 m/s²
}
