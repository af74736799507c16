package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/sizing/explore"
)

// Spread writes what tolerances do to a field, or to one pick of it. It returns
// the writer's error, or an error that names an unknown format.
func Spread(w io.Writer, r *explore.SpreadResult, s Style) error {
	switch s.Format {
	case JSON:
		return writeJSON(w, spreadJSON(r))
	case CSV:
		return spreadCSV(w, r)
	case MD:
		s.Width, s.Top = 0, 0
		return writeMarkdown(w, spreadDocument(r, s))
	case Table, "":
		return writeText(w, spreadDocument(r, s), s)
	default:
		return unknownFormat(s.Format)
	}
}

// spreadDocument arranges a spread for people: one candidate in detail, more in
// a table.
func spreadDocument(r *explore.SpreadResult, s Style) *document {
	d := &document{title: titleOf(r.Field, "what the tolerances do")}
	d.warnings(r.Field.Warnings)
	if r.Partial {
		d.warnings([]string{fmt.Sprintf("partial: interrupted after %d of %d samples", r.Done, r.Samples)})
	}
	d.paragraph(fmt.Sprintf("%d samples, Latin hypercube, seed %d; the same seed gives the same answer", r.Done, r.Seed))
	d.warnings(r.Jumps)
	if len(r.Candidates) == 1 {
		spreadOne(d, &r.Candidates[0], s)
	} else {
		spreadMany(d, r, s)
	}
	if notes := append(spreadLeftOut(r), r.Held...); len(notes) > 0 {
		d.section("notes")
		d.list(append(notes, spreadRules()...))
	}
	return d
}

// spreadRules are the conventions behind the numbers.
func spreadRules() []string {
	return []string{
		"every input is uniform between its ends: stated tolerances and ranges as written; listed figures, and those derived from them, ± 10 %; estimated heat data ± 40 %; an assumed pack resistance ± 50 %; an efficiency ± 10 %, never above 1; figures the case states without a tolerance are held",
		"each catalog row is drawn on its own, figures of the case are common to all candidates",
		"passes: the share of samples that fail nothing; first: the share in which it ranks first; margins are shares of the limit left",
	}
}

func spreadLeftOut(r *explore.SpreadResult) (out []string) {
	say := func(n int, text string) {
		if n > 0 {
			out = append(out, fmt.Sprintf("%d candidates left out: %s", n, text))
		}
	}
	say(r.LeftOut.FarOff, "they fail by more than tolerances could mend (three times a limit, or three fifths of the speed missing)")
	say(r.LeftOut.Corners, "they fail even with every input at the end that helps")
	say(r.LeftOut.Unknown, "their winding temperature is unknown, so no sample can pass")
	return out
}

// spreadMany tabulates the candidates in nominal order.
func spreadMany(d *document, r *explore.SpreadResult, s Style) {
	if len(r.Candidates) == 0 {
		d.paragraph("no candidate passes in any sample")
		return
	}
	g := &grid{columns: []column{{head: "#", right: true}, {head: "candidate", fit: shorten, min: 20}, {head: "passes\n%", right: true},
		{head: "±", right: true}, {head: "first\n%", right: true}, {head: "worst\n5 %", right: true}, {head: "margin\n95 %", right: true}, {head: "matters most", fit: shorten, min: 16}}}
	most := 1
	if s.Format == MD || s.width() >= wideFrom {
		most = 3
	}
	if s.Format == MD {
		for i := range g.columns {
			g.columns[i].head = strings.ReplaceAll(g.columns[i].head, "\n", " ")
		}
	}
	hidden, stopped := 0, false
	for i := range r.Candidates {
		c := &r.Candidates[i]
		if s.Top > 0 && i >= s.Top {
			hidden++
			continue
		}
		half := figure(round2(100 * c.PassHalf))
		if c.Stopped {
			half += "*"
			stopped = true
		}
		g.row(strconv.Itoa(c.Candidate.Rank), c.Candidate.ID, percent(c.PassShare), half, percent(c.FirstShare),
			percent(c.Worst.P05), percent(c.Worst.P95), mostly(c, most))
	}
	d.table(g)
	if hidden > 0 {
		d.paragraph(fmt.Sprintf("… and %d more (--all)", hidden))
	}
	if stopped {
		d.paragraph("* stopped after the first samples, because it seldom passes there: its shares are coarse")
	}
	d.paragraph("matters most: Spearman's rank correlation of an input with the worst margin; − means that more of it harms")
}

// round2 keeps two significant digits, enough for an uncertainty.
func round2(x float64) float64 {
	v, err := strconv.ParseFloat(quantity.Significant(x, 2), 64)
	if err != nil {
		return x
	}
	return v
}

// mostly names the few inputs that move a candidate's worst margin most.
func mostly(c *explore.SpreadCandidate, most int) string {
	var parts []string
	for _, m := range c.Matters {
		if len(parts) < most && math.Abs(m.RankCorrelation) >= 0.2 {
			parts = append(parts, inputName(m.Input)+glue+signed(m.RankCorrelation))
		}
	}
	if len(parts) == 0 {
		return absent
	}
	return strings.Join(parts, ", ")
}

func signed(x float64) string {
	if math.IsNaN(x) {
		return absent
	}
	text := strconv.FormatFloat(math.Abs(x), 'f', 2, 64)
	if x < 0 {
		return "−" + text
	}
	return "+" + text
}

// inputName reads a dotted path: "mechanism.wheels.mass" is "mass",
// "motor.gear_efficiency" is "gear efficiency".
func inputName(path string) string {
	parts := strings.Split(path, ".")
	switch {
	case len(parts) > 2 && parts[0] == "mechanism":
		parts = parts[2:]
	case len(parts) > 1 && parts[0] != "battery" && parts[0] != "controller" && path != "motor.resistance" && path != "motor.k":
		parts = parts[1:]
	}
	if path == "gear_train.efficiency" {
		parts = []string{"gear efficiency"}
	}
	return strings.ReplaceAll(strings.Join(parts, " "), "_", " ")
}

// spreadOne shows one candidate's bands and what moves them.
func spreadOne(d *document, c *explore.SpreadCandidate, s Style) {
	d.paragraph(fmt.Sprintf("%s (nominally %s, rank %d): passes in %s ± %s points of the samples, ranks first in %s",
		c.Candidate.ID, c.Candidate.Verdict, c.Candidate.Rank, percentOf(c.PassShare), figure(round2(100*c.PassHalf)), percentOf(c.FirstShare)))
	d.section("bands of each check: 5 %, median and 95 % of the samples")
	wide := s.Format == MD || s.width() >= wideFrom
	g := &grid{columns: []column{{head: "check", fit: shorten, min: 18}, {head: "margin 5 %", right: true}, {head: "50 %", right: true},
		{head: "95 %", right: true}, {head: "value 5 %", right: true}, {head: "95 %", right: true}, {head: "unit"}, {head: "fails %", right: true}}}
	if wide {
		g.columns = slices.Insert(g.columns, 5, column{head: "50 %", right: true})
	}
	read := readout{s.Display}
	for _, k := range c.Checks {
		u := read.scale(k.Unit, largest(k.Value.P05, k.Value.P95))
		cells := cellsOf(k.Name.String(), percent(k.Margin.P05), percent(k.Margin.P50), percent(k.Margin.P95),
			u.number(k.Value.P05), u.number(k.Value.P95), u.Name, percent(k.Fails))
		if wide {
			cells = slices.Insert(cells, 5, gridCell{text: u.number(k.Value.P50)})
		}
		g.add(cells)
	}
	d.table(g)
	d.section("what matters most to the worst margin")
	m := &grid{columns: []column{{head: "input", fit: shorten, min: 22}, {head: "of", fit: shorten, min: 10}, {head: "within"}, {head: "basis"},
		{head: "rank\ncorr.", right: true}, {head: "at low\n%", right: true}, {head: "at high\n%", right: true}}}
	if s.Format == MD {
		for i, name := range []string{"input", "of", "within", "basis", "rank correlation", "worst margin at low %", "at high %"} {
			m.columns[i].head = name
		}
	}
	for _, in := range c.Matters {
		of := in.Row
		if of == "" {
			of = "case"
		}
		m.row(inputName(in.Input), of, within(in), in.Basis.String(), signed(in.RankCorrelation), percent(in.AtLow), percent(in.AtHigh))
	}
	d.table(m)
	d.paragraph("at low and at high: the worst margin, in per cent, with this input alone at that end and everything else nominal")
}

// within writes a tolerance as a share of the nominal value where it is one to
// both sides, else as its two ends in SI.
func within(m explore.SpreadMatter) string {
	up, down := m.High-m.Nominal, m.Nominal-m.Low
	if m.Nominal != 0 && math.Abs(up-down) <= 1e-9*math.Abs(up) {
		return "±" + glue + percentOf(math.Abs(up/m.Nominal))
	}
	return figure(m.Low) + " … " + figure(m.High)
}

// spreadCSV writes one row per candidate and check.
func spreadCSV(w io.Writer, r *explore.SpreadResult) error {
	out := csv.NewWriter(w)
	if err := out.Write([]string{"rank", "id", "samples", "pass_share", "first_share", "check", "p05", "p50", "p95", "value_p05", "value_p50", "value_p95", "unit", "fail_share"}); err != nil {
		return err
	}
	for i := range r.Candidates {
		c := &r.Candidates[i]
		for _, k := range c.Checks {
			row := []string{strconv.Itoa(c.Candidate.Rank), c.Candidate.ID, strconv.Itoa(c.Samples), full(c.PassShare), full(c.FirstShare), k.Name.String(),
				full(k.Margin.P05), full(k.Margin.P50), full(k.Margin.P95), full(k.Value.P05), full(k.Value.P50), full(k.Value.P95), k.Unit, full(k.Fails)}
			if err := out.Write(row); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

// The JSON shapes of a spread. p05, p50 and p95 of a check are margins.
type (
	jsonSpread struct {
		Title      string             `json:"title"`
		Samples    int                `json:"samples"`
		Asked      int                `json:"samples_asked"`
		Seed       uint64             `json:"seed"`
		Partial    bool               `json:"partial"`
		Warnings   []string           `json:"warnings"`
		Footnotes  []string           `json:"footnotes"`
		LeftOut    jsonSpreadLeftOut  `json:"left_out"`
		Candidates []jsonSpreadMember `json:"candidates"`
	}
	jsonSpreadLeftOut struct {
		FarOff  int `json:"fail_by_far"`
		Corners int `json:"fail_at_the_kind_ends"`
		Unknown int `json:"unknown"`
	}
	jsonSpreadMember struct {
		ID         string             `json:"id"`
		Rank       int                `json:"rank"`
		Verdict    string             `json:"verdict"`
		Samples    int                `json:"samples"`
		Stopped    bool               `json:"stopped"`
		PassShare  number             `json:"pass_share"`
		PassHalf   number             `json:"pass_share_half_width"`
		FirstShare number             `json:"first_share"`
		Worst      jsonBand           `json:"worst_margin"`
		Checks     []jsonSpreadCheck  `json:"checks"`
		Matters    []jsonSpreadMatter `json:"matters"`
	}
	jsonBand struct {
		P05 number `json:"p05"`
		P50 number `json:"p50"`
		P95 number `json:"p95"`
	}
	jsonSpreadCheck struct {
		Name string `json:"name"`
		jsonBand
		Value jsonBand `json:"value"`
		Unit  string   `json:"unit"`
		Fails number   `json:"fail_share"`
	}
	jsonSpreadMatter struct {
		Input           string  `json:"input"`
		Row             *string `json:"row"`
		RankCorrelation number  `json:"rank_correlation"`
		Nominal         number  `json:"nominal"`
		Low             number  `json:"low"`
		High            number  `json:"high"`
		Basis           string  `json:"basis"`
		AtLow           number  `json:"worst_margin_at_low"`
		AtHigh          number  `json:"worst_margin_at_high"`
	}
)

func bandJSON(b explore.Band) jsonBand { return jsonBand{number(b.P05), number(b.P50), number(b.P95)} }

func spreadJSON(r *explore.SpreadResult) jsonSpread {
	out := jsonSpread{Title: r.Field.Title, Samples: r.Done, Asked: r.Samples, Seed: r.Seed, Partial: r.Partial,
		Warnings: listed(append(append([]string(nil), r.Field.Warnings...), r.Jumps...)), Footnotes: listed(append(spreadLeftOut(r), r.Held...)),
		LeftOut: jsonSpreadLeftOut{r.LeftOut.FarOff, r.LeftOut.Corners, r.LeftOut.Unknown}, Candidates: make([]jsonSpreadMember, len(r.Candidates))}
	for i := range r.Candidates {
		c := &r.Candidates[i]
		m := jsonSpreadMember{ID: c.Candidate.ID, Rank: c.Candidate.Rank, Verdict: c.Candidate.Verdict.String(), Samples: c.Samples, Stopped: c.Stopped,
			PassShare: number(c.PassShare), PassHalf: number(c.PassHalf), FirstShare: number(c.FirstShare), Worst: bandJSON(c.Worst),
			Checks: make([]jsonSpreadCheck, len(c.Checks)), Matters: make([]jsonSpreadMatter, len(c.Matters))}
		for j, k := range c.Checks {
			m.Checks[j] = jsonSpreadCheck{k.Name.String(), bandJSON(k.Margin), bandJSON(k.Value), k.Unit, number(k.Fails)}
		}
		for j, k := range c.Matters {
			m.Matters[j] = jsonSpreadMatter{k.Input, optional(k.Row), number(k.RankCorrelation), number(k.Nominal), number(k.Low), number(k.High),
				k.Basis.String(), number(k.AtLow), number(k.AtHigh)}
		}
		out.Candidates[i] = m
	}
	return out
}
