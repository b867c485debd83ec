// Package learn updates uncertain inputs by what was seen: Bayes' rule on
// weighted draws, by importance resampling where the draws that a scenario gives
// are enough, and else by sequential Monte Carlo, which takes the likelihood in
// by steps. [Sample] knows nothing of cars; [Learn] puts a car before it.
package learn
