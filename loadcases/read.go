package loadcases

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"go.yaml.in/yaml/v4/plugin/loaderlimits"
)

// The sizes beyond which a file is no case file.
const (
	maxBytes = 1 << 20
	maxDepth = 24
)

// Read reads a case from YAML. name is the file's path as messages print it
// and as relative paths are joined to; open reads a shaft's log and may be nil
// where there is none. All that is wrong is told in one go: the error is a
// *Faults. The case comes settled, with its moves placed and its request
// judged.
func Read(name string, data []byte, open func(path string) ([]byte, error)) (*Case, error) {
	w := &walker{file: name, lines: splitLines(data)}
	root := w.document(data)
	if root == nil {
		return nil, w.faults.err()
	}
	w.lookAhead(root)
	top := w.section(root, root, tree(), "")
	b := &builder{walker: w, open: open, c: &Case{File: name}}
	b.build(top)
	if err := w.faults.err(); err != nil {
		return nil, err
	}
	b.c.Tolerances = append(b.c.Tolerances, w.tolerances...)
	b.c.Warnings = append(b.c.Warnings, w.notes...)
	b.c.Warnings = append(b.c.Warnings, b.c.Judge()...)
	return b.c, nil
}

// splitLines cuts the text for messages; bad bytes are shown, not hidden.
func splitLines(data []byte) []string {
	if len(data) > maxBytes {
		return nil
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = strings.TrimSuffix(lines[i], "\r")
	}
	return lines
}

// document parses the text to its root mapping; nil after a fault.
func (w *walker) document(data []byte) *yaml.Node {
	if len(data) > maxBytes {
		w.faults.add(Fault{File: w.file, Message: fmt.Sprintf("the file has %d bytes, more than the %d of any case file", len(data), maxBytes)})
		return nil
	}
	if !w.plainText(data) {
		return nil
	}
	loader, err := yaml.NewLoader(bytes.NewReader(data), yaml.WithPlugin(loaderlimits.New(loaderlimits.DepthValue(maxDepth))))
	if err != nil {
		w.syntax(err)
		return nil
	}
	var doc, second yaml.Node
	switch err := loader.Load(&doc); {
	case errors.Is(err, io.EOF) || (err == nil && len(doc.Content) == 0):
		w.faultAt(1, 1, "the file holds no case", "a case needs mechanism: and duty:")
		return nil
	case err != nil:
		w.syntax(err)
		return nil
	}
	if err := loader.Load(&second); err == nil {
		w.fault(&second, "a second document begins here, and a case is one document", "remove the line ---")
		return nil
	} else if !errors.Is(err, io.EOF) {
		w.syntax(err)
		return nil
	}
	root := doc.Content[0]
	if root.Kind != yaml.MappingNode {
		w.fault(root, "the file is "+shape(root)+", and a case with keys was expected", "a case needs mechanism: and duty:")
		return nil
	}
	return root
}

// plainText refuses bytes that are not text, at the first of them.
func (w *walker) plainText(data []byte) bool {
	line, column := 1, 1
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			w.faultAt(line, column, fmt.Sprintf("the byte 0x%02x is not UTF-8 text", data[i]), "save the file as UTF-8")
			return false
		case r == 0:
			w.faultAt(line, column, "a zero byte stands here, so this is not a text file", "save the file as UTF-8")
			return false
		case r == '\n':
			line, column = line+1, 1
		case r == '\ufeff' && i == 0:
		default:
			column++
		}
		i += size
	}
	return true
}

// syntax reports what the YAML parser refuses.
func (w *walker) syntax(err error) {
	var le *yaml.LoadError
	if !errors.As(err, &le) {
		w.faultAt(1, 1, "this is not YAML: "+oneLine(err.Error()), "")
		return
	}
	line, column := le.Mark.Line, le.Mark.Column
	message := "this is not YAML: " + oneLine(le.Message)
	if le.ContextMsg != "" {
		message += " " + oneLine(le.ContextMsg)
		if le.ContextMark.Line > 0 && le.ContextMark.Line != line {
			message += fmt.Sprintf(" begun on line %d", le.ContextMark.Line)
		}
	}
	line = max(1, min(line, len(w.lines)))
	w.faultAt(line, max(1, column), message, syntaxHint(le.Message, w.lines, line))
}

func syntaxHint(message string, lines []string, line int) string {
	switch {
	case strings.Contains(message, "tab ") || line >= 1 && line <= len(lines) && strings.HasPrefix(strings.TrimLeft(lines[line-1], " "), "\t"):
		return "indent with spaces, not with tabs"
	case strings.Contains(message, "mapping values are not allowed"):
		return "check the indent, and put a space after each colon"
	case strings.Contains(message, "depth"):
		return fmt.Sprintf("a case nests at most %d deep", maxDepth)
	case line >= 1 && line <= len(lines) && strings.Count(lines[line-1], "{") != strings.Count(lines[line-1], "}"):
		return "check that every { has its }"
	}
	return ""
}

func oneLine(text string) string {
	if runes := []rune(text); len(runes) > 200 {
		text = string(runes[:200]) + "…"
	}
	return strings.Join(strings.Fields(text), " ")
}

// lookAhead finds the mechanism's kind, on which the units of legs depend.
func (w *walker) lookAhead(root *yaml.Node) {
	for i := 0; i+1 < len(root.Content); i += 2 {
		if root.Content[i].Value != "mechanism" || root.Content[i+1].Kind != yaml.MappingNode {
			continue
		}
		m := root.Content[i+1]
		for j := 0; j+1 < len(m.Content); j += 2 {
			switch kind := m.Content[j].Value; kind {
			case kindArm, kindTurntable, kindShaft:
				w.kind, w.turning = kind, true
				return
			case kindWheels, kindHoist, kindBelt, kindScrew:
				w.kind = kind
				return
			}
		}
	}
}

// beside joins a path written in the case to the folder of the case file.
func beside(file, path string) string {
	if filepath.IsAbs(path) {
		return filepath.Clean(path)
	}
	return filepath.Join(filepath.Dir(file), path)
}
