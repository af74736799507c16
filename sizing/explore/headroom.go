package explore

import (
	"context"
	"errors"
	"math"
	"sync"

	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// Room is how far one quantity of the duty can go before the verdict turns.
//
// For a pick that fails nothing, Limit is the value upwards at which the first
// check fails, named by Gives; Gives is −1 and Limit the range's end where none
// does. For a pick that fails (Down), Limit is the nearest value downwards at
// which nothing fails any more, named by the check that is the last to give
// way; NaN, with Gives −1, where none in the range is.
type Room struct {
	Quantity string // payload, incline, speed, acceleration, air, duty_share
	Unit     string // kg, rad, m/s or rad/s, m/s^2 or rad/s^2, degC, 1
	Now      float64
	Limit    float64
	Gives    int     // a sizing.CheckName, or −1
	Down     bool    // the pick fails, and less is sought
	End      float64 // of the range searched
	Why      string  // the sentence of the check beyond the limit
	Reason   string  // why the quantity does not apply, or where the search had to stop; Now and Limit are NaN then
	Rests    float64 // of a duty share: the factor on every rest and hold at the limit
	Cost     float64 // of a Down: the relative change asked, for ordering
}

// Headroom is the room of every quantity around a pick.
type Headroom struct {
	Candidate *sizing.Candidate
	Items     []Room
}

// FindHeadroom searches all six quantities around a pick. Edges are bracketed by
// a scan and narrowed to 1e-6; where passing and failing alternate the first
// change from the case as it stands counts. The error is the context's, or what
// keeps the duty from being laid out.
func FindHeadroom(ctx context.Context, c *loadcases.Case, p sizing.Pick) (*Headroom, error) {
	j, err := sizing.NewJudge(c)
	if err != nil {
		return nil, err
	}
	out := &Headroom{Candidate: new(sizing.Candidate)}
	j.Evaluate(p, out.Candidate)
	plan, err := c.Plan()
	if err != nil {
		return nil, err
	}
	knobs := knobsOf(c, &plan)
	out.Items = make([]Room, len(knobs))
	var wg sync.WaitGroup
	for i := range knobs {
		wg.Go(func() {
			t := turning{ctx: ctx, c: c, pick: p, knob: &knobs[i]}
			out.Items[i] = t.room(out.Candidate)
		})
	}
	wg.Wait()
	return out, ctx.Err()
}

// turning searches one knob.
type turning struct {
	ctx  context.Context
	c    *loadcases.Case
	pick sizing.Pick
	knob *knob

	judges [2]*sizing.Judge // made when first asked
}

// turned is the case at a setting of the knob.
func (t *turning) turned(setting float64) *loadcases.Case {
	c := t.c.Clone()
	t.knob.turn(c, setting)
	return c
}

// judged evaluates the pick at a setting with one of the two judges.
func (t *turning) judged(judge int, setting float64, out *sizing.Candidate) error {
	if t.ctx.Err() != nil {
		return t.ctx.Err()
	}
	c := t.turned(setting)
	j := t.judges[judge]
	var err error
	if j == nil {
		j, err = sizing.NewJudge(c)
	} else {
		err = j.Switch(c)
	}
	if err != nil {
		return err
	}
	t.judges[judge] = j
	j.Evaluate(t.pick, out)
	return nil
}

// with is a probe that uses one of the two judges.
func (t *turning) with(judge int) probe {
	return func(setting float64) look {
		var c sizing.Candidate
		if err := t.judged(judge, setting, &c); err != nil {
			return look{at: setting, fault: err}
		}
		return lookAt(setting, &c)
	}
}

// at evaluates with the first judge.
func (t *turning) at(setting float64) look { return t.with(0)(setting) }

// room finds the first change of the verdict: upwards for a pick that fails
// nothing, downwards for one that fails.
func (t *turning) room(now *sizing.Candidate) Room {
	k := t.knob
	r := Room{Quantity: k.quantity, Unit: k.unit, Now: k.now, Limit: math.NaN(), Gives: -1, Down: now.Verdict == sizing.Fails, End: math.NaN(), Rests: math.NaN()}
	if k.reason != "" {
		r.Now, r.Reason = math.NaN(), k.reason
		return r
	}
	settings := k.up
	if r.Down {
		settings = k.down
	}
	if len(settings) == 0 {
		r.End = k.now
		if !r.Down {
			r.Limit = k.now
		}
		return r
	}
	end := settings[len(settings)-1]
	r.End = k.value(t.turned(end), end)
	here := lookAt(k.setting, now)
	from, to, found := t.change(here, settings)
	if !found {
		if !r.Down {
			r.Limit, r.Rests = r.End, t.rests(end)
		}
		return r
	}
	t.limit(&r, from, to)
	return r
}

// change is the first pair of neighbours of a scan whose verdicts differ. A dip
// between two passing neighbours that nearly fails is looked into.
func (t *turning) change(here look, settings []float64) (from, to look, found bool) {
	started := here.least(allChecks) < 0
	before, last := here, here
	for i, s := range settings {
		next := t.at(s)
		if m := last.least(allChecks); i > 0 && !started && m < nearlyFails && m <= before.least(allChecks) && m <= next.least(allChecks) {
			if dip, ok := t.dip(before, last, next); ok {
				return before, dip, true
			}
		}
		if (next.least(allChecks) < 0) != started {
			return last, next, true
		}
		before, last = last, next
	}
	return from, to, false
}

// dip seeks a failure around the lowest of three passing looks.
func (t *turning) dip(a, b, c look) (look, bool) {
	if a.at > c.at {
		a, c = c, a
	}
	l := climb(t.at, a, b, c, func(l *look) float64 { return -l.least(allChecks) }, 1e-3, 1e-12)
	return l, l.least(allChecks) < 0
}

// limit narrows a change to its edge and names what gives.
func (t *turning) limit(r *Room, from, to look) {
	pass, fail := from, to
	if r.Down {
		pass, fail = to, from
	}
	least := edgeTolerance * 1e-3 * math.Abs(to.at-t.knob.setting)
	pass, fail = edge(t.with(0), t.with(1), pass, fail, allChecks, least)
	r.Limit = t.knob.value(t.turned(pass.at), pass.at)
	r.Rests = t.rests(pass.at)
	r.Gives = fail.first(allChecks)
	var c sizing.Candidate
	if err := t.judged(0, fail.at, &c); err != nil {
		r.Reason = "beyond it: " + err.Error()
		if legs := (*loadcases.LegError)(nil); errors.As(err, &legs) {
			r.Reason = "beyond it the duty cannot be commanded: " + legs.Text
		}
		return
	}
	r.Why = sentenceOf(&c, r.Gives)
}

// rests is the factor on rests and holds, NaN for another knob.
func (t *turning) rests(setting float64) float64 {
	if t.knob.quantity != "duty_share" {
		return math.NaN()
	}
	return setting
}
