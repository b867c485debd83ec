// Package diagnose finds which fault fits what was seen of a car after fitting, and
// which check would tell most for its minutes.
//
// A fault is a change of the settled car with a severity that is drawn. For each,
// many cars are drawn from the scenario's uncertain inputs, and what would be
// seen of them is predicted; the mean likelihood of what was seen over these draws
// is the fault's marginal likelihood. With base rates it gives chances, "none
// of these" among them.
package diagnose
