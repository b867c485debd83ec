package page

import (
	"fmt"
	"math"
	"strings"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// cardSteps are the distances that session lengths of a card may have, s.
var cardSteps = []float64{1, 2, 5, 10, 15, 30, 60, 150, 300, 600, 900, 1800, 3600, 7200, 14400, 43200, 86400}

// mostCardSessions is about how many session lengths a card asks for.
const mostCardSessions = 24

// CardSessions returns the session lengths, s, that a card of an event of so many
// seconds rests on: some two dozen, ascending to the event's own. Over an hour,
// half of them are every 5 min of the first.
func CardSessions(event float64) []float64 {
	var list []float64
	const first = 3600.0
	from, room := 0.0, float64(mostCardSessions)
	if event > 2*first {
		for t := 300.0; t <= first; t += 300 {
			list = append(list, t)
		}
		from, room = first, room-float64(len(list))
	}
	step := cardSteps[len(cardSteps)-1]
	for _, s := range cardSteps {
		if (event-from)/s <= room {
			step = s
			break
		}
	}
	for i := 1.0; from+i*step < event*(1-1e-9); i++ {
		list = append(list, from+i*step)
	}
	return append(list, event)
}

// CardScenario is a scenario with the session lengths that its card rests on, up
// to its longest.
func CardScenario(s *scenarios.Scenario) (*scenarios.Scenario, error) {
	if len(s.Sessions) == 0 {
		return nil, fmt.Errorf("card: the scenario has no session length")
	}
	var texts []string
	for _, t := range CardSessions(s.Sessions[len(s.Sessions)-1]) {
		texts = append(texts, fmt.Sprintf("%g s", t))
	}
	return s.With(scenarios.Change{Path: "sessions", Value: "[" + strings.Join(texts, ", ") + "]"})
}

// CardRealizations is how many realizations a card takes at a limit of risk: so
// many that with no event in any of them the upper end of the interval keeps the
// limit, between 4,000 and 40,000.
func CardRealizations(limit float64) int {
	n := 4000.0
	if limit > 0 {
		n = max(n, 4/limit) // 1 - 0.025^(1/n) is below 3.69/n
	}
	return int(math.Ceil(min(n, 40_000)))
}

// spell is a stretch from the start of the event through which a chance stays
// within the limit, by the upper end of its interval.
type spell struct {
	last  int     // index of the last session length that keeps it; -1: none
	whole bool    // all of the event does
	every float64 // s, rounded down: to 5 min, below that to 1 min
}

// spellOf looks how long a chance stays within the limit.
func spellOf(sessions []sim.SessionResult, limit float64, chance func(sim.SessionResult) stats.Estimate) spell {
	s := spell{last: -1}
	for i := range sessions {
		if !(chance(sessions[i]).High <= limit) {
			break
		}
		s.last = i
	}
	if s.last < 0 {
		return s
	}
	s.whole = s.last == len(sessions)-1
	s.every = roundedDown(sessions[s.last].Length)
	return s
}

// roundedDown rounds a time down to whole 5 min, or to whole minutes where it is
// shorter; 0 below one.
func roundedDown(t float64) float64 {
	for _, whole := range []float64{300, 60} {
		if n := math.Floor(t/whole + 1e-9); n > 0 {
			return n * whole
		}
	}
	return 0
}
