package catalog

// Heading is one column of a catalog file, for the manual.
type Heading struct {
	Name   string
	Kind   string // "torque", "text", "whole number"
	Unit   string // taken where neither heading nor cell has one; empty where none is
	Needed bool
}

// Sheet is one sort of catalog file.
type Sheet struct {
	Sort     string // motors, gear trains, batteries, controllers, open-circuit voltage
	Headings []Heading
}

// Sheets lists every sort of file with its columns, from the tables the reader
// works from.
func Sheets() []Sheet {
	var out []Sheet
	for _, t := range []*table{motorTable(), gearTable(), batteryTable(), controllerTable(), ocvTable()} {
		s := Sheet{Sort: t.sort}
		for _, c := range t.columns {
			h := Heading{Name: c.name, Kind: c.kind.String(), Unit: c.unit}
			switch {
			case c.form == words:
				h.Kind = "text"
			case c.form == counts:
				h.Kind = "whole number"
			case c.form == special && c.unit == "":
				h.Kind = "see below"
			}
			for _, n := range t.needed {
				h.Needed = h.Needed || n == c.name
			}
			s.Headings = append(s.Headings, h)
		}
		out = append(out, s)
	}
	return out
}
