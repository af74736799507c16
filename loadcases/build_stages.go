package loadcases

import (
	"fmt"
	"strconv"

	"example.org/dray/quantity"
	"go.yaml.in/yaml/v4"
)

// stages builds the further stages a candidate may have, one of each.
func (b *builder) stages(s *section) {
	if s == nil {
		return
	}
	teeth := s.has("driver_teeth") || s.has("driven_teeth")
	switch {
	case s.has("ratio") && teeth:
		b.fault(s.keyNode("ratio"), "a ratio and tooth counts are both given", "keep one of the two")
		return
	case teeth && (s.lacks("driver_teeth") || s.lacks("driven_teeth")):
		b.fault(s.at, "driver_teeth and driven_teeth belong together", "driver_teeth: 14, driven_teeth: 40")
		return
	case !teeth && !s.has("ratio"):
		if s.lacks("ratio", "driver_teeth", "driven_teeth") {
			b.fault(s.at, "a further stage needs a ratio, or driver_teeth and driven_teeth", "ratio: 1.5")
		}
		return
	}
	efficiency, basis := s.numOr("efficiency", 0.95), quantity.Stated
	if !s.has("efficiency") {
		basis = quantity.Assumed
		b.assume("further stage efficiency", "95 %", basis, "none given; common practice for belt and chain, no source")
	}
	if teeth {
		if !s.has("driver_teeth") || !s.has("driven_teeth") {
			return
		}
		b.toothed(s, efficiency, basis)
		return
	}
	for _, ratio := range s.values["ratio"].numbers {
		b.stage(s.node("ratio"), Stage{ID: "x" + strconv.FormatFloat(ratio, 'g', 6, 64), Ratio: ratio, Efficiency: efficiency, Basis: basis})
	}
}

func (b *builder) toothed(s *section, efficiency float64, basis quantity.Basis) {
	driver, driven := s.values["driver_teeth"].numbers, s.values["driven_teeth"].numbers
	if len(driver)*len(driven) > maxStages {
		b.fault(s.keyNode("driver_teeth"), fmt.Sprintf("%d × %d tooth counts make %d stages, more than %d", len(driver), len(driven), len(driver)*len(driven), maxStages), "narrow the ranges")
		return
	}
	for _, z1 := range driver {
		for _, z2 := range driven {
			b.stage(s.node("driver_teeth"), Stage{
				ID: fmt.Sprintf("%.0fx%.0f", z1, z2), Ratio: z2 / z1, Efficiency: efficiency, Basis: basis,
				DriverTeeth: int(z1), DrivenTeeth: int(z2),
			})
		}
	}
}

// stage keeps a stage once.
func (b *builder) stage(at *yaml.Node, stage Stage) {
	for _, other := range b.c.Stages {
		if other.ID == stage.ID {
			b.fault(at, fmt.Sprintf("the stage %s is given twice", stage.ID), "keep one of the two")
			return
		}
	}
	b.c.Stages = append(b.c.Stages, stage)
}

// later is the one of two nodes that stands further down.
func later(a, z *yaml.Node) *yaml.Node {
	if a.Line > z.Line || (a.Line == z.Line && a.Column > z.Column) {
		return a
	}
	return z
}
