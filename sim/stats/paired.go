package stats

// PairedDifference is the difference of two chances that were estimated on the
// same realizations, the second less the first, with its confidence interval.
type PairedDifference struct {
	Difference, Low, High float64
	OnlyFirst, OnlySecond int64 // realizations in which the event came true in one of the two alone
	Trials                int64
	TrialsToTell          float64 // realizations after which the interval would leave out 0 if the difference is what it seems; +Inf where none is seen
}

// Tells reports whether the interval leaves out 0.
func (d PairedDifference) Tells() bool { return d.Low > 0 || d.High < 0 }

// MeanDifference is the difference of two means over the same realizations, the
// second less the first, with its confidence interval.
type MeanDifference struct {
	Difference, Low, High float64
	TrialsToTell          float64 // as in PairedDifference
}

// Tells reports whether the interval leaves out 0.
func (d MeanDifference) Tells() bool { return d.Low > 0 || d.High < 0 }
