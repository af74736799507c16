package sizing_test

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"slices"
	"strconv"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/internal/demo"
	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// followedPicks are the candidates of a demo that follow their duty and pass,
// best first: what an evaluation costs in a search that has found its field.
func followedPicks(b *testing.B, c *loadcases.Case, cat *catalog.Catalog) []sizing.Pick {
	b.Helper()
	f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
	if err != nil {
		b.Fatal(err)
	}
	var out []sizing.Pick
	for i := range f.Candidates {
		k := &f.Candidates[i]
		if k.Verdict <= sizing.Tight && !slices.ContainsFunc(k.Legs, func(l sizing.LegResult) bool { return l.LimitedBy != "" }) {
			out = append(out, k.Pick)
		}
	}
	if len(out) == 0 {
		b.Fatal("no candidate of the demo passes")
	}
	return out
}

// BenchmarkEvaluateCart is one evaluation of a pick of the cart that follows
// its duty: two legs up and two down, two rests, 5.5 hours with a pause.
func BenchmarkEvaluateCart(b *testing.B) {
	c, cat := demo.Load(b, "cart")
	picks := followedPicks(b, c, cat)
	j, err := sizing.NewJudge(c)
	if err != nil {
		b.Fatal(err)
	}
	var out sizing.Candidate
	b.ReportAllocs()
	for b.Loop() {
		j.Evaluate(picks[0], &out)
	}
}

// blownUp copies the motors of a catalog under new ids, each a little stronger
// than the last, until a case makes at least n candidates of it.
func blownUp(b *testing.B, c *loadcases.Case, cat *catalog.Catalog, n int) *catalog.Catalog {
	b.Helper()
	picks, err := sizing.Picks(c, cat)
	if err != nil {
		b.Fatal(err)
	}
	big := *cat
	big.Motors = nil
	for copy := 0; copy*len(picks) < n; copy++ {
		for _, m := range cat.Motors {
			if copy > 0 {
				m.ID, m.Row = fmt.Sprintf("%s-%d", m.ID, copy), fmt.Sprintf("%s-%d", m.Row, copy)
				m.Resistance.Value *= 1 / (1 + 0.001*m.Resistance.Value)
				m.Constant.Value *= 1 + 0.001*m.Constant.Value
			}
			big.Motors = append(big.Motors, m)
		}
	}
	return &big
}

// BenchmarkRank10000 ranks a field of ten thousand candidates and more, of
// which most fail and many lag, with one worker per processor.
func BenchmarkRank10000(b *testing.B) {
	c, cat := demo.Load(b, "cart")
	big := blownUp(b, c, cat, 10_000)
	b.ReportAllocs()
	for b.Loop() {
		f, err := sizing.Rank(context.Background(), c, big, sizing.Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(f.Candidates)), "candidates")
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/1000/float64(b.N), "s/field")
}

// Benchmark1e6 evaluates a million picks on two workers, round and round those
// that follow the cart's duty, and keeps none: the memory it takes stays that
// of one evaluation. It is long, so it wants DRAY_LONG_BENCH, the number of
// evaluations (1000000 for the whole of it), and -benchtime 1x.
func Benchmark1e6(b *testing.B) {
	total, err := strconv.Atoi(os.Getenv("DRAY_LONG_BENCH"))
	if err != nil || total <= 0 {
		b.Skip("set DRAY_LONG_BENCH=1000000 and -benchtime 1x")
	}
	c, cat := demo.Load(b, "cart")
	picks := followedPicks(b, c, cat)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	for b.Loop() {
		done := make(chan error)
		const workers = 2
		for w := range workers {
			go func() {
				j, err := sizing.NewJudge(c)
				var out sizing.Candidate
				for i := w; err == nil && i < total; i += workers {
					j.Evaluate(picks[i%len(picks)], &out)
				}
				done <- err
			}()
		}
		for range workers {
			if err := <-done; err != nil {
				b.Fatal(err)
			}
		}
	}
	runtime.ReadMemStats(&after)
	each := float64(b.Elapsed().Nanoseconds()) / float64(b.N) / float64(total)
	b.ReportMetric(each, "ns/evaluation")
	b.ReportMetric(each/1000, "s/million")
	b.ReportMetric((float64(after.HeapSys)-float64(before.HeapSys))/(1<<20), "MB-more-heap")
}
