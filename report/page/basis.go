package page

import (
	"fmt"
	"strconv"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// input is one input of the scenario for people.
type input struct {
	Path, Name, Value, Basis, Source string
}

// basis is what the answer rests on. The phases of a lap and the limits are counted
// apart.
type basis struct {
	Measured, Stated []input
	Assumed          int
	Lap              string // what the lap is
}

func (v *view) basis() basis {
	var b basis
	for _, q := range v.scenario().Inputs {
		if apartFromLayout(q) {
			continue
		}
		switch q.Basis {
		case scenarios.Measured:
			b.Measured = append(b.Measured, v.input(q))
		case scenarios.Stated:
			b.Stated = append(b.Stated, v.input(q))
		default:
			b.Assumed++
		}
	}
	b.Lap = v.lap()
	return b
}

// apartFromLayout reports whether an input is a phase of the lap or a limit.
func apartFromLayout(q *scenarios.Quantity) bool {
	return strings.HasPrefix(q.Path, "duty.lap.") || strings.HasPrefix(q.Path, "limits.")
}

func (v *view) input(q *scenarios.Quantity) input { return inputOf(q, v.page.Units) }

func inputOf(q *scenarios.Quantity, u units.System) input {
	value := strings.Replace(words.Notation(q, u), "+-", "±", 1)
	if q.Cut >= leastCut {
		value += fmt.Sprintf(" (%s %% cut off)", words.Percent(q.Cut, q.Cut/2))
	}
	return input{Path: words.OneLine(q.Path), Name: spoken(q.Path), Value: words.OneLine(value), Basis: string(q.Basis), Source: words.OneLine(q.Source)}
}

// leastCut is the smallest share cut off a distribution that is told.
const leastCut = 1e-4

// spoken turns a path into words: "engine: blow by, full throttle".
func spoken(path string) string {
	parts := strings.Split(strings.ReplaceAll(words.OneLine(path), "_", " "), ".")
	if len(parts) == 1 {
		return parts[0]
	}
	return parts[0] + ": " + strings.Join(parts[1:], ", ")
}

// lap says what the engine is taken to do.
func (v *view) lap() string {
	d := v.scenario().Duty
	car := v.page.Model.Nominal()
	switch {
	case d.Log != nil:
		return fmt.Sprintf("The lap comes from a data log, %s, cut into %d phases.", words.OneLine(d.Log.File), len(car.Lap))
	case d.Pattern != nil:
		return "The duty is a pattern of full-throttle bursts and rests, drawn at random."
	}
	var whole, full float64
	for _, p := range car.Lap {
		whole += p.Duration
		if p.Load >= 1 {
			full += p.Duration
		}
	}
	return fmt.Sprintf("The lap is as stated: %d phases, %.0f s, %.0f %% of it at full throttle.", len(car.Lap), whole, 100*full/whole)
}

// inputs lists every input but the phases of the lap, which have a table of their own.
func (v *view) inputs() []input { return inputsOf(v.scenario(), v.page.Units) }

func inputsOf(s *scenarios.Scenario, u units.System) []input {
	var list []input
	for _, q := range s.Inputs {
		if !strings.HasPrefix(q.Path, "duty.lap.") {
			list = append(list, inputOf(q, u))
		}
	}
	return list
}

// rules lists inputs left out that follow from others.
func (v *view) rules() []input { return rulesOf(v.scenario()) }

func rulesOf(s *scenarios.Scenario) []input {
	var list []input
	for _, r := range s.Rules {
		list = append(list, input{Path: words.OneLine(r.Path), Value: words.OneLine(r.Text), Source: words.OneLine(r.Source)})
	}
	return list
}

// phase is one phase of the lap in the table of inputs.
type phase struct{ Number, For, Load, Forward, Left string }

// mostPhases is how many phases of a lap are listed; those of a log are not.
const mostPhases = 60

// phases lists a stated lap.
func (v *view) phases() []phase { return phasesOf(v.scenario(), v.page.Units) }

func phasesOf(s *scenarios.Scenario, u units.System) []phase {
	var list []phase
	for i, p := range s.Duty.Lap {
		if i == mostPhases {
			break
		}
		q := func(x *scenarios.Quantity) string { return words.Notation(x, u) }
		row := phase{strconv.Itoa(i + 1), q(p.For), q(p.Load), q(p.Forward), q(p.Left)}
		if p.Stopped {
			row.Load = "stopped"
		}
		list = append(list, row)
	}
	return list
}
