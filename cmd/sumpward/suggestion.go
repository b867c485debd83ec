package main

import (
	"github.com/spf13/cobra"

	"sumpward/scenarios"
)

// meant returns the ready-made scenario that was most likely meant, or "": by
// the measure that also suggests commands.
func meant(name string) string {
	if len(name) > longestLine {
		return ""
	}
	c := &cobra.Command{SuggestionsMinimumDistance: 3}
	for _, ready := range scenarios.ReadyNames() {
		c.AddCommand(&cobra.Command{Use: ready, Run: func(*cobra.Command, []string) {}})
	}
	if list := c.SuggestionsFor(name); len(list) > 0 {
		return list[0]
	}
	return ""
}

// didYouMean is the question behind a wrong name, or "".
func didYouMean(name string) string {
	if ready := meant(name); ready != "" {
		return "\n  did you mean " + ready + "?"
	}
	return ""
}
