package result

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// draft names the version of JSON Schema: A. Wright et al., "JSON Schema: A Media Type for Describing JSON Documents",
// draft-bhutton-json-schema-01, 2022.
const draft = "https://json-schema.org/draft/2020-12/schema"

// Schema returns the JSON Schema of result.json. It allows fields that it does not name, as more may be added.
func Schema() []byte {
	return schema("result.json of Lampblack: everything a program may want to know of a console", reflect.TypeFor[Console](), false)
}

// SurveySchema returns the JSON Schema of what survey --json prints: of one drawing an object, of several a list of them.
func SurveySchema() []byte {
	return schema("What lampblack survey --json prints of a drawing, or a list of such", reflect.TypeFor[Survey](), true)
}

// SchemaOf returns the JSON Schema of another type that a command prints, whose fields are tagged as those here.
func SchemaOf(title string, t reflect.Type) []byte { return schema(title, t, false) }

// object is a JSON object whose members keep their order.
type object []member

type member struct {
	key   string
	value any
}

func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		for k, v := range []any{m.key, m.value} {
			if k == 1 {
				b.WriteByte(':')
			}
			e := json.NewEncoder(&b)
			e.SetEscapeHTML(false)
			if err := e.Encode(v); err != nil {
				return nil, err
			}
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// schema returns the schema of values of a type of this package, or of lists of them too.
func schema(title string, t reflect.Type, lists bool) []byte {
	s := schemata{known: map[reflect.Type]bool{}}
	root := s.of(t)
	head := object{{"$schema", draft}, {"title", title}}
	if lists {
		head = append(head, member{"anyOf", []any{root, object{{"type", "array"}, {"items", root}}}})
	} else {
		head = append(head, root...)
	}
	return encoded(append(head, member{"$defs", s.defs}))
}

// schemata gathers the schemas of named types.
type schemata struct {
	known map[reflect.Type]bool
	defs  object // in the order of their names
}

// of returns the schema of a type's values.
func (s *schemata) of(t reflect.Type) object {
	switch t.Kind() {
	case reflect.Pointer:
		return s.of(t.Elem()) // a nil one is left out
	case reflect.String:
		return object{{"type", "string"}}
	case reflect.Bool:
		return object{{"type", "boolean"}}
	case reflect.Float64:
		return object{{"type", "number"}}
	case reflect.Int, reflect.Uint64:
		return object{{"type", "integer"}}
	case reflect.Slice:
		return object{{"type", "array"}, {"items", s.of(t.Elem())}}
	case reflect.Map:
		return object{{"type", "object"}, {"additionalProperties", s.of(t.Elem())}}
	case reflect.Array:
		return object{{"type", "array"}, {"items", s.of(t.Elem())}, {"minItems", t.Len()}, {"maxItems", t.Len()}}
	case reflect.Struct:
		if t == reflect.TypeFor[Value]() {
			return object{} // any
		}
		if !s.known[t] {
			s.known[t] = true
			def := s.fields(t)
			at, _ := slices.BinarySearchFunc(s.defs, t.Name(), func(m member, name string) int { return strings.Compare(m.key, name) })
			s.defs = slices.Insert(s.defs, at, member{t.Name(), def})
		}
		return object{{"$ref", "#/$defs/" + t.Name()}}
	}
	panic("export/result: no schema for " + t.String())
}

// fields returns the schema of a struct.
func (s *schemata) fields(t reflect.Type) object {
	var all object
	var needed []string
	for _, f := range reflect.VisibleFields(t) {
		name, option, ok := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous || !f.IsExported() || name == "-" {
			continue // the fields of an embedded struct stand beside the others
		}
		if !ok || option != "omitempty" {
			needed = append(needed, name)
		}
		one, bound := s.of(f.Type), bounds(f.Tag.Get("schema"), f.Type)
		if f.Type.Kind() == reflect.Map {
			one[1].value = append(s.of(f.Type.Elem()), bound...) // of its values
		} else {
			one = append(one, bound...)
		}
		all = append(all, member{name, append(one, member{"description", f.Tag.Get("doc")})})
	}
	out := object{{"type", "object"}, {"properties", all}}
	if len(needed) > 0 {
		out = append(out, member{"required", needed})
	}
	return out
}

// bounds reads a field's tag schema: "min=0,max=1", "enum=ok|tight|over", "pattern=^a", "format=date".
func bounds(tag string, t reflect.Type) object {
	var out object
	if tag == "" {
		return nil
	}
	for _, one := range strings.Split(tag, ",") {
		key, value, _ := strings.Cut(one, "=")
		switch key {
		case "min", "max":
			n, err := strconv.Atoi(value)
			if err != nil {
				panic("export/result: tag " + tag)
			}
			out = append(out, member{key + "imum", n})
		case "enum":
			var all []any
			for _, v := range strings.Split(value, "|") {
				if n, err := strconv.Atoi(v); err == nil && t.Kind() == reflect.Int {
					all = append(all, n)
				} else {
					all = append(all, v)
				}
			}
			out = append(out, member{"enum", all})
		case "pattern", "format":
			out = append(out, member{key, value})
		default:
			panic("export/result: tag " + tag)
		}
	}
	return out
}
