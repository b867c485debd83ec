package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"sumpward/scenarios"
)

// nameSession says how readings that came to the same are told apart.
const nameSession = "where it was read again, say of which session: session: second day"

// notAgain is an error where all that was seen was learned already, and warns where some of
// it was: it would count twice.
func (a *app) notAgain(s *scenarios.Scenario, seen *scenarios.Seen) error {
	if s.Learned == nil {
		return nil
	}
	again := s.Learned.Again(seen)
	switch {
	case s.Learned.Readings == nil && s.Learned.From != "" && s.Learned.From == seenName(seen):
		a.warn([]string{fmt.Sprintf("the scenario was learned from a file named %s already, by a program that kept no marks of its readings: those that it had then count twice; learn again from the scenario as it was before", s.Learned.From)})
	case len(again) == 0:
	case len(again) == len(seen.Observations):
		return scenarioError{fmt.Errorf("the scenario was learned from all of this already, and it would count twice\n  learn from what was seen since, or from the scenario as it was before; %s", nameSession)}
	default:
		a.warn([]string{fmt.Sprintf("the scenario was learned from %d of %d readings already (%s), and they count twice: leave them out; %s", len(again), len(seen.Observations), linesOf(again), nameSession)})
	}
	return nil
}

// countedTwice warns where what weighs the faults had a part in what is known of the car.
func (a *app) countedTwice(s *scenarios.Scenario, seen *scenarios.Seen) {
	if s.Learned == nil {
		return
	}
	if again := s.Learned.Again(seen); len(again) > 0 {
		a.warn([]string{fmt.Sprintf("the scenario was learned from %d of %d readings already (%s), and they count twice: diagnose with the scenario as it was before", len(again), len(seen.Observations), linesOf(again))})
	}
}

// seenName is how a scenario names what it was learned from.
func seenName(seen *scenarios.Seen) string {
	if seen.File == "" {
		return seen.Example
	}
	return filepath.Base(seen.File)
}

// linesOf lists the lines of readings.
func linesOf(list []*scenarios.Observation) string {
	const most = 8
	lines := "line "
	if len(list) > 1 {
		lines = "lines "
	}
	var numbers []string
	for _, o := range list[:min(len(list), most)] {
		numbers = append(numbers, fmt.Sprint(o.Line))
	}
	if len(list) > most {
		numbers = append(numbers, "…")
	}
	return lines + strings.Join(numbers, ", ")
}
