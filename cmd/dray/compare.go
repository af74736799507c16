package main

import (
	"slices"

	"example.org/dray/report"
	"example.org/dray/sizing"
	"github.com/spf13/cobra"
)

// mostCompared bounds the picks side by side; more would not be read.
const mostCompared = 12

func (s *session) compareCommand() *cobra.Command {
	var flags styleFlags
	cmd := &cobra.Command{
		Use:     "compare CASE PICK PICK…",
		Short:   "put picks side by side, only what differs",
		Long:    "Puts two or more candidates side by side and shows only what differs between them.\nEach PICK is an id, or a rank in digits.",
		Example: "  dray compare cart/case.yaml 1 2 3",
		Args:    takes("CASE", "PICK", "PICK…"),
		RunE: func(cmd *cobra.Command, args []string) error {
			style, err := flags.style(s.screen)
			if err != nil {
				return err
			}
			if len(args)-1 > mostCompared {
				return wrongInput("compare takes at most %d picks, and %d are given", mostCompared, len(args)-1).hint("dray rank --format csv holds all candidates, for a spreadsheet")
			}
			c, cat, err := s.load(args[0])
			if err != nil {
				return err
			}
			field, err := s.rank(cmd.Context(), c, cat)
			if err != nil {
				return err
			}
			judge, err := sizing.NewJudge(c)
			if err != nil {
				return err
			}
			var picks []*sizing.Candidate
			for _, name := range args[1:] {
				pick, err := field.Find(name)
				if err != nil {
					return explainPick(err, args[0])
				}
				if slices.Contains(picks, pick) {
					return wrongInput("%q is the candidate %s, which is compared already", name, pick.ID).hint("name each candidate once, by id or by rank")
				}
				judge.Detail(pick)
				picks = append(picks, pick)
			}
			return report.Compare(s.stdout, field, picks, style)
		},
	}
	flags.register(cmd, s)
	return cmd
}
