package explore

import (
	"context"
	"hash/fnv"
	"math/rand/v2"
	"slices"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/sizing"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"
)

// draw fills the Latin hypercube: every input has one draw in each of as many
// equal slices of its range as there are samples, in an order of its own. The
// source of an input is seeded by its name and row, so that its draws do not
// depend on which other inputs there are.
func (s *spreading) draw() {
	s.draws = make([][]float64, len(s.inputs))
	for i := range s.inputs {
		in := &s.inputs[i]
		name := fnv.New64a()
		name.Write([]byte(in.name + "\x00" + in.row))
		src := rand.NewPCG(s.o.Seed, name.Sum64())
		batch := mat.NewDense(s.o.Samples, 1, nil)
		samplemv.LatinHypercube{Q: distmv.NewUnitUniform(1, nil), Src: src}.Sample(batch)
		s.draws[i] = mat.Col(nil, 0, batch)
		for j, u := range s.draws[i] {
			s.draws[i][j] = 2*u - 1
		}
	}
}

// spreadRows are copies of the catalog's rows with a draw put in.
type spreadRows struct {
	motors      []catalog.Motor
	trains      []catalog.GearTrain
	batteries   []catalog.Battery
	controllers []catalog.Controller
}

// spreadTrial is one draw ready to be evaluated.
type spreadTrial struct {
	c     *loadcases.Case
	rows  spreadRows
	judge *sizing.Judge
}

// trial puts a draw u of each input into a copy of the case and the catalogs.
// The error is that of a duty that cannot be commanded.
func (s *spreading) trial(u func(input int) float64) (*spreadTrial, error) {
	t := &spreadTrial{c: s.c.Clone(), rows: spreadRows{slices.Clone(s.cat.Motors), slices.Clone(s.cat.GearTrains),
		slices.Clone(s.cat.Batteries), slices.Clone(s.cat.Controllers)}}
	for i := range s.inputs {
		if x := u(i); x != 0 {
			if err := s.inputs[i].set(t, s.inputs[i].at(x)); err != nil {
				return nil, err
			}
		}
	}
	var err error
	t.judge, err = sizing.NewJudge(t.c)
	return t, err
}

// evaluate judges a member with the trial's figures.
func (t *spreadTrial) evaluate(m *spreadMember, out *sizing.Candidate) {
	p := sizing.Pick{Motor: &t.rows.motors[m.motor], Controller: &t.rows.controllers[m.control]}
	if m.train >= 0 {
		p.Train = &t.rows.trains[m.train]
	}
	if m.stage >= 0 {
		p.Stage = &t.c.Stages[m.stage]
	}
	if m.pack >= 0 {
		p.Battery = &t.rows.batteries[m.pack]
	}
	t.judge.Evaluate(p, out)
}

// member finds a candidate's parts among the rows.
func (s *spreading) member(c *sizing.Candidate) spreadMember {
	return spreadMember{nominal: c, motor: place(s.cat.Motors, c.Motor), train: place(s.cat.GearTrains, c.Train),
		stage: place(s.c.Stages, c.Stage), pack: place(s.cat.Batteries, c.Battery), control: place(s.cat.Controllers, c.Controller)}
}

// place is the index of the row a pointer points at; −1 for nil.
func place[T any](rows []T, at *T) int {
	for i := range rows {
		if &rows[i] == at {
			return i
		}
	}
	return -1
}

// Beyond these a failure is left to itself: a value more than three times its
// limit, or a speed of which more than three fifths is missing.
const (
	hopelessMargin    = -2.0
	hopelessShortfall = 0.6
)

// choose picks the members: everything that passes nominally, and what fails
// but passes with every input at its kind end. Which end of the motor constant
// is kind, and of figures of the case without a plain sense, is not known: both
// are tried.
func (s *spreading) choose(ctx context.Context, pick *sizing.Candidate) error {
	var doubtful []int
	for i := range s.field.Candidates {
		k := &s.field.Candidates[i]
		switch {
		case k.Verdict <= sizing.Tight, k == pick:
		case k.Verdict == sizing.Uncertain:
			s.left.Unknown++
			continue
		case s.hopeless(k):
			s.left.FarOff++
			continue
		default:
			doubtful = append(doubtful, len(s.members))
		}
		s.members = append(s.members, s.member(k))
	}
	s.drop()
	saved, err := s.corners(ctx, doubtful)
	if err != nil {
		return err
	}
	kept := s.members[:0]
	for i, m := range s.members {
		if slices.Contains(doubtful, i) && !saved[i] {
			s.left.Corners++
			continue
		}
		kept = append(kept, m)
	}
	s.members = kept
	s.drop()
	for i := range s.members {
		if s.members[i].nominal == pick {
			s.picked = i
		}
	}
	return nil
}

// hopeless reports a failure no draw could mend. What depends on nothing drawn,
// as a controller's highest voltage, fails in every sample anyway.
func (s *spreading) hopeless(c *sizing.Candidate) bool {
	for i := range c.Checks {
		k := &c.Checks[i]
		switch {
		case k.Verdict != sizing.Fails:
		case k.Name == sizing.CheckSpeed && 1-k.Value > hopelessShortfall,
			k.Name != sizing.CheckSpeed && k.Margin < hopelessMargin,
			k.Name == sizing.CheckControllerVoltage && k.Which == "above" && s.c.Supply.Adapter == nil:
			return true
		}
	}
	return false
}

// corners tells which of some members pass at a corner of the inputs' box.
func (s *spreading) corners(ctx context.Context, who []int) (map[int]bool, error) {
	saved := map[int]bool{}
	if len(who) == 0 {
		return saved, nil
	}
	for _, corner := range s.cornerSigns() {
		const block = 16
		pass := make([]bool, len(who))
		faults := make([]error, (len(who)+block-1)/block)
		err := parallel(ctx, s.o.Workers, len(faults), func(b int) {
			t, err := s.trial(corner)
			if err != nil {
				faults[b] = err
				return
			}
			var out sizing.Candidate
			for j := b * block; j < min(len(who), (b+1)*block); j++ {
				if !saved[who[j]] {
					t.evaluate(&s.members[who[j]], &out)
					pass[j] = out.Verdict <= sizing.Tight
				}
			}
		}, nil)
		if err != nil {
			return nil, err
		}
		for j, ok := range pass {
			saved[who[j]] = saved[who[j]] || ok
		}
		if faults[0] != nil { // this corner cannot be driven at all: it saves nobody
			continue
		}
	}
	return saved, nil
}

// cornerSigns are the corners to try.
func (s *spreading) cornerSigns() []func(i int) float64 {
	open := slices.ContainsFunc(s.inputs, func(in spreadInput) bool { return in.kind == 0 && in.row == "" })
	var list []func(i int) float64
	for _, k := range []float64{-1, 1} {
		for _, other := range []float64{-1, 1} {
			if !open && other > 0 {
				continue
			}
			list = append(list, func(i int) float64 {
				switch in := &s.inputs[i]; {
				case in.kind != 0:
					return float64(in.kind)
				case in.row != "":
					return k
				default:
					return other
				}
			})
		}
	}
	return list
}
