package main

import (
	"cmp"
	"errors"
	"strconv"
	"strings"

	"example.org/dray/report"
	"example.org/dray/sizing/explore"
	"github.com/spf13/cobra"
)

func (s *session) ratiosCommand() *cobra.Command {
	var flags styleFlags
	var battery, controller string
	cmd := &cobra.Command{
		Use:   "ratios CASE MOTOR",
		Short: "which total ratios suit a motor, what sets the edges, and which are on offer",
		Long: strings.Join([]string{
			"Finds the windows of total ratio (motor turns per turn of the load shaft) in which no",
			"check fails, names the check that sets each edge, and marks the ratios on offer. Where",
			"no ratio passes it shows which checks ask for different ones.",
			"MOTOR is a row of the motor catalog, row@ratio, or a rank whose motor is meant. Battery, controller, gear train and",
			"further stage are those of its best-ranked candidate.",
		}, "\n"),
		Example: "  dray ratios cart/case.yaml heron-12-27 --controller wren-2x15",
		Args:    takes("CASE", "MOTOR"),
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
			motor := args[1]
			if _, digits := strconv.Atoi(motor); digits == nil { // a rank, as everywhere else
				ranked, err := field.Find(motor)
				if err != nil {
					return explainPick(err, args[0])
				}
				motor = ranked.Motor.ID
				if ranked.Battery != nil {
					battery = cmp.Or(battery, ranked.Battery.ID)
				}
				controller = cmp.Or(controller, ranked.Controller.ID)
			}
			pick, err := explore.BestWith(field, motor, battery, controller)
			if err != nil {
				return explainPart(err, args[0])
			}
			ratios, err := explore.FindRatios(cmd.Context(), c, cat, pick.Pick)
			if err != nil {
				return err
			}
			return report.Ratios(s.stdout, field, ratios, style)
		},
	}
	flags.register(cmd, s)
	cmd.Flags().StringVar(&battery, "battery", "", "battery by its id; that of the best-ranked candidate if left out")
	cmd.Flags().StringVar(&controller, "controller", "", "controller by its id; that of the best-ranked candidate if left out")
	return cmd
}

// explainPart turns a part that no candidate has into a message with the way out.
func explainPart(err error, file string) error {
	var none *explore.NoSuchPart
	if !errors.As(err, &none) {
		return err
	}
	wrong := wrongInput("no candidate of %s has the %s %q", file, none.Kind, none.ID)
	if near := nearest(none.ID, none.Known); near != "" {
		wrong.hint("did you mean %q?", near)
	} else if len(none.Known) <= 12 {
		wrong.hint("there are %s", strings.Join(none.Known, ", "))
	}
	return wrong.hint("dray rank %s lists them all", file)
}
