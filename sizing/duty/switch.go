package duty

// Switch gives the runner another script and keeps its working memory: for a
// search that changes the duty over and over.
func (r *Runner) Switch(s *Script) {
	r.script = s
	r.lag = lagger{lines: r.lag.lines[:0], steps: r.lag.steps[:0]}
}
