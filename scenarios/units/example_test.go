package units_test

import (
	"errors"
	"fmt"

	"sumpward/scenarios/units"
)

func ExampleParse() {
	for _, text := range []string{"120 mm", "4 3/4 in", "dash 8", "120"} {
		bore, err := units.Parse(text, units.Length)
		var e *units.Error
		if errors.As(err, &e) {
			fmt.Println(e.What, "-", e.Hint)
			continue
		}
		fmt.Printf("%.5f m\n", bore)
	}
	// Output:
	// 0.12000 m
	// 0.12065 m
	// 0.01270 m
	// unit is missing - write 120 mm
}

func ExampleFormat() {
	fmt.Println(units.Format(0.45e-3, units.Volume, units.Metric))
	fmt.Println(units.Format(0.45e-3, units.Volume, units.US))
	// Output:
	// 0.45 L
	// 0.476 US qt
}
