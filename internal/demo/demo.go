// Package demo reads the demonstration cases for tests.
package demo

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
)

// path is the case file of a demo, wherever the test runs.
func path(name string) string {
	_, here, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(here), "..", "..", "testdata", name, "case.yaml")
}

// Text is the case file of a demo as it stands.
func Text(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(path(name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// Case reads the text of a demo, changed or not, as that demo's case.
func Case(t testing.TB, name, text string) *loadcases.Case {
	t.Helper()
	c, err := loadcases.Read(path(name), []byte(text), os.ReadFile)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Parts reads the catalogs that a case names.
func Parts(t testing.TB, c *loadcases.Case) *catalog.Catalog {
	t.Helper()
	files := catalog.Files{Open: os.ReadFile, Columns: c.Catalogs.Columns}
	for _, l := range []struct {
		names []string
		to    *[]catalog.CSV
	}{{c.Catalogs.Motors, &files.Motors}, {c.Catalogs.GearTrains, &files.GearTrains},
		{c.Catalogs.Batteries, &files.Batteries}, {c.Catalogs.Controllers, &files.Controllers}} {
		for _, name := range l.names {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			*l.to = append(*l.to, catalog.CSV{Name: name, Data: data})
		}
	}
	cat, err := catalog.Read(files)
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// Load reads a demo as it stands.
func Load(t testing.TB, name string) (*loadcases.Case, *catalog.Catalog) {
	t.Helper()
	c := Case(t, name, Text(t, name))
	return c, Parts(t, c)
}
