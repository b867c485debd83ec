// Package still holds a day on which everything stands still but what a test
// changes, so that what comes out is known. Nothing outside tests uses it.
package still

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

// Text is a can emptied by hand under an engine at full throttle: oil at one
// temperature and without air, an exact blow-by, no luck from lap to lap.
const Text = `
scenario: 1
title: Larkmoor, car 42, everything still
engine:
  blow_by: {full_throttle: 90 L/min, closed_throttle: 0 L/min}
  gas_temperature: 90 C
  intake_depression: 3 kPa
  pulsation: 0
oil:
  viscosity: {at_40C: 98 cSt, at_100C: 14.5 cSt}
  density: 870 kg/m3
  aeration: 0 %
  aeration_in_hose: 0 %
  temperature: {start: 90 C, settled: 90 C, time_constant: 6 min}
  ambient: 25 C
  hose_warmth: 100 %
carry_over: {full_throttle: 0.1 g/s, flow_exponent: 2}
breathers:
  - {name: block, to: separator, bore: 16 mm, length: 500 mm, loss_coefficient: 2.5}
separator:
  usable_volume: 0.15 L
  cross_section: 44 cm2
  efficiency: 60 %
  pressure_loss: {loss: 0.8 kPa, at: 110 L/min}
  outlet: {to: intake, bore: 19 mm, length: 600 mm, loss_coefficient: 2, off_axis: 0 mm}
drain: {return: emptied_by_hand, emptied: every session}
duty: {lap: [{for: 60 s, load: 100 %}], lap_variation: 0 %}
sessions: [20 min]
`

// Written is Text with parts written otherwise: pairs of a part, which has to stand
// there once, and what takes its place. It panics where it does not.
func Written(pairs ...string) string {
	text := Text
	for i := 0; i < len(pairs); i += 2 {
		if n := strings.Count(text, pairs[i]); n != 1 {
			panic(fmt.Sprintf("the still day has %q %d times, wanted once", pairs[i], n))
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return text
}

// Read parses a scenario that names no other file, and applies changes.
func Read(t testing.TB, text string, changes ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Parse("still.yaml", []byte(text), func(name string) (io.ReadCloser, error) {
		return nil, fmt.Errorf("no file %s", name)
	})
	require.NoError(t, err)
	s, err = s.With(changes...)
	require.NoError(t, err)
	return s
}
