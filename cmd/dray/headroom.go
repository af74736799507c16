package main

import (
	"strings"

	"example.org/dray/report"
	"example.org/dray/sizing/explore"
	"github.com/spf13/cobra"
)

func (s *session) headroomCommand() *cobra.Command {
	var flags styleFlags
	cmd := &cobra.Command{
		Use:   "headroom CASE PICK",
		Short: "how far payload, slope, speed, air and duty can rise, and what gives first",
		Long: strings.Join([]string{
			"Finds how far payload, incline, speed, acceleration, air temperature and the share in",
			"motion can rise, each alone, until the first check fails, and names that check. For a",
			"pick that fails it finds what must give for it to pass.",
			"PICK is a candidate's id, or its rank in digits.",
		}, "\n"),
		Example: "  dray headroom cart/case.yaml 1 --units us",
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
			field, err := s.rank(cmd.Context(), c, cat)
			if err != nil {
				return err
			}
			pick, err := field.Find(args[1])
			if err != nil {
				return explainPick(err, args[0])
			}
			room, err := explore.FindHeadroom(cmd.Context(), c, pick.Pick)
			if err != nil {
				return err
			}
			return report.Headroom(s.stdout, field, room, style)
		},
	}
	flags.register(cmd, s)
	return cmd
}
