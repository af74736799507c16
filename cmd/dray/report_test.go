package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"

	"example.org/dray/quantity"
	"example.org/dray/report/figures"
	"example.org/dray/report/review"
)

// The reviews in docs/reports are what the program writes about two demos, but
// for the version, which changes with every build (-update rewrites them).
func TestTheReportsInDocsAreTrue(t *testing.T) {
	if testing.Short() {
		t.Skip("ranks two whole fields")
	}
	t.Chdir(filepath.Join("..", ".."))
	for _, d := range []struct{ demo, kind string }{{"cart", ".html"}, {"arm", ".md"}} {
		t.Run(d.demo, func(t *testing.T) {
			s := &session{stderr: &bytes.Buffer{}, quiet: true}
			flags := &reportFlags{out: d.demo + d.kind, units: "si"}
			in, err := s.gather(t.Context(), filepath.ToSlash(filepath.Join("testdata", d.demo, "case.yaml")), "1", flags, quantity.SI)
			if err != nil {
				t.Fatal(err)
			}
			in.Version = "dray"
			doc := review.Compose(in)
			if d.kind == ".html" {
				same(t, d.demo+".html", func(w io.Writer) error { return review.HTML(w, doc, review.AnyPaper) })
				return
			}
			name := func(f *figures.Figure) string { return d.demo + "-" + f.Name + ".png" }
			for _, f := range doc.Figures() {
				same(t, name(f), f.PNG)
			}
			same(t, d.demo+".md", func(w io.Writer) error { return review.Markdown(w, doc, name) })
		})
	}
}

// same compares a file of docs/reports with what is written now.
func same(t *testing.T, name string, write func(io.Writer) error) {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("docs", "reports", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	held, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v (-update writes it)", err)
	}
	if bytes.Equal(held, b.Bytes()) {
		return
	}
	i := 0
	for i < len(held) && i < b.Len() && held[i] == b.Bytes()[i] {
		i++
	}
	around := func(x []byte) string { return string(x[max(0, i-60):min(len(x), i+60)]) }
	if filepath.Ext(name) == ".png" {
		t.Errorf("%s is not what is drawn now (-update rewrites it)", path)
		return
	}
	t.Errorf("%s is not what is written now (-update rewrites it), from byte %d:\nheld: …%s…\nnow:  …%s…", path, i, around(held), around(b.Bytes()))
}
