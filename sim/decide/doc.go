// Package decide turns chances into choices: layouts compared on the same draws,
// sizing tables with the smallest can and the least fall that do, one or two
// inputs varied over a range, and cans on a shelf for the places in a bay.
//
// Whatever is compared here is sampled with the same seed, so that an input that
// two layouts share is drawn alike for both, lap luck included. SI units
// throughout; chances and fills are shares of 1.
package decide
