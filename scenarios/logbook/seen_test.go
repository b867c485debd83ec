package logbook

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/scenarios"
)

const shop = `date,car,session [min],drained [mL],topped up [L],crankcase full throttle [kPa],U-tube [mm],vent hose,pour [mL],pour took [s],oil temperature [C],overflowed,layout
2026-05-09,42,25,120,0.1,,,dry,,,,no,
2026-05-09,42,25,,,,,,,,,,
2026-05-10,42,40,,0.2,0.6,64,wet,,,,,
2026-05-10,42,,5,0.3,,,,300,9,20,,
2026-05-11,42,15,,0.3,,,,300,9,,,larger can
`

func TestSeen(t *testing.T) {
	b := read(t, shop)
	file, left := Seen(`car "42"`, b.Entries, false)
	assert.Equal(t, `seen: 1
title: "car \"42\""
observations:
  - {drained: 120 mL, after: 25 min, error: 5 mL, session: "2026-05-09 1"}
  - {vent_hose: dry, after: 25 min, session: "2026-05-09 1"}
  - {overflowed: no, after: 25 min, session: "2026-05-09 1"}
  - {vent_hose: wet, after: 40 min}
  - {crankcase: 0.6 kPa, load: 100 %, error: 0.1 kPa}
  - {u_tube: 64 mm, error: 3 mm}
  - {topped_up: 0.2 L, over: [25 min, 40 min], error: 0.1 L}
  - {poured: 300 mL, took: 9 s, at: 20 C, error: 1 s}
`, file)
	assert.Equal(t, []string{
		"line 2, topped up: how many sessions it is for is not known: the oil level at their start is not in the book",
		"line 5, drained: the length of the session is not written",
		"line 5, topped up: the length of a session that it is for is not written",
		"line 6, pour: the temperature of the oil is not written",
		"line 6, topped up: how many sessions it is for is not known: the oil level at their start is not in the book",
	}, left)

	file, _ = Seen("42", b.Entries[:1], true)
	assert.Contains(t, file, "  - {topped_up: 0.1 L, over: [25 min], error: 0.1 L}\n")
	file, _ = Seen("42", nil, true)
	assert.Contains(t, file, "observations: []\n")
}

// What the logbook writes is read as it is meant.
func TestSeenIsRead(t *testing.T) {
	b := read(t, string(scenarios.ReadyLogbookSource()))
	assert.Len(t, b.Cars(), 6)
	assert.Empty(t, b.Warnings)
	for _, car := range b.Cars() {
		file, _ := Seen("Larkmoor\n\"42\" \\ é", b.Of(car), true)
		seen, err := scenarios.ParseSeen("seen.yaml", []byte(file))
		if !assert.NoError(t, err, file) {
			continue
		}
		assert.Equal(t, "Larkmoor\n\"42\" \\ é", seen.Title)
		assert.Len(t, seen.Observations, strings.Count(file, "\n  - {"))
	}
	file, _ := Seen("42", read(t, shop).Entries, false)
	seen, err := scenarios.ParseSeen("seen.yaml", []byte(file))
	if !assert.NoError(t, err) {
		return
	}
	first, last, top := seen.Observations[0], seen.Observations[7], seen.Observations[6]
	assert.Equal(t, scenarios.Drained, first.Kind)
	assert.InDelta(t, 120e-6, first.Value, 1e-12)
	assert.InDelta(t, 5e-6, first.Error, 1e-12)
	assert.Equal(t, seen.Observations[1].Session, first.Session)
	assert.Equal(t, []float64{1500, 2400}, top.Over)
	assert.InDelta(t, 9, last.Value, 1e-12)
	assert.InDelta(t, 1, last.Error, 1e-12)
	assert.InDelta(t, 300e-6, last.Volume, 1e-12)
	assert.InDelta(t, 293.15, last.Temperature, 1e-9)
}
