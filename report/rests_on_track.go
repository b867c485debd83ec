package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

const (
	// RoadReading says what a carry-over from a road interval is.
	RoadReading = "the road reading, carried to the track by the law of flow"

	// WeighFirst says how to read the carry-over on track.
	WeighFirst = "weigh what a sealed can catches in one session (sumpward measure --sheet weigh prints what to do)"

	onTrack = "depends on the carry-over on track, which a reading over a road interval does not tell"
)

// flow writes a carry-over at full throttle.
func flow(kilogramsPerSecond float64, u units.System) string {
	return words.ShowIn(kilogramsPerSecond, units.DisplayUnit(units.MassFlow, u))
}

// TrackTipping says below which carry-over at full throttle the limit is met, with the
// interval of that value: "below 0.21 g/s of liquid oil at full throttle (0.19 g/s to
// 0.24 g/s)".
func TrackTipping(t *decide.TrackCarryOver, u units.System) string {
	const oil = " of liquid oil at full throttle"
	tip := t.Tipping
	low := flow(tip.Low, u)
	switch {
	case math.IsNaN(tip.Value) && tip.Low > 0:
		return fmt.Sprintf("below %s%s for sure; up to %s these realizations can't tell", low, oil, flow(t.To, u))
	case math.IsNaN(tip.Value):
		return fmt.Sprintf("at no more than %s%s, if at all", flow(t.From, u), oil)
	}
	text := "below " + flow(tip.Value, u) + oil
	high := flow(tip.High, u)
	switch {
	case tip.Low == 0:
		return text + " (up to " + high + ")"
	case low != high:
		return text + " (" + low + " to " + high + ")"
	}
	return text
}

// track says that a verdict depends on the carry-over on track, and of what else it
// does with the road reading.
func (d dependence) track(kept string) string {
	text := fmt.Sprintf("%s %s: met %s. To read it, %s.", kept, onTrack, TrackTipping(d.Track, d.units), WeighFirst)
	var parts []string
	for _, in := range d.Tips() {
		if !strings.HasPrefix(in.Input.Path, "carry_over.") {
			parts = append(parts, fmt.Sprintf("%s: met %s", words.InputName(in.Input.Path), d.tipping(in)))
		}
	}
	if len(parts) > 0 {
		text += fmt.Sprintf(" With %s, it depends on %s.", RoadReading, strings.Join(parts, "; and on "))
	}
	return text
}

// anyTrack says that it makes no difference that carry-over was read on the road,
// where nothing else does either.
func (d dependence) anyTrack() string {
	if d.Track == nil || d.Depends() {
		return ""
	}
	stands := "is met"
	if d.Track.Breaks(d.Limit) {
		stands = "is not met"
	}
	return fmt.Sprintf(" On track it %s with any carry-over from %s to %s of liquid oil at full throttle, all else drawn: that it was read over a road interval makes no difference.",
		stands, flow(d.Track.From, d.units), flow(d.Track.To, d.units))
}

// onRoadReading begins a sentence about chances that rest on a road reading; empty
// where they don't.
func onRoadReading(s *scenarios.Scenario) string {
	if !decide.TrackUnread(s) {
		return ""
	}
	return "With " + RoadReading + ": "
}

// unread is the verdict on a scenario whose carry-over on track was not read, where
// it was not looked at what it rests on; empty where it was read.
func unread(s *scenarios.Scenario, kept string) string {
	if !decide.TrackUnread(s) {
		return ""
	}
	return fmt.Sprintf("%s %s. To read it, %s.", kept, onTrack, WeighFirst)
}
