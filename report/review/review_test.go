package review_test

import (
	"bytes"
	"context"
	"encoding/json"
	"html"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/report/figures"
	"example.org/dray/report/review"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explain"
	"example.org/dray/sizing/explore"
)

// inputsOf gathers the review of a demo's best candidate, once a demo.
func inputsOf(t *testing.T, demo string) *review.Inputs {
	t.Helper()
	once, _ := gathered.LoadOrStore(demo, sync.OnceValues(func() (*review.Inputs, error) { return gather(demo) }))
	in, err := once.(func() (*review.Inputs, error))()
	if err != nil {
		t.Fatal(err)
	}
	return in
}

var gathered sync.Map

func gather(demo string) (*review.Inputs, error) {
	c, cat, err := readDemo(demo)
	if err != nil {
		return nil, err
	}
	field, k, err := sizing.Examine(context.Background(), c, cat, "1")
	if err != nil {
		return nil, err
	}
	in := &review.Inputs{Field: field, Pick: k, Version: "dray", Files: []review.File{{Name: "case.yaml", Bytes: 7, SHA256: strings.Repeat("0a", 32)}}}
	if in.Figures, err = figures.Gather(field, k, quantity.SI); err != nil {
		return nil, err
	}
	if in.Demands, err = sizing.Demands(c); err != nil {
		return nil, err
	}
	if in.Ratios, err = explore.FindRatios(context.Background(), c, cat, k.Pick); err != nil {
		return nil, err
	}
	in.Figures.Window = review.WindowOf(in.Ratios)
	if in.Headroom, err = explore.FindHeadroom(context.Background(), c, k.Pick); err != nil {
		return nil, err
	}
	for _, r := range review.AskedAbout(field, k) {
		in.Rejected = append(in.Rejected, review.Rejected{Candidate: r})
	}
	in.Hand, err = explain.Explain(field, k)
	return in, err
}

func readDemo(demo string) (*loadcases.Case, *catalog.Catalog, error) {
	path := filepath.Join("..", "..", "testdata", demo, "case.yaml")
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, nil, err
	}
	c, err := loadcases.Read(path, data, os.ReadFile)
	if err != nil {
		return nil, nil, err
	}
	files := catalog.Files{Open: os.ReadFile, Columns: c.Catalogs.Columns}
	for _, l := range []struct {
		names []string
		to    *[]catalog.CSV
	}{{c.Catalogs.Motors, &files.Motors}, {c.Catalogs.GearTrains, &files.GearTrains},
		{c.Catalogs.Batteries, &files.Batteries}, {c.Catalogs.Controllers, &files.Controllers}} {
		for _, n := range l.names {
			d, err := os.ReadFile(n)
			if err != nil {
				return nil, nil, err
			}
			*l.to = append(*l.to, catalog.CSV{Name: n, Data: d})
		}
	}
	cat, err := catalog.Read(files)
	return c, cat, err
}

// cells lists every cell of a document in the order it is written.
func cells(d *review.Document) (out []figures.Cell) {
	table := func(t *figures.Table) {
		for _, row := range t.Rows {
			out = append(out, row...)
		}
	}
	for _, f := range d.Plate {
		out = append(out, f.Cell)
	}
	for _, s := range d.Sections {
		for _, b := range s.Contents {
			for _, f := range b.Facts {
				out = append(out, f.Cell)
			}
			if b.Table != nil {
				table(b.Table)
			}
			if b.Figure != nil {
				for i := range b.Figure.Tables {
					table(&b.Figure.Tables[i])
				}
			}
		}
	}
	return out
}

// at follows a dotted path into decoded JSON.
func at(v any, path string) (any, bool) {
	for part := range strings.SplitSeq(path, ".") {
		switch x := v.(type) {
		case map[string]any:
			next, ok := x[part]
			if !ok {
				return nil, false
			}
			v = next
		case []any:
			i, err := strconv.Atoi(part)
			if err != nil || i >= len(x) {
				return nil, false
			}
			v = x[i]
		default:
			return nil, false
		}
	}
	return v, true
}

// Every number of the review that is one of the engine's is, to the last bit,
// the number that check and rank write as JSON under the path it names; there
// are hundreds of them; and what is printed is that number to three digits.
func TestEveryNumberEqualsTheJSON(t *testing.T) {
	for _, demo := range []string{"cart", "hoist"} {
		in := inputsOf(t, demo)
		d := review.Compose(in)
		var b bytes.Buffer
		if err := review.JSON(&b, in, d); err != nil {
			t.Fatal(err)
		}
		var all map[string]any
		if err := json.Unmarshal(b.Bytes(), &all); err != nil {
			t.Fatal(err)
		}
		found := 0
		for _, c := range cells(d) {
			if c.Path == "" {
				continue
			}
			from := all["check"]
			if strings.HasPrefix(c.Path, "field.") || strings.HasPrefix(c.Path, "rejected.") {
				from = all
			}
			v, ok := at(from, c.Path)
			if !ok {
				t.Errorf("%s: no %s in the JSON", demo, c.Path)
				continue
			}
			x, isNumber := v.(float64)
			switch {
			case v == nil && (math.IsNaN(c.Value) || math.IsInf(c.Value, 0)):
			case !isNumber || math.Abs(x-c.Value) > 1e-12*math.Abs(x):
				t.Errorf("%s: %s is %v in the JSON and %v in the review", demo, c.Path, v, c.Value)
			case !printed(c.Text, x):
				t.Errorf("%s: %s is %v and is printed as %q", demo, c.Path, x, c.Text)
			default:
				found++
			}
		}
		if found < 300 {
			t.Errorf("%s: only %d numbers name their place", demo, found)
		}
	}
}

var firstNumber = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`)

// printed reports whether a text starts with a number to three digits, or two
// places, in one of the units a review uses.
func printed(text string, x float64) bool {
	n, err := strconv.ParseFloat(firstNumber.FindString(text), 64)
	if err != nil {
		return false
	}
	for _, factor := range []float64{1, 30 / math.Pi, 100, 1e3, 1e6, 1.0 / 60, 1.0 / 3600, 1e7} {
		if y := x * factor; math.Abs(n-y) <= 0.0051*math.Abs(y) || math.Abs(n-y) <= 0.0051 && strings.Contains(text, ".") {
			return true
		}
	}
	return x == 0 && n == 0
}

func page(t *testing.T, in *review.Inputs) string {
	t.Helper()
	var b bytes.Buffer
	if err := review.HTML(&b, review.Compose(in), review.AnyPaper); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The page holds, in order, exactly the document's numbers, each as the JSON
// writes it beside what people read.
func TestThePageHoldsTheDocumentsNumbers(t *testing.T) {
	in := inputsOf(t, "cart")
	found := regexp.MustCompile(`<data value="([^"]*)">([^<]*)</data>`).FindAllStringSubmatch(page(t, in), -1)
	i := 0
	for _, c := range cells(review.Compose(in)) {
		if math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
			continue
		}
		if i >= len(found) {
			t.Fatalf("the page ends after %d numbers", i)
		}
		if want := strconv.FormatFloat(c.Value, 'g', -1, 64); html.UnescapeString(found[i][1]) != want || html.UnescapeString(found[i][2]) != c.Text {
			t.Fatalf("number %d of the page is %s %q, of the document %s %q", i, found[i][1], found[i][2], want, c.Text)
		}
		i++
	}
	if i != len(found) {
		t.Errorf("%d numbers in the document, %d in the page", i, len(found))
	}
}

// The review has its parts in the order a reader needs them.
func TestTheReviewHasItsParts(t *testing.T) {
	d := review.Compose(inputsOf(t, "cart"))
	var sections, pictures []string
	for _, s := range d.Sections {
		sections = append(sections, s.Number+" "+s.ID)
	}
	for _, f := range d.Figures() {
		pictures = append(pictures, f.Name)
	}
	if got, want := strings.Join(sections, ", "), "1 job, 2 understood, 3 requirement, 4 decision, 5 pick, 6 heat, 7 path, 8 firmware, 9 jam, 10 ratios, 11 headroom, 12 commissioning, 13 bill, 14 cautions, 15 sign, A hand, B inputs"; got != want {
		t.Errorf("sections %s\nwant     %s", got, want)
	}
	if got, want := strings.Join(pictures, ", "), "field, torque-speed, duty, temperature, current-path, envelope, ratio-window"; got != want {
		t.Errorf("figures %s\nwant    %s", got, want)
	}
}

// The page needs nothing else, breaks no policy and stays small: no script, no
// style attribute, no reference but anchors that exist, no id twice.
func TestThePageStandsAlone(t *testing.T) {
	text := page(t, inputsOf(t, "cart"))
	if len(text) > 1_500_000 {
		t.Errorf("%d bytes", len(text))
	}
	if m := regexp.MustCompile(`(?i)<script|<link|<img|\sstyle="|url\(|@import|https?://[^w]`).FindString(text); m != "" {
		t.Errorf("the page holds %q", m)
	}
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(`\sid="([^"]+)"`).FindAllStringSubmatch(text, -1) {
		if ids[m[1]] {
			t.Errorf("id %s twice", m[1])
		}
		ids[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`href="#([^"]+)"`).FindAllStringSubmatch(text, -1) {
		if !ids[m[1]] {
			t.Errorf("no place called %s", m[1])
		}
	}
}

// The same inputs give the same bytes.
func TestTheReviewComesOutTheSameTwice(t *testing.T) {
	in := inputsOf(t, "cart")
	if first, second := page(t, in), page(t, in); first != second {
		t.Error("two pages")
	}
	again, err := gather("cart")
	if err != nil {
		t.Fatal(err)
	}
	if page(t, in) != page(t, again) {
		t.Error("gathered again, another page")
	}
}

// Every row of a Markdown table has as many cells as its head, and every figure
// is referred to once.
func TestMarkdownTablesAreWhole(t *testing.T) {
	d := review.Compose(inputsOf(t, "hoist"))
	var b bytes.Buffer
	if err := review.Markdown(&b, d, func(f *figures.Figure) string { return f.Name + ".png" }); err != nil {
		t.Fatal(err)
	}
	bars := regexp.MustCompile(`(^|[^\\])\|`)
	head := 0
	for i, line := range strings.Split(b.String(), "\n") {
		n := len(bars.FindAllString(line, -1))
		if !strings.HasPrefix(line, "|") {
			head = 0
			continue
		}
		if head == 0 {
			head = n
		}
		if n != head {
			t.Errorf("line %d has %d bars, its head %d: %s", i+1, n, head, line)
		}
	}
	for _, f := range d.Figures() {
		if n := strings.Count(b.String(), "("+f.Name+".png)"); n != 1 {
			t.Errorf("%s is referred to %d times", f.Name, n)
		}
	}
}

// A title that would be markup is text in every rendering.
func TestWordsOfTheUserStayWords(t *testing.T) {
	in := *inputsOf(t, "hoist")
	field := *in.Field
	field.Title = `<script>alert(1)</script> | *bold* [x](y)`
	in.Field = &field
	if text := page(t, &in); strings.Contains(text, "<script>") {
		t.Error("markup got through")
	}
	var b bytes.Buffer
	if err := review.Markdown(&b, review.Compose(&in), func(f *figures.Figure) string { return f.Name }); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "<script>") || regexp.MustCompile(`[^\\]\[x\]`).MatchString(b.String()) {
		t.Error("markup got through into Markdown")
	}
}

// Each prediction of the commissioning sheet lies inside its own band, and each
// has a blank beside it.
func TestTheCommissioningSheetIsUsable(t *testing.T) {
	for _, demo := range []string{"cart", "hoist"} {
		var sheet *review.Block
		for _, s := range review.Compose(inputsOf(t, demo)).Sections {
			for i := range s.Contents {
				if s.Contents[i].Kind == review.Sheet {
					sheet = &s.Contents[i]
				}
			}
		}
		if sheet == nil || len(sheet.Blanks) == 0 || len(sheet.Table.Rows) < 7 {
			t.Fatalf("%s: no sheet, or a short one", demo)
		}
		for _, row := range sheet.Table.Rows {
			n := firstNumber.FindAllString(row[2].Text, -1)
			low, _ := strconv.ParseFloat(n[0], 64)
			high, _ := strconv.ParseFloat(n[1], 64)
			if v := row[1].Value; !(low <= v*1.006 && v <= high*1.006) {
				t.Errorf("%s: %s: %v is outside %s", demo, row[0].Text, v, row[2].Text)
			}
		}
	}
}
