package main

import (
	"errors"
	"fmt"
	"strings"

	"example.org/dray/report"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explore"
	"github.com/spf13/cobra"
)

func (s *session) checkCommand() *cobra.Command {
	var flags styleFlags
	cmd := &cobra.Command{
		Use:     "check CASE PICK",
		Short:   "show one candidate in full: legs, checks, current path, jam, firmware limits",
		Long:    "Shows one candidate in full. PICK is its id, or its rank in digits.\nExit code 1 when it fails or cannot be judged.",
		Example: "  dray check cart/case.yaml 1 --units metric",
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
			if pick.Detail.Reasons, err = explore.WhyNot(cmd.Context(), field, pick); err != nil {
				return err
			}
			if err := report.Check(s.stdout, field, pick, style); err != nil {
				return err
			}
			if pick.Verdict > sizing.Tight {
				return verdictError{}
			}
			return nil
		},
	}
	flags.register(cmd, s)
	return cmd
}

// explainPick turns a pick that does not exist into a message with the way out.
func explainPick(err error, file string) error {
	var none *sizing.NoSuchPick
	if !errors.As(err, &none) {
		return err
	}
	wrong := wrongInput("no candidate %q in %s", none.Pick, file)
	if len(none.Nearest) > 0 {
		quoted := make([]string, len(none.Nearest))
		for i, id := range none.Nearest {
			quoted[i] = fmt.Sprintf("%q", id)
		}
		wrong.hint("the nearest are %s", strings.Join(quoted, ", "))
	}
	return wrong.hint("dray rank %s lists them all", file)
}
