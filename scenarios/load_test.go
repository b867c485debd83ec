package scenarios

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadyLoads(t *testing.T) {
	for _, name := range ReadyNames() {
		s, err := Ready(name)
		require.NoError(t, err, name)
		t.Logf("%s: %d inputs, %d warnings %v", name, len(s.Inputs), len(s.Warnings), s.Warnings)
	}
	_, err := Parse("template.yaml", Template(), nil)
	require.NoError(t, err)
}

// TestTemplateNotations reads what the template's notes say about notations.
func TestTemplateNotations(t *testing.T) {
	spelled := regexp.MustCompile(`(?m)^# +(\{(?:distribution|value): .*\})`).FindAllStringSubmatch(string(Template()), -1)
	require.Len(t, spelled, 3)
	load := func(text string) *Scenario {
		path := "engine: {blow_by: {full_throttle: " + text + "}}"
		switch {
		case strings.Contains(text, "mm"):
			return parsed(t, strings.Replace(least, "fall: 120 mm", "fall: "+text, 1))
		case strings.Contains(text, "%"):
			path = "oil: {aeration: " + text + "}"
		}
		return parsed(t, least+path+"\n")
	}
	normal := load(spelled[0][1]).Engine.BlowByFull.Distribution
	assert.InDelta(t, 80e-3/60, normal.Low, 1e-12)
	assert.InDelta(t, 150e-3/60, normal.High, 1e-12)
	assert.InDelta(t, 18e-3/60, normal.B, 1e-12)
	table := load(spelled[1][1]).Oil.Aeration.Distribution
	assert.InDelta(t, (10+3*20)/4e2, table.Mean(), 1e-12)
	assert.Equal(t, Measured, load(spelled[2][1]).Drain.Fall.Basis)
}

// TestTemplateStops loads the template with the stop that its notes offer.
func TestTemplateStops(t *testing.T) {
	text := string(Template())
	stop := "# - {for: 10 min, engine: stopped}"
	require.Contains(t, text, stop)
	require.Contains(t, text, "at stops")
	s := parsed(t, strings.Replace(text, stop, stop[2:], 1))
	last := s.Duty.Lap[len(s.Duty.Lap)-1]
	assert.True(t, last.Stopped)
	assert.InDelta(t, 600, last.For.Nominal(), 1e-9)
}

// TestTemplateCircuit loads the template with the circuit, the car and the
// schedule that its notes offer in place of the laps.
func TestTemplateCircuit(t *testing.T) {
	text := string(Template())
	from, to := strings.Index(text, "  lap:\n"), strings.Index(text, "  # pattern:")
	require.True(t, 0 < from && from < to)
	text = text[:from] + text[to:]
	for _, key := range []string{"circuit", "car", "schedule", "event"} {
		require.Contains(t, text, "  # "+key+": ")
		text = strings.Replace(text, "  # "+key+": ", "  "+key+": ", 1)
	}
	text = regexp.MustCompile(`(?m)^sessions: .*$`).ReplaceAllString(text, "")
	s := parsed(t, text)
	assert.Equal(t, "larkmoor-long", s.Duty.Circuit.Layout)
	assert.Equal(t, []float64{3600, 7200, 10800, 14400}, s.Sessions)
	assert.InDelta(t, 360, s.Duty.Schedule[1].Stop.Nominal(), 1e-9)
}
