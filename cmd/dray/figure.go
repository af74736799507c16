package main

import (
	"errors"
	"io"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/report/figures"
	"example.org/dray/report/review"
	"example.org/dray/sizing/explore"
	"github.com/spf13/cobra"
)

func (s *session) figureCommand() *cobra.Command {
	var out, units string
	cmd := &cobra.Command{
		Use:   "figure CASE PICK NAME -o FILE",
		Short: "draw one figure of the design review, .svg or .png",
		Long: "Draws one figure. PICK is a candidate's id, or its rank in digits. NAME is one of:\n  " +
			strings.Join(figures.Names(), "\n  ") + "\nWhat it shows is said on stderr.",
		Example: "  dray figure cart/case.yaml 1 envelope -o envelope.svg",
		Args:    takes("CASE", "PICK", "NAME"),
		RunE: func(cmd *cobra.Command, args []string) error {
			display, ok := quantity.ParseDisplay(units)
			if !ok {
				return wrongInput("--units %q is not known", units).hint("the units are si, metric, us")
			}
			kind, err := ending(out, "-o figure.svg", ".svg", ".png")
			if err != nil {
				return err
			}
			if !named(args[2]) {
				return wrongInput("no figure is called %q", args[2]).hint("the figures are %s", strings.Join(figures.Names(), ", "))
			}
			c, cat, err := s.load(args[0])
			if err != nil {
				return err
			}
			field, k, err := s.examine(cmd.Context(), c, cat, args[0], args[1])
			if err != nil {
				return err
			}
			source, err := figures.Gather(field, k, display)
			if err != nil {
				return err
			}
			if args[2] == "ratio-window" {
				r, err := explore.FindRatios(cmd.Context(), c, cat, k.Pick)
				if err != nil {
					return err
				}
				source.Window = review.WindowOf(r)
			}
			f, err := source.Make(args[2])
			var missing *figures.Missing
			if errors.As(err, &missing) {
				return wrongInput("%s cannot be drawn for %s: %s", missing.Name, k.ID, missing.Why)
			} else if err != nil {
				return err
			}
			s.note(f.Finding)
			return s.place(out, func(w io.Writer) error {
				if kind == ".png" {
					return f.PNG(w)
				}
				return f.SVG(w)
			})
		},
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "file to write, .svg or .png")
	cmd.Flags().StringVar(&units, "units", "si", "units of torques: si, metric or us; shaft speeds are always rpm")
	cmd.Flags().BoolVar(&s.quiet, "quiet", false, "no progress and no notes on stderr")
	return cmd
}

func named(name string) bool {
	for _, n := range figures.Names() {
		if n == name {
			return true
		}
	}
	return false
}
