package report

import (
	"fmt"
	"regexp"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Requirement is a limit on a chance: "overflow < 1 % at 25 min".
type Requirement struct {
	text    string
	event   int // see words.SessionChances
	orEqual bool
	limit   float64
	at      float64 // s; 0: every session length
}

var (
	requirementForm = regexp.MustCompile(`^\s*(.+?)\s*(<=|≤|<)\s*(.+?)(?:\s+at\s+(.+?))?\s*$`)
	requirable      = []string{"overflow", "drain choked", "over-pressure", "oil lost"}
)

// ParseRequirement reads a requirement: what (overflow, drain choked,
// over-pressure, oil lost), < or <=, a chance, and the session length that it
// holds for (left out: all of them).
func ParseRequirement(text string) (Requirement, error) {
	const example = `write for instance "overflow < 1 % at 25 min"`
	m := requirementForm.FindStringSubmatch(text)
	if m == nil {
		return Requirement{}, fmt.Errorf("requirement %q can't be read: %s", text, example)
	}
	r := Requirement{text: strings.Join(strings.Fields(text), " "), event: -1, orEqual: m[2] != "<"}
	name := strings.NewReplacer("_", " ", "-", " ").Replace(strings.ToLower(m[1]))
	for i, known := range requirable {
		if strings.Join(strings.Fields(name), " ") == strings.ReplaceAll(known, "-", " ") {
			r.event = i
		}
	}
	if r.event < 0 {
		return Requirement{}, fmt.Errorf("requirement %q: nothing called %q can be required: use %s", text, m[1], strings.Join(requirable, ", "))
	}
	var err error
	if r.limit, err = units.Parse(m[3], units.Fraction); err != nil {
		return Requirement{}, fmt.Errorf("requirement %q: %w", text, err)
	}
	if !(r.limit > 0 && r.limit <= 1) {
		return Requirement{}, fmt.Errorf("requirement %q: a chance lies above 0 and up to 100 %% (got %s): %s", text, m[3], example)
	}
	if m[4] == "" {
		return r, nil
	}
	if r.at, err = units.Parse(m[4], units.Time); err != nil {
		return Requirement{}, fmt.Errorf("requirement %q: %w", text, err)
	}
	return r, nil
}

// Outcome is what became of a requirement.
type Outcome string

// The outcomes.
const (
	Met       Outcome = "met"       // by the whole of the interval
	NotMet    Outcome = "not met"   // by no part of it
	Undecided Outcome = "undecided" // the interval spans the limit
	Depends   Outcome = "depends"   // an input that is not measured carries it across the limit within its own range
)

// RequirementResult is a requirement with what became of it.
type RequirementResult struct {
	Requirement
	Outcome Outcome
	chance  words.Chance
	session int // index of the session length that was judged
	rests   *decide.Dependence
	any     bool // so with any carry-over on track
	unread  bool // carry-over on track was not read, and it was not looked at what that makes of it
}

// Question is the question that the requirement was judged by.
func (r RequirementResult) Question() decide.Question {
	return decide.Question{Event: sim.Event(r.event), Session: r.session, Limit: r.limit}
}

// DependsOn returns the result in the light of what it rests on: where that can
// carry it across the limit, it depends. Where carry-over was read over a road
// interval alone, only what holds with any carry-over on track is met or not met. A
// nil dependence changes nothing.
func (r RequirementResult) DependsOn(d *decide.Dependence) RequirementResult {
	switch {
	case d == nil:
	case d.Depends():
		r.Outcome, r.rests = Depends, d
	case d.Track != nil && d.Track.Breaks(r.limit):
		r.Outcome, r.any = NotMet, true
	case d.Track != nil && r.Outcome != NotMet: // the whole of the range keeps it
		r.Outcome, r.any = Met, true
	}
	return r
}

// Unread returns the result of a scenario whose carry-over on track was read over a
// road interval alone, where it is not looked at what that makes of it.
func (r RequirementResult) Unread() RequirementResult {
	r.Outcome, r.unread = Depends, true
	return r
}

// Text says what was required, what became of it, and why.
func (r RequirementResult) Text(u units.System) string {
	chance := strings.Trim(r.chance.Text()+", "+r.chance.Interval(), ", ")
	if r.unread {
		return fmt.Sprintf("%s: %s (%s with %s)", r.text, onTrack, chance, RoadReading)
	}
	if r.rests != nil {
		return fmt.Sprintf("%s: depends on what is not measured (as drawn %s). %s", r.text, chance, dependence{r.rests, u}.verdict())
	}
	if r.any {
		return fmt.Sprintf("%s: %s with any carry-over on track (%s with %s)", r.text, r.Outcome, chance, RoadReading)
	}
	return fmt.Sprintf("%s: %s (%s)", r.text, r.Outcome, chance)
}

// SessionLengths returns an error when a requirement is about a session
// length that is not among these.
func (r Requirement) SessionLengths(lengths []float64) error {
	if r.at == 0 {
		return nil
	}
	var known []string
	for _, l := range lengths {
		if sameLength(l, r.at) {
			return nil
		}
		known = append(known, words.Length(l, units.Metric))
	}
	return fmt.Errorf("requirement %q: there is no such session length (sessions: %s): put it into --sessions", r.text, strings.Join(known, ", "))
}

// Check compares a requirement with a result. One that is not about a session
// length is judged at the length that keeps it least.
func (r Requirement) Check(res *sim.Result) RequirementResult {
	var out RequirementResult
	for i := range res.Sessions {
		s := &res.Sessions[i]
		if r.at != 0 && !sameLength(s.Length, r.at) {
			continue
		}
		c := words.SessionChances(res, s)[r.event]
		if o := r.judge(c); out.Outcome == "" || severity[o] >= severity[out.Outcome] {
			out = RequirementResult{Requirement: r, Outcome: o, chance: c, session: i}
		}
	}
	return out
}

var severity = map[Outcome]int{Met: 0, Undecided: 1, NotMet: 2}

func (r Requirement) judge(c words.Chance) Outcome {
	switch {
	case c.High < r.limit || r.orEqual && c.High == r.limit:
		return Met
	case c.Low > r.limit || !r.orEqual && c.Low == r.limit:
		return NotMet
	}
	return Undecided
}

func sameLength(a, b float64) bool { return a-b < 0.5 && b-a < 0.5 }
