package figures

import (
	"fmt"
	"math"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// Source is what the figures of one pick are made from.
type Source struct {
	Field   *sizing.Field
	Pick    *sizing.Candidate // with its Detail
	Lines   []sizing.Line
	Warm    []sizing.WarmPoint // nil without thermal data
	Window  *Window            // nil where ratios were not explored
	Display quantity.Display   // of torques; shaft speeds are always rpm
}

// Gather asks the engine for what the figures need beyond the pick itself.
func Gather(f *sizing.Field, pick *sizing.Candidate, display quantity.Display) (*Source, error) {
	j, err := sizing.NewJudge(f.Case)
	if err != nil {
		return nil, err
	}
	if pick.Detail == nil {
		j.Detail(pick)
	}
	return &Source{Field: f, Pick: pick, Lines: j.Lines(pick.Pick), Warm: j.WarmUp(pick.Pick), Display: display}, nil
}

// Names lists the figures in the order of a review.
func Names() []string {
	return []string{"torque-speed", "duty", "temperature", "envelope", "current-path", "ratio-window", "field"}
}

// Missing is the error of a figure that this pick has no data for.
type Missing struct{ Name, Why string }

func (m *Missing) Error() string { return fmt.Sprintf("no figure %q: %s", m.Name, m.Why) }

// Make describes one figure by name. The error is a *Missing for a name that
// is not one of Names or a pick without the data.
func (s *Source) Make(name string) (*Figure, error) {
	switch name {
	case "torque-speed":
		return s.torqueSpeed(), nil
	case "duty":
		return s.duty(), nil
	case "temperature":
		return s.temperature()
	case "envelope":
		return s.envelope(), nil
	case "current-path":
		return s.currentPath(), nil
	case "ratio-window":
		return s.ratioWindow()
	case "field":
		return s.field(), nil
	}
	return nil, &Missing{name, "the figures are torque-speed, duty, temperature, envelope, current-path, ratio-window, field"}
}

// All describes every figure the source has data for.
func (s *Source) All() []*Figure {
	var out []*Figure
	for _, n := range Names() {
		if f, err := s.Make(n); err == nil {
			out = append(out, f)
		}
	}
	return out
}

// torque is the display unit for the pick's torques.
func (s *Source) torque() quantity.DisplayUnit {
	most := 0.0
	for _, l := range s.Pick.Legs {
		most = math.Max(most, math.Max(math.Abs(l.Steady.OutputTorque), math.Abs(l.Peak.OutputTorque)))
	}
	return s.Display.Unit(quantity.KindTorque, most)
}

// legKey tells which number is which leg.
func (s *Source) legKey() []string {
	var out []string
	for i, l := range s.Pick.Legs {
		out = append(out, fmt.Sprintf("%d %s", i+1, l.Name))
	}
	return out
}

// legSpans are the legs along the time axis, numbered or only shaded.
func (s *Source) legSpans(numbered bool) []Span {
	var out []Span
	for i, l := range s.Pick.Legs {
		label := ""
		if numbered {
			label = fmt.Sprint(i + 1)
		}
		out = append(out, Span{l.Start, l.Start + l.Duration, label})
	}
	return out
}

// columns takes a trace apart.
func columns(trace []sizing.State, of func(*sizing.State) float64) (x, y []float64) {
	for i := range trace {
		x = append(x, trace[i].At)
		y = append(y, of(&trace[i]))
	}
	return x, y
}

func noAnchor() float64 { return math.NaN() }
