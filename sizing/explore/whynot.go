package explore

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// WhyNot says what a candidate of a field fails and which single changes would
// save it: less of one quantity of the duty, another fuse, connector or wire,
// or one part swapped for another of the field. It is nil for a candidate that
// fails nothing.
//
// The order of the changes is a convention: wiring; a change of the duty by less
// than 5 %; one part swapped, the ratio before controller, battery and motor;
// greater changes of the duty. The error is the context's, or what keeps the duty
// from being laid out.
func WhyNot(ctx context.Context, f *sizing.Field, k *sizing.Candidate) (*sizing.Reasons, error) {
	if k.Verdict != sizing.Fails {
		return nil, nil
	}
	r := &sizing.Reasons{}
	for i := range k.Checks {
		if c := &k.Checks[i]; c.Verdict == sizing.Fails {
			r.Fails = append(r.Fails, sizing.Reason{Name: c.Name, Margin: c.Margin, Why: c.Sentence(k)})
		}
	}
	wiring, err := rewired(f.Case, k)
	if err != nil {
		return nil, err
	}
	room, err := FindHeadroom(ctx, f.Case, k.Pick)
	if err != nil {
		return nil, err
	}
	small, great := eased(f.Case, room)
	r.Changes = slices.Concat(wiring, small, swapped(f, k), great)
	return r, nil
}

// smallChange is the relative change of the duty that comes before a part swapped.
const smallChange = 0.05

// Beyond mostChange of a quantity, or rests mostRests times as long, a change is
// another machine and not proposed.
const (
	mostChange = 0.9
	mostRests  = 10
)

// eased lists the changes of the duty that would do, smallest first.
func eased(c *loadcases.Case, h *Headroom) (small, great []sizing.Change) {
	for _, r := range h.Items {
		if !r.Down || math.IsNaN(r.Limit) {
			continue
		}
		ch := sizing.Change{Kind: r.Quantity, From: r.Now, To: r.Limit, Unit: r.Unit, Rests: r.Rests, Size: relative(c, &r)}
		switch {
		case ch.Size < smallChange:
			small = append(small, ch)
		case r.Quantity == "duty_share" && ch.Size <= mostRests-1, r.Quantity != "duty_share" && ch.Size <= mostChange:
			great = append(great, ch)
		}
	}
	bySize := func(a, b sizing.Change) int { return cmp.Compare(a.Size, b.Size) }
	slices.SortStableFunc(small, bySize)
	slices.SortStableFunc(great, bySize)
	return small, great
}

// relative is the size of a change for ordering: of speed, acceleration and
// incline the share, of payload the share of all that is moved, of rests the
// share by which they are longer, of the air a hundredth per 0.5 K.
func relative(c *loadcases.Case, r *Room) float64 {
	switch r.Quantity {
	case "payload":
		carried := 0.0
		for i := range c.Legs {
			carried = math.Max(carried, c.Legs[i].Payload)
		}
		return -r.Limit / (ownMass(c) + carried)
	case "air":
		return (r.Now - r.Limit) / 50
	case "duty_share":
		return r.Rests - 1
	}
	return 1 - r.Limit/r.Now
}

// fuseSizes are the ratings blade fuses come in, A: common practice, no source.
var fuseSizes = [...]float64{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40, 50, 60, 70, 80, 100, 125, 150}

// wireSections are the sections wire comes in, mm²: IEC 60228.
var wireSections = [...]float64{0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50}

// thickestAWG is the thickest wire proposed, AWG 2.
const thickestAWG = 2

// rewiring tries other fuses, connectors and wires on one candidate.
type rewiring struct {
	c       *loadcases.Case
	k       *sizing.Candidate
	failing look
}

// rewired lists the changes of fuse, connector and wire that would do, alone.
func rewired(c *loadcases.Case, k *sizing.Candidate) ([]sizing.Change, error) {
	r := rewiring{c, k, lookAt(0, k)}
	var out []sizing.Change
	for _, try := range []func() (*sizing.Change, error){r.fuse, r.connector, r.supplyLead, r.motorLead} {
		ch, err := try()
		if err != nil {
			return nil, err
		}
		if ch != nil {
			out = append(out, *ch)
		}
	}
	return out, nil
}

// passes evaluates the candidate with a changed supply.
func (r *rewiring) passes(change func(*loadcases.Supply)) (bool, error) {
	d := r.c.Clone()
	change(&d.Supply)
	j, err := sizing.NewJudge(d)
	if err != nil {
		return false, err
	}
	var out sizing.Candidate
	j.Evaluate(r.k.Pick, &out)
	return out.Verdict <= sizing.Tight, nil
}

// fuse is the next larger one that does.
func (r *rewiring) fuse() (*sizing.Change, error) {
	f := r.c.Supply.Fuse
	if f == nil || r.failing.failing() != setOf(sizing.CheckFuse) {
		return nil, nil
	}
	for _, a := range fuseSizes {
		if a <= float64(f.Rating)*(1+1e-9) {
			continue
		}
		ok, err := r.passes(func(s *loadcases.Supply) { s.Fuse.Rating = quantity.Current(a) })
		if ok || err != nil {
			return &sizing.Change{Kind: "fuse", From: float64(f.Rating), To: a, Unit: "A", Rests: math.NaN()}, err
		}
	}
	return nil, nil
}

// connector is the class current that is needed.
func (r *rewiring) connector() (*sizing.Change, error) {
	c := r.c.Supply.Connector
	if c == nil || r.failing.failing() != setOf(sizing.CheckConnector) {
		return nil, nil
	}
	need := float64(c.Rating) * (1 - r.failing.margin[sizing.CheckConnector])
	ok, err := r.passes(func(s *loadcases.Supply) { s.Connector.Rating = quantity.Current(need * (1 + 1e-9)) })
	if !ok || err != nil {
		return nil, err
	}
	return &sizing.Change{Kind: "connector", From: float64(c.Rating), To: need, Unit: "A", Rests: math.NaN()}, nil
}

func (r *rewiring) supplyLead() (*sizing.Change, error) {
	return r.lead("supply lead", func(s *loadcases.Supply) *loadcases.Lead { return s.SupplyLead })
}

func (r *rewiring) motorLead() (*sizing.Change, error) {
	return r.lead("motor lead", func(s *loadcases.Supply) *loadcases.Lead { return s.MotorLead })
}

// lead is the next thicker one that does. Only what a lead's resistance or
// ampacity may mend is tried.
func (r *rewiring) lead(kind string, at func(*loadcases.Supply) *loadcases.Lead) (*sizing.Change, error) {
	lead := at(&r.c.Supply)
	mends := setOf(sizing.CheckLead, sizing.CheckVoltageDrop, sizing.CheckBrownOut, sizing.CheckSpeed, sizing.CheckRuntime)
	if lead == nil || r.failing.failing()&^mends != 0 {
		return nil, nil
	}
	for _, g := range thicker(lead.Gauge) {
		ok, err := r.passes(func(s *loadcases.Supply) { at(s).Gauge = g })
		if ok || err != nil {
			return &sizing.Change{Kind: kind, From: math.NaN(), To: math.NaN(), Rests: math.NaN(), Words: gaugeText(lead.Gauge) + " to " + gaugeText(g)}, err
		}
	}
	return nil, nil
}

// thicker lists the next sizes of wire, in the system the gauge is written in.
func thicker(g quantity.Gauge) (out []quantity.Gauge) {
	if g.Section > 0 {
		for _, mm2 := range wireSections {
			if mm2*1e-6 > float64(g.Section)*(1+1e-6) {
				out = append(out, quantity.Gauge{Section: quantity.Area(mm2 * 1e-6)})
			}
		}
		return out
	}
	for n := math.Ceil(g.AWG) - 1; n >= thickestAWG; n-- {
		if math.Mod(n, 2) == 0 { // the even ones are those sold
			out = append(out, quantity.Gauge{AWG: n})
		}
	}
	return out
}

func gaugeText(g quantity.Gauge) string {
	if g.Section > 0 {
		return quantity.Significant(float64(g.Section)*1e6, 3) + " mm²"
	}
	return fmt.Sprintf("%g AWG", g.AWG)
}

// swapped lists for each kind of part the best candidate of the field that
// passes and differs in that part alone; of ratios the nearest.
func swapped(f *sizing.Field, k *sizing.Candidate) []sizing.Change {
	best := map[string]*sizing.Candidate{}
	for i := range f.Candidates {
		c := &f.Candidates[i]
		if c.Verdict > sizing.Tight {
			continue
		}
		kind := differs(&k.Pick, &c.Pick)
		if old := best[kind]; old == nil || kind == "ratio" && turns(k, c) < turns(k, old) {
			best[kind] = c
		}
	}
	var out []sizing.Change
	for _, kind := range []string{"ratio", "further stage", "controller", "battery", "motor"} {
		if c := best[kind]; c != nil {
			out = append(out, sizing.Change{Kind: kind, From: math.NaN(), To: math.NaN(), Rests: math.NaN(), Words: swap(kind, k, c), ID: c.ID})
		}
	}
	return out
}

// turns is how far two total ratios lie apart, in the logarithm.
func turns(a, b *sizing.Candidate) float64 { return math.Abs(math.Log(a.TotalRatio / b.TotalRatio)) }

// differs names the one part two picks differ in; empty for none or several.
// Another train for the same motor, or another row of its family, is its ratio.
func differs(a, b *sizing.Pick) string {
	var kinds []string
	if a.Motor.ID != b.Motor.ID || trainID(a) != trainID(b) {
		if Family(a.Motor, b.Motor) {
			kinds = append(kinds, "ratio")
		} else {
			kinds = append(kinds, "motor")
		}
	}
	if stageID(a) != stageID(b) {
		kinds = append(kinds, "further stage")
	}
	if a.Battery != b.Battery {
		kinds = append(kinds, "battery")
	}
	if a.Controller != b.Controller {
		kinds = append(kinds, "controller")
	}
	if len(kinds) != 1 {
		return ""
	}
	return kinds[0]
}

func trainID(p *sizing.Pick) string {
	if p.Train == nil {
		return ""
	}
	return p.Train.ID
}

func stageID(p *sizing.Pick) string {
	if p.Stage == nil {
		return ""
	}
	return p.Stage.ID
}

// swap says which part goes and which comes.
func swap(kind string, a, b *sizing.Candidate) string {
	name := func(c *sizing.Candidate) string {
		switch kind {
		case "further stage":
			return cmp.Or(stageID(&c.Pick), "none")
		case "battery":
			return c.Battery.ID
		case "controller":
			return c.Controller.ID
		}
		p := c.Pick
		p.Stage = nil
		return drives(p)
	}
	text := name(a) + " to " + name(b)
	if kind == "ratio" || kind == "further stage" {
		text += fmt.Sprintf(" (in all %s:1 to %s:1)", quantity.Significant(a.TotalRatio, 3), quantity.Significant(b.TotalRatio, 3))
	}
	return text
}
