package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// A list that no longer fits the program would test nothing.
func TestEveryFaultFitsItsFileOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range faults() {
		data, err := os.ReadFile(filepath.Join("../..", f.file))
		if err != nil {
			t.Error(err)
			continue
		}
		if n := strings.Count(string(data), f.was); n != 1 {
			t.Errorf("%s: %q stands in %s %d times, want once: bring the list of faults up to date", f.what, f.was, f.file, n)
		}
		if f.was == f.now || seen[f.what] || len(f.rooms) == 0 {
			t.Errorf("%s: no fault, twice, or without tests", f.what)
		}
		seen[f.what] = true
	}
	if len(seen) < 25 {
		t.Errorf("only %d faults", len(seen))
	}
}

func TestTheCopyLeavesOutWhatNoTestNeeds(t *testing.T) {
	from, to := t.TempDir(), t.TempDir()
	for _, path := range []string{"a/b.go", ".git/config", "browser/x.go", "a/node_modules/y.js", "a/data.csv"} {
		full := filepath.Join(from, path)
		if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, []byte(path), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(from)
	if err := copyModule(".", to); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, path := range []string{"a/b.go", "a/data.csv", ".git/config", "browser/x.go", "a/node_modules/y.js"} {
		if _, err := os.Stat(filepath.Join(to, path)); err == nil {
			got = append(got, path)
		}
	}
	if !slices.Equal(got, []string{"a/b.go", "a/data.csv"}) {
		t.Errorf("copied %v", got)
	}
}
