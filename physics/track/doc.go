// Package track holds the quasi-steady-state lap of a point mass round a
// circuit: at every place as fast as grip, power, brakes and gearing allow, as
// pure functions without I/O and without randomness.
//
// A circuit (Path) is a row of cells of constant curvature, slope and banking,
// from pieces (FromPieces) or from a surveyed centre line (FromCentreLine). A
// Solver drives a Vehicle round it and gives a Lap, which cuts into Phases of
// nearly constant load and acceleration.
//
// Within a cell, the speed is found from closed forms where there are any: full
// power with drag on the level, braking and driving at the grip of a straight,
// the friction circle in a corner, coasting. Full power on a slope or on a
// sloping power curve, and light cornering, are Runge-Kutta steps of order 4.
// The places where one limit gives way to the next are found within the cell.
//
// What is left out: load transfer, downforce, tyre load sensitivity, the
// stiffness of the tyres, yaw inertia, vertical curvature (crests and dips press
// neither on nor off), a racing line other than the path itself, engine braking.
// Driving and braking share one friction circle, and all wheels drive and brake.
//
// Everything is in SI units. Vehicle axes follow ISO 8855: x forward, y left, z
// up.
package track
