// Package observe says what would be seen of a car, and how well that fits with
// what was: the bridge between a file of observations and single realizations.
package observe
