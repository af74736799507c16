package main

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func (s *session) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "print the version",
		Example: "  dray version",
		Args:    takes(),
		RunE: func(*cobra.Command, []string) error {
			fmt.Fprintln(s.stdout, version())
			return nil
		},
	}
}

// version reads what the build recorded: module version, revision, toolchain.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "dray (built without version information)"
	}
	text := "dray"
	if v := info.Main.Version; v != "" {
		text += " " + v
	}
	revision, dirty := "", ""
	for _, setting := range info.Settings {
		switch {
		case setting.Key == "vcs.revision":
			revision = setting.Value[:min(12, len(setting.Value))]
		case setting.Key == "vcs.modified" && setting.Value == "true":
			dirty = ", changed since"
		}
	}
	if revision != "" {
		text += " (" + revision + dirty + ")"
	}
	return text + " " + info.GoVersion
}
