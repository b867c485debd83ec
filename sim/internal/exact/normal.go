package exact

import "math"

// NormalAbove returns the chance that a normal quantity with the given mean and
// standard deviation lies above a limit (all in one unit), Φ((mean-limit)/sd).
func NormalAbove(mean, sd, limit float64) float64 { return normalCDF((mean - limit) / sd) }

// normalCDF returns the standard normal distribution function, exact in both tails.
func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
