// Makelog writes the data log of the ready-made scenarios: car 42 at Larkmoor,
// both invented. It is a point-mass lap on a made-up circuit with sensor noise,
// 20 samples a second: the end of an out-lap, three laps, the start of an
// in-lap. Longitudinal counts positive forward, lateral counts positive left.
//
// The numbers of the car (165 kW, 1150 kg, 1.08 g) are those of no car in
// particular. The same program writes the same bytes.
//
//go:generate go run . ../../larkmoor-laps.csv
package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
)

const rate = 20.0 // Hz

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: makelog FILE")
		os.Exit(3)
	}
	if err := os.WriteFile(os.Args[1], makeLog(), 0o644); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// stint gives the road of the whole log with the lap and the limits at each
// point: 550 m of out-lap, three laps, 500 m of in-lap.
func stint() (road []float64, laps []int, l []limits) {
	circuit := curvature()
	add := func(from, to, lap int, lim limits) {
		for i := from; i < to; i++ {
			road, laps, l = append(road, circuit[i]), append(laps, lap), append(l, lim)
		}
	}
	n := len(circuit)
	add(n-550, n, 0, limits{corner: 0.6, brake: 0.6, topSpeed: 35})
	add(0, n, 1, limits{corner: 0.965, brake: 0.95, topSpeed: 60})
	add(0, n, 2, limits{corner: 1, brake: 1, topSpeed: 60})
	add(0, n, 3, limits{corner: 0.985, brake: 0.97, topSpeed: 60})
	add(0, 500, 4, limits{corner: 0.55, brake: 0.5, topSpeed: 30})
	return road, laps, l
}

// makeLog drives the stint and writes what the logger would.
func makeLog() []byte {
	road, laps, l := stint()
	v := profile(road, l, 15, 20)
	noise := rand.New(rand.NewPCG(42, 20))
	var b bytes.Buffer
	b.WriteString("Larkmoor circuit, car 42 (both invented)\nfull throttle laps 1 to 3, dry\n\n")
	b.WriteString("time [s],throttle [%],lateral [g],longitudinal [g],speed [km/h],rpm,lap\n")
	pedal, x := 0.0, 0.0
	for tick := 0; ; tick++ {
		i := int(x / grid)
		if i+1 >= len(road) {
			break
		}
		part := x/grid - float64(i)
		speed := v[i] + (v[i+1]-v[i])*part
		a := (v[i+1]*v[i+1] - v[i]*v[i]) / (2 * grid)
		pedal = follow(pedal, throttleFor(speed, a))
		k := road[i] + (road[i+1]-road[i])*part
		fmt.Fprintf(&b, "%.2f,%.1f,%.3f,%.3f,%.1f,%.0f,%d\n", float64(tick)/rate,
			1.4+97.2*pedal+0.25*normal(noise), k*speed*speed/gravity+0.03*normal(noise), a/gravity+0.03*normal(noise),
			3.6*speed+0.1*normal(noise), rpm(speed)+15*normal(noise), laps[i])
		x += speed / rate
	}
	return b.Bytes()
}

// follow moves the pedal to where it is wanted at a foot's speed: shut within
// 0.15 s, open within 0.4 s.
func follow(pedal, wanted float64) float64 {
	return pedal + math.Max(math.Min(wanted-pedal, 1/(0.4*rate)), -1/(0.15*rate))
}

// normal is roughly normal with standard deviation 1, and the same on every
// machine: the sum of twelve uniform draws less 6.
func normal(r *rand.Rand) float64 {
	sum := -6.0
	for range 12 {
		sum += float64(r.Uint64()>>11) / (1 << 53)
	}
	return sum
}
