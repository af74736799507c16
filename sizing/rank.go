package sizing

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
)

// Options of a run over the whole field.
type Options struct {
	Workers  int                   // goroutines; 0 takes one per processor. Results do not depend on it
	Progress func(done, total int) // told now and then, from one goroutine at a time; nil is silent
}

// Rank evaluates every candidate the case allows and orders the field. It
// stops early with the context's error. The error is otherwise a *NoCandidate
// or what keeps the duty from being laid out (*loadcases.LegError).
func Rank(ctx context.Context, c *loadcases.Case, cat *catalog.Catalog, o Options) (*Field, error) {
	picks, err := Picks(c, cat)
	if err != nil {
		return nil, err
	}
	b, err := newBench(c)
	if err != nil {
		return nil, err
	}
	f := &Field{Title: c.Title, Case: c, Weights: c.Prefer, Candidates: make([]Candidate, len(picks))}
	if err := evaluateAll(ctx, b, picks, f.Candidates, o); err != nil {
		return nil, err
	}
	order(f)
	f.Warnings = requestWarnings(c, b, f)
	f.Footnotes = fieldFootnotes(b, cat)
	return f, nil
}

// evaluateAll judges the picks in blocks shared out to the workers; each
// candidate stands at its pick's place whoever computed it.
func evaluateAll(ctx context.Context, b *bench, picks []Pick, out []Candidate, o Options) error {
	workers := o.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	const block = 32
	workers = max(1, min(workers, (len(picks)+block-1)/block))
	var next, done atomic.Int64
	var wg sync.WaitGroup
	var tell sync.Mutex
	var fault atomic.Value
	for range workers {
		wg.Go(func() {
			defer func() { // a fault belongs to the caller's goroutine
				if p := recover(); p != nil {
					fault.CompareAndSwap(nil, fmt.Errorf("%v\n%s", p, debug.Stack()))
				}
			}()
			e := newEvaluator(b)
			for ctx.Err() == nil && fault.Load() == nil {
				from := int(next.Add(block)) - block
				if from >= len(picks) {
					return
				}
				to := min(from+block, len(picks))
				for i := from; i < to; i++ {
					e.judge(picks[i], &out[i])
				}
				d := int(done.Add(int64(to - from)))
				if o.Progress != nil {
					tell.Lock()
					o.Progress(d, len(picks))
					tell.Unlock()
				}
			}
		})
	}
	wg.Wait()
	if p := fault.Load(); p != nil {
		panic(p)
	}
	return ctx.Err()
}

// order scores the first group, sorts the field and marks the dominated.
//
// Groups: fails nothing; winding unknown; fails, the smallest failure first.
// In the first, score = Σw·s/Σw with s = (x − worst)/(best − worst) over the
// group for thermal margin, mean battery current and runtime.
func order(f *Field) {
	c := f.Candidates
	score(c, f.Weights)
	slices.SortStableFunc(c, func(a, b Candidate) int {
		ga, gb := group(&a), group(&b)
		switch {
		case ga != gb:
			return cmp.Compare(ga, gb)
		case ga == 0 && a.Score != b.Score:
			return cmp.Compare(b.Score, a.Score)
		case ga == 1:
			if wa, wb := a.worstMargin(), b.worstMargin(); wa != wb {
				return cmp.Compare(wb, wa)
			}
		case ga == 2:
			if wa, wb := a.worstMargin(), b.worstMargin(); wa != wb {
				return cmp.Compare(wb, wa)
			}
		}
		return cmp.Compare(a.ID, b.ID)
	})
	for i := range c {
		c[i].Rank = i + 1
	}
	dominate(c)
}

func group(c *Candidate) int {
	switch c.Verdict {
	case Fails:
		return 2
	case Uncertain:
		return 1
	}
	return 0
}

// worstMargin is the smallest known margin of the checks that decide.
func (c *Candidate) worstMargin() float64 {
	w := math.Inf(1)
	for i := range c.Checks {
		k := &c.Checks[i]
		if k.Verdict == Tight && k.Margin < 0 { // tight at worst: it decides nothing
			continue
		}
		if !math.IsNaN(k.Margin) {
			w = math.Min(w, k.Margin)
		}
	}
	return w
}

// figures are the three numbers the score is made of, larger is better.
func (c *Candidate) figures() [3]float64 {
	return [3]float64{c.ThermalMargin, -c.BatteryCurrentMean, c.Runtime}
}

func score(c []Candidate, w loadcases.Prefer) {
	weights := [3]float64{w.ThermalMargin, w.Current, w.Runtime}
	low := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	high := [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for i := range c {
		if group(&c[i]) != 0 {
			continue
		}
		for j, x := range c[i].figures() {
			if !math.IsNaN(x) && !math.IsInf(x, 0) {
				low[j], high[j] = math.Min(low[j], x), math.Max(high[j], x)
			}
		}
	}
	for i := range c {
		if group(&c[i]) != 0 {
			continue
		}
		var sum, total float64
		for j, x := range c[i].figures() {
			s := 1.0
			if !math.IsNaN(x) && !math.IsInf(x, 0) && high[j] > low[j] {
				s = (x - low[j]) / (high[j] - low[j])
			}
			sum += weights[j] * s
			total += weights[j]
		}
		c[i].Score = 0
		if total > 0 {
			c[i].Score = sum / total
		}
	}
}

// dominatedBy is how much better, relatively, another must be on all three.
const dominatedBy = 1e-3

// dominate marks the candidates of the first group that another of it beats on
// all three figures. The group is walked in order of the first figure, keeping
// the staircase of the other two, so that a large field stays quick.
func dominate(c []Candidate) {
	n := 0
	for n < len(c) && group(&c[n]) == 0 {
		n++
	}
	front := make([]int, 0, 64)
	byHeat := make([]int, n)
	for i := range byHeat {
		byHeat[i] = i
	}
	slices.SortStableFunc(byHeat, func(a, b int) int { return cmp.Compare(c[b].ThermalMargin, c[a].ThermalMargin) })
	for _, i := range byHeat {
		for _, j := range front {
			if beats(&c[j], &c[i]) {
				c[i].Dominated = true
				break
			}
		}
		if !c[i].Dominated {
			front = append(front, i)
		}
	}
}

// beats reports whether a is strictly better than b on all three figures.
func beats(a, b *Candidate) bool {
	x, y := a.figures(), b.figures()
	for j := range x {
		if math.IsInf(x[j], 1) && math.IsInf(y[j], 1) || !(x[j]-y[j] > dominatedBy*math.Abs(y[j])) {
			return false
		}
	}
	return true
}

// Examine evaluates the whole field, because a pick may be given by rank, and
// fills the detail of the one picked. The candidate belongs to the field.
func Examine(ctx context.Context, c *loadcases.Case, cat *catalog.Catalog, pick string) (*Field, *Candidate, error) {
	f, err := Rank(ctx, c, cat, Options{})
	if err != nil {
		return nil, nil, err
	}
	k, err := f.Find(pick)
	if err != nil {
		return f, nil, err
	}
	b, err := newBench(c)
	if err != nil {
		return nil, nil, err
	}
	newEvaluator(b).detail(k)
	k.Detail.Choice = f.ChooseController(k)
	return f, k, nil
}
