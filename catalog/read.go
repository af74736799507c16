package catalog

import (
	"cmp"
	"fmt"
	"slices"
)

// Read reads all catalogs of a case. The error is *Faults with every fault of
// every file; what is merely odd travels in Catalog.Findings.
func Read(files Files) (*Catalog, error) {
	c, found := readAll(files)
	var faults []Finding
	for _, f := range found {
		if f.Severity == Fault {
			faults = append(faults, f)
			continue
		}
		c.Findings = append(c.Findings, f)
	}
	if len(faults) > 0 {
		return nil, &Faults{List: faults}
	}
	return c, nil
}

// Lint reads all catalogs and returns everything noticed, faults among it.
func Lint(files Files) []Finding {
	_, found := readAll(files)
	return found
}

func readAll(files Files) (*Catalog, []Finding) {
	c := &Catalog{}
	found := judgeColumns(files.Columns)
	motorIDs, trainIDs := newLedger(), newLedger()
	eachFile(files.Motors, motorTable(), files.Columns, &found, func(r *reader) []Finding {
		c.Motors = append(c.Motors, motors(r, motorIDs)...)
		return nil
	})
	eachFile(files.GearTrains, gearTable(), files.Columns, &found, func(r *reader) []Finding {
		c.GearTrains = append(c.GearTrains, gears(r, trainIDs)...)
		return nil
	})
	found = append(found, unknownFits(c.GearTrains, motorIDs)...)
	packIDs, controllerIDs := newLedger(), newLedger()
	eachFile(files.Batteries, batteryTable(), files.Columns, &found, func(r *reader) []Finding {
		list, more := batteries(r, packIDs, files.Open, files.Columns)
		c.Batteries = append(c.Batteries, list...)
		return more
	})
	eachFile(files.Controllers, controllerTable(), files.Columns, &found, func(r *reader) []Finding {
		c.Controllers = append(c.Controllers, controllers(r, controllerIDs)...)
		return nil
	})
	return c, found
}

// eachFile opens every file of one sort and hands on those that can be read.
func eachFile(files []CSV, t *table, columns map[string]string, found *[]Finding, rows func(*reader) []Finding) {
	for _, csv := range files {
		r, ok := open(csv, t, columns)
		var more []Finding
		if ok {
			more = rows(r)
		}
		*found = append(*found, r.findings()...)
		*found = append(*found, more...)
	}
}

// findings gives what was noticed in a file, by place.
func (r *reader) findings() []Finding {
	slices.SortStableFunc(r.found, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if r.dropped > 0 {
		r.found = append(r.found, Finding{File: r.name, Severity: Note, Text: fmt.Sprintf("and %d more findings in this file", r.dropped)})
	}
	return r.found
}

// judgeColumns faults a renaming to a column that no table has.
func judgeColumns(columns map[string]string) (found []Finding) {
	var names []string
	for _, t := range []*table{motorTable(), gearTable(), batteryTable(), controllerTable(), ocvTable()} {
		names = append(names, t.names()...)
	}
	for _, theirs := range keys(columns) {
		ours, _ := partHeading(columns[theirs])
		if ours == "" || ours == "-" || slices.Contains(names, ours) {
			continue
		}
		want := "a column name, or - to pass the column over"
		if near := nearest(ours, names); near != "" {
			want = near
		}
		found = append(found, Finding{Severity: Fault, Field: ours, Read: columns[theirs],
			Text: "columns: " + quoted(theirs) + " is renamed to no column of a catalog" + sentence("", columns[theirs], want)})
	}
	return found
}

// keys gives the keys of a map in order.
func keys[V any](m map[string]V) []string {
	list := make([]string, 0, len(m))
	for k := range m {
		list = append(list, k)
	}
	slices.Sort(list)
	return list
}
