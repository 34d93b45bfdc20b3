package project

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"

	"lampblack/led/part"
	"lampblack/panel"
)

// Schema is a JSON Schema of draft 2020-12, as far as project files need it.
type Schema struct {
	Draft       string             `json:"$schema,omitempty"`
	Title       string             `json:"title,omitempty"`
	Description string             `json:"description,omitempty"`
	Examples    []any              `json:"examples,omitempty"`
	Type        any                `json:"type,omitempty"` // a name, or a list of them
	Enum        []any              `json:"enum,omitempty"`
	Minimum     *float64           `json:"minimum,omitempty"`
	Above       *float64           `json:"exclusiveMinimum,omitempty"`
	Maximum     *float64           `json:"maximum,omitempty"`
	Pattern     string             `json:"pattern,omitempty"`
	MaxLength   int                `json:"maxLength,omitempty"`
	Properties  map[string]*Schema `json:"properties,omitempty"`
	Required    []string           `json:"required,omitempty"`
	Additional  any                `json:"additionalProperties,omitempty"` // false, or what the values of other keys are
	Items       *Schema            `json:"items,omitempty"`
	Prefix      []*Schema          `json:"prefixItems,omitempty"`
	MinItems    int                `json:"minItems,omitempty"`
	MaxItems    int                `json:"maxItems,omitempty"`
	AnyOf       []*Schema          `json:"anyOf,omitempty"`
	AllOf       []*Schema          `json:"allOf,omitempty"`
	Ref         string             `json:"$ref,omitempty"`
	Defs        map[string]*Schema `json:"$defs,omitempty"`

	name string // under which AnyOf is told once, in Defs, wherever it stands
}

// JSONSchema returns the JSON Schema of a project file, whose YAML is taken as JSON values. What it lets pass the reader
// may still refuse: what two keys say against each other, the order of the two ends of a range, fractions as 1/4 beyond a
// bound, anchors and tags. What the reader takes passes.
func JSONSchema() []byte {
	return encoded(fileKeys().schema(), FileName+": a console of backlit panels")
}

// encoded returns a schema as a document of its own.
func encoded(s *Schema, title string) []byte {
	s.Draft = "https://json-schema.org/draft/2020-12/schema"
	s.Title = title
	s.Defs = map[string]*Schema{}
	s.hoist(s.Defs)
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(s); err != nil {
		panic("project: schema: " + err.Error()) // it holds nothing that JSON cannot
	}
	return b.Bytes()
}

// hoist moves what has a name to defs, and refers to it.
func (s *Schema) hoist(defs map[string]*Schema) {
	if s.name != "" {
		defs[s.name] = &Schema{AnyOf: s.AnyOf}
		s.AnyOf, s.Ref = nil, "#/$defs/"+s.name
		return
	}
	for _, p := range s.Properties {
		p.hoist(defs)
	}
	for _, p := range slices.Concat(s.AnyOf, s.AllOf, s.Prefix) {
		p.hoist(defs)
	}
	if s.Items != nil {
		s.Items.hoist(defs)
	}
	if p, ok := s.Additional.(*Schema); ok {
		p.hoist(defs)
	}
}

func (m mapping[T]) schema() *Schema {
	s := &Schema{Type: "object", Properties: map[string]*Schema{}, Additional: false}
	for _, k := range m.keys {
		p := k.is.schema()
		p.Description = plainText(k.help)
		if k.usual != "" && !k.need {
			p.Description += "; if left out: " + plainText(k.usual)
		}
		if b := k.is.bare(); b != "" {
			p.Description += "; a bare number is in " + b
		}
		for _, eg := range k.eg {
			p.Examples = append(p.Examples, value(eg))
		}
		s.Properties[k.name] = p
		if k.need {
			s.Required = append(s.Required, k.name)
		}
	}
	return s
}

// plainText takes the marks of Markdown off.
func plainText(s string) string { return strings.ReplaceAll(s, "`", "") }

// value returns what YAML takes a text for.
func value(text string) any {
	var v any
	if err := yaml.Unmarshal([]byte(text), &v); err != nil {
		panic("project: the example " + text + " is no YAML: " + err.Error())
	}
	return v
}

func (l list[V]) schema() *Schema {
	return &Schema{Type: "array", Items: l.of.schema(), MaxItems: l.most}
}

func (s someOf[V]) schema() *Schema {
	return &Schema{AnyOf: []*Schema{s.of.schema(), s.list.schema()}}
}

func (k runs) schema() *Schema {
	return &Schema{AnyOf: []*Schema{names("").schema(), k.mapping.schema()}}
}

func (q quantity[V]) schema() *Schema {
	bare := 1.0
	for _, u := range q.as.Units() {
		if u.Name == "" {
			bare = u.Scale
		}
	}
	least, most := rounded(q.in(q.least, bare)), rounded(q.in(q.most, bare))
	number := &Schema{Type: "number", Minimum: &least, Maximum: &most}
	if q.above {
		number.Minimum, number.Above = nil, &least
	}
	text := &Schema{Type: "string", Pattern: whole(q.number())}
	if f := q.floor(); f != "" {
		text.AllOf = []*Schema{{Pattern: whole(f)}}
	}
	if _, count := any(q.least).(int); count {
		number.Type = "integer"
		text.AllOf = append(text.AllOf, &Schema{Pattern: `^[0-9\s]*$`})
	}
	return &Schema{AnyOf: []*Schema{number, text}, name: q.title(least, most)}
}

// title tells quantities apart: "mm-0-to-100", "mA-above-0-to-2000".
func (q quantity[V]) title(least, most float64) string {
	words := []string{cmp.Or(strings.ReplaceAll(q.unit, "/", "-per-"), "number")}
	if _, count := any(q.least).(int); count {
		words[0] = "count"
	}
	if q.above {
		words = append(words, "above")
	}
	words = append(words, strconv.FormatFloat(least, 'f', -1, 64), "to", strconv.FormatFloat(most, 'f', -1, 64))
	return strings.NewReplacer("%", "percent", "°", "degrees").Replace(strings.Join(words, "-"))
}

func (p parsed[V]) schema() *Schema {
	text := &Schema{Type: "string", Pattern: whole(p.pattern)}
	ways := []*Schema{text}
	if p.numbers[0] != p.numbers[1] {
		ways = append(ways, &Schema{Type: "number", Minimum: &p.numbers[0], Maximum: &p.numbers[1]})
	}
	return &Schema{AnyOf: ways, name: p.name}
}

// schema lists the words as they are listed, for whoever completes them, and takes them in any case.
func (c choice) schema() *Schema {
	var listed []any
	var patterns []string
	for _, w := range c.words {
		listed = append(listed, w)
		if v := value(w); v != any(w) {
			listed = append(listed, v) // 1206 without quotes is a number
		}
	}
	for _, w := range append(slices.Clone(c.words), c.more...) {
		patterns = append(patterns, anyCase(w))
	}
	return &Schema{AnyOf: []*Schema{{Enum: listed}, {Type: "string", Pattern: whole(strings.Join(patterns, "|"))}}}
}

func (b yesNo) schema() *Schema { return b.words().schema() }

// schema takes numbers and truths too, whose letters YAML reads as such and the reader as text.
func (t text) schema() *Schema {
	s := &Schema{Type: []string{"string", "number", "boolean"}, Pattern: t.pattern, MaxLength: t.most, AllOf: []*Schema{{Pattern: `\S`}}}
	return s
}

func (within) schema() *Schema {
	free := withUnits(part.Lengths(), func(float64) string { return decimal })
	one := `(?:[-−]\s*)?` + free
	return &Schema{AnyOf: []*Schema{
		{Type: "array", MinItems: 2, MaxItems: 2, Items: &Schema{AnyOf: []*Schema{{Type: "number"}, {Type: "string", Pattern: whole(one)}}}},
		{Type: "string", Pattern: whole(one + `\s*,\s*` + one)},
	}}
}

func (c corner) schema() *Schema {
	s := c.lengths().schema()
	s.MinItems, s.MaxItems = 2, 2
	return s
}

func (b beam) schema() *Schema {
	s := b.pairs().schema()
	s.MinItems = 2
	share := quantity[float64]{as: part.Numbers(), per: 1, most: 1}
	degrees := s.Items.Items
	s.Items = &Schema{Type: "array", Prefix: []*Schema{degrees, share.schema()}, MinItems: 2, MaxItems: 2}
	return s
}

func (b boards) schema() *Schema {
	return &Schema{AnyOf: []*Schema{names("").schema(), {Type: "object", Additional: b.count().schema()}}}
}

// rulePattern matches what panel/read.ParseRule takes for a role.
func rulePattern(role panel.Role) string {
	length := decimal + `\s*(?:mm|in|inch|")?`
	sizes := length + `(?:(?:\s*(?:\.\.|-|–)\s*|\s+[tT][oO]\s+)` + length + `)?`
	// What stands behind a size; names are anything.
	drawn := `(?:\s+(?:` + strings.Join([]string{spaced("in colour") + `\s+\S.*`, spaced("in color") + `\s+\S.*`, spaced("in block") + `\s+\S.*`, spaced("on layer") + `\s+\S.*`}, "|") + `))?`
	lies := `(?:\s+(?:` + strings.Join([]string{spaced("in corners"), spaced("in the corners"), spaced("near the edge"), spaced("round others"), spaced("within another"),
		anyCase("near") + `\s+-?` + decimal + `(?:\s*mm)?\s*,\s*-?` + decimal + `(?:\s*mm)?`,
		anyCase("inside") + `\s+` + anyCase("shape") + `[sS]?\s+` + sizes + `\s*[x×X]\s*` + sizes, anyCase("inside") + `\s+` + anyCase("circle") + `[sS]?\s+` + sizes}, "|") + `))*`
	on := lies + drawn
	word := func(w string) string { return anyCase(strings.TrimSuffix(w, "s")) + "[sS]?" }
	kinds := []string{
		anyCase("layer") + `s?\s+\S.*`,
		word("circles") + `(?:\s+` + sizes + `)?` + on,
		word("shapes") + `(?:\s+` + sizes + `\s*[x×X]\s*` + sizes + `)?` + on,
		word("letters") + `(?:\s+` + sizes + `)?` + on,
		anyCase("rest") + on,
	}
	if role == panel.RoleOutline {
		kinds = append(kinds, anyCase("largest")+drawn)
	}
	if role == panel.RoleLettering { // how closed lines are engraved
		ink := `(?:` + anyCase("filled") + `|` + anyCase("outlined") + `)\s+`
		kinds = append([]string{ink + `(?:` + strings.Join(append(kinds, word("fills")+drawn), "|") + `)`}, kinds...)
	}
	if role.Drawn() || role == panel.RoleIgnore {
		kinds = append(kinds, word("texts")+`(?:\s+`+sizes+`)?`+drawn, word("lines")+drawn, word("strokes")+drawn, word("fills")+drawn)
	}
	return strings.Join(kinds, "|")
}

// spaced matches words in letters of any case, any blanks between them.
func spaced(words string) string {
	parts := strings.Fields(words)
	for i, p := range parts {
		parts[i] = anyCase(p)
	}
	return strings.Join(parts, `\s+`)
}

// micrometres writes a length in µm.
func micrometres(nm int64) string { return strconv.FormatFloat(float64(nm)/1000, 'f', -1, 64) }
