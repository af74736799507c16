// Mutate puts one fault at a time into a copy of the module, runs the tests of
// the rooms it could reach and tells whether any noticed. Run it by hand from
// the module's root, when the machine has nothing else to do:
//
//	go run ./verify/mutate              every fault; writes verify/mutate/results.yaml
//	go run ./verify/mutate -only drive  only faults in files whose path holds the word; keeps the other results
package main

import (
	"context"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"
)

const resultsFile = "verify/mutate/results.yaml"

func main() {
	only := flag.String("only", "", "part of the path of the files whose faults are tried")
	limit := flag.Duration("timeout", 4*time.Minute, "for the tests of one room")
	flag.Parse()
	if err := run(*only, *limit); err != nil {
		fmt.Fprintln(os.Stderr, "mutate: error:", err)
		os.Exit(1)
	}
}

func run(only string, limit time.Duration) error {
	if _, err := os.Stat("go.mod"); err != nil {
		return fmt.Errorf("go.mod is not here: run it from the module's root")
	}
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	if err := copyModule(".", dir); err != nil {
		return err
	}
	t := trial{dir: dir, limit: limit}
	if err := t.sound(only); err != nil {
		return err
	}
	results, err := earlier()
	if err != nil {
		return err
	}
	survived := 0
	for _, f := range faults() {
		if !strings.Contains(f.file, only) {
			continue
		}
		by, err := t.fault(f)
		if err != nil {
			return err
		}
		word := "caught by " + by
		if by == "" {
			survived++
			word = "SURVIVED"
		}
		fmt.Printf("%-60s %s\n", f.what, word)
		results[f.what] = result{File: f.file, Was: f.was, Fault: f.now, What: f.what, Caught: by != "", By: by}
		if err := record(results); err != nil {
			return err
		}
	}
	fmt.Printf("%d survived\n", survived)
	return nil
}

// result is what became of one fault.
type result struct {
	File   string
	Was    string
	Fault  string
	What   string
	Caught bool
	By     string
}

// earlier reads the results of the last runs, by what the fault is called.
func earlier() (map[string]result, error) {
	results := map[string]result{}
	data, err := os.ReadFile(resultsFile)
	if os.IsNotExist(err) {
		return results, nil
	}
	var list []result
	if err == nil {
		err = yaml.Load(data, &list)
	}
	for _, r := range list {
		results[r.What] = r
	}
	return results, err
}

// record writes the results in the order of the faults; those of faults that
// are no longer tried, or have changed, are dropped.
func record(results map[string]result) error {
	var out strings.Builder
	out.WriteString("# Written by go run ./verify/mutate; docs/verification.md prints it.\n")
	for _, f := range faults() {
		r, ok := results[f.what]
		if !ok || r.Was != f.was || r.Fault != f.now || r.File != f.file {
			continue
		}
		fmt.Fprintf(&out, "- {file: %s, was: %q, fault: %q, what: %q, caught: %v, by: %q}\n", r.File, r.Was, r.Fault, r.What, r.Caught, r.By)
	}
	return os.WriteFile(resultsFile, []byte(out.String()), 0o644)
}

// copyModule copies the source tree without what no Go test needs.
func copyModule(from, to string) error {
	return filepath.WalkDir(from, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := entry.Name()
		if entry.IsDir() {
			if path != from && (strings.HasPrefix(name, ".") || name == "browser" || name == "node_modules" || name == "fuzz") {
				return filepath.SkipDir
			}
			return os.MkdirAll(filepath.Join(to, path), 0o777)
		}
		info, err := entry.Info()
		if err != nil || !info.Mode().IsRegular() || info.Size() > 4<<20 {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, path), data, 0o666)
	})
}

// trial is a copy of the module in which faults are tried.
type trial struct {
	dir   string
	limit time.Duration
}

// sound makes sure that the tests pass before anything is broken.
func (t *trial) sound(only string) error {
	seen := map[string]bool{}
	for _, f := range faults() {
		if !strings.Contains(f.file, only) {
			continue
		}
		for _, room := range f.rooms {
			if seen[room] {
				continue
			}
			seen[room] = true
			by, err := t.test(room)
			if err != nil {
				return err
			}
			if by != "" {
				return fmt.Errorf("%s fails without any fault: %s", room, by)
			}
		}
	}
	return nil
}

// fault tries one and puts the file right again. by is the first test that
// noticed, empty when none did.
func (t *trial) fault(f fault) (by string, err error) {
	path := filepath.Join(t.dir, f.file)
	whole, err := os.ReadFile(path)
	if err != nil {
		return "", err
	}
	if n := strings.Count(string(whole), f.was); n != 1 {
		return "", fmt.Errorf("%s: %q stands there %d times: the list of faults is stale", f.file, f.was, n)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(string(whole), f.was, f.now, 1)), 0o666); err != nil {
		return "", err
	}
	for _, room := range f.rooms {
		if by, err = t.test(room); by != "" || err != nil {
			break
		}
	}
	if err != nil {
		err = fmt.Errorf("%s: %q for %q: %w", f.file, f.now, f.was, err)
	}
	if wrong := os.WriteFile(path, whole, 0o666); err == nil {
		err = wrong
	}
	return by, err
}

var failure = regexp.MustCompile(`(?m)^\s*--- FAIL: (\S+)`)

// test runs the tests of one room and names the first that fails. Tests that
// only compare a written page or table with what is found are left out: they
// would notice anything, and understand nothing.
func (t *trial) test(room string) (by string, err error) {
	ctx, cancel := context.WithTimeout(context.Background(), t.limit)
	defer cancel()
	cmd := exec.CommandContext(ctx, "go", "test", "-short", "-count=1", "-failfast",
		"-skip", "PageIsCurrent|TableIsCurrent|LastMutationRun|Simulator|Manual|Damaged", "./"+room)
	cmd.Dir = t.dir
	out, err := cmd.CombinedOutput()
	text := string(out)
	switch {
	case err == nil:
		return "", nil
	case strings.Contains(text, "[build failed]") || strings.Contains(text, "[setup failed]"):
		return "", fmt.Errorf("%s does not build:\n%s", room, text)
	case ctx.Err() != nil:
		return room + ": no end within " + t.limit.String(), nil
	}
	all := failure.FindAllStringSubmatch(text, -1)
	if len(all) == 0 {
		if strings.Contains(text, "panic:") {
			return room + ": panic", nil
		}
		return "", fmt.Errorf("%s fails without a test that does:\n%s", room, text)
	}
	name := all[0][1]
	for _, m := range all { // the innermost of the first chain
		if strings.HasPrefix(m[1], name) {
			name = m[1]
		}
	}
	return room + ": " + name, nil
}
