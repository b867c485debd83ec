// Package stats turns the results of many realizations into estimates: chances with
// honest intervals, means and variances, quantiles, and the rule when to stop.
//
// Everything accumulates in memory that does not grow with the number of
// realizations, and reduces either in integers or in the order of the blocks, so that
// a result is bit-identical for any number of workers.
package stats
