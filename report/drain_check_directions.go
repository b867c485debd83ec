package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// direction is which way the oil is thrown in a phase.
type direction int

const (
	leftTurn direction = iota
	rightTurn
	braking
	fullThrottle
	otherwise
	directions
)

var directionNames = [directions]string{"left turns", "right turns", "braking", "full throttle", "the rest"}

// leastThrown is from which acceleration a phase counts as a turn or as braking:
// as for the time that a lap turns to either side; our choice.
const leastThrown = 0.3 * sim.StandardGravity

// directionOf says which way a phase goes: a turn where it is pushed more sideways
// than along, else braking.
func directionOf(p sim.Phase) direction {
	switch {
	case math.Abs(p.Left) > leastThrown && math.Abs(p.Left) >= math.Abs(p.Forward):
		if p.Left > 0 {
			return leftTurn
		}
		return rightTurn
	case p.Forward < -leastThrown:
		return braking
	case p.Load >= throttleAll && !p.Stopped:
		return fullThrottle
	}
	return otherwise
}

// directed sums up the phases of one direction.
type directed struct {
	direction
	share, held float64        // of the lap's time; of its own
	worst       sim.PhaseCheck // with the least in hand
	hardest     sim.PhaseCheck // pushed most sideways
}

// directed sums up the phases by direction, those that the lap has.
func (r DrainCheck) directed() []directed {
	var all [directions]directed
	total := 0.0
	for i := range r.Check.Phases {
		p := &r.Check.Phases[i]
		d := &all[directionOf(p.Phase)]
		if d.share == 0 || r.lack(*p) < r.lack(d.worst) {
			d.worst = *p
		}
		if d.share == 0 || math.Abs(p.Phase.Left) > math.Abs(d.hardest.Phase.Left) {
			d.hardest = *p
		}
		d.share += p.Phase.Duration
		total += p.Phase.Duration
		if p.Held {
			d.held += p.Phase.Duration
		}
	}
	var list []directed
	for i := range all {
		d := all[i]
		if d.share == 0 {
			continue
		}
		d.direction, d.held, d.share = direction(i), d.held/d.share, d.share/total
		list = append(list, d)
	}
	return list
}

// lack is the smaller the worse a phase is: by what the drain has in hand, or where
// there is none by what the can holds.
func (r DrainCheck) lack(p sim.PhaseCheck) float64 {
	if r.Check.Kind == sim.NoDrain {
		return p.Usable
	}
	return tightness(p)
}

// byDirection is the table of the worst phase of each direction: how two routings
// of the same hose, or two places of a can's outlet, differ.
func (r DrainCheck) byDirection() *table {
	kind := r.Check.Kind
	share, g := words.ColumnOf(units.Fraction, r.Units), words.ColumnOf(units.Acceleration, r.Units)
	mm, margin, volume := words.ColumnOf(units.Length, r.Units), words.FineLengths(r.Units), words.ColumnOf(units.Volume, r.Units)
	t := &table{
		heading: "By direction: the worst phase of each",
		head:    []string{"", share.Headed("of the lap"), "phase", g.Headed("forward"), g.Headed("left")}, words: []int{0},
	}
	switch kind {
	case sim.NoDrain:
		t.head = append(t.head, volume.Headed("usable"))
	case sim.Unsealed:
		t.head = append(t.head, mm.Headed("fall"), share.Headed("gas up, of limit"), share.Headed("held"))
	default:
		t.head = append(t.head, mm.Headed("fall"), margin.Headed("margin"), share.Headed("held"))
	}
	for _, d := range r.directed() {
		w := d.worst
		cells := []string{directionNames[d.direction], share.Text(d.share), fmt.Sprint(w.Index + 1), g.Text(w.Phase.Forward), g.Text(w.Phase.Left)}
		switch kind {
		case sim.NoDrain:
			cells = append(cells, volume.Text(w.Usable))
		case sim.Unsealed:
			cells = append(cells, mm.Text(w.Fall), share.Text(w.GasUp/w.GasLimit), share.Text(d.held))
		default:
			cells = append(cells, mm.Text(w.Fall), margin.Text(w.Margin), share.Text(d.held))
		}
		t.add(cells...)
	}
	return t
}

// change is what turning does to the fall in the hardest turn of a direction,
// against a straight, m.
func (r DrainCheck) change(d directed) float64 { return d.hardest.Fall - r.Check.FullThrottle.Fall }

// leastChange is by how much a turn changes the fall for it to be told, m: less is
// not seen (our choice).
const leastChange = 0.5e-3

// sideways says what turning does to the fall, and to which side the hose leads.
func (r DrainCheck) sideways() string {
	if r.Check.Kind == sim.NoDrain {
		return ""
	}
	var turns []string
	sides := map[string]bool{}
	for _, d := range r.directed() {
		if d.direction > rightTurn {
			continue
		}
		text, to := r.turn(d)
		turns = append(turns, text)
		if to != "" {
			sides[to] = true
		}
	}
	switch {
	case len(turns) == 0:
		return ""
	case len(sides) == 0 && len(r.Scenario.Drain.Route) == 0:
		return "not known: without a route the hose is taken to lead to no side, and turning changes nothing"
	case len(sides) == 0 || !r.leadsSideways():
		return "the hose leads to no side: turning changes nothing"
	}
	to := "both sides"
	switch {
	case len(sides) > 1:
	case sides["left"]:
		to = "the left"
	default:
		to = "the right"
	}
	return "the hose leads to " + to + ": " + strings.Join(turns, ", ")
}

// turn says what the hardest turn of a direction does to the fall, and to which
// side a hose leads that fares so; empty where nothing is seen.
func (r DrainCheck) turn(d directed) (text, to string) {
	here, there := "left", "right"
	if d.direction == rightTurn {
		here, there = there, here
	}
	change := r.change(d)
	if math.Abs(change) < leastChange {
		return here + " turns change nothing", ""
	}
	by := words.ColumnOf(units.Length, r.Units).WithUnit(math.Abs(change))
	where := fmt.Sprintf("at %.2g g (phase %d)", math.Abs(d.hardest.Phase.Left)/sim.StandardGravity, d.hardest.Index+1)
	if change < 0 {
		return fmt.Sprintf("%s turns take %s of its fall %s", here, by, where), here
	}
	return fmt.Sprintf("%s turns add %s to its fall %s", here, by, where), there
}

// leadsSideways reports whether the route, or the oil's surface that it ends at, is
// anywhere beside where it begins.
func (r DrainCheck) leadsSideways() bool {
	d := &r.Scenario.Drain
	points := d.Route
	if d.Sump != nil && d.Sump.OilSurface != nil {
		points = append(points[:len(points):len(points)], *d.Sump.OilSurface)
	}
	for _, p := range points {
		if math.Abs(p.Y.Nominal()-points[0].Y.Nominal()) >= leastChange {
			return true
		}
	}
	return false
}
