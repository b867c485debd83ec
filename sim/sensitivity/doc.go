// Package sensitivity tells which uncertain inputs drive what a simulation comes
// to: how much of the variance of an output each accounts for alone (first-order
// index) and with others (total index), with intervals.
//
// The inputs are exchanged between two independent samples, one part of them at a
// time: a single input, inputs that are tied to each other, or all of a block.
// The luck from lap to lap is a part of its own. The core works on any
// [Function]; [New] ties it to a simulated scenario.
//
// A draw depends on the seed, its input and the base point, and on nothing else.
// The same seed gives the same result, bit for bit, for any number of workers.
package sensitivity
