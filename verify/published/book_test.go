package published

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"text/template"

	"example.org/dray/quantity"
	"go.yaml.in/yaml/v4"
)

const folder = "../../testdata/published"

// page is one group of the book.
type page struct {
	Group   string
	Title   string
	Through string // which functions the rows run through
	Share   float64
	Because string // reason of the tolerance that rows without one of their own have
	Rows    []row
}

// row is one published check.
type row struct {
	ID     string
	Checks string
	Source string
	Status string // OK, ROUND, WRONG, DERIVED, MEM, SEEN
	Note   string
	Run    string
	In     map[string]float64
	List   map[string][]float64
	Text   map[string]string
	Want   []want

	page *page
	err  error
}

// want is one expected number: a value with a tolerance, or a band.
type want struct {
	Name    string
	Value   float64
	Share   float64  // tolerance as a share of the value
	Within  float64  // tolerance in the value's own unit
	Low     *float64 // a band in place of a value
	High    *float64
	Because string
	Printed string // what the source printed, where it differs
	Unit    string
}

// tolerance is the allowed difference in the value's unit, and its reason.
func (w *want) tolerance(p *page) (tol float64, because string) {
	because = w.Because
	switch {
	case w.Within > 0:
		tol = w.Within
	case w.Share > 0:
		tol = w.Share * math.Abs(w.Value)
	default:
		tol, because = p.Share*math.Abs(w.Value), p.Because
	}
	if because == "" {
		because = p.Because
	}
	return tol, because
}

// holds reports whether a found number is the expected one.
func (w *want) holds(p *page, got float64) bool {
	if w.Low != nil || w.High != nil {
		slack := 1e-9 * math.Abs(got)
		return (w.Low == nil || got >= *w.Low-slack) && (w.High == nil || got <= *w.High+slack)
	}
	tol, _ := w.tolerance(p)
	return math.Abs(got-w.Value) <= tol
}

// num is a number of the row's inputs; a missing one is a fault of the book.
func (r *row) num(name string) float64 {
	v, ok := r.In[name]
	if !ok {
		r.fail("no input %q", name)
	}
	return v
}

// or is a number of the row's inputs, or a default.
func (r *row) or(name string, otherwise float64) float64 {
	if v, ok := r.In[name]; ok {
		return v
	}
	return otherwise
}

func (r *row) fail(format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf(format, args...)
	}
}

// text is one of the row's files. Its actions give masses whose weight under
// standard gravity is the one the book computes with 9.81 m/s² ({{weigh 400}}).
func (r *row) text(name string) []byte {
	t, err := template.New(name).Funcs(template.FuncMap{
		"weigh": func(kg float64) float64 { return kg * 9.81 / quantity.StandardGravity },
		"in":    func(name string) float64 { return r.num(name) },
	}).Parse(r.Text[name])
	if err != nil {
		r.fail("%v", err)
		return nil
	}
	var out bytes.Buffer
	if err := t.Execute(&out, nil); err != nil {
		r.fail("%v", err)
	}
	return out.Bytes()
}

// answer is what a row's run found, by name.
type answer map[string]float64

// runners are the ways a row can take through the program.
func runners() map[string]func(*row) answer {
	return map[string]func(*row) answer{
		"operating": operating, "best": best, "listing": listing, "inward": inward,
		"load": load, "train": train, "screw": screw, "grip": grip, "profile": profile,
		"drive": driven, "rms": rms, "rating": ratings, "node": node,
		"copper": copper, "class": class, "magnet": magnet, "network": network,
		"wire": wire, "ampacity": ampacity, "fusing": fusing, "fuse": fuse,
		"pack": pack, "ripple": ripple, "surface": surface,
	}
}

// answer runs the row; the error is a fault of the book or of the program.
func (r *row) answer() (answer, error) {
	run, ok := runners()[r.Run]
	if !ok {
		return nil, fmt.Errorf("nothing runs %q", r.Run)
	}
	got := run(r)
	return got, r.err
}

// readBook reads all groups in order.
func readBook(t testing.TB) []*page {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no pages: %v", err)
	}
	slices.Sort(files)
	var book []*page
	for _, file := range files {
		book = append(book, readPage(t, file))
	}
	return book
}

func readPage(t testing.TB, file string) *page {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	p := &page{}
	if err := yaml.Load(data, p, yaml.WithKnownFields(true)); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	for i := range p.Rows {
		p.Rows[i].page = p
	}
	return p
}

// checkGroup runs every row of one group and holds it against its source.
func checkGroup(t *testing.T, group string) {
	p := readPage(t, filepath.Join(folder, group+".yaml"))
	if p.Group != group {
		t.Fatalf("%s.yaml is group %q", group, p.Group)
	}
	for i := range p.Rows {
		r := &p.Rows[i]
		t.Run(r.ID, func(t *testing.T) {
			got, err := r.answer()
			if err != nil {
				t.Fatal(err)
			}
			for k := range r.Want {
				w := &r.Want[k]
				v, ok := got[w.Name]
				if !ok {
					t.Fatalf("the run %q gives no %q, only %v", r.Run, w.Name, keys(got))
				}
				if !w.holds(p, v) {
					t.Errorf("%s: got %.8g, want %s (%s)", w.Name, v, w.say(p), r.Source)
				}
			}
		})
	}
}

func (w *want) say(p *page) string {
	switch {
	case w.Low != nil && w.High != nil:
		return fmt.Sprintf("%g to %g", *w.Low, *w.High)
	case w.Low != nil:
		return fmt.Sprintf("%g or more", *w.Low)
	case w.High != nil:
		return fmt.Sprintf("%g or less", *w.High)
	}
	tol, _ := w.tolerance(p)
	return fmt.Sprintf("%.8g ± %.2g", w.Value, tol)
}

func keys[V any](m map[string]V) []string {
	var list []string
	for k := range m {
		list = append(list, k)
	}
	slices.Sort(list)
	return list
}

func TestOperatingPoints(t *testing.T)    { checkGroup(t, "A") }
func TestLoadSizing(t *testing.T)         { checkGroup(t, "B") }
func TestDutyAndRating(t *testing.T)      { checkGroup(t, "C") }
func TestHeat(t *testing.T)               { checkGroup(t, "D") }
func TestWire(t *testing.T)               { checkGroup(t, "E") }
func TestFuseBands(t *testing.T)          { checkGroup(t, "F") }
func TestBatteries(t *testing.T)          { checkGroup(t, "G") }
func TestRollingResistances(t *testing.T) { checkGroup(t, "H") }
func TestGearsAndScrews(t *testing.T)     { checkGroup(t, "I") }
func TestRipple(t *testing.T)             { checkGroup(t, "J") }
func TestPulseCommands(t *testing.T)      { checkGroup(t, "K") }
func TestBookkeeping(t *testing.T)        { checkGroup(t, "L") }

// The book itself must be fit to be believed: every row has a source and a
// tolerance with its reason, and there are many.
func TestEveryRowHasASourceAndAReasonedTolerance(t *testing.T) {
	seen := map[string]bool{}
	rows, numbers := 0, 0
	for _, p := range readBook(t) {
		for i := range p.Rows {
			r := &p.Rows[i]
			rows++
			numbers += len(r.Want)
			if seen[r.ID] || r.Source == "" || r.Checks == "" || len(r.Want) == 0 {
				t.Errorf("%s: twice, or without a source, a subject or an expectation", r.ID)
			}
			seen[r.ID] = true
			if !slices.Contains([]string{"OK", "ROUND", "WRONG", "DERIVED", "MEM", "SEEN"}, r.Status) {
				t.Errorf("%s: status %q", r.ID, r.Status)
			}
			if r.Status == "WRONG" && r.Note == "" {
				t.Errorf("%s: says not what the source got wrong", r.ID)
			}
			for k := range r.Want {
				w := &r.Want[k]
				band := w.Low != nil || w.High != nil
				if tol, because := w.tolerance(p); !band && (!(tol > 0) || because == "") {
					t.Errorf("%s %s: tolerance %g because %q", r.ID, w.Name, tol, because)
				}
			}
		}
	}
	if rows < 150 || numbers < 300 {
		t.Errorf("%d rows with %d numbers", rows, numbers)
	}
}
