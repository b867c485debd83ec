package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/scenarios/preset"
)

// presetFlags name an engine and a use.
type presetFlags struct{ engine, use string }

func (p *presetFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&p.engine, "engine", "", "start from ranges for an engine `LAYOUT`; with --use")
	c.Flags().StringVar(&p.use, "use", "", "start from ranges for a `USE`; with --engine")
	_ = c.RegisterFlagCompletionFunc("engine", cobra.FixedCompletions(preset.EngineNames(), cobra.ShellCompDirectiveNoFileComp))
	_ = c.RegisterFlagCompletionFunc("use", cobra.FixedCompletions(preset.UseNames(), cobra.ShellCompDirectiveNoFileComp))
}

func (p *presetFlags) given(c *cobra.Command) bool {
	return c.Flags().Changed("engine") || c.Flags().Changed("use")
}

// write returns the scenario of the preset.
func (p *presetFlags) write(c *cobra.Command) ([]byte, error) {
	for _, flag := range []string{"from", "shelf"} {
		if c.Flags().Changed(flag) {
			return nil, usageError{fmt.Errorf("--engine and --use make a preset: leave --%s out", flag)}
		}
	}
	switch {
	case !c.Flags().Changed("use"):
		return nil, usageError{errors.New("--engine needs --use as well: one of " + strings.Join(preset.UseNames(), ", "))}
	case !c.Flags().Changed("engine"):
		return nil, usageError{errors.New("--use needs --engine as well: one of " + strings.Join(preset.EngineNames(), ", "))}
	}
	data, err := preset.Write(preset.Choice{Engine: p.engine, Use: p.use}, preset.Known{})
	if unknown := new(preset.UnknownName); errors.As(err, &unknown) {
		return nil, usageError{err}
	}
	return data, err
}

// presetHelp lists the names.
func presetHelp() string {
	var engines []string
	for _, e := range preset.Engines() {
		if !e.Turbo {
			engines = append(engines, e.Name)
		}
	}
	text := "With --engine and --use it is a preset: ranges with their sources, not your car.\n" +
		"Engines: " + strings.Join(engines, ", ") + ", each with turbo or without.\nUses:"
	for _, u := range preset.Uses() {
		text += fmt.Sprintf("\n  %-22s %s", u.Name, u.Line)
	}
	return text
}
