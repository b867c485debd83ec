package sim

import (
	"context"
	"fmt"
	"testing"

	"sumpward/physics"
	"sumpward/scenarios"
)

const litreAMinute = 1e-3 / 60

// larkmoor is a car for tests: a valve-sealed drain of a short fall.
func larkmoor() *Car {
	law, _ := physics.ViscosityThrough(313.15, 98e-6, 373.15, 14.5e-6)
	return &Car{
		Gas: GasPath{
			BlowByFull: 96 * litreAMinute, BlowByClosed: 12 * litreAMinute, Temperature: 363.15,
			IntakeDepression: 3200, Pulsation: 0.3,
			ToSeparator: []physics.Hose{{Bore: 0.016, Length: 0.5, LossCoefficient: 2.5}, {Bore: 0.016, Length: 0.7, LossCoefficient: 3}},
			Element:     physics.Element{Loss: 800, Flow: 110 * litreAMinute, Density: 1.2, ClosesFrom: 1},
			Outlet:      physics.Hose{Bore: 0.019, Length: 0.6, LossCoefficient: 2},
		},
		Can: Can{UsableVolume: 0.45e-3, CrossSection: 44e-4, Efficiency: 0.6, BlownOutFrom: 1, EfficiencyWhenFull: 1},
		Oil: Oil{
			Viscosity: law, Density15: 870, Aeration: 0.2, HoseAeration: 0.4,
			Start: 333.15, Settled: 391.15, Ambient: 298.15, TimeConstant: 360, CoolingTimeConstant: 1200, HoseWarmth: 0.75,
		},
		CarryOver: CarryOver{Mist: 1e-3, Liquid: 0.16e-3, FlowExponent: 2, CornerShare: 0.3, BreatherShare: 0.8},
		Drain: Drain{
			Kind: Sealed, Valve: true, OpensAt: 300, Hose: physics.DrainHose{Bore: 0.0127, Length: 0.5, LossCoefficient: 3, LaminarCoefficient: 1200},
			Route: physics.StraightRoute(0.12, 0.5), HeldLength: 0.5, Flooding: 0.8, SumpArea: 0.06,
		},
		Lap:    []Phase{{Duration: 9, Load: 1, Forward: 2.5}, {Duration: 4, Forward: -9.8}, {Duration: 5, Load: 0.5, Left: 10.8}, {Duration: 12, Load: 1, Forward: 2}, {Duration: 3, Forward: -9}, {Duration: 6, Load: 0.4, Left: -9}},
		Laps:   []int{0},
		Spread: 0.12, Limits: Limits{Pressure: 1000, OilLost: 1e-3, ChokeLevel: 0.1, ChokeTime: 120},
		Sessions: []float64{900, 1500, 2400, 3600},
	}
}

// BenchmarkRun is the built-in scenario, 2,000 realizations of up to an hour.
func BenchmarkRun(b *testing.B) {
	s, err := scenarios.Ready(scenarios.DefaultReady)
	if err != nil {
		b.Fatal(err)
	}
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprintf("n=2000/workers=%d", workers), func(b *testing.B) {
			for b.Loop() {
				if _, err := Run(context.Background(), s, Options{Realizations: 2000, Workers: workers}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(2000*float64(b.N)/b.Elapsed().Seconds(), "realizations/s")
		})
	}
}
