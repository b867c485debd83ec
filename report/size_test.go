package report

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// sized is what sizing found, by hand: a can that would have to be larger than
// there are, and a fall that does.
func sized(t *testing.T) *decide.Sizing {
	t.Helper()
	s := ready(t, "sealed-drain")
	cell := func(p, low, high float64) decide.Cell {
		return decide.Cell{Fails: stats.Estimate{Probability: p, Low: low, High: high}, Events: int64(p * 1000), Realizations: 1000}
	}
	end, err := sim.Run(context.Background(), s, sim.Options{Realizations: 500})
	require.NoError(t, err)
	z := &decide.Sizing{
		Scenario: s, Kind: sim.Sealed, Risk: 0.01, Seed: 1, Sampling: "latin-hypercube", Sessions: []float64{900, 3600},
		Volumes: &decide.Table{
			Rows:    decide.Axis{Path: decide.VolumePath, Dimension: units.Volume, Values: []float64{0.45e-3, 3e-3}},
			Columns: decide.Axis{Path: "sessions", Dimension: units.Time, Values: []float64{900, 3600}},
			Cells:   [][]decide.Cell{{cell(0.3, 0.28, 0.32), cell(0.5, 0.48, 0.52)}, {cell(0.005, 0.002, 0.009), cell(0.07, 0.06, 0.08)}},
		},
		Drains: &decide.Table{
			Rows:    decide.Axis{Path: decide.FallPath, Dimension: units.Length, Values: []float64{0.05, 0.1}},
			Columns: decide.Axis{Path: decide.BorePath, Dimension: units.Length, Values: []float64{0.0127, 0.016}},
			Session: 3600,
			Cells:   [][]decide.Cell{{cell(0.25, 0.22, 0.28), {Problem: "no hose"}}, {cell(0.009, 0.004, 0.016), cell(0, 0, 0.004)}},
		},
		LargestCan: end, LongestFall: end,
	}
	none := decide.Threshold{Path: decide.VolumePath, Session: 3600, From: 2e-5, To: 3e-3, Value: math.NaN(), Low: math.NaN(), High: math.Inf(1), Buy: math.NaN(), Realizations: 5000}
	z.Volume = []decide.Threshold{{Path: decide.VolumePath, Session: 900, To: 3e-3, Found: true, Value: 2.36e-3, Low: 2.26e-3, High: 2.5e-3, Buy: 2.5e-3, Realizations: 5000}, none}
	fall := decide.Threshold{Path: decide.FallPath, To: 0.6, Found: true, Value: 0.0688, Low: 0.0678, High: 0.0699, Buy: 0.07, Realizations: 5000}
	z.Fall = []decide.Threshold{fall, fall}
	return z
}

// Cells that keep the limit, and those that can't be told, are marked in letters.
func TestSizeMarksCellsWithoutColour(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Size{Sizing: sized(t)}.Document().WriteText(&b))
	text := b.String()
	assert.Contains(t, text, "[0.5 %]")
	assert.Contains(t, text, "0.9 % ?")
	assert.Contains(t, text, "[none of 1,000]")
	assert.Contains(t, text, "can't be")
	assert.NotContains(t, text, "[30 %]")
	assert.Contains(t, text, "none up to 3 L")
	assert.Contains(t, text, "2.26 .. 2.5 L")
	for line := range strings.Lines(text) {
		assert.LessOrEqual(t, len([]rune(strings.TrimRight(line, "\n"))), Width)
	}
}

func TestSizingVerdictNamesTheTrouble(t *testing.T) {
	z := sized(t)
	text := SizingVerdict(z, units.Metric)
	assert.Contains(t, text, "No can of up to 3 L keeps the limit of 1 of 100 in a session of 60 min: with one of that size the drain still backs up in about")
	assert.Contains(t, text, "The least fall that keeps it with this can is 68.8 mm (67.8 .. 69.9 mm): take 70 mm, 27.5 mm more than there is.")
	assert.Contains(t, text, "The drain is the trouble, not the can")

	swapped := *z
	swapped.Volume = []decide.Threshold{z.Volume[0], z.Volume[0]}
	swapped.Fall = []decide.Threshold{z.Volume[1], z.Volume[1]}
	text = SizingVerdict(&swapped, units.Metric)
	assert.Contains(t, text, "holds 2.36 L (2.26 .. 2.5 L): take 2.5 L (221 mm tall inside at this cross-section).")
	assert.Contains(t, text, "The can is the trouble, not the fall.")

	swapped.Kind = sim.Unsealed
	assert.Contains(t, SizingVerdict(&swapped, units.Metric), "A bore of 16 mm keeps it, from 100 mm of fall on.")
	swapped.Drains = nil
	assert.Contains(t, SizingVerdict(&swapped, units.Metric), "A seal, a wider bore or another breather circuit may.")

	swapped.Kind, swapped.Volume = sim.Sealed, z.Volume
	swapped.Volume = []decide.Threshold{z.Volume[1], z.Volume[1]}
	assert.Contains(t, SizingVerdict(&swapped, units.Metric), "Neither alone does")

	enough := *z
	enough.Volume = []decide.Threshold{z.Volume[0], {Found: true, Value: 0.2e-3, Low: 0.19e-3, High: 0.21e-3, Buy: 0.25e-3}}
	enough.Fall = []decide.Threshold{z.Fall[0], {Found: true, Least: true, To: 0.6}}
	text = SizingVerdict(&enough, units.Metric)
	assert.Contains(t, text, ": the present one does.")
	assert.Contains(t, text, "is any from 0 mm: there is as much.")
	assert.NotContains(t, text, "trouble")
}

// JSON keeps the shape that programs rely on; what isn't found is null.
func TestSizeJSON(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Size{Sizing: sized(t)}.WriteJSON(&b))
	var out struct {
		Format   string
		Smallest map[string]*float64
		ByFall   []struct {
			Keeps string `json:"keeps_limit"`
		} `json:"fall_by_bore"`
		LeastFall map[string]*float64 `json:"least_fall"`
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	assert.Equal(t, "sumpward/size", out.Format)
	for _, key := range []string{"usable_volume_m3", "low", "high"} {
		value, there := out.Smallest[key]
		assert.True(t, there, key)
		assert.Nil(t, value, key)
	}
	assert.InDelta(t, 0.0688, *out.LeastFall["fall_m"], 1e-12)
	var keeps []string
	for _, c := range out.ByFall {
		keeps = append(keeps, c.Keeps)
	}
	assert.Equal(t, []string{"no", "", "can't tell", "yes"}, keeps)
}
