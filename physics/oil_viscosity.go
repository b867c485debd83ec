package physics

import (
	"fmt"
	"math"
)

const (
	waltherOffset = 0.7  // mm2/s
	centistokes   = 1e-6 // m2/s
)

// ViscosityLaw is Walther's law of an oil's kinematic viscosity, with the A and
// B of ASTM D341.
//
//	log10 log10(ν + 0.7) = A - B log10 T     (ν in mm2/s, T in K)
type ViscosityLaw struct{ A, B float64 }

// ViscosityThrough returns the law through two points: kinematic viscosity nu1
// at t1 and nu2 at t2, in m2/s and K.
//
// It fails with a *RangeError for a viscosity outside 2 to 2e7 mm2/s, where the
// law holds with the plain offset of 0.7, and with an error if the two
// temperatures are the same or the warmer oil is not the thinner one. Source:
// ASTM D341-20.
func ViscosityThrough(t1, nu1, t2, nu2 float64) (ViscosityLaw, error) {
	for _, nu := range []float64{nu1, nu2} {
		if err := waltherRange(nu); err != nil {
			return ViscosityLaw{}, err
		}
	}
	if !(t1 > 0) || !(t2 > 0) || !((t2-t1)*(nu1-nu2) > 0) {
		return ViscosityLaw{}, fmt.Errorf("oil viscosity: %g m2/s at %g K and %g m2/s at %g K: give two temperatures, the oil thinner at the higher one", nu1, t1, nu2, t2)
	}
	w1, w2 := walther(nu1), walther(nu2)
	l1, l2 := math.Log10(t1), math.Log10(t2)
	b := (w1 - w2) / (l2 - l1)
	return ViscosityLaw{A: w1 + b*l1, B: b}, nil
}

func walther(nu float64) float64 {
	return math.Log10(math.Log10(nu/centistokes + waltherOffset))
}

func waltherRange(nu float64) error {
	return RangeError{
		Quantity: "kinematic viscosity of oil", Value: nu, Low: 2 * centistokes, High: 2e7 * centistokes, Unit: "m2/s",
		Source: "ASTM D341-20",
	}.check()
}

// At returns the kinematic viscosity at a temperature in K, m2/s. Below 2 mm2/s
// the law is carried on, at most 0.1 % off near it (see CheckedAt). Newtonian
// oil above its cloud point; multigrades only at low shear.
func (v ViscosityLaw) At(temperature float64) float64 {
	inner := math.Exp(math.Ln10*v.A - v.B*math.Log(temperature))
	return centistokes * (math.Exp(math.Ln10*inner) - waltherOffset)
}

// CheckedAt is At with its range checked: it returns a *RangeError where the
// viscosity falls outside 2 to 2e7 mm2/s.
func (v ViscosityLaw) CheckedAt(temperature float64) (float64, error) {
	nu := v.At(temperature)
	if err := waltherRange(nu); err != nil {
		return 0, err
	}
	return nu, nil
}
