package loadcases

import (
	"encoding/json"
	"fmt"
	"strings"

	"example.org/dray/quantity"
	"github.com/google/jsonschema-go/jsonschema"
)

// Key is one key of the case file as the manual lists it.
type Key struct {
	Path     string   // dotted; [] stands behind a list
	Kind     string   // "mass", "whole number", "one of rear, front, all"
	Units    []string // accepted units worth telling; nil where there are none
	Required bool     // where its section is given
	Default  string   // as a person would write it; empty without one
	Help     string
	Only     []string // mechanisms that know the key; nil all
}

// Keys lists every key of the case file in the order of the table the reader
// works from.
func Keys() []Key { return flatten(tree(), "") }

func flatten(entries []entry, path string) []Key {
	var keys []Key
	for i := range entries {
		e := &entries[i]
		own := join(path, e.name)
		keys = append(keys, Key{Path: own, Kind: e.words(), Units: e.units(), Required: e.required, Default: e.fallback, Help: e.help, Only: e.only})
		if e.form == formSections {
			own += "[]"
		}
		keys = append(keys, flatten(e.children, own)...)
	}
	return keys
}

// words says in plain words how the key's value is written.
func (e *entry) words() string {
	switch e.form {
	case formWhole:
		return "whole number"
	case formText:
		return "text"
	case formYesNo:
		return "yes or no"
	case formChoice:
		return "one of " + strings.Join(e.choices, ", ")
	case formNames:
		return "any, a name or a list of names"
	case formPaths:
		return "a path or a list of paths"
	case formRatios:
		return "a ratio or a list of ratios"
	case formTeeth:
		return "tooth counts"
	case formGauge:
		return "wire size"
	case formSection:
		return "keys"
	case formSections:
		return "a list"
	case formRenames:
		return "heading: heading"
	}
	if e.turns {
		return e.kind.String() + ", or " + e.turn.String() + " where the mechanism turns"
	}
	return e.kind.String()
}

func (e *entry) units() []string {
	if e.form != formQuantity {
		return nil
	}
	units := e.kind.Units()
	if e.turns {
		units = append(append([]string(nil), units...), e.turn.Units()...)
	}
	return units
}

// Schema is the JSON Schema (2020-12) of the case file, from the same table.
// It knows keys, forms and words; units and what depends on other keys are
// checked by Read.
func Schema() ([]byte, error) {
	s := object(tree())
	s.Schema = "https://json-schema.org/draft/2020-12/schema"
	s.Title = "dray case file"
	mechanism := s.Properties["mechanism"]
	one := 1
	mechanism.MinProperties, mechanism.MaxProperties = &one, &one
	data, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("encode the schema: %w", err)
	}
	return append(data, '\n'), nil
}

func object(entries []entry) *jsonschema.Schema {
	s := &jsonschema.Schema{
		Type:                 "object",
		Properties:           map[string]*jsonschema.Schema{},
		AdditionalProperties: &jsonschema.Schema{Not: &jsonschema.Schema{}},
	}
	for i := range entries {
		e := &entries[i]
		s.Properties[e.name] = e.schema()
		s.PropertyOrder = append(s.PropertyOrder, e.name)
		if e.required {
			s.Required = append(s.Required, e.name)
		}
	}
	return s
}

func (e *entry) schema() *jsonschema.Schema {
	s := e.shape()
	s.Description = e.describe()
	return s
}

// describe is the help with units and default.
func (e *entry) describe() string {
	text := e.help
	if units := e.units(); len(units) > 0 {
		text += " (" + strings.Join(units, ", ") + ")"
	}
	if e.fallback != "" {
		text += "; default " + e.fallback
	}
	if e.only != nil {
		text += "; only " + strings.Join(e.only, ", ")
	}
	return text
}

func (e *entry) shape() *jsonschema.Schema {
	one := func(types ...string) *jsonschema.Schema {
		if len(types) == 1 {
			return &jsonschema.Schema{Type: types[0]}
		}
		return &jsonschema.Schema{Types: types}
	}
	oneOrMore := func(types ...string) *jsonschema.Schema {
		least := 1
		return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{one(types...), {Type: "array", Items: one(types...), MinItems: &least}}}
	}
	switch e.form {
	case formWhole:
		low, high := 1.0, float64(e.most)
		return &jsonschema.Schema{Type: "integer", Minimum: &low, Maximum: &high}
	case formYesNo:
		return &jsonschema.Schema{Enum: []any{true, false, "yes", "no", "on", "off"}}
	case formChoice:
		s := &jsonschema.Schema{Type: "string"}
		for _, word := range e.choices {
			s.Enum = append(s.Enum, word)
		}
		return s
	case formText:
		return one("string", "number")
	case formNames, formPaths, formRatios:
		return oneOrMore("string", "number")
	case formTeeth:
		s := oneOrMore("string", "integer")
		s.AnyOf = append(s.AnyOf, object([]entry{whole("from", "", 1000, "smallest").need(), whole("to", "", 1000, "largest").need()}))
		return s
	case formSection:
		return object(e.children)
	case formSections:
		return &jsonschema.Schema{Type: "array", Items: object(e.children)}
	case formRenames:
		return &jsonschema.Schema{Type: "object", AdditionalProperties: &jsonschema.Schema{Type: "string"}}
	case formQuantity:
		if bare(e.kind) {
			return one("string", "number")
		}
		return one("string")
	}
	return one("string")
}

// bare reports whether a plain number is a right way to write the kind.
func bare(kind quantity.Kind) bool {
	_, err := quantity.Parse(kind, "0.5")
	return err == nil
}
