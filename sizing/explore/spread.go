package explore

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// Bounds and defaults of a spread.
const (
	SpreadSamples = 500       // default number of samples
	MostSamples   = 1_000_000 // more would only cost memory
	leastSamples  = 16        // fewer completed samples make no partial answer
	pilot         = 32        // samples every candidate gets before the hopeless ones are stopped
	pilotShare    = 0.25      // of the pilot that a candidate which fails nominally must pass to go on
)

// SpreadOptions say how to spread a case.
type SpreadOptions struct {
	Samples  int                   // draws of every input; 0 takes SpreadSamples
	Seed     uint64                // of the draws; the same seed gives the same answer to the bit, whatever Workers is
	Pick     string                // id or rank of the one candidate told about; empty tells of the whole field
	Workers  int                   // goroutines; 0 takes one per processor
	Progress func(done, total int) // told after each sample, from one goroutine at a time; nil is silent
}

// SpreadResult is what tolerances do to a field.
type SpreadResult struct {
	Field      *sizing.Field // the nominal answer
	Samples    int           // asked for
	Done       int           // evaluated: fewer than Samples only when Partial
	Seed       uint64
	Partial    bool // interrupted; the shares are those of the first Done samples
	Candidates []SpreadCandidate
	LeftOut    SpreadLeftOut
	Held       []string // what is not varied, and how to have it varied
	Jumps      []string // where the number of samples is too small for a steady answer; empty when it is not
}

// SpreadLeftOut counts the candidates that were not spread, with the reason.
type SpreadLeftOut struct {
	FarOff  int // fail nominally by more than any tolerance could mend
	Corners int // fail even with every input at its kind end
	Unknown int // cannot pass whatever is drawn: the winding temperature is unknown
}

// SpreadCandidate is one candidate under its tolerances.
type SpreadCandidate struct {
	Candidate  *sizing.Candidate // nominal
	Samples    int               // it was evaluated in; fewer than Done when it was stopped
	Stopped    bool              // the pilot showed that it seldom passes: the rest was spared
	PassShare  float64           // of its samples that fail nothing
	PassHalf   float64           // half width of the 95 % interval of PassShare, binomial
	FirstShare float64           // of all samples in which it ranks first
	Worst      Band              // of its worst margin
	Checks     []SpreadCheck
	Matters    []SpreadMatter // most influential first
}

// Band is the 5 %, 50 % and 95 % quantile of a quantity.
type Band struct{ P05, P50, P95 float64 }

// SpreadCheck is the band of one check.
type SpreadCheck struct {
	Name   sizing.CheckName
	Unit   string
	Margin Band
	Value  Band
	Fails  float64 // share of the samples in which it fails
}

// SpreadMatter is what one input does to a candidate's worst margin.
type SpreadMatter struct {
	Input           string // dotted path of the case, or "motor.resistance"
	Row             string // catalog row whose figure it is; empty for an input of the case
	Nominal         float64
	Low, High       float64 // ends of the tolerance, SI
	Basis           quantity.Basis
	Note            string
	RankCorrelation float64 // Spearman's, with the worst margin; NaN when one of them never changes
	AtLow, AtHigh   float64 // worst margin with this input alone at its ends
}

// spreading is a spread under way.
type spreading struct {
	o       SpreadOptions
	c       *loadcases.Case
	cat     *catalog.Catalog
	field   *sizing.Field
	inputs  []spreadInput
	draws   [][]float64 // per input and sample, −1…1
	members []spreadMember
	picked  int // member told about; −1 the whole field
	left    SpreadLeftOut
	held    []string
}

// spreadMember is a candidate that takes part.
type spreadMember struct {
	nominal                            *sizing.Candidate
	motor, train, stage, pack, control int   // indices into the rows; −1 none
	inputs                             []int // that reach it
	record                             spreadRecord
}

// Spread draws every toleranced input of a case and its catalogs from a Latin
// hypercube and evaluates the candidates in every sample. Stated tolerances
// and ranges are uniform between their ends; listed and derived figures vary
// by ±10 %, estimated ones ±40 %, an assumed pack resistance ±50 %. Figures
// the case states without a tolerance are held. Each catalog row is drawn on
// its own; inputs of the case are common to all candidates.
//
// Interrupted by its context it answers with the samples finished so far and
// says Partial; with fewer than 16 it returns the context's error. The error
// is otherwise that of sizing.Rank, a *sizing.NoSuchPick, or tells which
// sample made a duty that cannot be commanded.
func Spread(ctx context.Context, c *loadcases.Case, cat *catalog.Catalog, o SpreadOptions) (*SpreadResult, error) {
	if o.Samples <= 0 {
		o.Samples = SpreadSamples
	}
	o.Samples = min(o.Samples, MostSamples)
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	s := &spreading{o: o, c: c, cat: cat, picked: -1}
	var err error
	if s.field, err = sizing.Rank(ctx, c, cat, sizing.Options{Workers: o.Workers}); err != nil {
		return nil, err
	}
	var pick *sizing.Candidate
	if o.Pick != "" {
		if pick, err = s.field.Find(o.Pick); err != nil {
			return nil, err
		}
	}
	s.tell(0)
	s.listInputs()
	if err := s.choose(ctx, pick); err != nil {
		return nil, err
	}
	s.tell(0)
	s.draw()
	done, err := s.march(ctx)
	if err != nil {
		return nil, err
	}
	r := &SpreadResult{Field: s.field, Samples: o.Samples, Done: done, Seed: o.Seed, Partial: done < o.Samples, LeftOut: s.left, Held: s.held}
	if err := s.tally(r); err != nil {
		return nil, err
	}
	return r, nil
}

// march evaluates the pilot with every member, then the rest without those that
// never passed in it, or fail nominally and seldom passed. It returns the number
// of leading samples that are complete.
func (s *spreading) march(ctx context.Context) (int, error) {
	first := min(pilot, s.o.Samples)
	all := make([]int, len(s.members))
	for i := range all {
		all[i] = i
		s.members[i].record.init(first, s.members[i].nominal.Checks)
	}
	done, err := s.samples(ctx, 0, first, all)
	if err != nil || done < first {
		if err == nil && done < leastSamples {
			err = ctx.Err()
		}
		s.cut(done)
		return done, err
	}
	live := make([]int, 0, len(all))
	for i := range s.members {
		m := &s.members[i]
		least := 1.0
		if m.nominal.Verdict > sizing.Tight {
			least = pilotShare * float64(first)
		}
		if float64(m.record.passed(0, first)) >= least || i == s.picked {
			m.record.grow(s.o.Samples)
			live = append(live, i)
		}
	}
	done, err = s.samples(ctx, first, s.o.Samples, live)
	s.cut(done)
	return done, err
}

// cut forgets what lies behind an interruption.
func (s *spreading) cut(done int) {
	for i := range s.members {
		r := &s.members[i].record
		r.n = min(r.n, done)
	}
}

// samples evaluates the samples from…to with some members; each sample is one
// worker's, and its results stand at its own place.
func (s *spreading) samples(ctx context.Context, from, to int, who []int) (done int, err error) {
	finished := make([]bool, to-from)
	faults := make([]error, to-from)
	_ = parallel(ctx, s.o.Workers, to-from, func(i int) {
		faults[i] = s.sample(ctx, from+i, who)
		finished[i] = faults[i] == nil && ctx.Err() == nil
	}, func(n int) { s.tell(from + n) })
	done = from
	for i := range finished {
		if faults[i] != nil {
			return done, faults[i]
		}
		if !finished[i] {
			return done, nil
		}
		done++
	}
	return done, nil
}

// tell reports progress.
func (s *spreading) tell(done int) {
	if s.o.Progress != nil {
		s.o.Progress(done, s.o.Samples)
	}
}

// sample evaluates one draw of all inputs.
func (s *spreading) sample(ctx context.Context, n int, who []int) error {
	t, err := s.trial(func(i int) float64 { return s.draws[i][n] })
	if err != nil {
		return err
	}
	out := make([]sizing.Candidate, len(who))
	for j, i := range who {
		if j%32 == 0 && ctx.Err() != nil {
			return nil //nolint:nilerr // an interrupted sample is left out, not a fault
		}
		t.evaluate(&s.members[i], &out[j])
		s.members[i].record.put(n, &out[j])
	}
	if i, ok := firstOf(s.field, out); ok {
		s.members[who[i]].record.first[n] = true
	}
	return nil
}

// firstOf returns which of the candidates ranks first by the field's weights.
func firstOf(f *sizing.Field, out []sizing.Candidate) (int, bool) {
	if len(out) == 0 {
		return 0, false
	}
	order := sizing.Field{Case: f.Case, Weights: f.Weights, Candidates: append([]sizing.Candidate(nil), out...)}
	sizing.Order(&order)
	for i := range out {
		if out[i].ID == order.Candidates[0].ID {
			return i, true
		}
	}
	return 0, false
}

// parallel does n jobs on some workers and tells after each how many are done.
// It stops handing jobs out when the context ends.
func parallel(ctx context.Context, workers, n int, job func(int), tell func(done int)) error {
	var next, done atomic.Int64
	var wg sync.WaitGroup
	var mouth sync.Mutex
	for range max(1, min(workers, n)) {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				job(i)
				mouth.Lock()
				if d := int(done.Add(1)); tell != nil {
					tell(d)
				}
				mouth.Unlock()
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}

// worstOf is the smallest known margin of the checks that decide; a check that
// is tight at worst decides nothing once it is exceeded.
func worstOf(c *sizing.Candidate) float64 {
	w := math.Inf(1)
	for i := range c.Checks {
		k := &c.Checks[i]
		if k.Verdict == sizing.Tight && k.Margin < 0 || math.IsNaN(k.Margin) {
			continue
		}
		w = math.Min(w, k.Margin)
	}
	return w
}
