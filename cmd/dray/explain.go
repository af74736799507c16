package main

import (
	"example.org/dray/report"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explain"
	"github.com/spf13/cobra"
)

func (s *session) explainCommand() *cobra.Command {
	var flags styleFlags
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
			example, err := explain.Explain(field, pick)
			if err != nil {
				return err
			}
			return report.Explain(s.stdout, example, style)
		},
	}
	flags.register(cmd, s)
	return cmd
}
