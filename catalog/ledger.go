package catalog

import "fmt"

// ledger remembers where each id of one sort of part stands, over all files.
type ledger struct {
	first map[string]spot
}

type spot struct {
	file string
	line int
}

func newLedger() *ledger { return &ledger{first: map[string]spot{}} }

// enter records the id of a row; a repeated one is a fault that names both places.
func (l *ledger) enter(r *record) bool {
	if before, twice := l.first[r.id]; twice {
		r.fault("id", 0, fmt.Sprintf("the id is repeated, first at %s:%d", before.file, before.line), "each id once")
		return false
	}
	l.first[r.id] = spot{r.name, r.row.line}
	return true
}
