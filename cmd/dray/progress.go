package main

import (
	"cmp"
	"io"
	"os"
	"time"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
	"golang.org/x/term"
)

// progressAfter is how long a job may last before it shows a bar.
const progressAfter = 300 * time.Millisecond

// progress shows a bar on a terminal once a job lasts.
type progress struct {
	started time.Time
	out     io.Writer
	what    string // is counted; empty is candidates
	pool    *mpb.Progress
	bar     *mpb.Bar
}

// newProgress returns nil where no bar is wanted: off a terminal, or quiet.
func (s *session) newProgress() *progress {
	file, isFile := s.stderr.(*os.File)
	if s.quiet || !isFile || !term.IsTerminal(int(file.Fd())) {
		return nil
	}
	return &progress{started: time.Now(), out: s.stderr}
}

// of names what is counted.
func (p *progress) of(what string) *progress {
	if p != nil {
		p.what = what
	}
	return p
}

// callback is nil without a bar, as the engine expects.
func (p *progress) callback() func(done, total int) {
	if p == nil {
		return nil
	}
	return p.report
}

func (p *progress) report(done, total int) {
	if p.pool == nil {
		if time.Since(p.started) < progressAfter {
			return
		}
		p.pool = mpb.New(mpb.WithOutput(p.out), mpb.WithWidth(40))
		p.bar = p.pool.New(int64(total), mpb.BarStyle(), mpb.BarRemoveOnComplete(),
			mpb.PrependDecorators(decor.Name(cmp.Or(p.what, "candidates")+" "), decor.CountersNoUnit("%d of %d")))
	}
	p.bar.SetCurrent(int64(done))
}

// end takes the bar away.
func (p *progress) end() {
	if p != nil && p.pool != nil {
		p.bar.Abort(true)
		p.pool.Wait()
	}
}
