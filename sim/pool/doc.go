// Package pool tells what the logbook of a shop is worth: what its cars move
// between them, as a range for the next one, and how forecasts came true.
//
// # Partial pooling
//
// The oil that car i moves in session j, per minute, is log-normal about the car's
// own level; the cars' levels are log-normal about the shop's:
//
//	y_ij = ln(rate) ~ N(θ_i, s² + e_ij²)
//	θ_i             ~ N(μ, τ²)
//
// with e_ij = error/volume, the reading error on the log. A reading below twice its
// error tells no more than that the oil was less than the reading and that; a
// reading of a can that overflowed, that it was more. Given s and τ everything is
// normal and solved exactly; s and τ are integrated on a grid, with their priors.
//
// Source of the model: Gelman et al. 2013, Bayesian Data Analysis, 3rd edition,
// section 5.4, eq. 5.17-5.21 (from memory), extended by unequal and by censored
// readings: derived. Source of the half-normal priors: Gelman 2006, Bayesian
// Analysis 1(3) 515-534 (from memory); their scales are priors, no published
// source.
//
// # Forecasts
//
// Chances that were said before are scored against what came by the mean squared
// difference: Brier 1950, Monthly Weather Review 78, 1-3.
package pool
