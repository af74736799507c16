package main

import (
	"errors"
	"path/filepath"

	"go.yaml.in/yaml/v4"
)

// asked is one catalog a case names, and where it does.
type asked struct {
	path string
	line int
}

// catalogsAsked is what a case says about its catalogs, read leniently: the
// reader of cases judges, this only finds, so that the catalogs of a faulty
// case can be judged in the same run and a missing file can name its line.
type catalogsAsked struct {
	paths   map[string][]asked // by key
	columns map[string]string  // theirs → ours
}

// catalogsNamed finds the catalogs a case names; text that is no YAML names none.
func catalogsNamed(data []byte) catalogsAsked {
	found := catalogsAsked{paths: map[string][]asked{}, columns: map[string]string{}}
	var doc yaml.Node
	if yaml.Unmarshal(data, &doc) != nil || len(doc.Content) == 0 {
		return found
	}
	for key, value := range pairs(doc.Content[0]) {
		switch key {
		case "columns":
			found.rename(value)
		case "catalogs":
			for key, value := range pairs(value) {
				if key == "columns" {
					found.rename(value)
					continue
				}
				found.add(key, value)
			}
		}
	}
	return found
}

func (c *catalogsAsked) add(key string, value *yaml.Node) {
	switch value.Kind {
	case yaml.ScalarNode:
		if value.Value != "" {
			c.paths[key] = append(c.paths[key], asked{value.Value, value.Line})
		}
	case yaml.SequenceNode:
		for _, item := range value.Content {
			if item.Kind == yaml.ScalarNode {
				c.add(key, item)
			}
		}
	}
}

func (c *catalogsAsked) rename(value *yaml.Node) {
	for theirs, ours := range pairs(value) {
		if ours.Kind == yaml.ScalarNode {
			c.columns[theirs] = ours.Value
		}
	}
}

// pairs walks a mapping in order; any other node has none.
func pairs(n *yaml.Node) func(yield func(string, *yaml.Node) bool) {
	return func(yield func(string, *yaml.Node) bool) {
		if n.Kind != yaml.MappingNode {
			return
		}
		for i := 0; i+1 < len(n.Content); i += 2 {
			if !yield(n.Content[i].Value, n.Content[i+1]) {
				return
			}
		}
	}
}

// opener opens an ocv table beside the battery catalog that names it. A name
// alone does not tell which catalog that is: they are tried in order.
func (c *catalogsAsked) opener(home string) func(name string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		var first error
		for _, a := range c.paths["batteries"] {
			folder := filepath.Dir(a.path)
			if !filepath.IsAbs(folder) {
				folder = filepath.Join(home, folder)
			}
			data, err := confined(folder)(name)
			if err == nil {
				return data, nil
			}
			if first == nil {
				first = err
			}
		}
		if first == nil {
			first = errors.New("no battery catalog to look beside")
		}
		return nil, first
	}
}
