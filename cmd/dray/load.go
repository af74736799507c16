package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// mostBytes bounds a file read from disk; the readers have closer bounds.
const mostBytes = 65 << 20

// load reads a case and its catalogs. Everything wrong with all of them is
// told in one error.
func (s *session) load(path string) (*loadcases.Case, *catalog.Catalog, error) {
	c, files, err := s.open(path)
	var wrong []string
	if err != nil {
		wrong = append(wrong, err.Error())
	}
	var cat *catalog.Catalog
	if files != nil {
		var faults error
		if cat, faults = catalog.Read(*files); faults != nil {
			wrong = append(wrong, faults.Error())
		}
	}
	if len(wrong) > 0 {
		return nil, nil, wrongInput("%s", strings.Join(wrong, "\n"))
	}
	if doubts := countDoubts(cat.Findings); doubts > 0 {
		s.note(fmt.Sprintf("the catalogs leave %s; dray lint %s shows them", plural(doubts, "doubt"), path))
	}
	return c, cat, nil
}

// rank ranks the field of a case, with a bar where the job lasts.
func (s *session) rank(ctx context.Context, c *loadcases.Case, cat *catalog.Catalog) (*sizing.Field, error) {
	bar := s.newProgress()
	defer bar.end()
	return sizing.Rank(ctx, c, cat, sizing.Options{Progress: bar.callback()})
}

func countDoubts(found []catalog.Finding) (n int) {
	for _, f := range found {
		if f.Severity >= catalog.Warning {
			n++
		}
	}
	return n
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// open reads the bytes of a case and of every catalog it names. The files come
// back as far as they could be read even when the case is faulty, so that
// their faults can be told too; the case is nil then.
func (s *session) open(path string) (*loadcases.Case, *catalog.Files, error) {
	data, err := s.readCase(path)
	if err != nil {
		return nil, nil, err
	}
	name := path
	if path == "-" {
		name = "stdin"
	}
	home := filepath.Dir(path)
	var wrong []string
	c, err := loadcases.Read(name, data, confined(home))
	if err != nil {
		wrong = append(wrong, err.Error())
	}
	asked := catalogsNamed(data)
	files := &catalog.Files{Columns: asked.columns, Open: asked.opener(home)}
	if c != nil {
		files.Columns = c.Catalogs.Columns
	}
	for _, sort := range []struct {
		key  string
		into *[]catalog.CSV
	}{{"motors", &files.Motors}, {"gear_trains", &files.GearTrains}, {"batteries", &files.Batteries}, {"controllers", &files.Controllers}} {
		for _, a := range asked.paths[sort.key] {
			file := a.path
			if !filepath.IsAbs(file) {
				file = filepath.Join(home, file)
			}
			content, err := readFile(file)
			if err != nil {
				wrong = append(wrong, fmt.Sprintf("%s:%d: catalogs.%s: %v", name, a.line, sort.key, err))
				continue
			}
			*sort.into = append(*sort.into, catalog.CSV{Name: file, Data: content})
		}
	}
	if len(wrong) > 0 {
		return nil, files, errors.New(strings.Join(wrong, "\n"))
	}
	return c, files, nil
}

// readCase reads the case file; "-" is stdin.
func (s *session) readCase(path string) ([]byte, error) {
	if path == "-" {
		return bounded(s.stdin, "stdin")
	}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		if _, err := os.Stat(filepath.Join(path, "case.yaml")); err == nil {
			return nil, fmt.Errorf("%s is a folder, want a case file; did you mean %s?", path, filepath.Join(path, "case.yaml"))
		}
	}
	return readFile(path)
}

// readFile reads a plain file with messages a person can use.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s is a folder, want a file", path)
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, plainly(path, err)
	}
	defer file.Close()
	return bounded(file, path)
}

func bounded(r io.Reader, name string) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, plainly(name, err)
	}
	if len(data) > mostBytes {
		return nil, fmt.Errorf("%s is larger than %d MB, which no case or catalog is", name, mostBytes>>20)
	}
	return data, nil
}

// plainly says what the system said, without its jargon.
func plainly(path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s does not exist", path)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s may not be read: permission denied", path)
	default:
		var inner *fs.PathError
		if errors.As(err, &inner) {
			err = inner.Err
		}
		return fmt.Errorf("%s cannot be read: %w", path, err)
	}
}

// confined opens files beside or below a folder and nowhere else, so that a
// case or catalog from elsewhere cannot reach the rest of the disk. Names are
// taken relative to the folder, or already joined to it.
func confined(folder string) func(name string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		var inside []string
		if rel, err := filepath.Rel(folder, name); err == nil && filepath.IsLocal(rel) {
			inside = append(inside, rel)
		}
		if filepath.IsLocal(name) {
			inside = append(inside, name)
		}
		if len(inside) == 0 {
			return nil, fmt.Errorf("%s lies outside %s, and only files beside or below may be named here", name, folder)
		}
		root, err := os.OpenRoot(folder)
		if err != nil {
			return nil, plainly(folder, err)
		}
		defer root.Close()
		var first error
		for _, rel := range inside {
			file, err := root.Open(rel)
			if err == nil {
				defer file.Close()
				return bounded(file, rel)
			}
			if first == nil {
				first = plainly(name, err)
			}
		}
		return nil, first
	}
}
