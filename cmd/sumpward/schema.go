package main

import (
	"github.com/spf13/cobra"

	"sumpward/scenarios"
)

func newSchemaCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of a scenario, for editors",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := a.stdout.Write(scenarios.Schema())
			return err
		},
	}
}
