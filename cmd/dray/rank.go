package main

import (
	"example.org/dray/report"
	"example.org/dray/sizing"
	"github.com/spf13/cobra"
)

func (s *session) rankCommand() *cobra.Command {
	var flags styleFlags
	cmd := &cobra.Command{
		Use:     "rank CASE",
		Short:   "order every candidate, and say why each rejected one is out",
		Long:    "Orders every combination of motor, gear train, battery and controller the case allows.\nExit code 1 when none passes.",
		Example: "  dray rank cart/case.yaml --format csv > cart.csv",
		Args:    takes("CASE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			style, err := flags.style(s.screen)
			if err != nil {
				return err
			}
			c, cat, err := s.load(args[0])
			if err != nil {
				return err
			}
			field, err := s.rank(cmd.Context(), c, cat)
			if err != nil {
				return err
			}
			if err := report.Rank(s.stdout, field, style); err != nil {
				return err
			}
			for i := range field.Candidates {
				if field.Candidates[i].Verdict <= sizing.Tight {
					return nil
				}
			}
			return verdictError{}
		},
	}
	flags.register(cmd, s)
	cmd.Flags().BoolVar(&flags.all, "all", false, "show every candidate in a table, not the first 20 that pass and 10 others")
	return cmd
}
