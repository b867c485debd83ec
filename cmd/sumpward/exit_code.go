package main

import (
	"context"
	"errors"
	"fmt"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// Exit codes.
const (
	exitDone        = 0
	exitFailed      = 1
	exitCommandLine = 3
	exitScenario    = 4
	exitRequirement = 5
	exitDepends     = 6
	exitInterrupted = 130
)

type (
	// usageError is a command line that can't be understood.
	usageError struct{ error }
	// scenarioError is a scenario that can't be read, or can't be simulated.
	scenarioError struct{ error }
	// shelfError is a shelf that can't be read.
	shelfError struct{ error }
	// seenError is a file of what was seen that can't be read.
	seenError struct{ error }
	// faultsError is a file of faults that can't be read.
	faultsError struct{ error }
	// requirementError is a requirement that was not met for sure.
	requirementError struct{ error }
	// dependsError is a requirement that depends on an input that is not measured.
	dependsError struct{ error }
	// interrupted is what was cut short by the user.
	interrupted struct{ error }
)

func (e usageError) Unwrap() error       { return e.error }
func (e scenarioError) Unwrap() error    { return e.error }
func (e shelfError) Unwrap() error       { return e.error }
func (e seenError) Unwrap() error        { return e.error }
func (e faultsError) Unwrap() error      { return e.error }
func (e requirementError) Unwrap() error { return e.error }
func (e dependsError) Unwrap() error     { return e.error }
func (e interrupted) Unwrap() error      { return e.error }

// exitCode is the one place that turns an error into an exit code.
func exitCode(err error) int {
	var (
		usage       usageError
		scenario    scenarioError
		shelf       shelfError
		seen        seenError
		faults      faultsError
		problems    scenarios.Problems
		requirement requirementError
		depends     dependsError
		cut         interrupted
	)
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &cut), errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.As(err, &usage):
		return exitCommandLine
	case errors.As(err, &scenario), errors.As(err, &shelf), errors.As(err, &seen), errors.As(err, &faults), errors.As(err, &problems):
		return exitScenario
	case errors.As(err, &requirement):
		return exitRequirement
	case errors.As(err, &depends):
		return exitDepends
	}
	return exitFailed
}

// explain puts an error on stderr.
func (a *app) explain(err error) {
	var usage usageError
	var problems scenarios.Problems
	var quantity *units.Error
	switch {
	case errors.As(err, &quantity) && quantity.Hint != "":
		a.say("%v\n  %s", err, quantity.Hint)
	case errors.As(err, &usage):
		a.say("%v\n  for help: sumpward --help, or a command with --help", err)
	case errors.As(err, &problems):
		fmt.Fprintln(a.stderr, cut(words.Plain(problems.Error())))
		what := "scenario"
		if errors.As(err, new(shelfError)) {
			what = "shelf"
		}
		if errors.As(err, new(seenError)) {
			what = "file of what was seen"
		}
		if errors.As(err, new(faultsError)) {
			what = "file of faults"
		}
		if errors.As(err, new(bookError)) {
			what = "logbook"
		}
		a.say("%s in the %s, nothing was done", counted(len(problems), "problem"), what)
	default:
		a.say("%v", err)
	}
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
