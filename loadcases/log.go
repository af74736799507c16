package loadcases

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"example.org/dray/quantity"
)

// maxSamples bounds a recorded log.
const maxSamples = 200000

// log reads the recorded log of a shaft; nil without one or after a fault.
func (b *builder) log(m *section) []Sample {
	if !m.has("log") {
		return nil
	}
	path := beside(b.c.File, m.text("log"))
	if b.open == nil {
		b.fault(m.node("log"), "the log cannot be opened here", "")
		return nil
	}
	data, err := b.open(path)
	if err != nil {
		b.fault(m.node("log"), fmt.Sprintf("the log %s cannot be opened: %s", quote(m.text("log")), oneLine(err.Error())), "paths are relative to the case file")
		return nil
	}
	samples, faults := ReadLog(path, data)
	for _, f := range faults {
		b.faults.add(f)
	}
	return samples
}

// logColumn is one of the three columns of a log.
type logColumn struct {
	name           string
	kind           quantity.Kind
	factor, offset float64
	at             int // index in the row; −1 not found
}

// ReadLog reads a CSV with columns time, torque and speed whose headings carry
// the units, as "torque [N·m]". Times rise; they are shifted to begin at 0. All
// faults of the file are returned, and no samples with them.
func ReadLog(name string, data []byte) ([]Sample, []Fault) {
	l := &logReader{name: name, lines: splitLines(data)}
	if len(data) > 64*maxBytes {
		l.fault(0, 0, "the log is larger than 64 MiB", "")
		return nil, l.list.List
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = '#', -1, true
	r.Comma = separator(l.lines)
	l.rows(r)
	if len(l.list.List) == 0 && len(l.samples) < 2 {
		l.fault(1, 1, fmt.Sprintf("the log has %d samples, and two or more are needed", len(l.samples)), "")
	}
	if len(l.list.List) > 0 {
		return nil, l.list.List
	}
	begin := l.samples[0].Time
	for i := range l.samples {
		l.samples[i].Time -= begin
	}
	return l.samples, nil
}

// separator is the mark between the cells of the first line that is no comment.
func separator(lines []string) rune {
	for _, line := range lines {
		if strings.HasPrefix(line, "#") || strings.TrimSpace(line) == "" {
			continue
		}
		switch {
		case strings.Contains(line, ";"):
			return ';'
		case strings.Contains(line, "\t"):
			return '\t'
		}
		break
	}
	return ','
}

type logReader struct {
	name    string
	lines   []string
	list    Faults
	columns []logColumn
	samples []Sample
}

func (l *logReader) fault(line, column int, message, hint string) {
	source := ""
	if line >= 1 && line <= len(l.lines) {
		source = l.lines[line-1]
	}
	l.list.add(Fault{File: l.name, Line: line, Column: column, Message: message, Source: source, Hint: hint})
}

func (l *logReader) rows(r *csv.Reader) {
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			var pe *csv.ParseError
			if errors.As(err, &pe) {
				l.fault(pe.Line, pe.Column, "this is not CSV: "+pe.Err.Error(), "")
			} else {
				l.fault(1, 1, "this is not CSV: "+oneLine(err.Error()), "")
			}
			return
		}
		if l.columns == nil {
			if !l.head(r, row) {
				return
			}
			continue
		}
		if len(l.samples) >= maxSamples {
			line, _ := r.FieldPos(0)
			l.fault(line, 1, fmt.Sprintf("the log has more than %d samples", maxSamples), "thin it out")
			return
		}
		l.row(r, row)
	}
}

// head finds the columns and their units.
func (l *logReader) head(r *csv.Reader, row []string) bool {
	line, _ := r.FieldPos(0)
	l.columns = []logColumn{{name: "time", kind: quantity.KindTime}, {name: "torque", kind: quantity.KindTorque}, {name: "speed", kind: quantity.KindAngularSpeed}}
	ok := true
	for c := range l.columns {
		col := &l.columns[c]
		col.at = -1
		for i, heading := range row {
			name, unit := splitHeading(heading)
			if !strings.EqualFold(name, col.name) {
				continue
			}
			_, at := r.FieldPos(i)
			if col.at >= 0 {
				l.fault(line, at, fmt.Sprintf("the column %s stands twice", col.name), "keep one of the two")
				ok = false
				continue
			}
			col.at = i
			factor, offset, _, _, known := quantity.LookupUnit(col.kind, unit)
			if !known {
				l.fault(line, at, fmt.Sprintf("the heading %s has no unit of %s", quote(heading), col.kind), fmt.Sprintf("%s [%s]", col.name, strings.Join(col.kind.Units(), "], or [")))
				ok = false
			}
			col.factor, col.offset = factor, offset
		}
		if col.at < 0 {
			l.fault(line, 1, fmt.Sprintf("the column %s is missing", col.name), "time [s], torque [N·m], speed [rpm]")
			ok = false
		}
	}
	return ok
}

// splitHeading takes "torque [N·m]" or "torque (N·m)" apart.
func splitHeading(heading string) (name, unit string) {
	heading = strings.TrimSpace(heading)
	if i := strings.IndexAny(heading, "[("); i >= 0 {
		return strings.TrimSpace(heading[:i]), strings.Trim(heading[i:], "[]() ")
	}
	return heading, ""
}

func (l *logReader) row(r *csv.Reader, row []string) {
	line, _ := r.FieldPos(0)
	var v [3]float64
	for c, col := range l.columns {
		if col.at >= len(row) {
			l.fault(line, 1, fmt.Sprintf("this row has no %s", col.name), "")
			return
		}
		_, at := r.FieldPos(col.at)
		cell := row[col.at]
		if r.Comma == ';' {
			cell = strings.Replace(cell, ",", ".", 1)
		}
		number, err := strconv.ParseFloat(strings.TrimSpace(cell), 64)
		if err != nil || math.IsNaN(number) || math.Abs(number) > 1e12 {
			l.fault(line, at, fmt.Sprintf("%s is %s, and a number was expected", col.name, quote(row[col.at])), "")
			return
		}
		v[c] = number*col.factor + col.offset
	}
	s := Sample{Time: v[0], Torque: v[1], Speed: v[2]}
	if n := len(l.samples); n > 0 && s.Time <= l.samples[n-1].Time {
		l.fault(line, 1, fmt.Sprintf("the time %.6g s does not come after %.6g s", s.Time, l.samples[n-1].Time), "times must rise")
	}
	l.samples = append(l.samples, s)
}
