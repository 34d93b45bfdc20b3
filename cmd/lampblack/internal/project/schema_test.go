package project

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"lampblack/board"
)

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	return compiledOf(t, JSONSchema())
}

func compiledOf(t *testing.T, schema []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("lampblack.json", doc))
	s, err := c.Compile("lampblack.json")
	require.NoError(t, err)
	return s
}

// judged returns what a general validator says of a project file, read as YAML into JSON values.
func judged(s *jsonschema.Schema, src string) error {
	if deep([]byte(src)) { // what the YAML library would take minutes for
		return errors.New("nested too deep")
	}
	var v any
	if err := yaml.Unmarshal([]byte(src), &v); err != nil {
		return err
	}
	b, err := json.Marshal(v)
	if err != nil {
		return err
	}
	v, err = jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

// A name stands for one thing.
func TestSchemaNames(t *testing.T) {
	all := map[string]string{}
	var walk func(s *Schema)
	walk = func(s *Schema) {
		if s.name != "" {
			b, err := json.Marshal(s.AnyOf)
			require.NoError(t, err)
			if was, ok := all[s.name]; ok {
				require.Equal(t, was, string(b), s.name)
			}
			all[s.name] = string(b)
		}
		for _, p := range s.Properties {
			walk(p)
		}
		for _, p := range append(append([]*Schema{}, s.AnyOf...), s.Prefix...) {
			walk(p)
		}
		if s.Items != nil {
			walk(s.Items)
		}
	}
	walk(fileKeys().schema())
	require.Greater(t, len(all), 20)
}

// beyondSchema are wrong projects whose fault no schema of single values can tell, each with the reason.
func beyondSchema() map[string]string {
	const joins, order, files, yaml = "joins two keys", "the order of values in a list or a range", "names something in another place", "YAML, not values"
	return map[string]string{
		"two names alike": joins, "names from drawings alike": joins, "group twice": joins,
		"chain of strangers": files, "chain misspelt": files, "chain twice": joins, "chain and chains": joins, "not fed": joins,
		"unknown kind": files, "too much current": joins, "via without ring": joins,
		"alias": yaml, "two documents": yaml,
		"two supplies": joins, "too many cells": joins, "load of nothing": joins, "load told twice": joins,
		"upside down": order, "loop": joins, "from itself": joins, "from nowhere": files, "a stranger": files, "back of a short": joins,
		"group of strangers": files, "group of no panel": files,
		"forward beyond what it survives": joins, "forward beyond, not told": joins, "two beams": joins,
		"tip: -6 mm": joins, "[30, 0.9]": order,
		"no supply told": "a warning", "no rating told": "a warning", "below fine": "a warning",
	}
}

// Every wrong project of the reader's tests fails the schema too, but for those that are listed.
func TestSchemaRefuses(t *testing.T) {
	s := compiled(t)
	wrong := map[string]string{}
	for _, c := range badFiles() {
		wrong[c.name] = c.src
	}
	for name, c := range badCircuits() {
		wrong[name] = c.src
	}
	for line := range badRoles() {
		wrong[line] = roleSupply + "panels:\n  - drawing: dome.dxf\n    " + line + "\n"
	}
	for _, c := range lightFaults() {
		if c.code != "project-ok" {
			wrong[c.to] = strings.Replace(litDesk, c.from, c.to, 1)
		}
	}
	for _, l := range board.Limits() {
		value := "21 mm"
		if l.Most {
			value = "2 m"
		}
		wrong[l.Name] = roleSupply + "panels: [{drawing: a.dxf}]\nrules: {" + l.Name + ": " + value + "}\n"
	}
	beyond := beyondSchema()
	for name, src := range wrong {
		why, listed := beyond[name]
		err := judged(s, src)
		if listed {
			require.NoError(t, err, "%s is no longer beyond the schema (%s)", name, why)
			continue
		}
		require.Error(t, err, name)
	}
	for name := range beyond {
		require.Contains(t, wrong, name, "what is listed is tested")
	}
}

// Every good project passes: the reader's tests, the examples, the starter, README's.
func TestSchemaPasses(t *testing.T) {
	s := compiled(t)
	good := map[string]string{"every key": desk, "circuit": observatory, "light": litDesk}
	p, l := Bare([]string{"dome.dxf", "my sketch (2).DXF"})
	require.Empty(t, l)
	good["assumed"] = string(p.YAML("."))
	for _, pattern := range []string{"../../../../examples/*/lampblack.yaml", "../starter/lampblack.yaml"} {
		files, err := filepath.Glob(pattern)
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, f := range files {
			src, err := os.ReadFile(f)
			require.NoError(t, err)
			good[f] = string(src)
		}
	}
	readme, err := os.ReadFile("../../../../README.md")
	require.NoError(t, err)
	for _, m := range regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(string(readme), -1) {
		src := m[1]
		if strings.HasPrefix(src, "currency:") { // a price list
			require.NoError(t, judged(compiledOf(t, PriceSchema()), src))
			_, l := ReadPrices([]byte(src), PriceList)
			require.Empty(t, l)
			continue
		}
		if !strings.Contains(src, "panels:") {
			src += "panels: [{name: dome, drawing: dome.dxf}, {name: focus, drawing: focus.dxf}, {name: flat-lamp, drawing: lamp.dxf}]\n"
		}
		good["README: "+m[1]] = src
	}
	require.Greater(t, len(good), 8)
	for name, src := range good {
		require.NoError(t, judged(s, src), name)
		_, l := Read([]byte(src), "p.yaml")
		require.False(t, l.HasErrors(), "%s: %v", name, l)
	}
}

// Each example is a value that its key takes, so that advice works.
func TestExamples(t *testing.T) {
	s := compiled(t)
	var walk func(path string, in *Schema)
	walk = func(path string, in *Schema) {
		for name, p := range in.Properties {
			require.NotEmpty(t, p.Description, path+name)
			for _, eg := range p.Examples {
				b, err := json.Marshal(eg)
				require.NoError(t, err)
				v, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
				require.NoError(t, err)
				doc, err := json.Marshal(p)
				require.NoError(t, err)
				c := jsonschema.NewCompiler()
				one, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
				require.NoError(t, err)
				require.NoError(t, c.AddResource("x", one))
				x, err := c.Compile("x")
				require.NoError(t, err)
				require.NoError(t, x.Validate(v), "%s%s: %s", path, name, b)
			}
			walk(path+name+".", p)
			for _, a := range p.AnyOf {
				walk(path+name+".", a)
			}
			if p.Items != nil {
				walk(path+name+"[].", p.Items)
			}
		}
	}
	walk("", fileKeys().schema())
	require.NoError(t, judged(s, desk))
}
