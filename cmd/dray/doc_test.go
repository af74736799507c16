package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite the console blocks of README.md and docs/*.md")

// TestTheManualIsTrue runs every "$ dray …" line of the console blocks in the
// manual, in a folder of its own that holds a copy of testdata, and compares
// what follows. A line "..." stands for any number of lines; "$ echo $?" shows
// the exit code; lines that start with another command are not run.
func TestTheManualIsTrue(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	pages, err := filepath.Glob(filepath.Join(root, "docs", "*.md"))
	if err != nil {
		t.Fatal(err)
	}
	pages = append([]string{filepath.Join(root, "README.md")}, pages...)
	for _, page := range pages {
		data, err := os.ReadFile(page)
		if os.IsNotExist(err) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		t.Run(filepath.Base(page), func(t *testing.T) {
			room := t.TempDir()
			if err := os.CopyFS(filepath.Join(room, "testdata"), os.DirFS(filepath.Join(root, "testdata"))); err != nil {
				t.Fatal(err)
			}
			t.Chdir(room)
			got := rerun(t, string(data))
			if *update {
				if err := os.WriteFile(page, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if diff := cmp.Diff(string(data), got); diff != "" {
				t.Errorf("the manual is not what happens (-update rewrites it):\n%s", diff)
			}
		})
	}
}

// rerun returns a page with the output of its console blocks as it is now.
// Output that agrees, elisions counted in, stays as written.
func rerun(t *testing.T, page string) string {
	var out, written []string
	console, command, lastCode := false, "", 0
	settle := func() {
		if command != "" {
			var actual []string
			actual, lastCode = executed(t, command, lastCode)
			if !agrees(written, actual) {
				written = actual
			}
		}
		out = append(out, written...)
		command, written = "", nil
	}
	for _, line := range strings.Split(page, "\n") {
		switch {
		case !console:
			console = strings.TrimSpace(line) == "```console"
			out = append(out, line)
		case strings.TrimSpace(line) == "```":
			settle()
			console = false
			out = append(out, line)
		case strings.HasPrefix(line, "$ "):
			settle()
			out = append(out, line)
			if typed := line[2:]; strings.HasPrefix(typed, "dray ") || typed == "dray" || typed == "echo $?" {
				command = typed
			}
		default:
			written = append(written, line)
		}
	}
	settle()
	return strings.Join(out, "\n")
}

// executed runs a command line and returns the lines a terminal would show.
func executed(t *testing.T, command string, lastCode int) ([]string, int) {
	if command == "echo $?" {
		return []string{fmt.Sprint(lastCode)}, 0
	}
	var screen bytes.Buffer
	code := run(t.Context(), words(command)[1:], strings.NewReader(""), &screen, &screen)
	if screen.Len() == 0 {
		return nil, code
	}
	return strings.Split(strings.TrimSuffix(screen.String(), "\n"), "\n"), code
}

// words splits a command line at blanks; quotes keep blanks together.
func words(line string) []string {
	var list []string
	var word strings.Builder
	var quote rune
	open := false
	for _, r := range line {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote == 0 && (r == '\'' || r == '"'):
			quote, open = r, true
		case quote == 0 && r == ' ':
			if open {
				list = append(list, word.String())
			}
			word.Reset()
			open = false
		default:
			word.WriteRune(r)
			open = true
		}
	}
	if open {
		list = append(list, word.String())
	}
	return list
}

// agrees compares lines; "..." in want stands for any number of them.
func agrees(want, got []string) bool {
	at := slices.Index(want, "...")
	if at < 0 {
		return slices.Equal(want, got)
	}
	if len(got) < at || !slices.Equal(want[:at], got[:at]) {
		return false
	}
	for skip := at; skip <= len(got); skip++ {
		if agrees(want[at+1:], got[skip:]) {
			return true
		}
	}
	return false
}

func TestTheManualCheckSeesADifference(t *testing.T) {
	page := "text\n```console\n$ dray bogus\ndray: error: unknown command \"bogus\"\n...\n$ echo $?\n2\n$ ls\nfile\n```\n"
	if got := rerun(t, page); got != page {
		t.Errorf("a true page was changed to %q", got)
	}
	wrong := strings.Replace(page, "\n2\n", "\n0\n", 1)
	if got := rerun(t, wrong); got != page {
		t.Errorf("a wrong exit code was left as %q", got)
	}
	if !slices.Equal(words(`dray a "b c" 'd' ''`), []string{"dray", "a", "b c", "d", ""}) {
		t.Errorf("words: %q", words(`dray a "b c" 'd' ''`))
	}
}
