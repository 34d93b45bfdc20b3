package flow

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"lampblack/export/result"
	"lampblack/panel/diag"
	"lampblack/panel/read"
)

// closed is a schema of ours that allows no field that it does not name: others may read more, but we write no other.
func closed(t *testing.T, src []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(src))
	require.NoError(t, err)
	defs := doc.(map[string]any)["$defs"].(map[string]any)
	require.NotEmpty(t, defs)
	for _, d := range defs {
		d.(map[string]any)["additionalProperties"] = false
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource("schema.json", doc))
	return c.MustCompile("schema.json")
}

func holds(t *testing.T, s *jsonschema.Schema, src []byte) {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(src))
	require.NoError(t, err)
	require.NoError(t, s.Validate(v))
}

// What real runs write keeps the schema that is shipped: the example with an array of boards, panels with errors, a project
// that cannot be used, and a supply with consoles by chance.
func TestResultsKeepTheSchema(t *testing.T) {
	s := closed(t, result.Schema())
	p, set := starter(t, "a.dxf", "broken.dxf", "gone.dxf", "b.dxf")
	set.Told.Add(diag.Warning, "project-no-supply", "told").Note(diag.Place{File: "x", Line: 1}, "here")
	out, err := Build(t.Context(), p, set)
	require.NoError(t, err)
	require.True(t, out.Findings.HasErrors())
	holds(t, s, out.Result.JSON())
	set.Consoles = 50
	out, err = Supply(t.Context(), p, set)
	require.NoError(t, err)
	holds(t, s, out.Result.JSON())
	out = Refused(p, set.Told, true, "test")
	holds(t, s, out.Result.JSON())
	whole := built(t)
	require.NotEmpty(t, whole.Result.Orders)
	holds(t, s, whole.Result.JSON())
}

func TestSurveysKeepTheSchema(t *testing.T) {
	s := closed(t, result.SurveySchema())
	drawings, err := filepath.Glob(filepath.Join("..", "..", "..", "..", "panel", "read", "testdata", "*", "*.dxf"))
	require.NoError(t, err)
	require.Greater(t, len(drawings), 10)
	for _, name := range append(drawings, "gone.dxf") {
		src, err := json.Marshal(Survey(t.Context(), name, read.Options{}, nil).JSON())
		require.NoError(t, err)
		holds(t, s, src)
	}
}
