package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/physics"
)

// The table of what is caught agrees with the integral at any flow, either way.
func TestMistTable(t *testing.T) {
	car := larkmoor()
	grades, err := physics.NewGradeTable(physics.GradeMeasurement{
		Diameters: []float64{0.5e-6, 1e-6, 2e-6, 5e-6}, Efficiencies: []float64{0.1, 0.4, 0.8, 0.97}, Flow: 110e-3 / 60, FlowExponent: 0.5,
	})
	assert.NoError(t, err)
	for name, stages := range map[string][]physics.Stage{
		"impactor": {physics.RoundImpactor{Width: 2.5e-3, Jets: 12, Sharpness: 4}},
		"cyclone":  {physics.SettlingCan{Area: 44e-4}, physics.Cyclone{InletWidth: 6e-3, InletHeight: 12e-3, Count: 1, Turns: 6}},
		"mesh":     {physics.Mesh{Area: 44e-4, Wire: 0.2e-3, Thickness: 40e-3, PackedShare: 0.03, SoudersBrown: 0.08, CarryExponent: 3}},
		"measured": {grades},
	} {
		car.Can.Separation = &physics.Separation{
			Sizes: physics.DropletSizes{
				Fine:   physics.DropletMode{Median: 1.2e-6, Spread: 2},
				Coarse: physics.DropletMode{Median: 100e-6, Spread: 2}, CoarseShare: 0.1,
			},
			Stages: stages,
		}
		var table mistTable
		table.start(car)
		worst := 0.0
		for share := 2e-3; share < 1; share *= 1.037 {
			c := table.conditions
			c.Flow = share * car.Gas.BlowByFull
			want := car.Can.Separation.Efficiency(c)
			worst = max(worst, math.Abs(table.at(c.Flow)-want))
			assert.Equal(t, table.at(c.Flow), table.at(-c.Flow))
		}
		t.Logf("%s: largest difference %.1e", name, worst)
		assert.Less(t, worst, 2e-5, name)
	}
}
