package decide

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// steppedChange is a step with the changes that make it.
type steppedChange struct {
	step    Step
	value   float64
	changes []scenarios.Change
}

// stepsFor lists the steps that a layout allows.
func stepsFor(s *scenarios.Scenario, u units.System) []steppedChange {
	var list []steppedChange
	add := func(step Step, value float64, changes []scenarios.Change, err error) {
		if err == nil && len(changes) > 0 {
			list = append(list, steppedChange{step, value, changes})
		}
	}
	larger, err := largerCan(s)
	add(TwiceTheVolume, largerTimes*s.Separator.UsableVolume.Nominal(), larger, err)
	if s.Drain.Return == scenarios.EmptiedByHand {
		return list
	}
	fall, err := moreFall(s, fallStep)
	add(MoreFall, NominalFall(s)+fallStep, fall, err)
	if bore, sold := nextBore(s.Drain.Bore.Nominal(), u); sold {
		add(LargerBore, bore, []scenarios.Change{{Path: BorePath, Value: bore}}, nil)
	}
	if s.Drain.ValveOpensAt != nil {
		less, err := multiplied(s.Drain.ValveOpensAt.Distribution, valveStep)
		add(ValveOpensAtLess, valveStep*s.Drain.ValveOpensAt.Nominal(), []scenarios.Change{{Path: "drain.valve_opens_at", Value: less}}, err)
	}
	plain := s.Drain.Return == scenarios.AboveOil && s.Drain.Seal == scenarios.NoSeal
	if !plain && s.Separator.OilCollects == "after" {
		add(CollectsBefore, math.NaN(), []scenarios.Change{{Path: "separator.oil_collects", Value: "before"}}, nil)
	}
	circuit := circuitAdded(s)
	add(CircuitAdded, math.NaN(), circuit, nil)
	if !plain {
		return list
	}
	if circuitsToCan(s) == 0 { // a sealed drain leaves the gas no way in
		add(CircuitAndValve, math.NaN(), append(circuit, sealed(s, scenarios.ValveSeal)...), nil)
		return list
	}
	add(ValveFitted, math.NaN(), sealed(s, scenarios.ValveSeal), nil)
	add(TrapFitted, math.NaN(), sealed(s, scenarios.TrapSeal), nil)
	return list
}

// moreFall gives a drain more fall, m, and its stated length as much more hose.
func moreFall(s *scenarios.Scenario, by float64) ([]scenarios.Change, error) {
	d := s.Drain
	if len(d.Route) > 0 {
		height, err := moved(d.Route[0].Z.Distribution, by)
		return []scenarios.Change{{Path: "drain.route.1.z", Value: height}}, err
	}
	fall, err := moved(d.Fall.Distribution, by)
	if err != nil {
		return nil, err
	}
	changes := []scenarios.Change{{Path: fallPath, Value: fall}}
	if d.Length == nil {
		return changes, nil
	}
	length, err := moved(d.Length.Distribution, by)
	return append(changes, scenarios.Change{Path: lengthPath, Value: length}), err
}

// nextBore is the next bore of hose that is sold, m.
func nextBore(bore float64, u units.System) (next float64, sold bool) {
	for _, b := range sizesIn(u).bores {
		if b > 1.02*bore {
			return b, true
		}
	}
	return math.NaN(), false
}

// sealed fits a seal. What only a drain without one uses goes.
func sealed(s *scenarios.Scenario, seal scenarios.Seal) []scenarios.Change {
	return []scenarios.Change{{Path: "drain.seal", Value: string(seal)}, {Path: "drain.flooding_constant"}}
}

// circuitsToCan counts the breather circuits that go to the can.
func circuitsToCan(s *scenarios.Scenario) int {
	n := 0
	for _, b := range s.Breathers {
		if b.To == scenarios.ToSeparator {
			n++
		}
	}
	return n
}

// circuitAdded adds a circuit to the can where fewer than two go there: as the one
// that does, else with all defaults.
func circuitAdded(s *scenarios.Scenario) []scenarios.Change {
	if circuitsToCan(s) > 1 {
		return nil
	}
	const name = "added"
	added := fmt.Sprintf("{name: %s, to: %s}", name, scenarios.ToSeparator)
	var list []string
	for _, b := range s.Breathers {
		list = append(list, written(b))
		if b.To == scenarios.ToSeparator {
			b.Name = name
			added = written(b)
		}
	}
	return []scenarios.Change{{Path: "breathers", Value: "[" + strings.Join(append(list, added), ", ") + "]"}}
}

// written is a circuit as a scenario has it.
func written(b scenarios.Breather) string {
	return fmt.Sprintf("{name: %s, to: %s, bore: %s, length: %s, loss_coefficient: %s}", strconv.Quote(b.Name), b.To,
		b.Bore.Notation(units.Metric), b.Length.Notation(units.Metric), b.LossCoefficient.Notation(units.Metric))
}
