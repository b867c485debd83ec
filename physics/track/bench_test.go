package track

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// clubCar has all there is: drag, a power curve, a top speed, shifts.
func clubCar() Vehicle {
	return Vehicle{
		Mass: 1250, Grip: 1.15, DragArea: 0.70, AirDensity: 1.18,
		Power:    PowerCurve{{10, 90e3}, {25, 165e3}, {40, 180e3}, {70, 175e3}},
		TopSpeed: 68, ShiftTime: 0.15, ShiftStep: 1.3, LowestShift: 15,
	}
}

// heathPieces is an invented circuit of about 4 km with slopes and banking.
func heathPieces() []Piece {
	corner := func(radius, degrees, slope, banking float64) Piece {
		side := 1.0
		if degrees < 0 {
			side, degrees = -1, -degrees
		}
		return Piece{Length: radius * degrees * 0.017453292519943295, Curvature: side / radius, Slope: slope, Banking: banking}
	}
	return []Piece{
		{Length: 400}, corner(45, 85, 0, 0.03), {Length: 140, Slope: 0.03}, corner(60, -70, 0.02, 0),
		corner(35, 60, 0, 0), {Length: 430, Slope: -0.03}, corner(180, 60, -0.01, 0.02), {Length: 755.5453209383784},
		corner(18, 125, 0, 0), {Length: 300, Slope: 0.028}, corner(90, -80, 0, 0), corner(70, 75, 0, 0),
		{Length: 833.1872821427334}, corner(25, 90, 0, 0.05), {Length: 80}, corner(120, -50, 0, 0), corner(50, 65, 0, 0), {Length: 180},
	}
}

func BenchmarkLap(b *testing.B) {
	curved, _, err := FromCentreLine(laidOut(heathPieces(), 15), Smoothing{Error: 0.3}, 0)
	require.NoError(b, err)
	pieces, err := FromPieces(heathPieces(), 0)
	require.NoError(b, err)
	for _, c := range []struct {
		name string
		path *Path
		car  Vehicle
	}{
		{"pieces/plain", pieces, plainCar()}, {"pieces/club", pieces, clubCar()},
		{"centreline/plain", curved, plainCar()}, {"centreline/club", curved, clubCar()},
	} {
		b.Run(c.name, func(b *testing.B) {
			s := NewSolver()
			var lap Lap
			require.NoError(b, s.Lap(c.path, c.car, &lap))
			b.ReportAllocs()
			for b.Loop() {
				if err := s.Lap(c.path, c.car, &lap); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "laps/s")
			b.ReportMetric(float64(len(c.path.Cells)), "cells")
		})
	}
}

func BenchmarkPhases(b *testing.B) {
	pieces, err := FromPieces(heathPieces(), 0)
	require.NoError(b, err)
	var lap Lap
	require.NoError(b, NewSolver().Lap(pieces, clubCar(), &lap))
	phases := lap.Phases(Tolerance{}, nil)
	b.ReportAllocs()
	for b.Loop() {
		phases = lap.Phases(Tolerance{}, phases)
	}
}

func BenchmarkCentreLine(b *testing.B) {
	for _, n := range []int{60, 600, 3000} {
		points := knownLines()[1].points(n, 0.1, rand.New(rand.NewPCG(1, 1)))
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			for b.Loop() {
				if _, _, err := FromCentreLine(points, Smoothing{Error: ErrorUnknown}, 0); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
