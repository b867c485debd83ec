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
	text := "Event of " + words.DrivenBy(s, u).Length(d.Event) + ": " + stintsAndStops(d.Schedule, d.Event, u)
	if slow != "" {
		text += ", " + slow + "stints"
	}
	return text
}

// mostNamed is how many stints and stops that differ are named one by one.
const mostNamed = 8

// stintsAndStops names what a schedule is made of, once what is alike throughout,
// and whether an event of so many seconds goes through it more than once.
func stintsAndStops(items []scenarios.ScheduleItem, event float64, u units.System) string {
	var all, stints, stops []string
	once, again := 0.0, ""
	for i := range items {
		once += items[i].Drive.Nominal() + items[i].Stop.Nominal()
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
	if event > once {
		again = ", over again"
	}
	switch {
	case len(stops) == 0:
		return "driven without a stop"
	case len(stints) == 1 && len(stops) == 1:
		return "stints of " + stints[0] + ", stops of " + stops[0]
	case len(all) > mostNamed:
		return fmt.Sprintf("%s and %d more%s", strings.Join(all[:mostNamed], ", "), len(all)-mostNamed, again)
	}
	return strings.Join(all, ", ") + again
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
