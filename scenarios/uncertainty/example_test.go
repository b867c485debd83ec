package uncertainty_test

import (
	"fmt"
	"math"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

func ExampleParse() {
	for _, text := range []string{"110 +- 18 L/min", "8 .. 20 L/min", "90 .. 110 .. 150 L/min"} {
		d, err := uncertainty.Parse(text, units.VolumeFlow)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(d.Kind, "around", units.Format(d.Nominal(), units.VolumeFlow, units.Metric))
	}
	// Output:
	// normal around 110 L/min
	// uniform around 14 L/min
	// triangular around 110 L/min
}

func ExampleDistribution_Truncate() {
	d, err := uncertainty.Parse("90 +- 10 %", units.Fraction)
	if err != nil {
		fmt.Println(err)
		return
	}
	d, cut, err := d.Truncate(0, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f cut off, mean %.3f, nothing above %g\n", cut, d.Mean(), d.Quantile(1))
	_, _, err = d.Truncate(2, math.Inf(1))
	fmt.Println(err)
	// Output:
	// 0.159 cut off, mean 0.871, nothing above 1
	// all of it is outside the limits (got 0.9, allowed 2 to +Inf, in SI units)
}
