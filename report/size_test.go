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

// Cells that meet the limit, and those that can't be told, are marked in letters.
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
	assert.Contains(t, text, "No can of up to 3 L meets the limit of 1 of 100 in a session of 60 min: with one of that size the drain still backs up in about")
	assert.Contains(t, text, "The least fall that meets it with this can is 68.8 mm (67.8 .. 69.9 mm): take 70 mm, 27.5 mm more than there is.")
	assert.Contains(t, text, "The drain is the trouble, not the can")

	swapped := *z
	swapped.Volume = []decide.Threshold{z.Volume[0], z.Volume[0]}
	swapped.Fall = []decide.Threshold{z.Volume[1], z.Volume[1]}
	text = SizingVerdict(&swapped, units.Metric)
	assert.Contains(t, text, "holds 2.36 L (2.26 .. 2.5 L): take 2.5 L (221 mm tall inside at this cross-section).")
	assert.Contains(t, text, "The can is the trouble, not the fall.")

	swapped.Kind = sim.Unsealed
	assert.Contains(t, SizingVerdict(&swapped, units.Metric), "A bore of 16 mm meets it, from 100 mm of fall on.")
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
	assert.Contains(t, text, "Any fall from 0 mm on meets it with this can (less was not tried): there is as much.")
	assert.NotContains(t, text, "trouble")
}

// Where the threshold lies below what was searched, its start is not sold as one.
func TestSizeSaysWhereTheSearchBegan(t *testing.T) {
	z := sized(t)
	z.Volume[1] = decide.Threshold{Found: true, Least: true, From: 2e-5, Value: 2e-5, Low: 2e-5, High: 0.77e-3, Buy: 0.8e-3, Realizations: 5000}
	text := SizingVerdict(z, units.Metric)
	assert.Contains(t, text, "Any can from 0.02 L on meets the limit of 1 of 100 in a session of 60 min (smaller ones were not tried), with the whole interval from 0.77 L on: take 0.8 L (")
	assert.Equal(t, "any from 0.02 L\nsure from 0.77 L", atLeast(z.Volume[1], units.Volume, units.Metric))
	z.Volume[1].High, z.Volume[1].Buy = math.Inf(1), math.NaN()
	assert.Contains(t, SizingVerdict(z, units.Metric), "(smaller ones were not tried); more realizations would tell.")
	assert.Equal(t, "any from 0.02 L\ncan't tell", atLeast(z.Volume[1], units.Volume, units.Metric))
	z.Volume[1] = decide.Threshold{Found: true, From: 2e-5, Value: 0.4e-3, Low: 2e-5, High: 0.77e-3, Buy: 0.8e-3, Realizations: 5000}
	assert.Contains(t, SizingVerdict(z, units.Metric), "holds 0.4 L (up to 0.77 L): take 0.8 L")
	assert.Equal(t, "0.4 L\nup to 0.77 L", atLeast(z.Volume[1], units.Volume, units.Metric))
}

// What arithmetic leaves of a difference is no more fall.
func TestSizeTakesNoDustForMore(t *testing.T) {
	z := sized(t)
	z.Fall[1].Buy = decide.NominalFall(z.Scenario) + 3e-17
	assert.Contains(t, SizingVerdict(z, units.Metric), "take 42.5 mm, as much as there is at nominal values.")
	z.Fall[1].Buy += 2e-3
	assert.Contains(t, SizingVerdict(z, units.Metric), "take 44.5 mm, 2 mm more than there is.")
}

// A size that meets the limit on overflow and a choked drain is not one that meets
// it: what else breaks it is said.
func TestSizeSaysWhatElseBreaksTheLimit(t *testing.T) {
	z := sized(t)
	z.Volume[1] = z.Volume[0]
	with := func(res *sim.Result, pressure, lost float64) *sim.Result {
		changed := *res
		changed.Sessions = append([]sim.SessionResult{}, res.Sessions...)
		last := &changed.Sessions[len(changed.Sessions)-1]
		around := func(p float64) (stats.Estimate, int64) {
			return stats.Estimate{Probability: p, Low: 0.8 * p, High: 1.2*p + 0.005}, int64(p * 500)
		}
		last.OverPressure, last.Events.OverPressure = around(pressure)
		last.OilLost, last.Events.OilLost = around(lost)
		return &changed
	}
	z.LargestCan = with(z.LargestCan, 0, 0.2)
	z.TakenCan = with(z.LargestCan, 0, 0.2)
	text := SizingVerdict(z, units.Metric)
	assert.Contains(t, text, "The smallest can that meets the limit of 1 of 100 on overflow and a choked drain in a session of 60 min holds")
	assert.Contains(t, text, "That does not meet the limit for all: with it more than 1 L of oil is lost in about 20 of 100, and no can of up to 3 L mends that.")
	z.LargestCan = with(z.LargestCan, 0, 0)
	assert.Contains(t, SizingVerdict(z, units.Metric), "is lost in about 20 of 100. The least fall")
	z.TakenCan = with(z.TakenCan, 0.008, 0)
	assert.Contains(t, SizingVerdict(z, units.Metric), "Whether that meets the limit for all, 500 realizations can't tell: with it crankcase pressure goes over 1 kPa in about 8 of 1,000.")
	z.TakenCan = with(z.TakenCan, 0, 0)
	text = SizingVerdict(z, units.Metric)
	assert.NotContains(t, text, "for all")
	assert.NotContains(t, text, "on overflow")
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
