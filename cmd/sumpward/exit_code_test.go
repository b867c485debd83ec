package main

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/scenarios"
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
		130: {interrupted{plain}, interrupted{usageError{plain}}, fmt.Errorf("wrapped: %w", context.Canceled)},
	} {
		for _, err := range errs {
			assert.Equal(t, code, exitCode(err), "%#v", err)
		}
	}
}
