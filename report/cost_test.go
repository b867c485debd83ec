package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim/cost"
)

// Worked by hand: 36 million realizations of 1 ms are 10 core-hours; 20 tasks of 2
// processors take 15 min each, where all points are like the slowest 22.5 min.
func hours() Cost {
	return Cost{
		Estimate: &cost.Estimate{Points: 36, Realizations: 36_000_000, Measured: 2880, Each: 1e-3, Low: 0.8e-3, High: 1.25e-3, Slowest: 1.5e-3, Part: 2500},
		Title:    "a car", Command: "vary", Tasks: 20, Processors: 2, Limit: 45 * time.Minute, Memory: 1024,
	}
}

func TestCostIsTold(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, hours().Document().WriteText(&b))
	text := strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{
		"What vary takes in 20 tasks, from 2,880 realizations simulated here",
		"realizations 36,000,000, 1,000,000 at each of 36 points",
		"processor time 1 ms a realization (0.8 .. 1.25 ms); 1.5 ms at the slowest point",
		"in all 10 core-hours (8 .. 12.5)",
		"a task 15 min on average, 22.5 min at the most",
		"time limit 45 min a task",
		"a part about 7.5 kB",
	} {
		assert.Contains(t, text, want)
	}
	one := hours()
	one.Estimate.Points, one.Estimate.Realizations, one.Estimate.Slowest, one.Tasks = 1, 400, 1e-3, 1
	b.Reset()
	require.NoError(t, one.Document().WriteText(&b))
	assert.NotContains(t, b.String(), "at each of")
	assert.NotContains(t, b.String(), "slowest")
}

// A few realizations take core-seconds, and a range stands in one unit.
func TestCostOfFew(t *testing.T) {
	for _, c := range []struct {
		realizations    int
		each, low, high float64
		want            []string
	}{
		{50, 1.07e-3, 0.9996e-3, 1.15e-3, []string{"1.07 ms a realization (1 .. 1.15 ms)", "in all 0.0535 core-seconds (0.05 .. 0.0575)"}},
		{1, 57.4e-6, 43.1e-6, 1.25e-3, []string{"57.4 µs a realization (43.1 .. 1,250 µs)", "in all 0.0000574 core-seconds (0.0000431 .. 0.00125)"}},
		{35_000, 1e-3, 0.5e-3, 2e-3, []string{"in all 35 core-seconds (17.5 .. 70)"}},
		{36_000, 1e-3, 0.5e-3, 2e-3, []string{"in all 0.01 core-hours (0.005 .. 0.02)"}},
	} {
		r := hours()
		r.Points, r.Realizations, r.Each, r.Low, r.High, r.Slowest = 1, c.realizations, c.each, c.low, c.high, c.each
		var b bytes.Buffer
		require.NoError(t, r.Document().WriteText(&b))
		for _, want := range c.want {
			assert.Contains(t, strings.Join(strings.Fields(b.String()), " "), want)
		}
	}
}

func TestCostAsData(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, hours().WriteJSON(&b))
	var d map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &d))
	assert.Equal(t, "sumpward/estimate", d["format"])
	assert.InDelta(t, 36_000, d["total_core_s"], 1e-6)
	assert.InDelta(t, 28_800, d["total_low_core_s"], 1e-6)
	assert.InDelta(t, 45_000, d["total_high_core_s"], 1e-6)
	assert.InDelta(t, 1800, d["task_core_s"], 1e-9)
	assert.InDelta(t, 2700, d["longest_task_core_s"], 1e-9)
	assert.InDelta(t, 1024*1024*1024, d["task_memory_bytes"], 0.5)
	b.Reset()
	require.NoError(t, hours().WriteCSV(&b))
	head, row, _ := strings.Cut(strings.TrimSpace(b.String()), "\n")
	assert.Equal(t, strings.Count(head, ","), strings.Count(row, ","))
	assert.Contains(t, row, "vary,36,36000000,2880,0.001,")
}
