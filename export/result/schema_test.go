package result

import (
	"bytes"
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/read"
)

// compiled compiles a schema with a validator that knows nothing of ours; it also holds the schema itself against the
// draft's own.
func compiled(t *testing.T, src []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(src))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource("schema.json", doc))
	s, err := c.Compile("schema.json")
	require.NoError(t, err)
	require.Equal(t, 2020, s.DraftVersion)
	return s
}

func valid(t *testing.T, s *jsonschema.Schema, src []byte) error {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(src))
	require.NoError(t, err)
	return s.Validate(v)
}

func empty() Console {
	return Console{Lampblack: "1", Chains: []Chain{}, Panels: []Panel{}, Files: []string{}, Findings: []Finding{}}
}

func TestSchemaRefuses(t *testing.T) {
	s := compiled(t, Schema())
	require.NoError(t, valid(t, s, empty().JSON()))
	c := empty()
	c.Supply = &Supply{Verdict: "ok"}
	c.Findings = []Finding{{Code: "led-fuse", Severity: "note", At: &[2]float64{1, 2}}}
	c.Orders = []Order{{Name: "a", Cut: "tabs", Boards: []OrderBoard{{Turn: 270}}}}
	c.Date = "2026-11-25"
	c.Digests = map[string]string{"parts.csv": strings.Repeat("0a", 32)}
	require.NoError(t, valid(t, s, c.JSON()))
	for name, spoil := range map[string]func(map[string]any){
		"a missing list":        func(m map[string]any) { delete(m, "panels") },
		"null for a list":       func(m map[string]any) { m["chains"] = nil },
		"a number as a text":    func(m map[string]any) { m["supply"].(map[string]any)["rated_a"] = "2 A" },
		"a current below 0":     func(m map[string]any) { m["supply"].(map[string]any)["worst_a"] = -1 },
		"another verdict":       func(m map[string]any) { m["supply"].(map[string]any)["verdict"] = "fine" },
		"another severity":      func(m map[string]any) { m["findings"].([]any)[0].(map[string]any)["severity"] = "fatal" },
		"a code in other words": func(m map[string]any) { m["findings"].([]any)[0].(map[string]any)["code"] = "Led fuse" },
		"three coordinates":     func(m map[string]any) { m["findings"].([]any)[0].(map[string]any)["at"] = []any{1, 2, 3} },
		"an eighth of a turn": func(m map[string]any) {
			m["orders"].([]any)[0].(map[string]any)["boards"].([]any)[0].(map[string]any)["turn"] = 45
		},
		"a digest of another kind": func(m map[string]any) { m["digests"].(map[string]any)["parts.csv"] = "0a0a" },
		"no day":                   func(m map[string]any) { m["date"] = "25.11.2026" },
	} {
		var m map[string]any
		require.NoError(t, json.Unmarshal(c.JSON(), &m))
		spoil(m)
		src, err := json.Marshal(m)
		require.NoError(t, err)
		require.Error(t, valid(t, s, src), name)
	}
}

// More fields may be added to result.json without breaking who reads it.
func TestSchemaIsOpen(t *testing.T) {
	more := bytes.Replace(empty().JSON(), []byte("{"), []byte(`{"more": 1,`), 1)
	require.NoError(t, valid(t, compiled(t, Schema()), more))
}

func TestSurveySchema(t *testing.T) {
	s := compiled(t, SurveySchema())
	one := SurveyOf(read.Report{File: "a.dxf"}, nil)
	require.NoError(t, valid(t, s, encoded(one)))
	require.NoError(t, valid(t, s, encoded([]Survey{one, one})))
	require.Error(t, valid(t, s, []byte("{}")))
	require.Error(t, valid(t, s, []byte("[{}]")))
}

// The words that the schema allows are those that the product has.
func TestEnums(t *testing.T) {
	enum := func(v any, field string) []string {
		f, ok := reflect.TypeOf(v).FieldByName(field)
		require.True(t, ok)
		return strings.Split(strings.TrimPrefix(f.Tag.Get("schema"), "enum="), "|")
	}
	require.ElementsMatch(t, []string{diag.Error.String(), diag.Warning.String(), diag.Note.String()}, enum(Finding{}, "Severity"))
	require.ElementsMatch(t, []string{led.None.String(), led.OK.String(), led.Tight.String(), led.Over.String()}, enum(Supply{}, "Verdict"))
}

// Every field has a name in JSON and says what it is.
func TestEveryFieldIsTold(t *testing.T) {
	s := schemata{known: map[reflect.Type]bool{}}
	for _, v := range []any{Console{}, Survey{}, Pack{}, Relit{}, WhatIf{}} {
		s.of(reflect.TypeOf(v))
	}
	for _, typ := range slices.SortedFunc(maps.Keys(s.known), func(a, b reflect.Type) int { return strings.Compare(a.Name(), b.Name()) }) {
		for _, f := range reflect.VisibleFields(typ) {
			if !f.Anonymous {
				require.NotEmpty(t, f.Tag.Get("doc"), "%s.%s", typ.Name(), f.Name)
				require.Regexp(t, "^[a-z0-9_]+$", strings.TrimSuffix(f.Tag.Get("json"), ",omitempty"), "%s.%s", typ.Name(), f.Name)
			}
		}
	}
	require.Greater(t, len(s.known), 30)
}
