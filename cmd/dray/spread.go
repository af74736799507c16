package main

import (
	"fmt"
	"strings"

	"example.org/dray/report"
	"example.org/dray/sizing/explore"
	"github.com/spf13/cobra"
)

func (s *session) spreadCommand() *cobra.Command {
	var flags styleFlags
	var samples int
	var seed uint64
	cmd := &cobra.Command{
		Use:   "spread CASE [PICK]",
		Short: "draw every figure within its tolerance: who still passes, who stays first, what matters most",
		Long: strings.Join([]string{
			"Draws every toleranced figure of the case and its catalogs from a Latin hypercube",
			"and evaluates the candidates in every sample: the share that passes, the chance to",
			"stay first, the 5 to 95 % band of each check, and what matters most. Tolerances are",
			"those the case states (mass: 42 kg ± 3 kg) or follow from each figure's basis.",
			"With PICK (an id, or a rank in digits) one candidate is told about in full.",
			"Interrupted (Ctrl-C) it prints what it has, says that it is partial, and exits 0.",
		}, "\n"),
		Example: "  dray spread cart/case.yaml\n  dray spread cart/case.yaml 1 --samples 2000 --seed 7",
		Args:    takesOneOrTwo("CASE", "PICK"),
		RunE: func(cmd *cobra.Command, args []string) error {
			style, err := flags.style(s.screen)
			if err != nil {
				return err
			}
			if samples < 1 || samples > explore.MostSamples {
				return wrongInput("--samples is %d, want 1 to %d", samples, explore.MostSamples).hint("%d is a good start", explore.SpreadSamples)
			}
			c, cat, err := s.load(args[0])
			if err != nil {
				return err
			}
			bar := s.newProgress().of("samples")
			o := explore.SpreadOptions{Samples: samples, Seed: seed, Progress: bar.callback()}
			if len(args) == 2 {
				o.Pick = args[1]
			}
			result, err := explore.Spread(cmd.Context(), c, cat, o)
			bar.end()
			if err != nil {
				return explainPick(err, args[0])
			}
			if result.Partial {
				s.note(fmt.Sprintf("interrupted: the answer is partial, from %d of %d samples", result.Done, result.Samples))
			}
			return report.Spread(s.stdout, result, style)
		},
	}
	flags.register(cmd, s)
	cmd.Flags().IntVar(&samples, "samples", explore.SpreadSamples, "how many times every figure is drawn")
	cmd.Flags().Uint64Var(&seed, "seed", 1, "seed of the draws; the same seed gives the same answer")
	cmd.Flags().BoolVar(&flags.all, "all", false, "show every candidate in a table, not the first 20")
	return cmd
}

// takesOneOrTwo makes a rule for a required argument and an optional one.
func takesOneOrTwo(first, second string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) >= 1 && len(args) <= 2 {
			return nil
		}
		if len(args) == 0 {
			return takes(first)(cmd, args)
		}
		return takes(first, second)(cmd, args)
	}
}
