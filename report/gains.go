package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// gains puts to words what to change first.
type gains struct {
	*decide.Gains
	scenario *scenarios.Scenario
	units    units.System
}

// table lists the layout as it is and each step, what brings most first.
func (g gains) table() *table {
	drains := g.scenario.Drain.Return != scenarios.EmptiedByHand
	t := &table{
		heading: "What to change first: full throttle in hand from empty, at nominal values, without sampling (never: not within " +
			words.Show(sim.HandHorizon, units.Time, g.units) + ")",
		head:  []string{"one change at a time"},
		whole: 1,
	}
	if drains {
		t.head = append(t.head, "oil stands\nafter", "gained")
	}
	t.head = append(t.head, "goes over\nafter", "gained")
	if drains {
		t.head = append(t.head, "on laps:\nheld, backs\nup after")
	}
	sealed := drains && !math.IsNaN(g.mostMargin())
	if sealed {
		t.head = append(t.head, words.FineLengths(g.units).Headed("margin"))
	}
	row := func(name string, h decide.InHand, stand, over string) {
		cells := []string{name}
		if drains {
			cells = append(cells, g.time(h.ToStand), stand)
		}
		cells = append(cells, g.time(h.ToOver), over)
		if drains {
			cells = append(cells, g.held(h)+"\n"+g.time(h.BacksUpAfter))
		}
		if sealed {
			cells = append(cells, words.FineLengths(g.units).Text(h.Margin))
		}
		t.add(cells...)
	}
	row("as it is", g.Now, words.None, words.None)
	for _, s := range g.Steps {
		row(g.step(s), s.InHand, g.gained(s.StandLater), g.gained(s.OverLater))
	}
	t.words = []int{0}
	return t
}

// held writes the share of a lap in which the drain is held, never a bare 0 %.
func (g gains) held(h decide.InHand) string {
	switch {
	case h.HeldShare == 0:
		return "not held"
	case h.HeldShare < 0.005:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*h.HeldShare)
}

// lessHeld is from how much less of a lap, and fillLess from how much less of the can,
// on a step is said to help on laps. Chosen, no published source.
const lessHeld, fillLess = 0.05, 0.05

// onLaps says what full throttle on end doesn't show, and which steps help on laps
// without gaining any; empty without a drain.
func (g gains) onLaps() string {
	if math.IsNaN(g.Now.BacksUpAfter) {
		return ""
	}
	text := "Full throttle on end is blind to what drains at part load. On laps as the scenario has them, oil settled, at nominal values: the share of a lap in which the drain is held, " +
		"and when it backs up from empty (never: not within three hours)."
	var helps []string
	for _, s := range g.Steps {
		if math.Abs(s.StandLater) >= 0.5 {
			continue
		}
		switch {
		case s.BacksUpAfter > g.Now.BacksUpAfter:
			helps = append(helps, fmt.Sprintf("%s (backs up after: %s instead of %s)", g.step(s), g.time(s.BacksUpAfter), g.time(g.Now.BacksUpAfter)))
		case s.HeldShare <= g.Now.HeldShare-lessHeld:
			helps = append(helps, fmt.Sprintf("%s (held: %s instead of %s)", g.step(s), g.held(s.InHand), g.held(g.Now)))
		case s.PeakFill <= g.Now.PeakFill-fillLess:
			helps = append(helps, fmt.Sprintf("%s (can filled to %s at most instead of %s)", g.step(s), fillText(s.PeakFill), fillText(g.Now.PeakFill)))
		}
	}
	if len(helps) > 0 {
		text += fmt.Sprintf(" No full throttle in hand is gained by this, yet it helps on laps: %s.", strings.Join(helps, "; "))
	}
	return text + " How often it backs up with all that is uncertain, size and vary tell."
}

// mostMargin is the largest margin; NaN where none has one.
func (g gains) mostMargin() float64 {
	most := g.Now.Margin
	for _, s := range g.Steps {
		if math.IsNaN(most) || s.Margin > most {
			most = s.Margin
		}
	}
	return most
}

// step names a step with the size that it comes to.
func (g gains) step(s decide.Gain) string {
	size := func(d units.Dimension) string { return words.Show(s.Value, d, g.units) }
	switch s.Step {
	case decide.MoreFall:
		return fmt.Sprintf("%s more fall (%s)", words.Show(s.Value-decide.NominalFall(g.scenario), units.Length, g.units), size(units.Length))
	case decide.TwiceTheVolume:
		return "twice the volume (" + size(units.Volume) + ")"
	case decide.LargerBore:
		return "next larger hose (" + size(units.Length) + ")"
	case decide.ValveFitted:
		return "a valve in the drain"
	case decide.TrapFitted:
		return "a trap in the drain"
	case decide.CircuitAdded:
		for _, b := range g.scenario.Breathers {
			if b.To == scenarios.ToSeparator {
				return "a second breather circuit to the can"
			}
		}
		return "a breather circuit to the can"
	case decide.CircuitAndValve:
		return "a breather circuit to the can, and a valve in the drain"
	case decide.CollectsBefore:
		return "a can that collects ahead of its element"
	case decide.ValveOpensAtLess:
		return "a valve that opens at " + words.ColumnOf(units.Pressure, g.units).WithUnit(s.Value)
	}
	return string(s.Step)
}

func (g gains) time(seconds float64) string {
	switch {
	case math.IsNaN(seconds):
		return words.None
	case math.IsInf(seconds, 1):
		return "never"
	}
	return words.Show(seconds, units.Time, g.units)
}

func (g gains) gained(seconds float64) string {
	switch {
	case math.IsNaN(seconds):
		return words.None
	case math.IsInf(seconds, 1):
		return "for good"
	case math.IsInf(seconds, -1):
		return "all lost"
	case math.Abs(seconds) < 0.5:
		return "none"
	case seconds < 0:
		return "-" + words.Show(-seconds, units.Time, g.units)
	}
	return "+" + words.Show(seconds, units.Time, g.units)
}

// gainJSON is one step for programs; null is never, or does not apply.
type gainJSON struct {
	Step       string `json:"step"`
	Value      number `json:"value"` // SI
	ToStand    number `json:"until_oil_stands_s"`
	StandNever bool   `json:"never_stands"`
	ToOver     number `json:"until_it_goes_over_s"`
	OverNever  bool   `json:"never_goes_over"`
	Margin     number `json:"margin_m"`
	StandLater number `json:"stands_later_s"`
	OverLater  number `json:"goes_over_later_s"`

	HeldShare    number `json:"held_share"` // on laps, oil settled
	PeakFill     number `json:"peak_fill"`
	BacksUpAfter number `json:"backs_up_after_s"`
	BacksUpNever bool   `json:"never_backs_up"` // not within three hours of laps
}

func gainsOf(g *decide.Gains) []gainJSON {
	list := []gainJSON{}
	if g == nil {
		return list
	}
	for _, s := range g.Steps {
		list = append(list, gainJSON{
			string(s.Step), number(s.Value), number(s.ToStand), math.IsInf(s.ToStand, 1), number(s.ToOver), math.IsInf(s.ToOver, 1),
			number(s.Margin), number(s.StandLater), number(s.OverLater),
			number(s.HeldShare), number(s.PeakFill), number(s.BacksUpAfter), math.IsInf(s.BacksUpAfter, 1),
		})
	}
	return list
}
