package report

import "example.org/dray/sizing"

// sentence puts a check in plain words.
func sentence(ch *sizing.Check, c *sizing.Candidate) string {
	return ch.Name.String() + " " + ch.Verdict.String()
}

func whyNot(c *sizing.Candidate) string {
	if n := failureName(c); n != "" {
		return "fails " + n
	}
	return ""
}
