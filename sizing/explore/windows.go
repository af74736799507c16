package explore

// scanned is a scan of the total ratio and the means to look between its points.
type scanned struct {
	looks []look // at rising ratios
	f, g  probe  // may be used at once
	why   func(ratio float64, check int) string
}

// windows are the ranges of ratio in which none of a set of checks fails. Where
// the scan saw only failures around a best point, that point is climbed, so
// that a window narrower than a step of the scan is found too.
func (s *scanned) windows(of checkSet) (out []Window) {
	looks := s.refined(of)
	for i := 0; i < len(looks); i++ {
		if looks[i].least(of) < 0 {
			continue
		}
		w := Window{From: Edge{Ratio: looks[i].at, SetBy: -1}}
		if i > 0 {
			w.From = s.edge(looks[i], looks[i-1], of)
		}
		for i+1 < len(looks) && looks[i+1].least(of) >= 0 {
			i++
		}
		w.To = Edge{Ratio: looks[i].at, SetBy: -1}
		if i+1 < len(looks) {
			w.To = s.edge(looks[i], looks[i+1], of)
		}
		out = append(out, w)
	}
	return out
}

// refined is the scan with the tops between failures and the bottoms between
// passes added where they change the answer.
func (s *scanned) refined(of checkSet) []look {
	out := make([]look, 0, len(s.looks)+4)
	for i := range s.looks {
		l := &s.looks[i]
		if i == 0 || i+1 == len(s.looks) {
			out = append(out, *l)
			continue
		}
		before, here, after := s.looks[i-1].least(of), l.least(of), s.looks[i+1].least(of)
		found := *l
		switch {
		case here < 0 && here >= before && here >= after && (here > before || here > after):
			found = climb(s.f, s.looks[i-1], *l, s.looks[i+1], func(l *look) float64 { return l.least(of) }, 1e-4, 0)
		case here >= 0 && here < nearlyFails && here <= before && here <= after:
			found = climb(s.f, s.looks[i-1], *l, s.looks[i+1], func(l *look) float64 { return -l.least(of) }, 1e-3, 1e-12)
		}
		if (found.least(of) < 0) == (here < 0) {
			out = append(out, *l)
			continue
		}
		if found.at < l.at {
			out = append(out, found, *l)
		} else {
			out = append(out, *l, found)
		}
	}
	return out
}

// nearlyFails is the margin below which a dip between two points of a scan is
// looked into.
const nearlyFails = 0.1

// edge finds the end of a window between a pass and a failure, and names the
// check that fails just outside.
func (s *scanned) edge(pass, fail look, of checkSet) Edge {
	inside, outside := edge(s.f, s.g, pass, fail, of, 0)
	e := Edge{Ratio: inside.at, SetBy: outside.first(of)}
	if s.why != nil {
		e.Why = s.why(outside.at, e.SetBy)
	}
	return e
}
