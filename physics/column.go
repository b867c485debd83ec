package physics

import "math"

// ColumnFrequency returns the natural frequency at which a column of oil in a
// vertical hose swings, Hz.
//
//	f_0 = √(g/L) / 2π
//
// length is L, the length of hose filled with oil, m. One end of the column
// moves in the hose; the other end is in a vessel so wide that its level
// doesn't move. (In a U-tube both ends move, the restoring force doubles, and
// the frequency is that of half the length.) Derived.
func ColumnFrequency(length float64) float64 {
	return math.Sqrt(StandardGravity/length) / (2 * math.Pi)
}

// PulsatedColumn is a column of oil in a hose under a pulsating gas pressure.
type PulsatedColumn struct {
	Length             float64 // of oil in the hose, m
	Bore               float64 // m
	Density            float64 // of the oil, kg/m3
	KinematicViscosity float64 // of the oil, m2/s
}

// Amplitude returns how far the column moves either way, m.
//
//	x = (p/ρL) / √((ω_0² - ω²)² + (32 ν ω/D²)²),  ω = 2πf,  ω_0² = g/L
//
// pressure is the amplitude of the pulsation, Pa; frequency is f, Hz. The
// damping is that of quasi-steady laminar flow, too low at high frequency, so
// that the amplitude is at most this away from f_0. Its mean is 0: pulsation
// doesn't hold a column. Derived.
func (c PulsatedColumn) Amplitude(pressure, frequency float64) float64 {
	omega := 2 * math.Pi * frequency
	stiff := StandardGravity/c.Length - omega*omega
	damp := 32 * c.KinematicViscosity / (c.Bore * c.Bore) * omega
	return pressure / (c.Density * c.Length * math.Hypot(stiff, damp))
}

// DampingRatio returns the damping of the column's swing as a share of critical
// damping.
//
//	ζ = 32 ν / (D² 2 ω_0)
//
// Derived, quasi-steady laminar flow.
func (c PulsatedColumn) DampingRatio() float64 {
	omega := 2 * math.Pi * ColumnFrequency(c.Length)
	return 32 * c.KinematicViscosity / (c.Bore * c.Bore * 2 * omega)
}
