package main

import (
	"bytes"
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// TestInterruptLeavesNoHalfComparison stops what would take hours: there is no
// report of a part.
func TestInterruptLeavesNoHalfComparison(t *testing.T) {
	for _, args := range [][]string{
		{"compare", "--realizations", "900000000", "--variant", "larger can"},
		{"vary", "--input", "drain.fall=30..130mm:2", "--realizations", "900000000"},
	} {
		ctx, cancel := context.WithCancelCause(context.Background())
		time.AfterFunc(300*time.Millisecond, func() { cancel(errors.New("a signal")) })
		var out, messages bytes.Buffer
		a := &app{stdout: &out, stderr: &messages}
		assert.Equal(t, 130, a.execute(ctx, args), args[0])
		assert.Empty(t, out.String(), args[0])
		assert.Contains(t, messages.String(), "a signal", args[0])
	}
}

func TestFilesAreNamedApart(t *testing.T) {
	for _, x := range []struct{ files, want []string }{
		{[]string{"cars/short.yaml", "lost-circuit"}, []string{"short", "lost-circuit"}},
		{[]string{"a/car.yaml", "b/car.yaml", "c.yaml"}, []string{"a/car.yaml", "b/car.yaml", "c"}},
		{[]string{"car.yaml", "car.yaml"}, []string{"car.yaml", "car.yaml (2)"}},
		{[]string{"car.yaml", "car.yaml", "car.yaml"}, []string{"car.yaml", "car.yaml (2)", "car.yaml (3)"}},
	} {
		assert.Equal(t, x.want, fileNames(x.files))
	}
}
