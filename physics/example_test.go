package physics_test

import (
	"fmt"

	"sumpward/physics"
)

// Half a kPa holds a sealed drain until 62 mm of clean hot oil stand in it.
func ExampleColumnHeight() {
	density := physics.OilDensity(870, physics.CelsiusZero+100)
	fmt.Printf("%.1f mm\n", 1000*physics.ColumnHeight(500, density))
	// Output: 62.5 mm
}

// Two breather circuits share 110 L/min; the outlet goes to an intake at -3.2
// kPa.
func ExampleNetwork_Solve() {
	network := physics.Network{
		Gas:        physics.BlowByGas(physics.CelsiusZero + 90),
		LossFactor: physics.PulsationFactor(0.3),
		ToSeparator: []physics.Hose{
			{Bore: 0.016, Length: 0.5, LossCoefficient: 2.5},
			{Bore: 0.016, Length: 0.7, LossCoefficient: 3},
		},
		Element: physics.Element{Loss: 800, Flow: 110.0 / 60000, Density: 1.2, ClosesFrom: 1},
		Outlet:  physics.Hose{Bore: 0.019, Length: 0.6, LossCoefficient: 2},
	}
	var flows physics.Flows
	if err := network.Solve(physics.Demand{Flow: 110.0 / 60000, OutletPressure: -3200}, &flows); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("crankcase %.0f Pa, over the can after the element by %.0f Pa\n", flows.Crankcase, flows.Crankcase-flows.After)
	fmt.Printf("%.1f and %.1f L/min\n", 60000*flows.ToSeparator[0], 60000*flows.ToSeparator[1])
	// Output:
	// crankcase -2410 Pa, over the can after the element by 723 Pa
	// 58.4 and 51.6 L/min
}

// A dip of 5 mm in a hose of 12.7 mm that falls 120 mm.
func ExampleWeightedFall() {
	fall, rise := physics.WeightedFall([]float64{0.120, 0.075, 0.070, 0.075, 0}, 0.0127)
	fmt.Printf("%.1f mm of head are left\n", 1000*(fall-rise))
	// Output: 90.5 mm of head are left
}

func ExampleGradeViscosity() {
	nu40, nu100, err := physics.GradeViscosity("SAE 40")
	if err != nil {
		fmt.Println(err)
		return
	}
	law, err := physics.ViscosityThrough(physics.CelsiusZero+40, nu40, physics.CelsiusZero+100, nu100)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm2/s at 120 °C\n", 1e6*law.At(physics.CelsiusZero+120))
	// Output: 9.6 mm2/s at 120 °C
}

func ExampleFlooding_OilLimit() {
	flood := physics.Flooding{Bore: 0.019, GasDensity: 0.97, OilDensity: 820, OilViscosity: 0.015, Constant: 0.75}
	for _, litres := range []float64{0, 60, 130} {
		fmt.Printf("%.0f L/min of gas up: %.2f L/min of oil down\n", litres, 60000*flood.OilLimit(litres/60000))
	}
	// Output:
	// 0 L/min of gas up: 4.13 L/min of oil down
	// 60 L/min of gas up: 0.35 L/min of oil down
	// 130 L/min of gas up: 0.00 L/min of oil down
}
