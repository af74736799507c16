package quantity

// Gauge is a wire size, by number (ASTM B258) or by nominal cross-section
// (IEC 60228). Exactly one of the two is given.
type Gauge struct {
	AWG     float64 // gauge number; 0 is 1/0, −1 is 2/0 and so on; meaningful when Section is 0
	Section Area    // m², nominal; 0 when given by AWG
}
