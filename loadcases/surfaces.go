package loadcases

// Surface is a named ground with the range of its rolling coefficient.
type Surface struct {
	Name      string
	Low, High float64 // of Crr, force over weight
	Source    string
}

// Middle is the coefficient a case that names the surface is computed with.
func (s Surface) Middle() float64 { return (s.Low + s.High) / 2 }

// Surfaces are the grounds a case may name, hardest first. The spread is that
// of the sources; where two disagree both are inside it.
func Surfaces() []Surface {
	const (
		toolbox = "Engineering ToolBox, rolling resistance"
		carvill = "Carvill, Mechanical Engineer's Data Handbook"
		marks   = "Moyer, in Marks"
	)
	return []Surface{
		{"steel_rail", 0.001, 0.003, toolbox + ": .001-.002; a physics text: .002-.003"},
		{"concrete", 0.01, 0.02, "rubber tyre on concrete .01-.02, common practice; " + carvill + ": .01 new"},
		{"asphalt", 0.01, 0.015, toolbox + ": car on new asphalt .01-.015"},
		{"worn_asphalt", 0.015, 0.025, carvill + ": .02; band around it assumed"},
		{"cobbles", 0.025, 0.035, toolbox + ": .03; band around it assumed"},
		{"firm_gravel", 0.01, 0.02, carvill + ": .01 and " + toolbox + ": .02 for rolled gravel; " + marks + ": .012 firm and dry"},
		{"wet_gravel", 0.04, 0.08, marks + ": .06 loose and wet; band around it assumed"},
		{"loose_gravel", 0.04, 0.08, toolbox + ": .04-.08; " + carvill + ": .04"},
		{"soil", 0.04, 0.08, toolbox + ": medium soil .04-.08; " + carvill + ": .08"},
		{"grass", 0.04, 0.12, "no source found: from memory, around " + carvill + ": .08 for medium soil; measure a pull"},
		{"sand", 0.1, 0.2, carvill + ": .1-.2"},
		{"loose_sand", 0.2, 0.4, toolbox + ": .2-.4"},
	}
}
