//go:build !race

package sim_test

// underRace tells that the race detector watches, under which the suite takes
// fewer cars.
const underRace = false
