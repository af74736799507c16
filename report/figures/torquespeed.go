package figures

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/sizing"
)

// lineNames are the engine's lines in words, and how they look.
func lineLook(name string) (words string, tone Tone, dash Dash) {
	switch name {
	case "listed":
		return "listed", Grey, Dotted
	case "cold":
		return "cold, full", Blue, Long
	case "hot":
		return "hot, half", Ink, Solid
	}
	return "hot, reserve", Rust, Short
}

// torqueSpeed sets the duty's operating points against what the motor can give
// at most, cold and hot, under the supply's sag.
func (s *Source) torqueSpeed() *Figure {
	unit := s.torque()
	f := &Figure{Name: "torque-speed", Title: "Torque over speed at the gear output, with the duty's operating points"}
	p := Panel{Heading: "torque of one motor at the gear output, " + unit.Name,
		X: Axis{Label: "output speed, rpm"}, Height: 260}
	points, top := s.operatingPoints(unit.From)
	low := 0.0
	for _, q := range points {
		low = math.Min(low, q.Y)
	}
	stall := 0.0
	for i, l := range s.Lines {
		words, tone, dash := lineLook(l.Name)
		line := Line{Label: words, Tone: tone, Dash: dash, Heavy: l.Name == "hot", Anchor: noAnchor()}
		for _, q := range l.Points {
			line.X = append(line.X, Rpm(q.Speed))
			line.Y = append(line.Y, unit.From(q.Torque))
		}
		if len(line.Y) > 0 {
			stall = math.Max(stall, line.Y[0])
			line.Anchor = crossing(line, (0.86-0.13*float64(i))*math.Min(4*top, line.Y[0]))
		}
		p.Lines = append(p.Lines, line)
	}
	p.Rules = append(p.Rules, s.torqueRules(unit.From)...)
	p.Points = points
	p.Y = Axis{Min: ceilTo(low*1.15, -1), Max: ceilTo(math.Min(stall*1.05, 4*top), 1)}
	if top == 0 {
		p.Y = Axis{}
	}
	for i := range p.Rules {
		if p.Rules[i].At > p.Y.Max {
			p.Rules[i].Label = ""
		}
	}
	f.Panels = []Panel{p}
	f.Key = append([]string{"● steady state of a leg, ○ its instant of largest current; torque that brakes is negative; lines: listed = stiff nominal voltage; cold = air temperature, full charge; hot = the duty's peak temperatures at half and at reserve charge, under the supply's sag"}, s.legKey()...)
	f.Finding = s.torqueFinding(unit.From, unit.Name)
	f.Tables = []Table{s.pointTable(unit.From, unit.Name), s.lineTable(unit.From, unit.Name)}
	return f
}

// operatingPoints are the legs' states: speed without sign, torque in the
// sense of the motion.
func (s *Source) operatingPoints(from func(float64) float64) (out []Point, top float64) {
	for i, l := range s.Pick.Legs {
		for k, st := range []sizing.State{l.Steady, l.Peak} {
			if st.MotorCurrent == 0 && st.OutputSpeed == 0 { // at rest, unpowered
				continue
			}
			t := st.OutputTorque
			if st.OutputSpeed < 0 {
				t = -t
			}
			if st.OutputSpeed == 0 {
				t = math.Abs(t)
			}
			q := Point{X: Rpm(math.Abs(st.OutputSpeed)), Y: from(t), Mark: Disc, Tone: Ink, Label: fmt.Sprint(i + 1)}
			if k == 1 {
				q.Mark, q.Label = Ring, ""
				if l.Peak.At == l.Steady.At || math.Hypot(l.Peak.OutputSpeed-l.Steady.OutputSpeed, l.Peak.OutputTorque-l.Steady.OutputTorque) < 1e-9 {
					continue
				}
			}
			top = math.Max(top, q.Y)
			out = append(out, q)
		}
	}
	return out, top
}

// torqueRules are the gear train's own limits.
func (s *Source) torqueRules(from func(float64) float64) []Rule {
	m := s.Pick.Motor
	continuous, peak := m.TorqueContinuous, m.TorquePeak
	if t := s.Pick.Train; t != nil {
		continuous, peak = t.TorqueContinuous, t.TorquePeak
	}
	var out []Rule
	if continuous.Known() {
		out = append(out, Rule{At: from(float64(continuous.Value)), Label: "gears, always", Tone: Plum, Dash: DashDot})
	}
	if peak.Known() {
		out = append(out, Rule{At: from(float64(peak.Value)), Label: "gears, a moment", Tone: Plum, Dash: DashDotDot})
	}
	return out
}

// crossing is the x at which a falling line passes a height; NaN when it never does.
func crossing(l Line, y float64) float64 {
	for i := 1; i < len(l.Y); i++ {
		if a, b := l.Y[i-1], l.Y[i]; a >= y && b <= y && a != b {
			return l.X[i-1] + (l.X[i]-l.X[i-1])*(a-y)/(a-b)
		}
	}
	return math.NaN()
}

// ceilTo rounds away from zero in the given sense to two digits of 1-2-5 steps.
func ceilTo(x, sense float64) float64 {
	if x*sense <= 0 {
		return 0
	}
	step := niceStep(math.Abs(x) / 5)
	return sense * math.Ceil(math.Abs(x)/step-1e-9) * step
}

// torqueFinding says how near the worst operating point comes to the hot line.
func (s *Source) torqueFinding(from func(float64) float64, unit string) string {
	worst, leg := -1.0, -1
	var at, most float64
	for i, l := range s.Pick.Legs {
		st := l.Peak
		if st.OutputTorque*st.OutputSpeed < 0 {
			continue
		}
		m := s.limitAt("hot", math.Abs(st.OutputSpeed))
		if u := math.Abs(st.OutputTorque) / m; m > 0 && u > worst {
			worst, leg, at, most = u, i, math.Abs(st.OutputTorque), m
		}
	}
	if leg < 0 {
		return "Torque over speed at the gear output: no leg drives the load."
	}
	return fmt.Sprintf("The hardest leg, %q, asks one motor for %s %s where the hot motor at half charge could give %s %s at that speed: %s %% of it.",
		s.Pick.Legs[leg].Name, Sig(from(at)), unit, Sig(from(most)), unit, Sig(100*worst))
}

// limitAt reads one of the engine's lines at a speed, N·m.
func (s *Source) limitAt(name string, speed float64) float64 {
	for _, l := range s.Lines {
		if l.Name != name {
			continue
		}
		for i := 1; i < len(l.Points); i++ {
			if a, b := l.Points[i-1], l.Points[i]; speed <= b.Speed {
				return a.Torque + (b.Torque-a.Torque)*(speed-a.Speed)/(b.Speed-a.Speed)
			}
		}
	}
	return 0
}

func (s *Source) pointTable(from func(float64) float64, unit string) Table {
	t := Table{Caption: "Operating points of one motor", Left: 2,
		Heads: []string{"leg", "state", "output, rpm", "torque, " + unit, "current, A"}}
	for i, l := range s.Pick.Legs {
		for _, k := range []struct {
			name string
			st   sizing.State
		}{{"steady", l.Steady}, {"peak", l.Peak}} {
			at := fmt.Sprintf("legs.%d.%s.", i, k.name)
			t.Rows = append(t.Rows, []Cell{Words(l.Name), Words(k.name),
				Shown(k.st.OutputSpeed, Sig(Rpm(k.st.OutputSpeed)), at+"output_speed_rad_per_s"),
				Shown(k.st.OutputTorque, Sig(from(k.st.OutputTorque)), at+"output_torque_Nm"),
				Number(k.st.MotorCurrent, at+"motor_current_A")})
		}
	}
	return t
}

func (s *Source) lineTable(from func(float64) float64, unit string) Table {
	t := Table{Caption: "Lines: the most one motor can give", Left: 1,
		Heads: []string{"line", "output, rpm", "torque, " + unit, "current, A", "held back by"}}
	for _, l := range s.Lines {
		words, _, _ := lineLook(l.Name)
		for i := 0; i < len(l.Points); i += 8 {
			q := l.Points[i]
			bound := q.Bound
			if strings.TrimSpace(bound) == "" {
				bound = Absent
			}
			t.Rows = append(t.Rows, []Cell{Words(words), Shown(q.Speed, Sig(Rpm(q.Speed)), ""), Shown(q.Torque, Sig(from(q.Torque)), ""), Number(q.Current, ""), Words(bound)})
		}
	}
	return t
}
