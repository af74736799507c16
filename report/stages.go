package report

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// stages tabulates torque and speed on both sides of each stage between motor
// and load, so that a reversed ratio shows.
func (cs checkSections) stages() {
	c := cs.c
	legs := stageLegs(cs.f, c)
	if len(legs) == 0 || c.Motor == nil {
		return
	}
	cs.d.section("both sides of each stage, per motor, steady")
	cs.d.paragraph(chain(c))
	if c.Stage != nil && c.Stage.Ratio < 1 {
		cs.d.warnings([]string{fmt.Sprintf("the further stage turns the load shaft %s times as fast as the gear train, with less torque: is its ratio, or its driver and driven teeth, the wrong way round?",
			figure(1/c.Stage.Ratio))})
	}
	size := 0.0
	for _, l := range legs {
		size = largest(size, l.load.torque)
	}
	torque := cs.r.scale("N·m", size)
	speed := cs.r.scale("rad/s", 1)
	g := &grid{columns: []column{{head: "leg", fit: shorten, min: 8}}}
	side := func(name string) {
		g.columns = append(g.columns, column{head: name + "\n" + speed.Name, right: true}, column{head: name + "\n" + torque.Name, right: true})
	}
	side("motor")
	if c.Stage != nil {
		side("gears out")
	}
	side("load")
	if cs.s.Format == MD {
		for i := range g.columns {
			g.columns[i].head = strings.ReplaceAll(g.columns[i].head, "\n", " ")
		}
	}
	for _, l := range legs {
		row := []string{l.name, speed.number(l.motor.speed), torque.number(l.motor.torque)}
		if c.Stage != nil {
			row = append(row, speed.number(l.gear.speed), torque.number(l.gear.torque))
		}
		g.row(append(row, speed.number(l.load.speed), torque.number(l.load.torque))...)
	}
	cs.d.table(g)
}

// side is one side of a stage.
type side struct{ speed, torque float64 } // rad/s, N·m

// stageLeg is a leg's steady state at every shaft.
type stageLeg struct {
	name              string
	motor, gear, load side
}

// stageLegs are the legs that move or should, or hold under power.
func stageLegs(f *sizing.Field, c *sizing.Candidate) (out []stageLeg) {
	for i, l := range c.Legs {
		s := l.Steady
		if math.IsNaN(s.OutputSpeed) || s.OutputSpeed == 0 && !powered(f, i) {
			continue
		}
		v, t := c.LoadSide(s)
		out = append(out, stageLeg{l.Name, side{s.MotorSpeed, s.MotorTorque}, side{s.OutputSpeed, s.OutputTorque}, side{v, t}})
	}
	return out
}

// powered reports whether a leg is to be driven or held: one that stalls is
// shown too.
func powered(f *sizing.Field, leg int) bool {
	if f.Case == nil || leg >= len(f.Case.Legs) {
		return false
	}
	switch f.Case.Legs[leg].Kind {
	case loadcases.SpeedLeg, loadcases.MoveLeg, loadcases.HoldLeg:
		return true
	}
	return false
}

// chain names the stages from the motor to the load with their ratios.
func chain(c *sizing.Candidate) string {
	parts := []string{"motor"}
	switch {
	case c.Train != nil:
		parts = append(parts, fmt.Sprintf("gear train %s %s:1", c.Train.ID, figure(c.Ratio)))
	case !c.Motor.Bare:
		parts = append(parts, fmt.Sprintf("gears %s:1", figure(c.Ratio)))
	}
	if g := c.Stage; g != nil {
		text := "further stage " + g.ID
		if g.DriverTeeth > 0 {
			text = fmt.Sprintf("further stage %d teeth driving %d", g.DriverTeeth, g.DrivenTeeth)
		}
		parts = append(parts, fmt.Sprintf("%s %s:1", text, figure(g.Ratio)))
	}
	parts = append(parts, "load")
	return fmt.Sprintf("%s; in all %s motor turns per turn of the load shaft", strings.Join(parts, " → "), figure(c.TotalRatio))
}

// The JSON of the stages.
type (
	jsonStageLeg struct {
		Leg   string   `json:"leg"`
		Motor jsonSide `json:"motor"`
		Gear  jsonSide `json:"gear_output"`
		Load  jsonSide `json:"load"`
	}
	jsonSide struct {
		Speed  number `json:"speed_rad_per_s"`
		Torque number `json:"torque_Nm"`
	}
)

func stagesJSON(f *sizing.Field, c *sizing.Candidate) []jsonStageLeg {
	out := []jsonStageLeg{}
	of := func(s side) jsonSide { return jsonSide{number(s.speed), number(s.torque)} }
	for _, l := range stageLegs(f, c) {
		out = append(out, jsonStageLeg{l.name, of(l.motor), of(l.gear), of(l.load)})
	}
	return out
}
