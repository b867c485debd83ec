package sim

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Failure is a realization that could not be worked out.
type Failure struct {
	Realization uint64
	Why         string
}

// failures counts the realizations that could not be worked out, and keeps the first few
// by their numbers, whatever the order in which they are met. A run leaves them out.
type failures struct {
	Count int       `json:"count"`
	First []Failure `json:"first,omitempty"`
}

// Failures that are named, and the share of realizations above which a run is an error.
const (
	namedFailures = 5
	mostFailing   = 0.01
)

// rounding is how far above 1 a share may come by sums that are rounded.
const rounding = 1e-9

func (f *failures) add(realization uint64, err error) {
	f.merge(&failures{1, []Failure{{realization, err.Error()}}})
}

func (f *failures) merge(o *failures) {
	if o.Count == 0 {
		return
	}
	f.Count += o.Count
	all := append(slices.Clone(f.First), o.First...)
	slices.SortFunc(all, func(a, b Failure) int { return cmp.Compare(a.Realization, b.Realization) })
	f.First = all[:min(len(all), namedFailures)]
}

// tooMany is an error where more realizations of n failed than may be left out.
func (f *failures) tooMany(n int) error {
	if float64(f.Count) <= mostFailing*float64(n) {
		return nil
	}
	if f.Count == 1 {
		return errors.New(f.First[0].Why)
	}
	return fmt.Errorf("%s (%d of %d realizations could not be worked out)", f.First[0].Why, f.Count, n)
}

// warning says which realizations were left out; empty for none.
func (f *failures) warning(n int, what string) string {
	if f.Count == 0 {
		return ""
	}
	text := fmt.Sprintf("%d of %d realizations could not be worked out and %s:", f.Count, n, what)
	for i, one := range f.First {
		if i > 0 {
			text += ";"
		}
		text += " " + one.Why
	}
	if f.Count > len(f.First) {
		text += "; and others"
	}
	return text
}

// afterRealization, where a test sets it, is shown every outcome.
var afterRealization func(realization uint64, o *Outcome)

// realized runs one realization of a car and looks whether what it came to can be. A
// fault of the program that would end it becomes an error of this one realization: the
// kernel that met it is not to be used again.
func (k *Kernel) realized(car *Car, seed, realization uint64, out *Outcome) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			k.spoilt = true
			err = fmt.Errorf("realization %d of seed %d: fault of the program: %v", realization, seed, fault)
		}
	}()
	if err := k.Realize(car, seed, realization, out); err != nil {
		return err
	}
	if afterRealization != nil {
		afterRealization(realization, out)
	}
	if err := out.sound(); err != nil {
		return fmt.Errorf("realization %d of seed %d: %w", realization, seed, err)
	}
	return nil
}

// sound is an error where an outcome holds what can't be: a time, a mass or a share that
// is negative, not finite or not a number where it has to be one.
func (o *Outcome) sound() error {
	times := [...]float64{o.Overflow, o.DrainChoked, o.OverPressure, o.OilLost}
	for _, t := range times {
		if !(t >= 0) {
			return fmt.Errorf("first time of an event: %g s", t)
		}
	}
	b := &o.Balance
	for _, kg := range [...]float64{b.Carried, b.Uncaught, b.Over, b.Emptied, b.Held, b.Burnt} {
		if !amount(kg) {
			return fmt.Errorf("oil balance: %g kg", kg)
		}
	}
	if !finite(b.Drained) {
		return fmt.Errorf("oil balance: %g kg drained", b.Drained)
	}
	if !finite(o.PeakPressure) || math.IsInf(o.DrainMargin, 0) || math.IsInf(o.FloodShare, -1) {
		return fmt.Errorf("crankcase pressure %g Pa, drain margin %g m, flooding %g", o.PeakPressure, o.DrainMargin, o.FloodShare)
	}
	for i := range o.Sessions {
		s := &o.Sessions[i]
		if !(s.PeakFill >= 0 && s.PeakFill <= 1+rounding) || s.HeldShare < 0 || s.HeldShare > 1+rounding {
			return fmt.Errorf("peak fill %g, held share %g", s.PeakFill, s.HeldShare)
		}
		if !amount(s.ToIntake) || !finite(s.OutOfSump) || !amount(s.Held) || !amount(s.InCan) || !amount(s.Emptied) {
			return fmt.Errorf("oil at the end of a session: %g kg to the intake, %g kg out of the sump, %g kg held", s.ToIntake, s.OutOfSump, s.Held)
		}
	}
	return nil
}

// amount reports whether a mass is finite and not below zero.
func amount(kg float64) bool { return kg >= 0 && !math.IsInf(kg, 1) }

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
