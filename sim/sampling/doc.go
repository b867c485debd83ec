// Package sampling draws the random numbers of a simulation so that every draw
// has an address: it depends on the seed, the input it is for and the number of
// the realization, and on nothing else. The order of evaluation, the number of
// workers, a longer run or a further input change no existing draw.
//
// Designs (LatinHypercube, Random) fill a block of realizations with numbers in
// the open interval (0, 1); a Copula turns some of them into rank-correlated
// ones; a Stream serves whatever draws an unknown number of values inside one
// realization. There is no global generator and no global state, and seed 0 is a
// seed like any other.
package sampling
