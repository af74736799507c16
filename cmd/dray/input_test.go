package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"github.com/google/go-cmp/cmp"
)

// TestTheInputPageIsTheReadersOwnTable regenerates the tables of docs/input.md
// between their marks from the tables the readers work from.
func TestTheInputPageIsTheReadersOwnTable(t *testing.T) {
	page := filepath.Join("..", "..", "docs", "input.md")
	data, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	got := between(t, string(data), "keys", keyTable())
	got = between(t, got, "columns", columnTables())
	if *update {
		if err := os.WriteFile(page, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(string(data), got); diff != "" {
		t.Errorf("docs/input.md is not what the readers know (-update rewrites it):\n%s", diff)
	}
}

// between replaces what stands between <!-- name --> and <!-- /name -->.
func between(t *testing.T, page, name, text string) string {
	t.Helper()
	open, shut := "<!-- "+name+" -->\n", "<!-- /"+name+" -->\n"
	head, rest, ok := strings.Cut(page, open)
	_, tail, ok2 := strings.Cut(rest, shut)
	if !ok || !ok2 {
		t.Fatalf("docs/input.md has no marks for %s", name)
	}
	return head + open + text + shut + tail
}

func keyTable() string {
	var b strings.Builder
	b.WriteString("| key | value | default | what |\n| --- | --- | --- | --- |\n")
	for _, k := range loadcases.Keys() {
		value := k.Kind
		if len(k.Units) > 0 {
			value += " (" + strings.Join(k.Units, ", ") + ")"
		}
		def := k.Default
		if k.Required {
			def = "needed"
		}
		help := k.Help
		if len(k.Only) > 0 {
			help += "; " + strings.Join(k.Only, ", ") + " only"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", k.Path, value, def, help)
	}
	return strings.ReplaceAll(b.String(), "<", "&lt;")
}

func columnTables() string {
	var b strings.Builder
	for _, s := range catalog.Sheets() {
		fmt.Fprintf(&b, "\n### %s\n\n| column | kind | unit where none is written | needed |\n| --- | --- | --- | --- |\n", s.Sort)
		for _, h := range s.Headings {
			needed := ""
			if h.Needed {
				needed = "yes"
			}
			fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", h.Name, h.Kind, h.Unit, needed)
		}
	}
	return b.String() + "\n"
}
