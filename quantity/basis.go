package quantity

// Basis tells how a figure came to be known. The zero value is Unknown, so a
// figure nobody filled in is never mistaken for a measured one.
type Basis uint8

// The bases, from no knowledge to the best. A larger value is stronger.
const (
	Unknown   Basis = iota // nothing gives it; never a pass
	Assumed                // a convention of this program or of the trade
	Estimated              // from size, mass or kind, with a wide band
	Derived                // computed from listed figures by a stated formula
	Listed                 // written in a catalog row
	Stated                 // written in the case by the user
)

// String gives the word that tables and JSON print.
func (b Basis) String() string {
	switch b {
	case Assumed:
		return "assumed"
	case Estimated:
		return "estimated"
	case Derived:
		return "derived"
	case Listed:
		return "listed"
	case Stated:
		return "stated"
	default:
		return "unknown"
	}
}

// Weaker returns the weaker of two bases: a result stands on its weakest input.
func (b Basis) Weaker(other Basis) Basis {
	return min(b, other)
}

// Figure is a quantity with its basis. The zero value is unknown.
type Figure[Q ~float64] struct {
	Value Q
	Basis Basis
	Note  string // why, in a short clause; empty when the basis says it all
}

// Known reports whether the figure has a value at all.
func (f Figure[Q]) Known() bool { return f.Basis != Unknown }

// Or returns the value, or the fallback when the figure is unknown.
func (f Figure[Q]) Or(fallback Q) Q {
	if f.Known() {
		return f.Value
	}
	return fallback
}
