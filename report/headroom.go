package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"

	"example.org/dray/sizing"
	"example.org/dray/sizing/explore"
)

// Headroom writes how far each quantity of the duty can go around a pick. It
// returns the writer's error, or an error that names an unknown format.
func Headroom(w io.Writer, f *sizing.Field, h *explore.Headroom, s Style) error {
	switch s.Format {
	case JSON:
		return writeJSON(w, headroomJSON(f, h))
	case CSV:
		return headroomCSV(w, h)
	case MD:
		s.Width = 0
		return writeMarkdown(w, headroomDocument(f, h, s))
	case Table, "":
		return writeText(w, headroomDocument(f, h, s), s)
	default:
		return unknownFormat(s.Format)
	}
}

// quantityNames are the quantities as people say them.
var quantityNames = map[string]string{"payload": "payload added", "incline": "incline", "speed": "speed", "acceleration": "acceleration",
	"air": "air temperature", "duty_share": "share in motion"}

// headroomDocument arranges the room around a pick for people.
func headroomDocument(f *sizing.Field, h *explore.Headroom, s Style) *document {
	c, r := h.Candidate, readout{s.Display}
	d := &document{title: titleOf(f, "headroom of "+c.ID)}
	d.warnings(f.Warnings)
	fails := c.Verdict == sizing.Fails
	if fails {
		d.paragraph(fmt.Sprintf("FAILS: %s. What must give for it to pass, each alone:", deciding(c).Sentence(c)))
	} else {
		if c.Verdict == sizing.Uncertain {
			d.warnings([]string{"the winding temperature is unknown, which is not a pass; the rows below are judged without it"})
		}
		d.paragraph(fmt.Sprintf("%s: nothing fails. How far each can rise alone until the first check fails:", c.Verdict))
	}
	g := &grid{columns: []column{{head: "quantity"}, {head: "now", right: true}, {head: "limit", right: true}, {head: "room", right: true},
		{head: "gives first", fit: wrap, min: 16}}}
	if fails {
		g.columns[4].head = "held back by"
	}
	for _, item := range h.Items {
		headroomRow(g, r, item)
	}
	d.table(g)
	var words []string
	for _, item := range h.Items {
		if item.Down && !math.IsNaN(item.Limit) {
			words = append(words, changeText(r, sizing.Change{Kind: item.Quantity, From: item.Now, To: item.Limit, Unit: item.Unit, Rests: item.Rests}))
		}
	}
	if fails && len(words) == 0 {
		d.paragraph("it cannot pass by any one of these alone; dray check says whether another part would do")
	}
	d.list(words)
	d.section("how this is meant")
	d.list(headroomRules(r, h))
	return d
}

func headroomRow(g *grid, r readout, item explore.Room) {
	name := quantityNames[item.Quantity]
	if math.IsNaN(item.Now) {
		g.row(name, absent, absent, absent, "does not apply: "+item.Reason)
		return
	}
	now, limit := quantityText(r, item.Unit, item.Now), quantityText(r, item.Unit, item.Limit)
	switch {
	case item.Down && math.IsNaN(item.Limit):
		g.row(name, now, absent, absent, "cannot pass by this alone, down to "+quantityText(r, item.Unit, item.End))
	case item.Gives < 0 && item.Reason == "":
		g.row(name, now, "none", absent, "nothing fails up to "+quantityText(r, item.Unit, item.End))
	case item.Gives < 0:
		g.row(name, now, limit, roomText(r, item), item.Reason)
	default:
		g.row(name, now, limit, roomText(r, item), sizing.CheckName(item.Gives).String())
		if item.Why != "" {
			g.remark("↳ " + item.Why)
		}
	}
}

// roomText is the way to the limit: a difference where a share of now says
// nothing, else a share.
func roomText(r readout, item explore.Room) string {
	way := item.Limit - item.Now
	sign := "+"
	if way < 0 {
		sign = "-"
	}
	switch {
	case item.Unit == "degC":
		u := quantityUnit(r, item.Unit, item.Now)
		return sign + amount(math.Abs(way)/u.Factor, u.Name)
	case item.Now == 0:
		return sign + quantityText(r, item.Unit, math.Abs(way))
	}
	return sign + percentOf(math.Abs(way/item.Now))
}

// headroomRules say what each quantity means and how far it was sought.
func headroomRules(r readout, h *explore.Headroom) []string {
	rules := []string{
		"one quantity changes at a time; everything else stays as asked",
		"payload is mass added to every leg; speed, incline and acceleration change on all legs in proportion, and the table shows the fastest, steepest, hardest leg; on a level duty every moving leg is tilted uphill; a move takes the less time",
		"the share in motion is the moving time over the cycle's, braking counted as motion; it rises by shorter rests and holds",
	}
	text := "sought as far as"
	sep := " "
	for _, item := range h.Items {
		if !math.IsNaN(item.End) {
			text += sep + quantityNames[item.Quantity] + " " + quantityText(r, item.Unit, item.End)
			sep = ", "
		}
	}
	return append(rules, text, "at the limit the pick still passes; 1 part in a million beyond it does not")
}

// The JSON of headroom.
type (
	jsonHeadroom struct {
		Title        string     `json:"title"`
		Warnings     []string   `json:"warnings"`
		ID           string     `json:"id"`
		Verdict      string     `json:"verdict"`
		FirstFailure *string    `json:"first_failure"`
		Items        []jsonRoom `json:"items"`
	}
	jsonRoom struct {
		Quantity string  `json:"quantity"`
		Now      number  `json:"now"`
		Limit    number  `json:"limit"`
		Unit     string  `json:"unit"`
		Gives    *string `json:"gives"`
		Reverse  bool    `json:"reverse"`
		RangeEnd number  `json:"range_end"`
		Rests    number  `json:"rests_times"`
		Why      *string `json:"why"`
		Note     *string `json:"note"`
	}
)

func headroomJSON(f *sizing.Field, h *explore.Headroom) jsonHeadroom {
	c := h.Candidate
	out := jsonHeadroom{Title: f.Title, Warnings: listed(f.Warnings), ID: c.ID, Verdict: c.Verdict.String(), FirstFailure: optional(failureName(c)), Items: []jsonRoom{}}
	for _, item := range h.Items {
		j := jsonRoom{Quantity: item.Quantity, Now: number(item.Now), Limit: number(item.Limit), Unit: item.Unit, Gives: optional(givesName(item.Gives)),
			Reverse: item.Down, RangeEnd: number(item.End), Rests: number(item.Rests), Why: optional(item.Why), Note: optional(item.Reason)}
		if item.Down && math.IsNaN(item.Limit) && item.Reason == "" {
			j.Note = optional("cannot pass by this alone")
		}
		out.Items = append(out.Items, j)
	}
	return out
}

// givesName is a check's name, empty for −1.
func givesName(check int) string {
	if check < 0 {
		return ""
	}
	return sizing.CheckName(check).String()
}

func headroomCSV(w io.Writer, h *explore.Headroom) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"candidate", "quantity", "now", "limit", "unit", "gives", "range_end", "note"}}
	for _, item := range h.Items {
		rows = append(rows, []string{h.Candidate.ID, item.Quantity, full(item.Now), full(item.Limit), item.Unit, givesName(item.Gives), full(item.End), item.Reason})
	}
	return out.WriteAll(rows)
}
