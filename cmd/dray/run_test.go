package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/dray/loadcases"
)

// typed runs one command line in-process.
func typed(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(t.Context(), args, strings.NewReader(""), &out, &errs)
	return code, out.String(), errs.String()
}

func starterDir(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "cart")
	if code, _, stderr := typed(t, "new", dir); code != exitDone {
		t.Fatalf("new: exit %d, %s", code, stderr)
	}
	return dir
}

func TestAFailureLeavesNothingOnStdout(t *testing.T) {
	for _, line := range []string{"rank", "rank a b", "rank nosuch.yaml", "check nosuch.yaml 1", "rank nosuch.yaml --format xml",
		"rank x --units furlong", "rank x --width -3", "lint nosuch.csv", "lint x --format csv", "bogus", "--bogus", "new", "schema x"} {
		code, stdout, stderr := typed(t, strings.Fields(line)...)
		if code != exitInput || stdout != "" || !strings.HasPrefix(stderr, "dray: error: ") {
			t.Errorf("dray %s: exit %d, stdout %q, stderr %q", line, code, stdout, stderr)
		}
	}
}

func TestAnInterruptedRunSaysSoAndWritesNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errs bytes.Buffer
	code := run(ctx, []string{"rank", filepath.Join(starterDir(t), "case.yaml")}, nil, &out, &errs)
	if code != exitInterrupted || out.Len() > 0 || !strings.Contains(errs.String(), "interrupted") {
		t.Errorf("exit %d, stdout %q, stderr %q", code, out.String(), errs.String())
	}
}

// panicking is a stdin that breaks the program from inside.
type panicking struct{}

func (panicking) Read([]byte) (int, error) { panic("a wheel came off") }

func TestAPanicIsAnInternalFault(t *testing.T) {
	var out, errs bytes.Buffer
	code := run(t.Context(), []string{"rank", "-"}, panicking{}, &out, &errs)
	if code != exitFault || out.Len() > 0 || !strings.HasPrefix(errs.String(), "dray: internal fault: a wheel came off\ndray: hint: ") {
		t.Errorf("exit %d, stdout %q, stderr %q", code, out.String(), errs.String())
	}
}

// full is a disk without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestAnAnswerThatCannotBeWrittenIsNoSuccess(t *testing.T) {
	var errs bytes.Buffer
	if code := run(t.Context(), []string{"schema"}, nil, full{}, &errs); code != exitFault {
		t.Errorf("exit %d, %s", code, errs.String())
	}
}

func TestOpenersStayBelowTheirFolder(t *testing.T) {
	base := t.TempDir()
	folder := filepath.Join(base, "case")
	for name, text := range map[string]string{"secret.csv": "secret", "case/log.csv": "log", "case/sub/log.csv": "sublog"} {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(base, name)), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(base, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(filepath.Join(base, "secret.csv"), filepath.Join(folder, "link.csv")); err != nil {
		t.Skip("no symbolic links here")
	}
	open := confined(folder)
	for name, want := range map[string]string{"log.csv": "log", "sub/log.csv": "sublog", filepath.Join(folder, "log.csv"): "log"} {
		if data, err := open(name); err != nil || string(data) != want {
			t.Errorf("%s: %q, %v", name, data, err)
		}
	}
	for _, name := range []string{"../secret.csv", "link.csv", filepath.Join(base, "secret.csv"), "sub/../../secret.csv", ""} {
		if data, err := open(name); err == nil {
			t.Errorf("%q was opened: %q", name, data)
		}
	}
}

// One bad file per mistake: each must end in messages, never in an answer.
func TestEveryBadFileIsRefusedWhole(t *testing.T) {
	tables, _ := filepath.Glob("../../testdata/bad-catalogs/*.csv")
	cases, _ := filepath.Glob("../../testdata/bad-cases/*.yaml")
	if len(tables) == 0 || len(cases) == 0 {
		t.Fatal("no bad files found")
	}
	refused := func(args ...string) {
		code, stdout, stderr := typed(t, args...)
		if code != exitInput || stdout != "" || !strings.Contains(stderr, "dray: error: ") {
			t.Errorf("dray %s: exit %d, stdout %.200q, stderr %.300q", strings.Join(args, " "), code, stdout, stderr)
		}
	}
	for _, path := range tables {
		refused("lint", path)
	}
	for _, path := range cases {
		refused("lint", path)
		refused("rank", path)
	}
}

// The lenient look at a case and the reader's own must find the same files.
func TestCatalogsFoundAgreeWithTheReader(t *testing.T) {
	data, err := starter.ReadFile("starter/case.yaml")
	if err != nil {
		t.Fatal(err)
	}
	c, err := loadcases.Read("case.yaml", data, nil)
	if err != nil {
		t.Fatal(err)
	}
	found := catalogsNamed(data)
	for key, want := range map[string][]string{"motors": c.Catalogs.Motors, "gear_trains": c.Catalogs.GearTrains,
		"batteries": c.Catalogs.Batteries, "controllers": c.Catalogs.Controllers} {
		var got []string
		for _, a := range found.paths[key] {
			got = append(got, a.path)
		}
		if strings.Join(got, "|") != strings.Join(want, "|") {
			t.Errorf("%s: found %q, the reader has %q", key, got, want)
		}
	}
}

func TestTheStarterRanksWithAPassingCandidate(t *testing.T) {
	code, stdout, stderr := typed(t, "rank", filepath.Join(starterDir(t), "case.yaml"))
	if code != exitDone {
		t.Errorf("exit %d\n%s%s", code, stdout, stderr)
	}
	if !strings.Contains(stdout, "── passing ──") {
		t.Errorf("no candidate passes:\n%s", stdout)
	}
}

func FuzzAnyCaseEndsInAMessage(f *testing.F) {
	f.Add("mechanism: {wheels: {mass: 3}}")
	f.Add("catalogs: {motors: [a.csv, [b]], columns: {x: y}}\ncolumns: 3")
	f.Add("catalogs: &a\n  motors: *a")
	f.Fuzz(func(t *testing.T, text string) {
		var errs bytes.Buffer
		code := run(t.Context(), []string{"rank", "-"}, strings.NewReader(text), io.Discard, &errs)
		if code == exitFault {
			t.Fatalf("%q ends in %s", text, errs.String())
		}
	})
}
