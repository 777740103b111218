package data

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// draft is the dialect of JSON Schema in which schemas are written.
const draft = "https://json-schema.org/draft/2020-12/schema"

// Schema returns the JSON Schema of one kind of data file, for editors that
// complete and check YAML as it is typed: farm, prices, climate,
// infrastructure, finance or enterprise. The empty kind gives one schema with
// all of them, which accepts any of the files.
//
// A schema sees keys, kinds of values and the form of units. What it can't see
// is left to [Load]: whether a unit measures what is wanted, whether a name
// that is referred to exists, whether shares add up.
func Schema(kind string) ([]byte, error) {
	w := &schemaWriter{defs: object{}}
	var root object
	names := make([]string, len(kinds))
	for i, k := range kinds {
		names[i] = k.name
		if k.name == kind {
			root = w.of(k.is)
			root["title"] = k.title
		}
	}
	switch {
	case kind == "":
		var any []object
		for _, k := range kinds {
			def := w.of(k.is)
			def["title"] = k.title
			w.defs[k.name] = def
			any = append(any, reference(k.name))
		}
		root = object{"title": "The data files of a farm", "anyOf": any}
	case root == nil:
		err := &source.Error{Kind: source.UnknownRef, Message: fmt.Sprintf("%q is not a kind of data file", leaf.Clip(kind)), Remedy: "expected " + leaf.List(names, "or")}
		if near := source.Nearest(kind, names); near != "" {
			err.With("did you mean %s?", near)
		}
		return nil, err
	}
	root["$schema"] = draft
	root["$defs"] = w.defs
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(root); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// An object is one JSON object; encoding/json sorts its keys.
type object map[string]any

func reference(def string) object { return object{"$ref": "#/$defs/" + def} }

type schemaWriter struct{ defs object }

// number matches a number as the data writes it.
const number = `^\s*[+−-]?([0-9][0-9,_]*(\.[0-9]+)?|\.[0-9]+)([eE][+-]?[0-9]{1,3})?`

// of returns the schema of a shape. Those that recur are written once, under
// $defs.
func (w *schemaWriter) of(s *shape) object {
	if s.figure {
		short := *s
		short.figure = false
		return object{"anyOf": []object{w.of(&short), w.record(wordRecord(s))}}
	}
	switch s.form {
	case textForm:
		return object{"type": []string{"string", "number"}, "minLength": 1}
	case choiceForm:
		return object{"enum": s.words}
	case truthForm:
		return object{"type": "boolean"}
	case nameForm:
		return object{"type": "string", "pattern": namePattern, "maxLength": longestName}
	case figureForm:
		return object{"type": "string", "pattern": figurePattern}
	case datedForm:
		return object{"type": []string{"string", "integer"}, "pattern": datedPattern, "minimum": 1000, "maximum": 9999}
	case plainForm:
		return w.shared("formula_text", func() object {
			return object{"type": []string{"string", "number"}, "minLength": 1, "description": "A formula."}
		})
	case lineForm:
		return w.shared("line_formula", func() object {
			return object{"anyOf": []object{w.of(formulaShape), w.of(leafRecord(s.want, s.single))}, "description": "A formula, or a value with its source."}
		})
	case formulaForm:
		return w.shared("formula", func() object {
			return object{"anyOf": []object{w.of(formulaShape), w.of(formulaRecord)}, "description": "A formula, short or long."}
		})
	case rawForm:
		return w.raw(s)
	case leafForm:
		return w.leaf(s)
	case amountForm:
		return w.shared(s.want.name+"_or_formula", func() object {
			return object{"anyOf": []object{w.of(formulaShape), w.of(leafRecord(s.want, s.single)), w.of(formulaRecord)}, "description": capital(s.noun) + ", or a formula for it."}
		})
	case recordForm:
		return w.record(s)
	case tableForm:
		of := w.of(s.of)
		of["description"] = s.anyKey
		longest := longestName
		if s.keys == figureRule {
			longest = longestFigure
		}
		return object{"type": []string{"object", "null"}, "additionalProperties": of,
			"propertyNames": object{"pattern": s.keys.pattern, "maxLength": longest}}
	case listForm:
		return object{"type": []string{"array", "null"}, "items": w.of(s.of)}
	case kindForm:
		var one []object
		for _, v := range s.variants {
			one = append(one, w.of(v.is))
		}
		return object{"oneOf": one}
	case eitherForm:
		any := []object{w.of(s.short), w.of(s.long)}
		if s.blank {
			any = append(any, object{"type": "null"})
		}
		return object{"anyOf": any}
	}
	panic(fmt.Sprintf("data: shape of unknown form %d", s.form))
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

func (w *schemaWriter) shared(name string, write func() object) object {
	if _, done := w.defs[name]; !done {
		w.defs[name] = object{} // a definition may refer to itself
		w.defs[name] = write()
	}
	return reference(name)
}

// raw is a quantity, or twelve.
func (w *schemaWriter) raw(s *shape) object {
	one := w.shared(s.want.name+"_short", func() object {
		types := []string{"string"}
		if s.want.bare {
			types = append(types, "number")
		}
		short := object{"type": types, "pattern": number + s.want.unit, "description": capital(s.want.what) + ".", "examples": []string{s.want.exampleFor("GBP")}}
		if s.want == wantShare {
			short["minimum"], short["maximum"] = 0, 1
		}
		return short
	})
	if s.single {
		return one
	}
	return object{"anyOf": []object{one, {"type": "array", "minItems": 12, "maxItems": 12, "items": one, "description": "January to December."}}}
}

func (w *schemaWriter) leaf(s *shape) object {
	name := s.want.name
	if !s.single {
		name += "_or_months"
	}
	return w.shared(name, func() object {
		short := w.raw(&shape{form: rawForm, want: s.want, single: s.single})
		return object{"anyOf": []object{short, w.record(leafRecord(s.want, s.single))}, "description": capital(s.want.what) + ", short or long."}
	})
}

func (w *schemaWriter) record(s *shape) object {
	properties := object{}
	required := []string{}
	for _, f := range s.fields {
		property := w.of(f.is)
		// Beside a $ref other keys are allowed since draft 2019-09.
		property["description"] = f.doc
		if property["type"] == nil && property["$ref"] == nil && property["anyOf"] == nil && property["enum"] == nil && property["oneOf"] == nil {
			panic("data: no type for " + f.key)
		}
		properties[f.key] = property
		if f.need {
			required = append(required, f.key)
		}
	}
	record := object{"type": "object", "properties": properties, "additionalProperties": false, "required": required, "description": capital(s.noun) + "."}
	if len(s.ways) > 0 {
		record["oneOf"] = w.ways(s)
	}
	if len(required) == 0 {
		record["type"] = []string{"object", "null"}
	}
	return record
}

// ways allows exactly one of the sets of keys.
func (w *schemaWriter) ways(s *shape) []object {
	var all []string
	for _, f := range s.fields {
		for _, way := range s.ways {
			if slices.Contains(way, f.key) {
				all = append(all, f.key)
				break
			}
		}
	}
	var one []object
	for _, way := range s.ways {
		never := object{}
		for _, key := range all {
			if !slices.Contains(way, key) {
				never[key] = false
			}
		}
		one = append(one, object{"required": append([]string{}, way...), "properties": never})
	}
	return one
}
