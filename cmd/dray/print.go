package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"time"
)

// browsers are the names under which a Chromium is installed.
func browsers() []string {
	return []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome"}
}

// printLimit is how long printing may take.
const printLimit = 2 * time.Minute

// printed writes a page to a temporary file, has an installed Chromium print it
// and puts the PDF in place. CHROMIUM names another program to use.
func (s *session) printed(ctx context.Context, path string, page func(io.Writer) error) error {
	program, err := browser()
	if err != nil {
		return wrongInput("no Chromium to print %s with", path).
			hint("write the .html instead, open it in any browser and choose print, then save as PDF").
			hint("or install Chromium; the variable CHROMIUM may name its program")
	}
	folder, err := os.MkdirTemp("", "dray-print-")
	if err != nil {
		return wrongInput("cannot print: %v", plainReason(err))
	}
	defer os.RemoveAll(folder)
	from, to := filepath.Join(folder, "review.html"), filepath.Join(folder, "review.pdf")
	var b bytes.Buffer
	if err := page(&b); err != nil {
		return err
	}
	if err := os.WriteFile(from, b.Bytes(), 0o600); err != nil {
		return wrongInput("cannot print: %v", plainReason(err))
	}
	ctx, cancel := context.WithTimeout(ctx, printLimit)
	defer cancel()
	args := []string{"--headless=new", "--disable-gpu", "--no-first-run", "--no-pdf-header-footer", "--user-data-dir=" + filepath.Join(folder, "profile"), "--print-to-pdf=" + to}
	if os.Geteuid() == 0 { // Chromium's sandbox does not run for root; the page is our own, without script
		args = append(args, "--no-sandbox")
	}
	cmd := exec.CommandContext(ctx, program, append(args, "file://"+filepath.ToSlash(from))...)
	said, err := cmd.CombinedOutput()
	if err != nil {
		return wrongInput("%s could not print: %v%s", filepath.Base(program), err, lastLine(said)).
			hint("write the .html instead, open it in any browser and choose print")
	}
	pdf, err := os.ReadFile(to)
	if err != nil || !bytes.HasPrefix(pdf, []byte("%PDF")) {
		return wrongInput("%s printed nothing%s", filepath.Base(program), lastLine(said)).
			hint("write the .html instead, open it in any browser and choose print")
	}
	return s.place(path, func(w io.Writer) error { _, err := w.Write(timeless(pdf)); return err })
}

// browser finds the Chromium to print with.
func browser() (string, error) {
	if named := os.Getenv("CHROMIUM"); named != "" {
		return exec.LookPath(named)
	}
	for _, name := range browsers() {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errors.New("none found")
}

// pdfDates are the two moments a PDF records, in Chromium's own form.
var pdfDates = regexp.MustCompile(`/(CreationDate|ModDate) \(D:[0-9]{14}[^)]*\)`)

// timeless blanks the moments of making with digits of the same length, so that
// the same review prints to the same bytes.
func timeless(pdf []byte) []byte {
	return pdfDates.ReplaceAllFunc(pdf, func(m []byte) []byte {
		out := bytes.Clone(m)
		at := bytes.Index(out, []byte("D:")) + 2
		copy(out[at:], "20000101000000")
		return out
	})
}

// lastLine is the last thing a program said, for an error message.
func lastLine(said []byte) string {
	lines := bytes.Split(bytes.TrimSpace(said), []byte("\n"))
	if last := bytes.TrimSpace(lines[len(lines)-1]); len(last) > 0 {
		return fmt.Sprintf(": %.200s", last)
	}
	return ""
}
