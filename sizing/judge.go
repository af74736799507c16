package sizing

import (
	"example.org/dray/catalog"
	"example.org/dray/loadcases"
)

// Judge evaluates single picks of one case, for questions around the pick:
// ratio windows, headroom, spread. It keeps its memory from one pick to the
// next, so it must not be shared between goroutines; make one for each. The
// case must not change while the judge lives: clone it, change the clone, and
// make a new judge.
type Judge struct{ e *evaluator }

// NewJudge lays the case's duty out. The error is a *loadcases.LegError when it
// cannot be commanded, or says what is wrong with a wire or fuse.
func NewJudge(c *loadcases.Case) (*Judge, error) {
	b, err := newBench(c)
	if err != nil {
		return nil, err
	}
	return &Judge{newEvaluator(b)}, nil
}

// Switch lays out the duty of another case and keeps the judge's memory, for a
// search that changes the case over and over. After an error the judge still
// has the case it had.
func (j *Judge) Switch(c *loadcases.Case) error {
	b, err := newBench(c)
	if err != nil {
		return err
	}
	j.e.b = b
	j.e.runner.Switch(b.script)
	return nil
}

// Evaluate fills out with the pick's outcome: all of a candidate but its rank,
// score and detail. The parts of the pick are read, not kept beyond out.
func (j *Judge) Evaluate(p Pick, out *Candidate) { j.e.judge(p, out) }

// Detail evaluates a candidate again and fills its Detail; rank, score and
// dominated stay.
func (j *Judge) Detail(c *Candidate) { j.e.detail(c) }

// Order scores, sorts and numbers the candidates of a field by its weights and
// marks the dominated ones.
func Order(f *Field) { order(f) }

// Request gives the warnings and footnotes that travel with a field of a case.
func Request(c *loadcases.Case, cat *catalog.Catalog, f *Field) (warnings, footnotes []string, err error) {
	b, err := newBench(c)
	if err != nil {
		return nil, nil, err
	}
	return requestWarnings(c, b, f), fieldFootnotes(b, cat), nil
}

// TrainsOf lists the gear trains a motor goes with; a nil stands for none. A
// bare motor goes with every train that fits it, and alone where none does or a
// further stage reduces.
func TrainsOf(m *catalog.Motor, cat *catalog.Catalog, stage bool) []*catalog.GearTrain {
	return trainsOf(m, cat, stage)
}

// IDOf is the candidate id of a pick: motor[+train][+stage]+battery+controller.
func IDOf(p *Pick) string { return p.id() }
