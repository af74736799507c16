package review

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/report"
	"example.org/dray/report/figures"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explain"
)

// bill lists the parts to buy.
func (w *composer) bill() {
	s := w.section("bill", "The parts")
	t := figures.Table{Caption: "Bill of the chosen parts", Left: 2, Heads: []string{"part", "id", "count", "price each", "mass each, kg"}}
	for i, p := range w.c.Parts {
		at := fmt.Sprintf("parts.%d.", i)
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(p.Role), figures.Words(p.ID), amount(float64(p.Count), fmt.Sprint(p.Count), at+"count"),
			amount(p.Price, fmt.Sprintf("%.2f", p.Price), at+"price"), figures.Number(p.Mass, at+"mass_kg")})
	}
	s.table(t)
	var facts []Fact
	if !math.IsNaN(w.c.Price) {
		facts = append(facts, Fact{"price together", amount(w.c.Price, fmt.Sprintf("%.2f", w.c.Price), "price")})
	}
	if !math.IsNaN(w.c.Mass) {
		facts = append(facts, Fact{"mass together, controllers not in it", amount(w.c.Mass, with(w.c.Mass, "kg"), "mass_kg")})
	}
	if len(facts) > 0 {
		s.facts(facts...)
	}
	sup := &w.f.Case.Supply
	var more []string
	if sup.Fuse != nil {
		more = append(more, fmt.Sprintf("Fuse: %s, type %s.", with(float64(sup.Fuse.Rating), "A"), sup.Fuse.Type))
	}
	if sup.Connector != nil {
		more = append(more, fmt.Sprintf("Connector: %s.", with(float64(sup.Connector.Rating), "A")))
	}
	if sup.SupplyLead != nil {
		more = append(more, fmt.Sprintf("Supply lead: %s, %s one way.", sup.SupplyLead.Gauge, with(float64(sup.SupplyLead.Length), "m")))
	}
	if sup.MotorLead != nil {
		more = append(more, fmt.Sprintf("Motor lead: %s, %s one way, for each motor.", sup.MotorLead.Gauge, with(float64(sup.MotorLead.Length), "m")))
	}
	s.list(more)
}

// cautions are the words of care, and which estimates a test must confirm.
func (w *composer) cautions() {
	s := w.section("cautions", "Cautions")
	var out []string
	for _, c := range report.Cautions() {
		out = append(out, sentence(c))
	}
	s.list(out)
	var weak []string
	for _, k := range report.Constants(w.c) {
		if b := k.Basis.String(); b == "estimated" || b == "assumed" {
			weak = append(weak, k.Name+" ("+b+")")
		}
	}
	if len(weak) > 0 {
		s.say("These figures are estimated or assumed; a test must confirm them before anything depends on them: " + joined(weak) + ".")
	}
}

// sign is the block for those who answer for the design.
func (w *composer) sign() {
	s := w.section("sign", "Sign-off")
	s.say("Signed only when the load case is as meant, every assumption is accepted, and each open point below has a name against it.")
	var open []string
	for i := range w.c.Checks {
		if k := &w.c.Checks[i]; k.Verdict != sizing.Holds {
			open = append(open, fmt.Sprintf("%s is %s: %s", sentenceStart(k.Name.String()), k.Verdict, k.Sentence(w.c))+".")
		}
	}
	if len(open) == 0 {
		open = []string{"No check is tight, unknown or failed."}
	}
	s.part("Open points")
	s.list(open)
	s.add(Block{Kind: Sign, Items: []string{"designed", "reviewed", "approved"}})
}

func sentenceStart(text string) string {
	out := sentence(text)
	return out[:len(out)-1]
}

// hand is the sizing redone step by step, for a reviewer with a calculator.
func (w *composer) hand() {
	ex := w.in.Hand
	if ex == nil {
		return
	}
	s := w.appendix("hand", "The calculation by hand")
	s.say(fmt.Sprintf("Worked through for the leg %q, because %s. All figures in SI; five digits are carried from line to line, and each result is what the printed numbers give.", ex.Leg, ex.Why))
	for i := range ex.Sections {
		sec := &ex.Sections[i]
		s.part(sentenceStart(sec.Title))
		if sec.Text != "" {
			s.say(sentence(sec.Text))
		}
		if t := sec.Table; t != nil {
			out := figures.Table{Caption: sec.Title, Heads: t.Heads, Left: 1}
			for _, row := range t.Rows {
				out.Rows = append(out.Rows, words(row...))
			}
			s.table(out)
		}
		if len(sec.Steps) > 0 {
			s.add(Block{Kind: Steps, Steps: steps(sec.Steps)})
		}
		var notes []string
		for _, n := range sec.Notes {
			notes = append(notes, sentence(n))
		}
		s.list(notes)
	}
}

func steps(list []explain.Step) (out []Step) {
	for _, x := range list {
		st := Step{Title: x.Title, Result: x.Result, Note: x.Note, Numbers: x.Expression}
		switch {
		case x.Symbol != "" && x.Formula != "":
			st.Formula = x.Symbol + " = " + x.Formula
		case x.Symbol != "":
			st.Formula = x.Symbol
		default:
			st.Formula = x.Formula
		}
		if st.Numbers == st.Result {
			st.Numbers = ""
		}
		if x.Basis == quantity.Estimated || x.Basis == quantity.Assumed {
			st.Note = strings.TrimPrefix(st.Note+"; "+x.Basis.String(), "; ")
		}
		out = append(out, st)
	}
	return out
}

// inputs say how this report came about, so that anyone can repeat it.
func (w *composer) inputs() {
	s := w.appendix("inputs", "Inputs and how to repeat this")
	s.say("The same files and the same version give the same report, byte for byte.")
	if len(w.in.Files) > 0 {
		t := figures.Table{Caption: "Input files", Left: 2, Heads: []string{"file", "SHA-256", "bytes"}}
		for _, f := range w.in.Files {
			t.Rows = append(t.Rows, []figures.Cell{figures.Words(f.Name), figures.Words(f.SHA256), figures.Shown(float64(f.Bytes), fmt.Sprint(f.Bytes), "")})
		}
		s.table(t)
	}
	var facts []Fact
	if w.in.Version != "" {
		facts = append(facts, Fact{"version", figures.Words(w.in.Version)})
	}
	if w.in.Command != "" {
		facts = append(facts, Fact{"command", figures.Words(w.in.Command)})
	}
	seed := "none: nothing in this report is drawn at random"
	if w.in.Spread != nil {
		seed = fmt.Sprint(w.in.Spread.Seed)
	}
	s.facts(append(facts, Fact{"seed", figures.Words(seed)})...)
}
