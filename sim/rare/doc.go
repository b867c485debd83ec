// Package rare estimates small chances by subset simulation: a chance of one in a million
// as a product of a few chances of one in ten, each found by moving what came nearest so
// far a little at a time.
//
// Source: Au, Beck 2001, "Estimation of small failure probabilities in high dimensions by
// subset simulation", Prob. Eng. Mech. 16(4) 263-277. Moves and their adaptive step:
// Papaioannou, Betz, Zwirglmaier, Straub 2015, "MCMC algorithms for subset simulation",
// Prob. Eng. Mech. 41 89-103 (from memory). That it can be led astray: Breitung 2017,
// arXiv 1705.04453.
package rare
