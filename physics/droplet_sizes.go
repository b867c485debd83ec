package physics

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// DropletMode is a log-normal distribution of droplet sizes by mass.
type DropletMode struct {
	Median float64 // mass median diameter, m
	Spread float64 // geometric standard deviation; 1 (all of one size) or more
}

// DropletSizes are the sizes of oil droplets in two modes: mist from vapour and
// shear (fine), splash and film torn off (coarse).
type DropletSizes struct {
	Fine, Coarse DropletMode
	CoarseShare  float64 // of the mass, 0 to 1
}

// HatchChoate returns a diameter of a log-normal distribution from its count
// median diameter, in the same unit.
//
//	d = CMD exp(b ln² GSD)
//
// gsd is the geometric standard deviation, 1 or more; b is -1 for the mode, 0.5
// for the mean, 1 for the diameter of average surface, 1.5 of average mass, 2
// for the surface median, 2.5 for the Sauter mean, 3 for the mass median and 3.5
// for the mass mean. Source: T. Hatch & S. P. Choate, J. Franklin Inst. 207,
// 1929; Hinds 1999, chapter 4.
func HatchChoate(cmd, gsd, b float64) float64 {
	l := math.Log(gsd)
	return cmd * math.Exp(b*l*l)
}

const (
	sizesReach  = 5.4  // how far sizes are followed, in standard deviations: all but 7e-8 of the mass
	nothing     = 1e-9 // share that is taken for none
	oneSize     = 1e-9 // ln of the spread below which all droplets are of one size
	panelPoints = 8
	panelWidest = 1.8 // standard deviations

	// Equal steps are good to 1e-7 up to the widest, and up to so many widths of
	// a cut: the error falls as exp(-2π b/step), where the pole of a cut lies
	// b = π widths off the real sizes.
	stepWidest = 0.7 // standard deviations
	stepWidths = 1.0
	stepLeast  = 0.14 // standard deviations; where less is needed, panels are cheaper
)

// panel holds points and weights of Gauss and Legendre's rule on -1 to 1.
var panel = func() (p struct{ at, weight [panelPoints]float64 }) {
	quad.Legendre{}.FixedLocations(p.at[:], p.weight[:], -1, 1)
	return p
}()

// passing returns the share of the mass that passes all cuts in series.
//
//	∫ Π(1 - η_i(d)) dm(d)
//
// Soft cuts are integrated over ln d in equal steps; sharp ones in panels that
// end wherever a cut bends, so that even a step costs no accuracy.
func (m DropletMode) passing(cuts []Cut) float64 {
	centre, sd := math.Log(m.Median), math.Log(m.Spread)
	if !(sd > oneSize) {
		return passed(dropletSize{log: centre}, cuts)
	}
	step := stepWidest
	for i := range cuts {
		step = math.Min(step, stepWidths*cuts[i].width/sd)
	}
	if step < stepLeast {
		return passingInPanels(centre, sd, cuts)
	}
	sum, whole := passed(dropletSize{log: centre}, cuts), 1.0
	ratio, small, large := math.Exp(step*sd), m.Median, m.Median
	for z := step; z < sizesReach; z += step {
		mass := math.Exp(-z * z / 2)
		whole += 2 * mass
		small, large = small/ratio, large*ratio
		sum += mass * passed(dropletSize{log: centre - z*sd, diameter: small}, cuts)
		sum += mass * passed(dropletSize{log: centre + z*sd, diameter: large}, cuts)
	}
	return sum / whole
}

// passingInPanels is passing by Gauss and Legendre's rule in panels.
func passingInPanels(centre, sd float64, cuts []Cut) float64 {
	sum, whole := 0.0, 0.0
	end := centre + sizesReach*sd
	for a := centre - sizesReach*sd; a < end; {
		b := math.Min(end, a+panelWidest*sd)
		for i := range cuts {
			b = math.Min(b, cuts[i].nextBend(a))
		}
		middle, half := (a+b)/2, (b-a)/2
		for i, x := range panel.at {
			l := middle + half*x
			z := (l - centre) / sd
			mass := half * panel.weight[i] * math.Exp(-z*z/2)
			whole += mass
			sum += mass * passed(dropletSize{log: l}, cuts)
		}
		a = b
	}
	return sum / whole
}

// passed returns the share of droplets of one size that passes all cuts.
func passed(size dropletSize, cuts []Cut) float64 {
	share := 1.0
	for i := range cuts {
		share *= 1 - cuts[i].grade(&size)
		if share < nothing {
			return 0
		}
	}
	return share
}
