// Package review is the design review: what a person takes into the room and
// defends. Compose arranges one pick and everything around it as a Document,
// data that is the same for every rendering; HTML, Markdown and JSON write it.
// Nothing here computes a machine: it says what the engine found, in order,
// with the numbers and what they stand on.
//
// The same inputs give the same bytes: there is no clock, and a date only when
// one is given.
package review

import (
	"errors"
	"fmt"

	"example.org/dray/quantity"
	"example.org/dray/report/figures"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explain"
	"example.org/dray/sizing/explore"
)

// Inputs are what a review is made from.
type Inputs struct {
	Field   *sizing.Field
	Pick    *sizing.Candidate // belongs to Field, with its Detail
	Figures *figures.Source
	Demands []sizing.Demand

	Ratios   *explore.Ratios       // nil: not explored
	Headroom *explore.Headroom     // nil: not explored
	Spread   *explore.SpreadResult // nil: not asked for
	Rejected []Rejected            // why not the cheaper ones
	Hand     *explain.Example      // the hand calculation; nil leaves the appendix out

	Files   []File
	Version string
	Command string           // how to make this report again
	Date    string           // printed as given; empty prints none
	Display quantity.Display // of the tables
}

// File is one input file, by which the review can be repeated.
type File struct {
	Name   string
	Bytes  int
	SHA256 string // hexadecimal
}

// Rejected is a candidate that a reader would ask about, with what would save it.
type Rejected struct {
	Candidate *sizing.Candidate
	Changes   []string // smallest first
}

// Step is one step of the hand calculation: Formula, in symbols, then the same
// with numbers, then what comes out. Either may be empty.
type Step struct {
	Title   string
	Formula string
	Numbers string
	Result  string
	Note    string
}

// Document is the review arranged, not yet rendered.
type Document struct {
	Title    string
	Pick     string
	Verdict  string
	Lead     string // the verdict in one sentence
	Plate    []Fact // the title block
	Sections []Section
}

// Fact is a name and what belongs to it.
type Fact struct {
	Name string
	Cell figures.Cell
}

// Section is a numbered part of the review; an appendix has a letter.
type Section struct {
	ID       string // anchor
	Number   string
	Title    string
	NewPage  bool // starts a page when printed
	Contents []Block
}

// Kind says what a block is.
type Kind string

// The kinds of block and the fields that count.
const (
	Text    Kind = "text"    // Text
	Warning Kind = "warning" // Text, not to be overlooked
	List    Kind = "list"    // Items
	Facts   Kind = "facts"   // Facts
	Table   Kind = "table"   // Table; Verdicts marks the column of verdict words
	Picture Kind = "figure"  // Figure
	Steps   Kind = "steps"   // Steps
	Sheet   Kind = "sheet"   // Table, with blank columns to be filled in
	Sign    Kind = "sign"    // Items: who signs
	Part    Kind = "part"    // Text: a heading inside the section
)

// Block is one piece of a section.
type Block struct {
	Kind       Kind
	Text       string
	Items      []string
	Facts      []Fact
	Table      *figures.Table
	Blanks     []string // heads of the blank columns of a sheet
	BlankAfter int      // columns before the blanks
	Figure     *figures.Figure
	Steps      []Step
	Verdicts   int // column that holds verdict words, counted from 1; 0 none
}

func (s *Section) say(text string)       { s.add(Block{Kind: Text, Text: text}) }
func (s *Section) part(text string)      { s.add(Block{Kind: Part, Text: text}) }
func (s *Section) warn(text string)      { s.add(Block{Kind: Warning, Text: text}) }
func (s *Section) table(t figures.Table) { s.add(Block{Kind: Table, Table: &t}) }
func (s *Section) facts(f ...Fact)       { s.add(Block{Kind: Facts, Facts: f}) }
func (s *Section) add(b Block)           { s.Contents = append(s.Contents, b) }

func (s *Section) list(items []string) {
	if len(items) > 0 {
		s.add(Block{Kind: List, Items: items})
	}
}

// judged is a table with a column of verdict words.
func (s *Section) judged(t figures.Table, column int) {
	s.add(Block{Kind: Table, Table: &t, Verdicts: column})
}

// picture adds a figure when this pick has the data for it, and says why not
// otherwise.
func (s *Section) picture(from *figures.Source, name string) {
	f, err := from.Make(name)
	var missing *figures.Missing
	if errors.As(err, &missing) {
		s.say(fmt.Sprintf("The figure %q is not drawn: %s.", name, missing.Why))
		return
	}
	s.add(Block{Kind: Picture, Figure: f})
}

// Figures lists the pictures of a document in order.
func (d *Document) Figures() (out []*figures.Figure) {
	for i := range d.Sections {
		for j := range d.Sections[i].Contents {
			if f := d.Sections[i].Contents[j].Figure; f != nil {
				out = append(out, f)
			}
		}
	}
	return out
}
