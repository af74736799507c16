package sizing

// Reason is one check that rejects a candidate.
type Reason struct {
	Name   CheckName
	Margin float64 // negative: the share of the limit it is over
	Why    string  // the check's sentence
}

// Change is one single thing that would let a rejected candidate pass.
//
// A change of the duty has a quantity of headroom as its Kind (payload, incline,
// speed, acceleration, air, duty_share) and goes From what is asked To what
// passes, in Unit; Rests is the factor on every rest and hold of a duty share.
// A change of the wiring is of Kind fuse, connector, supply lead or motor lead,
// From and To in A, or in words where a size has no SI number. A change of parts
// is of Kind ratio, gear train, further stage, controller, battery or motor and
// names the candidate that passes.
type Change struct {
	Kind     string
	From, To float64
	Unit     string
	Rests    float64
	Words    string  // from and to in words: of a lead's size, or of the parts swapped
	ID       string  // the candidate that passes, of a change of parts
	Size     float64 // relative, of a change of the duty
}

// Reasons say why a candidate is rejected and what would save it.
type Reasons struct {
	Fails   []Reason // in the order of the checks
	Changes []Change // smallest first; empty when no single change does
}
