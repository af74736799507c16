package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/report"
	"example.org/dray/report/figures"
	"example.org/dray/report/review"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explain"
	"example.org/dray/sizing/explore"
	"github.com/spf13/cobra"
)

// reportFlags are the flags of the report command.
type reportFlags struct {
	out, units, date, paper string
	spread                  bool
	samples                 int
	seed                    uint64
}

func (s *session) reportCommand() *cobra.Command {
	var flags reportFlags
	cmd := &cobra.Command{
		Use:   "report CASE [PICK] -o FILE",
		Short: "write the design review: .html, .md, .pdf or .json",
		Long: strings.Join([]string{
			"Writes the design review of one candidate: the load case as understood, the field",
			"and the decision, every check, figures, the current path, firmware limits, jam,",
			"headroom, a commissioning sheet, and the inputs by their hashes. PICK is an id or a",
			"rank in digits; left out it is the first. The end of FILE says what is written:",
			"  .html  one file that needs nothing else and prints well",
			"  .md    Markdown, with its figures as PNG beside it",
			"  .pdf   printed by an installed Chromium",
			"  .json  the document as data, with the answers of check and rank",
		}, "\n"),
		Example: "  dray report cart/case.yaml -o review.html\n  dray report cart/case.yaml 3 --spread -o review.pdf --paper letter",
		Args:    takesOneOrTwo("CASE", "PICK"),
		RunE: func(cmd *cobra.Command, args []string) error {
			display, kind, err := flags.judge()
			if err != nil {
				return err
			}
			pick := "1"
			if len(args) == 2 {
				pick = args[1]
			}
			in, err := s.gather(cmd.Context(), args[0], pick, &flags, display)
			if err != nil {
				return err
			}
			return s.writeReview(cmd.Context(), in, &flags, kind)
		},
	}
	cmd.Flags().StringVarP(&flags.out, "output", "o", "", "file to write; its end says the kind: .html, .md, .pdf, .json")
	cmd.Flags().StringVar(&flags.units, "units", "si", "units of torques in tables and figures: si, metric or us; the load case is told in both worlds' units")
	cmd.Flags().StringVar(&flags.date, "date", "", "date to print, as written; without it none is printed and the same files give the same bytes")
	cmd.Flags().StringVar(&flags.paper, "paper", "", "a4 or letter; for .pdf the default is a4, for .html the printer's")
	cmd.Flags().BoolVar(&flags.spread, "spread", false, "also draw every figure within its tolerance, which takes a while")
	cmd.Flags().IntVar(&flags.samples, "samples", explore.SpreadSamples, "how many times with --spread")
	cmd.Flags().Uint64Var(&flags.seed, "seed", 1, "seed of the draws with --spread")
	cmd.Flags().BoolVar(&s.quiet, "quiet", false, "no progress and no notes on stderr")
	return cmd
}

// judge looks at the flags before any work is done.
func (f *reportFlags) judge() (display quantity.Display, kind string, err error) {
	display, ok := quantity.ParseDisplay(f.units)
	if !ok {
		return 0, "", wrongInput("--units %q is not known", f.units).hint("the units are si, metric, us")
	}
	if f.paper = strings.ToLower(f.paper); f.paper != "" && f.paper != "a4" && f.paper != "letter" {
		return 0, "", wrongInput("--paper %q is not known", f.paper).hint("the papers are a4 and letter")
	}
	if f.samples < 1 || f.samples > explore.MostSamples {
		return 0, "", wrongInput("--samples is %d, want 1 to %d", f.samples, explore.MostSamples)
	}
	kind, err = ending(f.out, "-o review.html", ".html", ".md", ".pdf", ".json")
	return display, kind, err
}

// ending checks that a file to write is named and ends in a known way.
func ending(out, example string, known ...string) (string, error) {
	if out == "" {
		return "", wrongInput("no file to write is named").hint("say where: %s", example)
	}
	end := strings.ToLower(filepath.Ext(out))
	for _, k := range known {
		if end == k {
			return end, nil
		}
	}
	return "", wrongInput("%s: %q says no kind of file", out, end).hint("the kinds are %s", strings.Join(known, ", "))
}

// gather asks the engine for everything a review is made of.
func (s *session) gather(ctx context.Context, path, pick string, flags *reportFlags, display quantity.Display) (*review.Inputs, error) {
	c, cat, files, err := s.loadHashed(path)
	if err != nil {
		return nil, err
	}
	field, k, err := s.examine(ctx, c, cat, path, pick)
	if err != nil {
		return nil, err
	}
	in := &review.Inputs{Field: field, Pick: k, Files: files, Version: version(), Date: flags.date, Display: display, Command: flags.again(path, k)}
	if in.Figures, err = figures.Gather(field, k, display); err != nil {
		return nil, err
	}
	if in.Demands, err = sizing.Demands(c); err != nil {
		return nil, err
	}
	if in.Ratios, err = explore.FindRatios(ctx, c, cat, k.Pick); err != nil {
		return nil, err
	}
	in.Figures.Window = review.WindowOf(in.Ratios)
	if in.Headroom, err = explore.FindHeadroom(ctx, c, k.Pick); err != nil {
		return nil, err
	}
	if in.Rejected, err = rejected(ctx, field, k, display); err != nil {
		return nil, err
	}
	if in.Hand, err = explain.Explain(field, k); err != nil {
		return nil, err
	}
	if flags.spread {
		bar := s.newProgress()
		in.Spread, err = explore.Spread(ctx, c, cat, explore.SpreadOptions{Samples: flags.samples, Seed: flags.seed, Pick: k.ID, Progress: bar.callback()})
		bar.end()
	}
	return in, err
}

// examine ranks the field with a progress bar and fills the pick's detail.
func (s *session) examine(ctx context.Context, c *loadcases.Case, cat *catalog.Catalog, path, pick string) (*sizing.Field, *sizing.Candidate, error) {
	field, err := s.rank(ctx, c, cat)
	if err != nil {
		return nil, nil, err
	}
	k, err := field.Find(pick)
	if err != nil {
		return nil, nil, explainPick(err, path)
	}
	j, err := sizing.NewJudge(c)
	if err != nil {
		return nil, nil, err
	}
	j.Detail(k)
	k.Detail.Choice = field.ChooseController(k)
	return field, k, nil
}

// rejected asks for the cheaper candidates what would save them.
func rejected(ctx context.Context, f *sizing.Field, k *sizing.Candidate, display quantity.Display) ([]review.Rejected, error) {
	var out []review.Rejected
	for _, c := range review.AskedAbout(f, k) {
		r := review.Rejected{Candidate: c}
		why, err := explore.WhyNot(ctx, f, c)
		if err != nil {
			return nil, err
		}
		if why != nil {
			for _, ch := range why.Changes {
				r.Changes = append(r.Changes, report.ChangeText(display, ch))
			}
		}
		out = append(out, r)
	}
	return out, nil
}

// again is the command that makes the report again.
func (f *reportFlags) again(path string, k *sizing.Candidate) string {
	words := []string{"dray", "report", path, k.ID, "-o", filepath.Base(f.out)}
	if f.units != "si" {
		words = append(words, "--units", f.units)
	}
	if f.spread {
		words = append(words, "--spread", "--samples", fmt.Sprint(f.samples), "--seed", fmt.Sprint(f.seed))
	}
	if f.date != "" {
		words = append(words, "--date", fmt.Sprintf("%q", f.date))
	}
	if f.paper != "" {
		words = append(words, "--paper", f.paper)
	}
	return strings.Join(words, " ")
}

// loadHashed loads a case and says by which bytes it can be known again.
func (s *session) loadHashed(path string) (*loadcases.Case, *catalog.Catalog, []review.File, error) {
	if path == "-" { // read once, used twice
		data, err := bounded(s.stdin, "stdin")
		if err != nil {
			return nil, nil, nil, wrongInput("%s", err.Error())
		}
		defer func(old io.Reader) { s.stdin = old }(s.stdin)
		s.stdin = bytes.NewReader(data)
		c, cat, err := s.load(path)
		if err != nil {
			return nil, nil, nil, err
		}
		s.stdin = bytes.NewReader(data)
		files, err := s.hashes(path)
		return c, cat, files, err
	}
	c, cat, err := s.load(path)
	if err != nil {
		return nil, nil, nil, err
	}
	files, err := s.hashes(path)
	return c, cat, files, err
}

func (s *session) hashes(path string) ([]review.File, error) {
	data, err := s.readCase(path)
	if err != nil {
		return nil, wrongInput("%s", err.Error())
	}
	s.stdin = bytes.NewReader(data)
	_, files, err := s.open(path)
	if err != nil {
		return nil, wrongInput("%s", err.Error())
	}
	out := []review.File{hashed(path, data)}
	for _, list := range [][]catalog.CSV{files.Motors, files.GearTrains, files.Batteries, files.Controllers} {
		for _, f := range list {
			out = append(out, hashed(f.Name, f.Data))
		}
	}
	return out, nil
}

func hashed(name string, data []byte) review.File {
	sum := sha256.Sum256(data)
	return review.File{Name: filepath.ToSlash(name), Bytes: len(data), SHA256: hex.EncodeToString(sum[:])}
}

// writeReview renders the review and puts it in place.
func (s *session) writeReview(ctx context.Context, in *review.Inputs, flags *reportFlags, kind string) error {
	doc := review.Compose(in)
	paper := map[string]review.Paper{"": review.AnyPaper, "a4": review.A4, "letter": review.Letter}[flags.paper]
	switch kind {
	case ".html":
		return s.place(flags.out, func(w io.Writer) error { return review.HTML(w, doc, paper) })
	case ".json":
		return s.place(flags.out, func(w io.Writer) error { return review.JSON(w, in, doc) })
	case ".pdf":
		if paper == review.AnyPaper {
			paper = review.A4
		}
		return s.printed(ctx, flags.out, func(w io.Writer) error { return review.HTML(w, doc, paper) })
	}
	stem := strings.TrimSuffix(filepath.Base(flags.out), filepath.Ext(flags.out))
	name := func(f *figures.Figure) string { return stem + "-" + f.Name + ".png" }
	for _, f := range doc.Figures() {
		if err := s.place(filepath.Join(filepath.Dir(flags.out), name(f)), f.PNG); err != nil {
			return err
		}
	}
	return s.place(flags.out, func(w io.Writer) error {
		return review.Markdown(w, doc, func(f *figures.Figure) string { return strings.ReplaceAll(name(f), " ", "%20") })
	})
}

// place writes a file beside its place and renames it, so that no half-written
// one is ever seen.
func (s *session) place(path string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	beside, err := os.CreateTemp(filepath.Dir(path), ".dray-*")
	if err != nil {
		return wrongInput("%s cannot be written: %v", path, plainReason(err))
	}
	defer os.Remove(beside.Name()) // gone already when all went well
	if _, err = beside.Write(b.Bytes()); err == nil {
		err = beside.Chmod(0o644)
	}
	if closed := beside.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(beside.Name(), path)
	}
	if err != nil {
		return wrongInput("%s cannot be written: %v", path, plainReason(err))
	}
	s.note("wrote " + path)
	return nil
}

// plainReason is a system error without the name of the temporary file.
func plainReason(err error) error {
	if inner, ok := err.(interface{ Unwrap() error }); ok && inner.Unwrap() != nil {
		return inner.Unwrap()
	}
	return err
}
