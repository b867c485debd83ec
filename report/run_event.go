package report

import (
	"fmt"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// Event says in one line how an event is driven; empty where a scenario has
// neither a schedule nor slow laps.
func Event(s *scenarios.Scenario, u units.System) string {
	d := &s.Duty
	slow := ""
	if l := d.SlowLaps; l != nil {
		slow = "slow laps of " + words.Notation(l.For, u) + " in " + words.Notation(l.Chance, u) + " of the "
	}
	switch {
	case len(d.Schedule) == 0 && slow == "":
		return ""
	case len(d.Schedule) == 0:
		return words.Sentence(slow + "sessions")
	}
	text := "Event of " + words.DrivenBy(s, u).Length(d.Event) + ": " + stintsAndStops(d.Schedule, u)
	if slow != "" {
		text += ", " + slow + "stints"
	}
	return text
}

// mostNamed is how many stints and stops that differ are named one by one.
const mostNamed = 8

// stintsAndStops names what a schedule is made of: once what is alike throughout.
func stintsAndStops(items []scenarios.ScheduleItem, u units.System) string {
	var all, stints, stops []string
	for i := range items {
		text := itemInWords(&items[i], u)
		all = append(all, map[bool]string{true: "stint of ", false: "stop of "}[items[i].Drive != nil]+text)
		list := &stops
		if items[i].Drive != nil {
			list = &stints
		}
		if !slices.Contains(*list, text) {
			*list = append(*list, text)
		}
	}
	switch {
	case len(stops) == 0:
		return "driven without a stop"
	case len(stints) == 1 && len(stops) == 1:
		return "stints of " + stints[0] + ", stops of " + stops[0]
	case len(all) > mostNamed:
		return fmt.Sprintf("%s and %d more, over again", strings.Join(all[:mostNamed], ", "), len(all)-mostNamed)
	}
	return strings.Join(all, ", ") + ", over again"
}

// itemInWords says how long a stint or stop takes, and what is done in a stop.
func itemInWords(i *scenarios.ScheduleItem, u units.System) string {
	if i.Drive != nil {
		return words.Notation(i.Drive, u)
	}
	did := []string{"engine stopped"}
	if i.EngineRuns {
		did[0] = "engine running"
	}
	if i.Emptied {
		did = append(did, "can emptied")
	}
	if i.ToppedUp {
		did = append(did, "oil topped up")
	}
	return words.Notation(i.Stop, u) + " (" + strings.Join(did, ", ") + ")"
}
