package main

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func newVersionCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintln(a.stdout, version())
			return err
		},
	}
}

// version says what was built, and that scenarios of format 1 are read.
func version() string {
	built, goVersion := "(unknown)", ""
	if info, ok := debug.ReadBuildInfo(); ok {
		goVersion = ", " + info.GoVersion
		if info.Main.Version != "" {
			built = info.Main.Version
		}
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" && len(s.Value) >= 12 {
				built += " " + s.Value[:12]
			}
		}
	}
	return "sumpward " + built + goVersion + ", scenario format 1"
}
