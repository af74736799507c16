package report

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// whyNot lists what a rejected candidate fails and what would save it.
func (cs checkSections) whyNot() {
	if cs.c.Detail == nil || cs.c.Detail.Reasons == nil {
		return
	}
	r := cs.c.Detail.Reasons
	cs.d.section("why not, and what would save it")
	var fails []string
	for _, f := range r.Fails {
		fails = append(fails, failText(f))
	}
	cs.d.paragraph("fails " + strings.Join(fails, "; "))
	if len(r.Changes) == 0 {
		cs.d.paragraph("no single change saves it: neither less of one thing asked, nor another fuse, wire or connector, nor one part swapped")
		return
	}
	items := make([]string, len(r.Changes))
	for i, ch := range r.Changes {
		items[i] = changeText(cs.r, ch)
	}
	cs.d.paragraph("any one of these would do, the smallest first:")
	cs.d.list(items)
}

// failText is a failed check with how much it fails by, or the check alone
// where a share says nothing.
func failText(f sizing.Reason) string {
	switch {
	case math.IsNaN(f.Margin) || math.IsInf(f.Margin, 0):
		return f.Name.String()
	case f.Name == sizing.CheckSpeed:
		return "speed (" + f.Why + ")"
	}
	return fmt.Sprintf("%s by %s", f.Name, percentOf(-f.Margin))
}

// changeText says one change in plain words, in the display's units.
func changeText(r readout, ch sizing.Change) string {
	from, to := quantityText(r, ch.Unit, ch.From), quantityText(r, ch.Unit, ch.To)
	switch ch.Kind {
	case "payload":
		return fmt.Sprintf("carry %s less on every leg", quantityText(r, ch.Unit, -ch.To))
	case "incline":
		return fmt.Sprintf("less steep: %s at most instead of %s, the other slopes in proportion", to, from)
	case "speed":
		return fmt.Sprintf("slower: %s at most instead of %s, %s less on every leg", to, from, percentOf(1-ch.To/ch.From))
	case "acceleration":
		return fmt.Sprintf("gentler: accelerate with %s instead of %s", to, from)
	case "air":
		return fmt.Sprintf("cooler air: %s instead of %s", to, from)
	case "duty_share":
		return fmt.Sprintf("longer rests and holds: %s times as long, so that the machine moves for %s of the cycle instead of %s", figure(ch.Rests), to, from)
	case "fuse", "connector":
		return fmt.Sprintf("a %s of %s instead of %s", ch.Kind, to, from)
	case "supply lead", "motor lead":
		return fmt.Sprintf("a thicker %s: %s", ch.Kind, ch.Words)
	}
	return fmt.Sprintf("another %s: %s, which is %s", ch.Kind, ch.Words, ch.ID)
}

// quantityUnit is the unit of the display for a quantity of headroom.
func quantityUnit(r readout, unit string, size float64) scale {
	switch unit {
	case "kg":
		return scale{r.display.Unit(quantity.KindMass, size)}
	case "rad":
		return scale{quantity.Metric.Unit(quantity.KindIncline, size)}
	case "m/s^2":
		return scale{r.display.Unit(quantity.KindAcceleration, size)}
	case "rad/s^2":
		return scale{quantity.DisplayUnit{Name: "rad/s²", Factor: 1}}
	}
	return r.scale(unit, size)
}

// quantityText writes a quantity of headroom; an incline in degrees and per cent.
func quantityText(r readout, unit string, si float64) string {
	u := quantityUnit(r, unit, si)
	switch {
	case math.IsNaN(si):
		return absent
	case unit == "rad" && math.Abs(si) < math.Pi/2-1e-9:
		return u.number(si) + "°" + glue + "=" + glue + percentOf(math.Tan(si))
	case unit == "rad":
		return u.number(si) + "°"
	}
	return u.with(si)
}

// The JSON of the reasons.
type (
	jsonReasons struct {
		Fails    []jsonReason `json:"fails"`
		Changes  []jsonChange `json:"changes"`
		Smallest *string      `json:"smallest"`
	}
	jsonReason struct {
		Name   string `json:"name"`
		Margin number `json:"margin"`
		Why    string `json:"why"`
	}
	jsonChange struct {
		Kind      string  `json:"kind"`
		From      number  `json:"from"`
		To        number  `json:"to"`
		Unit      *string `json:"unit"`
		Rests     number  `json:"rests_times"`
		Candidate *string `json:"candidate"`
		Text      string  `json:"text"`
	}
)

// whyNotJSON is nil for a candidate that fails nothing, or was not asked about.
func whyNotJSON(c *sizing.Candidate) *jsonReasons {
	if c.Detail == nil || c.Detail.Reasons == nil {
		return nil
	}
	out := &jsonReasons{Fails: []jsonReason{}, Changes: []jsonChange{}}
	for _, f := range c.Detail.Reasons.Fails {
		out.Fails = append(out.Fails, jsonReason{f.Name.String(), number(f.Margin), f.Why})
	}
	for _, ch := range c.Detail.Reasons.Changes {
		text := strings.ReplaceAll(changeText(readout{}, ch), glue, " ")
		out.Changes = append(out.Changes, jsonChange{ch.Kind, number(ch.From), number(ch.To), optional(ch.Unit), number(ch.Rests), optional(ch.ID), text})
	}
	if len(out.Changes) > 0 {
		out.Smallest = &out.Changes[0].Text
	}
	return out
}
