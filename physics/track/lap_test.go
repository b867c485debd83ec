package track

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plainCar has constant power and no drag.
func plainCar() Vehicle {
	return Vehicle{Mass: 1300, Power: ConstantPower(180e3), Grip: 1.1, TopSpeed: math.Inf(1)}
}

func stadium(t testing.TB, step float64) *Path {
	t.Helper()
	straight, corner := Piece{Length: 300}, Piece{Length: math.Pi * 40, Curvature: 1.0 / 40}
	p, err := FromPieces([]Piece{straight, corner, straight, corner}, step)
	require.NoError(t, err)
	return p
}

func TestStadiumLap(t *testing.T) {
	// Exact mathematics, checked against an ODE solver.
	for _, step := range []float64{1, 10, 1000} {
		var lap Lap
		require.NoError(t, NewSolver().Lap(stadium(t, step), plainCar(), &lap))
		assert.InDelta(t, 29.339051, lap.Time, 5e-7, "cells of %g m", step)
	}
}
