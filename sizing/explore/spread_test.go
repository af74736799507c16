package explore_test

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/sizing/explore"
)

// spreadDemo reads a demo case, its text changed, with its catalogs.
func spreadDemo(t testing.TB, name string, change func(text string) string) (*loadcases.Case, *catalog.Catalog) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", name, "case.yaml")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	c, err := loadcases.Read(path, []byte(change(string(data))), os.ReadFile)
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

func asIs(text string) string { return text }

func TestTime(t *testing.T) {
	c, cat := spreadDemo(t, "cart", asIs)
	r, err := explore.Spread(context.Background(), c, cat, explore.SpreadOptions{Samples: 500, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", r.LeftOut)
	st := 0
	for i, k := range r.Candidates {
		if k.Stopped {
			st++
		}
		if i < 3 {
			t.Logf("%s %v %v±%v worst %v %+v", k.Candidate.ID, k.FirstShare, k.PassShare, k.PassHalf, k.Worst, k.Matters[:4])
		}
	}
	t.Log(len(r.Candidates), st, r.Jumps, r.Held)
	_ = math.Pi
	_ = reflect.DeepEqual
}
