package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"

	"example.org/dray/catalog"
	"github.com/spf13/cobra"
)

func (s *session) lintCommand() *cobra.Command {
	var flags styleFlags
	cmd := &cobra.Command{
		Use:   "lint FILE…",
		Short: "say what is wrong, missing or impossible in cases and catalogs",
		Long: "Reads cases (.yaml, with their catalogs) and catalogs (.csv, the sort seen from the header) and prints\n" +
			"what is odd about them. Exit code 1 when a row contradicts physics, 2 when a file cannot be used.",
		Example: "  dray lint cart/case.yaml\n  dray lint motors.csv batteries.csv",
		Args:    takes("FILE…"),
		RunE: func(_ *cobra.Command, args []string) error {
			if flags.format != "table" && flags.format != "json" {
				return wrongInput("lint prints table or json, not %q", flags.format)
			}
			l := linter{session: s}
			for _, path := range args {
				l.file(path)
			}
			return l.conclude(flags.format == "json")
		},
	}
	cmd.Flags().StringVar(&flags.format, "format", "table", "how to print: table or json")
	cmd.Flags().BoolVar(&s.quiet, "quiet", false, "no notes on stderr")
	return cmd
}

// linter gathers what is found in all files of a command line.
type linter struct {
	*session
	found []catalog.Finding
	read  int // files looked at, catalogs of a case counted in
}

func (l *linter) file(path string) {
	if strings.EqualFold(filepath.Ext(path), ".csv") {
		l.table(path)
		return
	}
	l.caseFile(path)
}

func (l *linter) caseFile(path string) {
	c, files, err := l.open(path)
	l.read++
	if err != nil {
		l.found = append(l.found, catalog.Finding{Severity: catalog.Fault, Text: err.Error()})
	}
	if c != nil {
		for _, w := range c.Warnings {
			l.found = append(l.found, catalog.Finding{File: path, Line: w.Line, Severity: catalog.Warning, Text: w.Text})
		}
	}
	if files != nil {
		l.read += len(files.Motors) + len(files.GearTrains) + len(files.Batteries) + len(files.Controllers)
		l.found = append(l.found, catalog.Lint(*files)...)
	}
}

// table lints one catalog by itself.
func (l *linter) table(path string) {
	data, err := readFile(path)
	l.read++
	if err != nil {
		l.found = append(l.found, catalog.Finding{Severity: catalog.Fault, Text: err.Error()})
		return
	}
	one := []catalog.CSV{{Name: path, Data: data}}
	files := catalog.Files{Open: confined(filepath.Dir(path))}
	switch catalog.TableOf(data, nil) {
	case "motors":
		files.Motors = one
	case "gear trains":
		files.GearTrains = one
	case "batteries":
		files.Batteries = one
	case "controllers":
		files.Controllers = one
	default:
		l.found = append(l.found, catalog.Finding{File: path, Line: 1, Severity: catalog.Fault,
			Text: "the header is that of no catalog; want columns of motors, gear trains, batteries or controllers, id among them"})
		return
	}
	l.found = append(l.found, catalog.Lint(files)...)
}

// conclude prints the findings. Where a file cannot be used everything goes to
// stderr, as for every other command.
func (l *linter) conclude(asJSON bool) error {
	worst := catalog.Note
	for _, f := range l.found {
		worst = max(worst, f.Severity)
	}
	if worst == catalog.Fault {
		var lines []string
		for _, f := range l.found {
			if f.Severity == catalog.Fault {
				lines = append(lines, f.String())
			} else {
				l.note(f.String())
			}
		}
		return &inputError{text: strings.Join(lines, "\n")}
	}
	if asJSON {
		if err := l.json(); err != nil {
			return err
		}
	} else {
		l.text()
	}
	if worst == catalog.Impossible {
		return verdictError{}
	}
	return nil
}

func (l *linter) text() {
	if len(l.found) == 0 {
		fmt.Fprintf(l.stdout, "nothing to say about %s\n", plural(l.read, "file"))
	}
	for _, f := range l.found {
		place := f.Place()
		if place != "" {
			place += ": "
		}
		fmt.Fprintf(l.stdout, "%s%s: %s\n", place, f.Severity, strings.TrimPrefix(f.String(), place))
	}
}

// json prints the findings for programs.
func (l *linter) json() error {
	type finding struct {
		File     string `json:"file"`
		Line     int    `json:"line"`
		Column   int    `json:"column"`
		Severity string `json:"severity"`
		ID       string `json:"id"`
		Field    string `json:"field"`
		Read     string `json:"read"`
		Want     string `json:"want"`
		Text     string `json:"text"`
	}
	list := make([]finding, len(l.found))
	for i, f := range l.found {
		list[i] = finding{f.File, f.Line, f.Column, f.Severity.String(), f.ID, f.Field, f.Read, f.Want, f.Text}
	}
	e := json.NewEncoder(l.stdout)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(map[string]any{"findings": list})
}
