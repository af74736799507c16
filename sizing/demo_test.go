package sizing_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// demo reads a demo case with its catalogs.
func demo(t testing.TB, name string) (*loadcases.Case, *catalog.Catalog) {
	t.Helper()
	path := filepath.Join("..", "testdata", name, "case.yaml")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	c, err := loadcases.Read(path, data, os.ReadFile)
	if err != nil {
		t.Fatal(err)
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
				t.Fatal(err)
			}
			*l.to = append(*l.to, catalog.CSV{Name: n, Data: d})
		}
	}
	cat, err := catalog.Read(files)
	if err != nil {
		t.Fatal(err)
	}
	return c, cat
}

func BenchmarkRankCart(b *testing.B) {
	c, cat := demo(b, "cart")
	b.ReportAllocs()
	for b.Loop() {
		f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(f.Candidates)), "ns/candidate")
		b.ReportMetric(float64(len(f.Candidates)), "candidates")
	}
}
