package sizing_test

import (
	"math"
	"strings"
	"testing"

	"example.org/dray/internal/demo"
	"example.org/dray/sizing"
)

// sentences are all words of a detail.
func sentences(d *sizing.Detail) []string {
	out := []string{d.Start.Sentence, d.Reversal.Sentence, d.LossNote, d.Ripple.Sentence, d.Jam.Why}
	out = append(out, d.Source.Sentences...)
	out = append(out, d.Firmware.Notes...)
	for j := &d.Jam; j != nil; j = j.Single {
		out = append(append(out, j.Notes...), j.Protects...)
		for _, ev := range j.Events {
			out = append(out, ev.What)
		}
	}
	for _, e := range d.Envelope.Elements {
		out = append(out, e.Sentence)
	}
	if d.Leads != nil {
		out = append(out, d.Leads.Sentence)
		for _, w := range d.Leads.Wires {
			out = append(out, w.Sentence)
		}
	}
	for _, b := range d.Fuse {
		out = append(out, b.Sentence)
	}
	if d.Pivot != nil {
		out = append(out, d.Pivot.Sentence)
	}
	return out
}

// No detail of any candidate speaks of a number that is none, and what it tells
// hangs together.
func TestEveryDetailSpeaksInNumbers(t *testing.T) {
	for _, name := range []string{"cart", "arm", "hoist"} {
		c, cat := demo.Load(t, name)
		picks, err := sizing.Picks(c, cat)
		if err != nil {
			t.Fatal(err)
		}
		judge, err := sizing.NewJudge(c)
		if err != nil {
			t.Fatal(err)
		}
		for i := 0; i < len(picks); i += 1 + len(picks)/40 {
			k := &sizing.Candidate{Pick: picks[i]}
			judge.Detail(k)
			for _, s := range sentences(k.Detail) {
				if s == "" || strings.Contains(s, "NaN") || strings.Contains(s, "Inf") || strings.Contains(s, "%!") {
					t.Errorf("%s %s: %q", name, k.ID, s)
				}
			}
			coherent(t, name+" "+k.ID, k)
		}
	}
}

func coherent(t *testing.T, what string, k *sizing.Candidate) {
	t.Helper()
	d := k.Detail
	if d.Reversal.Current < d.Start.Current*(1-1e-9) {
		t.Errorf("%s: a reversal draws less than a start: %g A, %g A", what, d.Reversal.Current, d.Start.Current)
	}
	if d.Start.BusAtReserve > d.Start.BusVoltage*(1+1e-9) {
		t.Errorf("%s: the reserve gives a higher bus than full charge", what)
	}
	if l := d.Start.TamedByLimit; l > d.Start.Current || d.Firmware.CurrentLimit <= 0 {
		t.Errorf("%s: limits of %g A and %g A", what, l, d.Firmware.CurrentLimit)
	}
	for i := 1; i < len(d.Jam.Events); i++ {
		if d.Jam.Events[i].After < d.Jam.Events[i-1].After {
			t.Errorf("%s: jam events out of order", what)
		}
	}
	// A single jammed motor meets the stiffer bus; the fuse sees less.
	if s := d.Jam.Single; s != nil && (s.Current < d.Jam.Current*(1-1e-9) || s.BatteryCurrent > d.Jam.BatteryCurrent*(1+1e-9)) {
		t.Errorf("%s: one alone %g A of %g, all %g A of %g", what, s.Current, s.BatteryCurrent, d.Jam.Current, d.Jam.BatteryCurrent)
	}
	if !math.IsNaN(d.Source.Here) && d.Source.Here > d.Source.Label*(1+1e-9) {
		t.Errorf("%s: more charge than the label says", what)
	}
	if len(d.Source.Sags) == 2 && math.Abs(d.Source.Sags[1].Bus-k.BusVoltageMin) > 1e-9 {
		t.Errorf("%s: sag at reserve %g V, lowest bus %g V", what, d.Source.Sags[1].Bus, k.BusVoltageMin)
	}
	sum := 0.0
	for _, l := range d.Losses {
		sum += l.Share
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("%s: shares sum to %g", what, sum)
	}
}
