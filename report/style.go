// Package report turns one result of the engine into its renderings: tables
// for a terminal, Markdown, CSV and JSON. A renderer converts units, rounds
// and arranges; it never computes physics.
package report

import (
	"fmt"
	"io"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// Format is one kind of rendering.
type Format string

// The formats. Table and MD are for people: three significant digits and
// display units. JSON and CSV are for programs: full precision, SI.
const (
	Table Format = "table"
	JSON  Format = "json"
	CSV   Format = "csv"
	MD    Format = "md"
)

// Formats lists the formats in the order help texts name them.
func Formats() []Format { return []Format{Table, JSON, CSV, MD} }

// Bounds and defaults of Style.
const (
	defaultWidth = 80
	leastWidth   = 60 // a narrower terminal wraps on its own
	wideFrom     = 120
)

// Style says how an answer is to look. The zero value is a plain table of 80
// columns with every candidate.
type Style struct {
	Format  Format           // empty is Table
	Width   int              // columns of a table; 0 is 80, below 60 counts as 60
	Colour  bool             // verdict words in colour; only in a table
	Display quantity.Display // units of tables and Markdown; JSON and CSV stay SI
	Top     int              // passing candidates a table shows, and half as many others; 0 shows all
}

func (s Style) width() int {
	switch {
	case s.Width == 0:
		return defaultWidth
	case s.Width < leastWidth:
		return leastWidth
	default:
		return s.Width
	}
}

// Rank writes the whole field in the style's format. It returns the writer's
// error, or an error that names an unknown format.
func Rank(w io.Writer, f *sizing.Field, s Style) error {
	switch s.Format {
	case JSON:
		return writeJSON(w, fieldJSON(f))
	case CSV:
		return rankCSV(w, f)
	case MD:
		s.Top = 0
		s.Width = 0
		return writeMarkdown(w, rankDocument(f, s))
	case Table, "":
		return writeText(w, rankDocument(f, s), s)
	default:
		return unknownFormat(s.Format)
	}
}

// Check writes one candidate in full. cand.Detail may be nil; what only the
// detail holds is then left out.
func Check(w io.Writer, f *sizing.Field, cand *sizing.Candidate, s Style) error {
	switch s.Format {
	case JSON:
		return writeJSON(w, checkJSON(f, cand))
	case CSV:
		return checkCSV(w, cand)
	case MD:
		s.Width = 0
		return writeMarkdown(w, checkDocument(f, cand, s))
	case Table, "":
		return writeText(w, checkDocument(f, cand, s), s)
	default:
		return unknownFormat(s.Format)
	}
}

func unknownFormat(f Format) error {
	return fmt.Errorf("unknown format %q, want one of %v", string(f), Formats())
}
