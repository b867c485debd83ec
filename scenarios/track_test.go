package scenarios

import (
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/units"
)

// scheduled is a scenario with what is said of its duty besides a pattern.
func scheduled(duty, rest string) string {
	return strings.Replace(least, "burst: 7 s}}", "burst: 7 s}, "+duty+"}", 1) + rest + "\n"
}

// assertDefaults compares defaults with their range as the trade knows it, low,
// nominal and high, and sees that each says where it comes from.
func assertDefaults(t *testing.T, s *Scenario, want map[string][3]float64) {
	t.Helper()
	for path, w := range want {
		q := s.Input(path)
		if !assert.NotNil(t, q, path) {
			continue
		}
		low, high := q.Distribution.Range()
		assert.InDeltaSlice(t, w[:], []float64{low, q.Nominal(), high}, 1e-9*max(1, math.Abs(w[2])), path)
		assert.Equal(t, Assumed, q.Basis, path)
		assert.NotEmpty(t, q.Source, path)
	}
}

// TestTrackDefaults reads a circuit and slow laps with the least said.
func TestTrackDefaults(t *testing.T) {
	s := parsed(t, strings.Replace(onTrack("layout: Larkmoor-Bowl"), "power: 180 kW}", "power: 180 kW}, slow_laps: {chance: 30 %}", 1))
	assertDefaults(t, s, map[string][3]float64{
		"duty.car.grip":         {0.95, 1.15, 1.4},
		"duty.car.driver":       {0.85, 0.915, 0.98},
		"duty.car.drag_area":    {0.55, 0.7, 0.85},
		"duty.car.top_speed":    {200 / 3.6, 240 / 3.6, 280 / 3.6},
		"duty.car.shift_time":   {0.1, 0.25, 0.4},
		"duty.car.shift_step":   {1.2, 1.35, 1.5},
		"duty.slow_laps.for":    {300, 750, 1200},
		"duty.slow_laps.spread": {0.5, 0.5, 0.5},
		"duty.slow_laps.load":   {0.1, 0.2, 0.3},
	})
	car := s.Duty.Circuit.Car
	assert.InDelta(t, 1180, car.Mass.Nominal(), 1e-9)
	assert.InDelta(t, 180e3, car.Power.Nominal(), 1e-9)
	assert.Nil(t, car.Curve)
	assert.Equal(t, "larkmoor-bowl", s.Duty.Circuit.Layout)
	assert.Equal(t, "1180 kg", car.Mass.Notation(units.Metric))
	assert.Equal(t, "0.55 .. 0.85 m2", car.DragArea.Notation(units.Metric))
	assert.InDelta(t, 0.3, s.Duty.SlowLaps.Chance.Nominal(), 1e-15)
	assert.Zero(t, s.Duty.Event, "no schedule, no event")
	assert.Nil(t, parsed(t, least).Duty.SlowLaps)
}

// TestCircuitAsWritten reads a circuit, its car and its schedule in SI, by the
// definitions of the units.
func TestCircuitAsWritten(t *testing.T) {
	s, err := Load("testdata/right/circuit-and-can.yaml")
	require.NoError(t, err)
	c := s.Duty.Circuit
	assert.Empty(t, c.Layout)
	assert.Nil(t, c.CentreLine)
	require.Len(t, c.Segments, 4)
	assert.Equal(t, Segment{Length: 400, Gradient: 0.02}, c.Segments[0])
	assert.InDelta(t, 60*math.Pi, c.Segments[1].Length, 1e-9)
	assert.InDelta(t, 6*math.Pi/180, c.Segments[1].Banking, 1e-12)
	assert.Equal(t, 60.0, c.Segments[1].Radius)
	assert.InDelta(t, math.Pi, c.Segments[1].Angle, 1e-12)
	assert.False(t, c.Segments[1].Right)
	assert.InDelta(t, 1312*0.3048, c.Segments[2].Length, 1e-9)
	assert.InDelta(t, 2600*0.45359237, c.Car.Mass.Nominal(), 1e-9)
	require.Len(t, c.Car.Curve, 3)
	assert.InDelta(t, 130*0.44704, c.Car.Curve[2].Speed.Nominal(), 1e-9)
	assert.InDelta(t, 230*745.6998715822702, c.Car.Curve[2].Power.Nominal(), 1e-6, "550 ft lbf/s")
	assert.Nil(t, c.Car.Power)

	require.Len(t, s.Duty.Schedule, 4)
	assert.InDelta(t, 3300, s.Duty.Schedule[0].Drive.Nominal(), 1e-9)
	assert.Nil(t, s.Duty.Schedule[0].Stop)
	stop := s.Duty.Schedule[1]
	assert.True(t, stop.EngineRuns && stop.Emptied && stop.ToppedUp)
	last := s.Duty.Schedule[3]
	assert.Equal(t, ScheduleItem{Stop: last.Stop}, last)
	assert.Zero(t, last.Stop.Nominal())
	assert.Equal(t, 4*3600.0, s.Duty.Event)
	assert.Equal(t, []float64{3600, 7200, 10800, 14400}, s.Sessions)
	right := parsed(t, onTrack("segments: [{straight: 100 m}, {corner: 60 m, angle: 180 deg, turns: RIGHT}, {straight: 100 m}, {corner: 60 m, angle: 180 deg, turns: right}]"))
	assert.True(t, right.Duty.Circuit.Segments[1].Right)
	assert.Empty(t, warned(right))
}

// TestCentreLineAsWritten reads points from a file, once for all variants.
func TestCentreLineAsWritten(t *testing.T) {
	s, err := Load("testdata/right/centre-line.yaml")
	require.NoError(t, err)
	line := s.Duty.Circuit.CentreLine
	require.NotNil(t, line)
	assert.Equal(t, "circuits/oval.csv", line.File)
	assert.Equal(t, 0.5, line.SurveyError)
	assert.Equal(t, [3]float64{0, 0, 0}, line.Points[0])
	assert.Equal(t, [3]float64{25, 0, 0}, line.Points[1])
	assert.Len(t, line.Points, 16+13+15+12)
	assert.NotEmpty(t, line.Notes, "a column that is not used")

	text := onTrack("centre_line: {file: oval.csv, columns: {x: along, y: across}}")
	opened := 0
	open := func(string) (io.ReadCloser, error) {
		opened++
		return within("testdata/right/circuits")("oval.csv")
	}
	s, err = Parse("test.yaml", []byte(text+"variants: {wet: {duty.car.grip: 0.7}, exact: {duty.circuit.centre_line.survey_error: 0 m}}\n"), open)
	require.NoError(t, err)
	assert.Equal(t, -1.0, s.Duty.Circuit.CentreLine.SurveyError, "the default")
	exact, err := s.Variant("exact")
	require.NoError(t, err)
	assert.Zero(t, exact.Duty.Circuit.CentreLine.SurveyError)
	assert.Equal(t, 1, opened)
	_, err = Parse("test.yaml", []byte(text), nil)
	assert.ErrorContains(t, err, "duty.circuit.centre_line.file: the centre line can't be read: this scenario can't refer to other files")
}

// TestLeadsBack warns of segments that don't end where they begin, by hand: a
// quarter circle short, straights of unequal length, a climb.
func TestLeadsBack(t *testing.T) {
	const at = "duty.circuit.segments: "
	for segments, want := range map[string]string{
		"{straight: 400 m}, {corner: 60 m, angle: 180 deg, turns: left}, {straight: 400 m}, {corner: 60 m, angle: 90 deg, turns: left}":                    at + "the corners turn by 270 deg in all, not by 360 deg (a figure of eight: 0); it is driven all the same\n",
		"{straight: 400 m}, {corner: 60 m, angle: 180 deg, turns: left}, {straight: 300 m}, {corner: 60 m, angle: 180 deg, turns: left}":                   at + "the end lies 100 m from the beginning, on a lap of 1077 m; it is driven all the same\n",
		"{straight: 400 m}, {corner: 60 m, angle: 180 deg, turns: left}, {straight: 350 m}, {corner: 60 m, angle: 180 deg, turns: left}":                   "",
		"{straight: 400 m, gradient: -2 %}, {corner: 60 m, angle: 180 deg, turns: right}, {straight: 400 m}, {corner: 60 m, angle: 180 deg, turns: right}": at + "the end lies 8 m lower than the beginning; it is driven all the same\n",
		"{straight: 400 m}": at + "the end lies 400 m from the beginning, on a lap of 400 m; it is driven all the same\n",
		// a figure of eight: two circles of three quarters and the straights between them, which cross in their middle
		"{straight: 120 m}, {corner: 60 m, angle: 270 deg, turns: left}, {straight: 120 m}, {corner: 60 m, angle: 270 deg, turns: right}": "",
	} {
		assert.Equal(t, want, warned(parsed(t, onTrack("segments: ["+segments+"]"))), segments)
	}
}

// TestTrackWarnings tells of what a duty doesn't use.
func TestTrackWarnings(t *testing.T) {
	stadium := "segments: [{straight: 400 m, turns: left}, {corner: 60 m, angle: 180 deg, turns: left}, {straight: 400 m}, {corner: 60 m, angle: 180 deg, turns: left}]"
	for text, want := range map[string]string{
		onTrack(stadium): "duty.circuit.segments.1.turns: not used: a straight doesn't turn\n",
		scheduled("car: {mass: 1180 kg, power_curve: [{speed: 9 km/h, power: 1 kW}]}", ""): "duty.car.mass: not used: there is no circuit for it; write under duty: circuit: {layout: larkmoor-long}\n" +
			"duty.car.power_curve: not used: there is no circuit for it; write under duty: circuit: {layout: larkmoor-long}\n",
		scheduled("event: 4 h", ""): "duty.event: not used: there is no schedule\n",
		scheduled("schedule: [{drive: 50 min, oil: topped_up, can: left}]", ""): "duty.schedule.1.can: not used: it belongs to a stop\nduty.schedule.1.oil: not used: it belongs to a stop\n",
		scheduled("schedule: [{drive: 50 min}, {stop: 1 min, can: left}]", ""):  "",
	} {
		got := strings.Split(warned(parsed(t, text)), "\n")
		assert.ElementsMatch(t, strings.Split(want, "\n"), got, text)
	}
}

// TestStops knows the stops of a schedule where a can is emptied by hand.
func TestStops(t *testing.T) {
	by := func(emptied, duty string) string {
		text := strings.Replace(scheduled(duty, ""), "drain: {return: above_oil, bore: 12.7 mm, fall: 120 mm}", "drain: {return: emptied_by_hand, emptied: "+emptied+"}", 1)
		return warned(parsed(t, text))
	}
	const plan = "schedule: [{drive: 55 min}, {stop: 5 min}]"
	assert.Empty(t, by("at stops", plan+", event: 4 h"))
	assert.Empty(t, by("every 4 stops", plan+", event: 4 h"))
	assert.Equal(t, "drain.emptied: the schedule has 4 stops in this event, so the can isn't emptied within it; write: emptied: at stops, or: emptied: every 30 min\n", by("every 5 stops", plan+", event: 4 h"))
	assert.Contains(t, by("at stops", "schedule: [{drive: 55 min}]"), "the schedule has 0 stops in this event")
	assert.Equal(t, "duty.schedule.2.can: not used: the can is emptied at all stops (drain.emptied)\n", by("at stops", "schedule: [{drive: 55 min}, {stop: 5 min, can: left}]"))
	assert.Empty(t, by("every session", plan))

	text := strings.Replace(onTrack("layout: larkmoor-bowl"), "drain: {return: above_oil, bore: 12.7 mm, fall: 120 mm}", "drain: {return: emptied_by_hand, emptied: at stops}", 1)
	assert.Equal(t, "drain.emptied: the engine never stops in this duty, so the can isn't emptied within a session; write: emptied: every 30 min; or a duty.schedule that holds: - {stop: 6 min}\n", warned(parsed(t, text)))
	text = strings.Replace(text, "power: 180 kW}", "power: 180 kW}, schedule: [{drive: 20 min}, {stop: 6 min}]", 1)
	assert.Empty(t, warned(parsed(t, text)), "what the warning says to write")
}

// TestStopsInEvent counts by hand.
func TestStopsInEvent(t *testing.T) {
	for _, c := range []struct {
		schedule, event string
		want            int
	}{
		{"{drive: 50 min}, {stop: 10 min}", "3 h", 3},
		{"{drive: 50 min}, {stop: 10 min}", "170 min", 2}, // the third begins as the event ends
		{"{drive: 50 min}, {stop: 10 min}", "171 min", 3},
		{"{drive: 50 min}, {stop: 10 min}", "40 min", 0},
		{"{stop: 10 min}, {drive: 20 min}, {stop: 10 min}, {drive: 20 min}", "90 min", 3},
		{"{drive: 1 s}, {stop: 0 s}", "100 h", 360000},
	} {
		d := parsed(t, scheduled("schedule: ["+c.schedule+"], event: "+c.event, "")).Duty
		assert.Equal(t, c.want, d.stopsInEvent(), "%s in %s", c.schedule, c.event)
	}
}

// TestSessionsOfEvent chooses session lengths up to the event's end.
func TestSessionsOfEvent(t *testing.T) {
	const plan = "schedule: [{drive: 50 min}, {stop: 8 .. 12 min}, {drive: 40 min}]"
	minutes := func(text string) (list []float64, rules string) {
		s := parsed(t, text)
		for _, x := range s.Sessions {
			list = append(list, math.Round(x/6)/10)
		}
		for _, r := range s.Rules {
			if r.Path == "sessions" || r.Path == "duty.event" {
				rules += r.Path + ": " + r.Text + "\n"
			}
		}
		return list, rules
	}
	list, rules := minutes(scheduled(plan, ""))
	assert.Equal(t, []float64{60, 100}, list)
	assert.Equal(t, "duty.event: once through the schedule: 100 min\nsessions: every full hour up to the event's end, 100 min\n", rules)
	list, _ = minutes(scheduled(plan+", event: 4 h", ""))
	assert.Equal(t, []float64{60, 120, 180, 240}, list)
	list, rules = minutes(scheduled(plan+", event: 50 min", ""))
	assert.Equal(t, []float64{15, 30, 45, 50}, list)
	assert.Equal(t, "sessions: every quarter of an hour up to the event's end, 50 min\n", rules)
	list, rules = minutes(scheduled(plan+", event: 4 h", "sessions: [90 min, 30 min]"))
	assert.Equal(t, []float64{30, 90, 240}, list)
	assert.Equal(t, "sessions: as stated, and the event's end, 4 h\n", rules)
	list, rules = minutes(scheduled(plan+", event: 4 h", "sessions: [90 min, 4 h]"))
	assert.Equal(t, []float64{90, 240}, list)
	assert.Empty(t, rules)
	for event := 1.0; event <= 100; event += 0.25 {
		s := parsed(t, scheduled(fmt.Sprintf("%s, event: %g h", plan, event), ""))
		assert.LessOrEqual(t, len(s.Sessions), mostSessions, event)
		assert.InDelta(t, event*3600, s.Sessions[len(s.Sessions)-1], 1e-6)
		assert.IsIncreasing(t, s.Sessions)
	}
	list, _ = minutes(least)
	assert.Equal(t, []float64{15, 20, 30, 60}, list, "without a schedule")
}

// TestWithTrack changes what a circuit, a car and a schedule say.
func TestWithTrack(t *testing.T) {
	s, err := Load("testdata/right/layout-and-stops.yaml")
	require.NoError(t, err)
	with := func(s *Scenario, path string, value any) *Scenario {
		t.Helper()
		c, err := s.With(Change{path, value})
		require.NoError(t, err, path)
		return c
	}
	short := with(s, "duty.circuit.layout", "larkmoor-short")
	assert.Equal(t, "larkmoor-short", short.Duty.Circuit.Layout)
	assert.NotEqual(t, len(s.Duty.Circuit.Segments), len(short.Duty.Circuit.Segments))
	assert.Equal(t, s.Duty.Circuit, with(short, "duty.circuit.layout", "larkmoor-bowl").Duty.Circuit, "there and back")
	stiffer, err := s.Variant("stiffer corner")
	require.NoError(t, err)
	assert.Equal(t, 100.0, stiffer.Duty.Circuit.Segments[1].Radius)
	assert.Empty(t, stiffer.Duty.Circuit.Layout, "no longer the built-in one")
	assert.Equal(t, s.Duty.Circuit.Segments[2:], stiffer.Duty.Circuit.Segments[2:])
	assert.Equal(t, 120.0, s.Duty.Circuit.Segments[1].Radius, "the scenario itself stays")
	assert.InDelta(t, 180, stiffer.Duty.Schedule[1].Stop.Nominal(), 1e-9)
	assert.Equal(t, Segment{Length: 100}, with(s, "duty.circuit.segments.2", "{straight: 100 m}").Duty.Circuit.Segments[1])

	own := with(s, "duty.circuit.segments", "[{straight: 400 m}, {corner: 60 m, angle: 180 deg, turns: left}, {straight: 400 m}, {corner: 60 m, angle: 180 deg, turns: left}]")
	assert.Empty(t, own.Duty.Circuit.Layout)
	assert.Len(t, own.Duty.Circuit.Segments, 4)
	assert.Zero(t, with(own, "duty.circuit.segments.2.straight", "70 m").Duty.Circuit.Segments[1].Angle)
	curve := with(s, "duty.car.power_curve", "[{speed: 60 km/h, power: 110 kW}, {speed: 120 km/h, power: 180 kW}]")
	assert.Nil(t, curve.Duty.Circuit.Car.Power)
	assert.Len(t, curve.Duty.Circuit.Car.Curve, 2)
	assert.Nil(t, with(curve, "duty.car.power", 150e3).Duty.Circuit.Car.Curve)
	assert.Nil(t, with(s, "duty.pattern", "{full_throttle: 50 %, burst: 7 s}").Duty.Circuit)
	assert.Equal(t, "larkmoor-long", with(with(s, "duty.pattern", "{full_throttle: 50 %, burst: 7 s}"), "duty.circuit.layout", "larkmoor-long").Duty.Circuit.Layout)
	assert.Equal(t, 2*3600.0, with(with(s, "sessions", nil), "duty.event", "2 h").Duty.Event)
	_, err = s.With(Change{"duty.event", "2 h"})
	assert.ErrorContains(t, err, "sessions: longer than the event (got 5 h, allowed up to 2 h)")
	_, err = s.With(Change{"duty.circuit.layout", nil})
	assert.ErrorContains(t, err, "duty.circuit: missing: one of layout, segments and centre_line")
	_, err = s.With(Change{"duty.circuit.segments.99.corner", "60 m"})
	assert.ErrorContains(t, err, "the list has no such element")
}

// TestFourHours sees that the ready-made event says what its notes say: a route
// mirrored in y, more right-hand corners than left, an event that ends within the
// last stint.
func TestFourHours(t *testing.T) {
	s, err := Ready("four-hours")
	require.NoError(t, err)
	right, err := s.Variant("drain led to the right")
	require.NoError(t, err)
	require.Len(t, right.Drain.Route, len(s.Drain.Route))
	for i, p := range s.Drain.Route {
		q := right.Drain.Route[i]
		assert.Equal(t, [3]float64{p.X.Nominal(), -p.Y.Nominal(), p.Z.Nominal()}, [3]float64{q.X.Nominal(), q.Y.Nominal(), q.Z.Nominal()})
		assert.Equal(t, p.Z.Distribution, q.Z.Distribution)
	}
	assert.Positive(t, s.Drain.Route[3].Y.Nominal(), "y counts to the left")
	corners := map[bool]int{}
	for _, g := range s.Duty.Circuit.Segments {
		if g.Radius > 0 {
			corners[g.Right]++
		}
	}
	assert.Equal(t, map[bool]int{true: 5, false: 3}, corners)
	stops, before := 0, 0.0
	for _, i := range s.Duty.Schedule {
		if i.Stop != nil {
			stops++
			before += i.Stop.Distribution.Quantile(0.9999)
		}
	}
	assert.Equal(t, 3, stops)
	assert.Less(t, before+3*3300, s.Duty.Event)
	assert.Greater(t, s.Duty.oncePass(), s.Duty.Event)
	left, err := s.Variant("always to the left")
	require.NoError(t, err)
	for _, g := range left.Duty.Circuit.Segments {
		assert.False(t, g.Right)
	}
	byHand, err := s.Variant("emptied at each stop")
	require.NoError(t, err)
	assert.Equal(t, Emptied{AtStops: true, Nth: 1}, byHand.Drain.Emptied)
	assert.Empty(t, warned(byHand))
	assert.Empty(t, warned(s))
}
