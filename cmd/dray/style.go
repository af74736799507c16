package main

import (
	"io"
	"os"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/report"
	"github.com/spf13/cobra"
	"golang.org/x/term"
)

// shownPassing is how many passing candidates a table shows without --all.
const shownPassing = 20

// styleFlags are the flags of every command that prints an answer.
type styleFlags struct {
	format, units string
	all, noColour bool
	width         int
}

func (f *styleFlags) register(cmd *cobra.Command, s *session) {
	cmd.Flags().StringVar(&f.format, "format", "table", "how to print: table, json, csv or md")
	cmd.Flags().StringVar(&f.units, "units", "si", "units of table and md: si, metric or us; shaft speeds are always rpm")
	cmd.Flags().BoolVar(&f.noColour, "no-color", false, "no colour, even on a terminal (as does NO_COLOR)")
	cmd.Flags().IntVar(&f.width, "width", 0, "columns of a table; 0 is the terminal's, or 80 where there is none")
	cmd.Flags().BoolVar(&s.quiet, "quiet", false, "no progress and no notes on stderr")
}

// style reads the flags for the screen the answer goes to.
func (f *styleFlags) style(screen io.Writer) (report.Style, error) {
	display, ok := quantity.ParseDisplay(f.units)
	if !ok {
		return report.Style{}, wrongInput("--units %q is not known", f.units).hint("the units are si, metric, us")
	}
	format := report.Format("")
	var names []string
	for _, known := range report.Formats() {
		names = append(names, string(known))
		if f.format == string(known) {
			format = known
		}
	}
	if format == "" {
		return report.Style{}, wrongInput("--format %q is not known", f.format).hint("the formats are %s", strings.Join(names, ", "))
	}
	if f.width < 0 || f.width > 10000 {
		return report.Style{}, wrongInput("--width %d makes no page", f.width).hint("0 is the terminal's width; 60 and up read well")
	}
	s := report.Style{Format: format, Display: display, Width: f.width, Top: shownPassing}
	if f.all {
		s.Top = 0
	}
	file, isFile := screen.(*os.File)
	if isFile && term.IsTerminal(int(file.Fd())) {
		s.Colour = !f.noColour && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
		if columns, _, err := term.GetSize(int(file.Fd())); err == nil && f.width == 0 {
			s.Width = columns
		}
	}
	return s, nil
}
