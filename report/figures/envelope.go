package figures

import (
	"fmt"
	"math"
	"slices"

	"example.org/dray/sizing"
)

// envelope lays the duty's worst rms in every window over what each element of
// the current path stands for that long, both axes logarithmic.
func (s *Source) envelope() *Figure {
	env := &s.Pick.Detail.Envelope
	p := Panel{Heading: "rms current, A", X: Axis{Label: "window, s", Log: true}, Y: Axis{Log: true}, Height: 300}
	looks := []struct {
		t Tone
		d Dash
	}{{Blue, Long}, {Rust, Short}, {Moss, DashDot}, {Plum, DashDotDot}, {Grey, Dotted}, {Blue, DashDot}, {Rust, DashDotDot}}
	k := 0
	for i := range env.Elements {
		e := &env.Elements[i]
		if e.Stands == nil {
			continue
		}
		l := looks[k%len(looks)]
		k++
		p.Lines = append(p.Lines, finite(Line{Label: e.Name, X: env.Windows, Y: e.Stands, Tone: l.t, Dash: l.d, Anchor: noAnchor()}))
	}
	for _, d := range duties(env) {
		p.Lines = append(p.Lines, Line{Label: d.name, X: env.Windows, Y: d.amps, Tone: Ink, Dash: d.dash, Heavy: true, Anchor: noAnchor()})
	}
	p.Y.Min, p.Y.Max = envelopeRange(env)
	for i := range p.Lines {
		p.Lines[i].Anchor = p.Lines[i].X[len(p.Lines[i].X)-1]
	}
	f := &Figure{Name: "envelope", Title: "Current over time: the duty's worst rms in every window against what each element stands", Panels: []Panel{p},
		Key: []string{"thick lines: what the duty asks for; thin lines: what each element stands for that long; the motor's curve is what brings its winding from air temperature to its limit at standstill, and is judged by winding temperature alone"}}
	f.Finding = envelopeFinding(env)
	f.Tables = []Table{envelopeTable(env)}
	return f
}

// finite drops the windows for which an element stands any current.
func finite(l Line) Line {
	var x, y []float64
	for i := range l.X {
		if !math.IsInf(l.Y[i], 0) && !math.IsNaN(l.Y[i]) {
			x, y = append(x, l.X[i]), append(y, l.Y[i])
		}
	}
	if len(x) == 0 {
		x, y = l.X[:1], []float64{math.NaN()}
	}
	l.X, l.Y = x, y
	return l
}

// drawnDuty is a duty curve that several elements share.
type drawnDuty struct {
	name string
	amps []float64
	dash Dash
}

// duties are the different duty curves: the pack's, one motor's, and a
// channel's where several motors share it.
func duties(env *sizing.Envelope) []drawnDuty {
	var out []drawnDuty
	for i := range env.Elements {
		e := &env.Elements[i]
		if slices.ContainsFunc(out, func(d drawnDuty) bool { return alike(d.amps, e.Duty) }) {
			continue
		}
		name := "duty, pack"
		switch e.Name {
		case "controller":
			name = "duty, channel"
			for _, o := range env.Elements {
				if o.Name == "motor" && alike(o.Duty, e.Duty) {
					name = "duty, motor"
				}
			}
		case "motor", "motor lead":
			name = "duty, motor"
		}
		out = append(out, drawnDuty{name, e.Duty, [...]Dash{Solid, Long, DashDot}[len(out)%3]})
	}
	return out
}

func alike(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) <= 1e-6*math.Abs(y) })
}

// envelopeRange keeps the duty and the ends of the withstand curves in sight,
// and lets what is far above run out at the top.
func envelopeRange(env *sizing.Envelope) (low, high float64) {
	low, high = math.Inf(1), 0
	for i := range env.Elements {
		e := &env.Elements[i]
		for _, a := range e.Duty {
			if a > 0 {
				low, high = math.Min(low, a), math.Max(high, a)
			}
		}
		if n := len(e.Stands); n > 0 && !math.IsInf(e.Stands[n-1], 0) {
			low, high = math.Min(low, e.Stands[n-1]), math.Max(high, e.Stands[n-1])
		}
	}
	if !(low < high) {
		return 0.1, 10
	}
	return low / 1.4, high * 3
}

// envelopeFinding names the element nearest to what it stands.
func envelopeFinding(env *sizing.Envelope) string {
	worst := -1
	for i := range env.Elements {
		e := &env.Elements[i]
		if e.Name != "motor" && !math.IsNaN(e.Utilisation) && (worst < 0 || e.Utilisation > env.Elements[worst].Utilisation) {
			worst = i
		}
	}
	if worst < 0 {
		return "Current over time: no element of the current path has a known rating."
	}
	e := &env.Elements[worst]
	return fmt.Sprintf("The %s is nearest to what it stands, %s %% used: %s.", e.Name, Sig(100*e.Utilisation), e.Sentence)
}

func envelopeTable(env *sizing.Envelope) Table {
	t := Table{Caption: "Worst rms in each window and what is stood, A", Heads: []string{"window"}, Left: 1}
	for _, e := range env.Elements {
		t.Heads = append(t.Heads, e.Name+", duty", "stands")
	}
	for _, k := range everyNth(len(env.Windows), 12) {
		row := []Cell{Shown(env.Windows[k], Duration(env.Windows[k]), fmt.Sprintf("envelope.window_s.%d", k))}
		for i, e := range env.Elements {
			row = append(row, Number(e.Duty[k], fmt.Sprintf("envelope.elements.%d.duty_A.%d", i, k)))
			switch {
			case e.Stands == nil:
				row = append(row, Words(Absent))
			case math.IsInf(e.Stands[k], 1):
				row = append(row, Words("any"))
			default:
				row = append(row, Number(e.Stands[k], fmt.Sprintf("envelope.elements.%d.stands_A.%d", i, k)))
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// currentPath is the chain from pack to motor with the worst figure at each
// element.
func (s *Source) currentPath() *Figure {
	f := &Figure{Name: "current-path", Title: "The current path, with the worst figure at each element"}
	env := &s.Pick.Detail.Envelope
	order := []string{"battery", "adapter", "fuse", "connector", "supply lead", "controller", "motor lead", "motor"}
	t := Table{Caption: "Worst figure at each element", Heads: []string{"element", "used, %", "worst window", "in words"}, Left: 1}
	for _, name := range order {
		for i := range env.Elements {
			e := &env.Elements[i]
			if e.Name != name {
				continue
			}
			f.Chain = append(f.Chain, Link{Name: e.Name, Used: e.Utilisation, Words: e.Sentence})
			at := fmt.Sprintf("envelope.elements.%d.", i)
			t.Rows = append(t.Rows, []Cell{Words(e.Name), Shown(e.Utilisation, Sig(100*e.Utilisation), at+"utilisation"),
				Shown(e.WorstWindow, Duration(e.WorstWindow), at+"worst_window_s"), Words(e.Sentence)})
		}
	}
	f.Finding = envelopeFinding(env)
	f.Tables = []Table{t}
	return f
}
