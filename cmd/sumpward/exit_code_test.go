package main

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

func TestExitCodes(t *testing.T) {
	plain := errors.New("x")
	problems := scenarios.Problems{{File: "f", What: "x"}}
	for code, errs := range map[int][]error{
		0:   {nil},
		1:   {plain, fmt.Errorf("wrapped: %w", plain)},
		3:   {usageError{plain}, usageError{problems}, fmt.Errorf("wrapped: %w", usageError{plain})},
		4:   {scenarioError{plain}, problems, fmt.Errorf("wrapped: %w", problems)},
		5:   {requirementError{plain}},
		6:   {dependsError{plain}},
		130: {interrupted{plain}, interrupted{usageError{plain}}, fmt.Errorf("wrapped: %w", context.Canceled)},
	} {
		for _, err := range errs {
			assert.Equal(t, code, exitCode(err), "%#v", err)
		}
	}
}

// What isn't met for sure, or can't be told, comes before what depends.
func TestJudge(t *testing.T) {
	outcomes := func(list ...report.Outcome) (results []report.RequirementResult) {
		for _, o := range list {
			results = append(results, report.RequirementResult{Outcome: o})
		}
		return results
	}
	res := &sim.Result{}
	assert.Equal(t, exitDone, exitCode(judge(res, outcomes(report.Met, report.Met), units.Metric)))
	assert.Equal(t, exitDepends, exitCode(judge(res, outcomes(report.Met, report.Depends), units.Metric)))
	assert.Equal(t, exitRequirement, exitCode(judge(res, outcomes(report.Depends, report.NotMet), units.Metric)))
	assert.Equal(t, exitRequirement, exitCode(judge(res, outcomes(report.Undecided, report.Depends), units.Metric)))
	assert.Equal(t, exitInterrupted, exitCode(judge(&sim.Result{Interrupted: true}, outcomes(report.NotMet), units.Metric)))
}
