package published

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"go.yaml.in/yaml/v4"
)

var update = flag.Bool("update", false, "write docs/verification.md anew")

const (
	pageFile       = "../../docs/verification.md"
	comparisonFile = "../testdata/comparison.yaml"
	mutationFile   = "../mutate/results.yaml"
)

// The page is made from the same rows that the tests run; it cannot say
// anything that was not found just now.
func TestTheVerificationPageIsCurrent(t *testing.T) {
	text := verificationPage(t)
	if *update {
		if err := os.WriteFile(pageFile, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	was, err := os.ReadFile(pageFile)
	if err != nil {
		t.Fatal(err)
	}
	// A law that was added since is no lie; one that is gone would be.
	oldRest, oldLaws := withoutLaws(string(was))
	rest, found := withoutLaws(text)
	for _, law := range oldLaws {
		if !slices.Contains(found, law) {
			t.Errorf("docs/verification.md lists the law %q, which no test has any more; write it anew with go test ./verify/published -update", law)
		}
	}
	if oldRest == rest {
		return
	}
	old, now := strings.Split(oldRest, "\n"), strings.Split(rest, "\n")
	for i := range now {
		if i >= len(old) || old[i] != now[i] {
			before := "nothing"
			if i < len(old) {
				before = old[i]
			}
			t.Fatalf("docs/verification.md is stale from line %d on; write it anew with go test ./verify/published -update\nhas  %s\nwant %s", i+1, before, now[i])
		}
	}
	t.Fatal("docs/verification.md is stale: it is longer than what is found; write it anew with go test ./verify/published -update")
}

// withoutLaws takes the list of laws out of a page.
func withoutLaws(text string) (rest string, laws []string) {
	var kept []string
	for line := range strings.SplitSeq(text, "\n") {
		folder, list, ok := strings.Cut(line, "**: ")
		if !ok || !strings.HasPrefix(folder, "**") {
			kept = append(kept, line)
			continue
		}
		for _, law := range strings.Split(strings.TrimSuffix(list, "."), " · ") {
			laws = append(laws, folder[2:]+": "+law)
		}
	}
	return strings.Join(kept, "\n"), laws
}

func verificationPage(t *testing.T) string {
	book := readBook(t)
	var b strings.Builder
	b.WriteString(preface)
	contents(&b, book)
	for _, p := range book {
		group(t, &b, p)
	}
	corrections(&b, book)
	comparison(t, &b)
	laws(t, &b)
	mutations(t, &b)
	return b.String()
}

const preface = `# Verification

Why the numbers can be believed. This page is written by ` + "`go test ./verify/published -update`" + `
from the checks themselves; the same test fails when it is stale.

- [Published checks](#published-checks): numbers from books, standards and tables, each run
  through the functions that users' results come from. They stand as data in
  ` + "`testdata/published`" + `, whose README lists what is not checked and why.
- [An independent solution](#an-independent-solution): the whole coupled problem solved again by
  two routes that share no code with the engine.
- [Laws](#laws): what must hold for any machine, tried on random ones.
- [Mutation](#mutation): faults put in on purpose, and whether the tests noticed.

`

func contents(b *strings.Builder, book []*page) {
	b.WriteString("## Published checks\n\n")
	b.WriteString("OK: the printed answer is reproduced. ROUND: it differs by the source's own rounding. WRONG: the\n")
	b.WriteString("printed answer is in error and the corrected value is used. SEEN: a table value. DERIVED: the\n")
	b.WriteString("inputs are published, the answer is worked out by hand. MEM: from memory.\n\n")
	b.WriteString("| group | subject | rows | numbers | through |\n| --- | --- | --- | --- | --- |\n")
	rows, numbers := 0, 0
	for _, p := range book {
		n := 0
		for i := range p.Rows {
			n += len(p.Rows[i].Want)
		}
		rows, numbers = rows+len(p.Rows), numbers+n
		fmt.Fprintf(b, "| %s | %s | %d | %d | %s |\n", p.Group, p.Title, len(p.Rows), n, p.Through)
	}
	fmt.Fprintf(b, "| | together | %d | %d | |\n\n", rows, numbers)
}

func group(t *testing.T, b *strings.Builder, p *page) {
	fmt.Fprintf(b, "### %s. %s\n\n", p.Group, p.Title)
	b.WriteString("| check | what | status | expected | got | difference | tolerance | source |\n")
	b.WriteString("| --- | --- | --- | --- | --- | --- | --- | --- |\n")
	for i := range p.Rows {
		r := &p.Rows[i]
		got, err := r.answer()
		if err != nil {
			t.Errorf("%s: %v", r.ID, err)
			continue
		}
		for k := range r.Want {
			w := &r.Want[k]
			id, what, status, source := r.ID, r.Checks, r.Status, r.Source
			if k > 0 {
				id, what, status, source = "", "", "", ""
			} else if r.Note != "" && r.Status != "WRONG" && r.Status != "ROUND" {
				what += " (" + r.Note + ")"
			}
			what = strings.TrimSpace(what + " · " + strings.ReplaceAll(w.Name, "_", " "))
			what = strings.TrimPrefix(what, "· ")
			fmt.Fprintf(b, "| %s | %s | %s | %s | %s | %s | %s | %s |\n", id, cell(what), status, w.expected(), number(got[w.Name])+unit(w.Unit), w.difference(got[w.Name]), cell(w.allowed(p)), cell(source))
		}
	}
	b.WriteString("\n")
}

func cell(text string) string { return strings.ReplaceAll(text, "|", "\\|") }

func number(x float64) string {
	switch {
	case math.IsInf(x, 1):
		return "never"
	case math.Abs(x) < 1e-12:
		return "0"
	}
	return fmt.Sprintf("%.6g", x)
}

func unit(u string) string {
	if u == "" {
		return ""
	}
	return " " + u
}

func (w *want) expected() string {
	switch {
	case w.Low != nil && w.High != nil:
		return number(*w.Low) + " to " + number(*w.High) + unit(w.Unit)
	case w.Low != nil:
		return "≥ " + number(*w.Low) + unit(w.Unit)
	case w.High != nil:
		return "≤ " + number(*w.High) + unit(w.Unit)
	}
	return number(w.Value) + unit(w.Unit)
}

// difference is a share where the value has a size, else in its own unit. What
// rounding of the last digits decides is printed as nought, so that the page is
// the same on every machine.
func (w *want) difference(got float64) string {
	if w.Low != nil || w.High != nil {
		return "inside"
	}
	d := got - w.Value
	if w.Within > 0 || w.Value == 0 {
		if math.Abs(d) < 1e-6 {
			return "0"
		}
		return fmt.Sprintf("%.2g", d)
	}
	return signed(100*d/math.Abs(w.Value)) + " %"
}

// signed writes a difference to three decimals, nought without a sign.
func signed(x float64) string {
	text := fmt.Sprintf("%+.3f", x)
	if text == "+0.000" || text == "-0.000" {
		return "0.000"
	}
	return text
}

func (w *want) allowed(p *page) string {
	if w.Low != nil || w.High != nil {
		return "band"
	}
	_, because := w.tolerance(p)
	switch {
	case w.Within > 0:
		return fmt.Sprintf("± %.2g (%s)", w.Within, because)
	case w.Share > 0:
		return fmt.Sprintf("± %.3g %% (%s)", 100*w.Share, because)
	}
	return fmt.Sprintf("± %.3g %%", 100*p.Share)
}

// corrections lists where the source's own answer is not the one expected.
func corrections(b *strings.Builder, book []*page) {
	b.WriteString("### Where the source printed something else\n\n| check | printed | expected | why |\n| --- | --- | --- | --- |\n")
	for _, p := range book {
		for i := range p.Rows {
			r := &p.Rows[i]
			if r.Status != "WRONG" && r.Status != "ROUND" {
				continue
			}
			for k := range r.Want {
				if w := &r.Want[k]; w.Printed != "" {
					why := r.Note
					if why == "" {
						why = "rounded"
					}
					fmt.Fprintf(b, "| %s %s | %s%s | %s | %s |\n", r.ID, strings.ReplaceAll(w.Name, "_", " "), w.Printed, unit(w.Unit), w.expected(), cell(why))
				}
			}
		}
	}
	b.WriteString("\n")
}

// compared is one figure of one duty by all routes.
type compared struct {
	Duty      string
	Figure    string
	Unit      string
	Engine    float64
	March     float64
	Simulator *float64 // nil where its route was not run
	Tolerance string
}

// comparison prints what the independent solution left in its folder.
func comparison(t *testing.T, b *strings.Builder) {
	b.WriteString("## An independent solution\n\n")
	b.WriteString("The coupled problem (winding current with inductance, motion, two-node heat, battery) is solved again\n")
	b.WriteString("by an adaptive Runge–Kutta march at tight tolerance and by the circuit simulator ngspice from a netlist.\n")
	b.WriteString("Neither shares code with the engine. Asked: currents and torques 0.2 %, temperatures 0.3 K, charge 0.3 %,\n")
	b.WriteString("times 0.5 %; a peak that lasts milliseconds 0.5 %, because the engine leaves the winding's inductance out.\n\n")
	data, err := os.ReadFile(comparisonFile)
	if os.IsNotExist(err) {
		b.WriteString("The comparison stands in the tests of `verify`.\n\n")
		return
	}
	var list []compared
	if err == nil {
		err = yaml.Load(data, &list)
	}
	if err != nil {
		t.Fatalf("%s: %v", comparisonFile, err)
	}
	b.WriteString("| duty | figure | engine | march | simulator | engine − march | tolerance |\n| --- | --- | --- | --- | --- | --- | --- |\n")
	before := ""
	for _, c := range list {
		name, simulator := c.Duty, "–"
		if name == before {
			name = ""
		}
		before = c.Duty
		if c.Simulator != nil {
			simulator = fmt.Sprintf("%.5g", *c.Simulator)
		}
		off := signed(100*(c.Engine-c.March)/math.Abs(c.March)) + " %"
		if c.Unit == "°C" {
			off = signed(c.Engine-c.March) + " K"
		}
		fmt.Fprintf(b, "| %s | %s | %.5g%s | %.5g | %s | %s | %s |\n", name, c.Figure, c.Engine, unit(c.Unit), c.March, simulator, off, c.Tolerance)
	}
	b.WriteString("\n")
}

// laws lists the names of the tests that hold for any machine.
func laws(t *testing.T, b *strings.Builder) {
	b.WriteString("## Laws\n\nEach is a test whose name is what must hold. Those of `verify` run the whole engine, or hold the other\n")
	b.WriteString("two routes against closed forms; convergence in step and nodes is among them. Those of the rooms draw\n")
	b.WriteString("random cases.\n\n")
	for _, dir := range []string{"verify", "sizing/heat", "sizing/rating", "sizing/drive", "sizing/duty", "quantity", "catalog", "loadcases"} {
		names := lawsOf(t, filepath.Join("../..", dir), dir == "verify")
		if len(names) == 0 {
			continue
		}
		fmt.Fprintf(b, "**%s**: %s.\n\n", dir, strings.Join(names, " · "))
	}
}

// lawsOf finds the tests of a folder that draw random cases, or all of them.
func lawsOf(t *testing.T, dir string, all bool) []string {
	files, err := filepath.Glob(filepath.Join(dir, "*_test.go"))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, file := range files {
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		if err != nil {
			continue // someone is writing it
		}
		for _, d := range parsed.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok || f.Recv != nil || !strings.HasPrefix(f.Name.Name, "Test") {
				continue
			}
			random := all && !strings.HasSuffix(f.Name.Name, "Current")
			ast.Inspect(f, func(n ast.Node) bool {
				if s, ok := n.(*ast.SelectorExpr); ok && s.Sel.Name == "Check" {
					if x, ok := s.X.(*ast.Ident); ok && x.Name == "rapid" {
						random = true
					}
				}
				return true
			})
			if random {
				names = append(names, sentence(strings.TrimPrefix(f.Name.Name, "Test")))
			}
		}
	}
	return names
}

// sentence writes a name in words; abbreviations stay.
func sentence(name string) string {
	var words []string
	letters := []rune(name)
	begin := 0
	for i := 1; i <= len(letters); i++ {
		if i < len(letters) && (!unicode.IsUpper(letters[i]) || unicode.IsUpper(letters[i-1]) && (i+1 == len(letters) || unicode.IsUpper(letters[i+1]))) {
			continue
		}
		word := string(letters[begin:i])
		if len(word) < 2 || strings.ToUpper(word) != word {
			word = strings.ToLower(word)
		}
		words, begin = append(words, word), i
	}
	return strings.Join(words, " ")
}

// mutation is one fault put in on purpose.
type mutation struct {
	File   string
	Was    string
	Fault  string
	What   string
	Caught bool
	By     string
}

func mutations(t *testing.T, b *strings.Builder) {
	b.WriteString("## Mutation\n\n")
	b.WriteString("A test that would pass with a wrong engine is a defect. `go run ./verify/mutate` copies the module, puts\n")
	b.WriteString("in one fault at a time and runs the tests of the rooms it could reach; what it last found:\n\n")
	data, err := os.ReadFile(mutationFile)
	if os.IsNotExist(err) {
		b.WriteString("It has not been run yet.\n")
		return
	}
	var list []mutation
	if err == nil {
		err = yaml.Load(data, &list)
	}
	if err != nil {
		t.Fatalf("%s: %v", mutationFile, err)
	}
	caught := 0
	for _, m := range list {
		if m.Caught {
			caught++
		}
	}
	fmt.Fprintf(b, "%d faults, %d caught.\n\n| fault | file | was | became | caught by |\n| --- | --- | --- | --- | --- |\n", len(list), caught)
	for _, m := range list {
		by := m.By
		if !m.Caught {
			by = "**survived**"
		}
		fmt.Fprintf(b, "| %s | `%s` | `%s` | `%s` | %s |\n", cell(m.What), m.File, cell(oneLine(m.Was)), cell(oneLine(m.Fault)), by)
	}
}

// oneLine takes the line breaks out of a piece of code.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// A survivor is a hole in the tests; the last run must have none, and enough
// faults to mean something.
func TestTheLastMutationRunCaughtEveryFault(t *testing.T) {
	data, err := os.ReadFile(mutationFile)
	if err != nil {
		t.Skip("go run ./verify/mutate has not been run: its results are not here")
	}
	var list []mutation
	if err := yaml.Load(data, &list); err != nil {
		t.Fatal(err)
	}
	for _, m := range list {
		if !m.Caught {
			t.Errorf("%s: %s became %s and no test noticed", m.File, m.Was, m.Fault)
		}
	}
	if len(list) < 25 {
		t.Errorf("only %d faults were tried", len(list))
	}
}
