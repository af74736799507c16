package main

import (
	"strings"

	"example.org/dray/report"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explain"
	"github.com/spf13/cobra"
)

func (s *session) explainCommand() *cobra.Command {
	var flags styleFlags
	var leg string
	cmd := &cobra.Command{
		Use:   "explain CASE PICK",
		Short: "write the sizing of one candidate out by hand, step by step",
		Long: "Writes the sizing of one candidate out like a worked example: each step with its formula in\n" +
			"symbols, then with numbers and units, then the result, so that a calculator can follow it.\n" +
			"PICK is an id, or a rank in digits. The example is in SI; --units does not change it.",
		Example: "  dray explain cart/case.yaml 1\n  dray explain cart/case.yaml 1 --format md > sizing.md",
		Args:    takes("CASE", "PICK"),
		RunE: func(cmd *cobra.Command, args []string) error {
			style, err := flags.style(s.screen)
			if err != nil {
				return err
			}
			c, cat, err := s.load(args[0])
			if err != nil {
				return err
			}
			field, pick, err := sizing.Examine(cmd.Context(), c, cat, args[1])
			if err != nil {
				return explainPick(err, args[0])
			}
			at, err := legNamed(pick, leg)
			if err != nil {
				return err
			}
			example, err := explain.ExplainLeg(field, pick, at)
			if err != nil {
				return wrongInput("%v", err).hint("without --leg the leg that governs is explained")
			}
			return report.Explain(s.stdout, example, style)
		},
	}
	flags.register(cmd, s)
	cmd.Flags().StringVar(&leg, "leg", "", "name of the leg to work through; without it the one that governs")
	return cmd
}

// legNamed is the index of a leg; −1 for no name.
func legNamed(pick *sizing.Candidate, name string) (int, error) {
	if name == "" {
		return -1, nil
	}
	var names []string
	for i := range pick.Legs {
		if pick.Legs[i].Name == name {
			return i, nil
		}
		names = append(names, pick.Legs[i].Name)
	}
	wrong := wrongInput("no leg %q", name)
	if near := nearest(name, names); near != "" {
		return 0, wrong.hint("did you mean %q?", near)
	}
	return 0, wrong.hint("the legs are %s", strings.Join(names, ", "))
}
