package desk

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/panel/diag"
)

// Change is a change of the project file: one of Set, Add and Remove.
type Change struct {
	Words string `json:"words"` // what it does
	// At is the path of a key, panels by name: "panels.dome.roles.opening". A name with a dot in it may stand in double quotes.
	At     string `json:"at"`
	Set    *Value `json:"set,omitempty"`    // the value that the key gets
	Add    *Value `json:"add,omitempty"`    // one more value for it
	Remove *Value `json:"remove,omitempty"` // the value that it is not to have any more; true: the key
}

// Value is a value of the project file: a text, a number, yes or no, a list, or keys in their order.
type Value struct{ V any }

func (v Value) MarshalJSON() ([]byte, error) {
	switch x := v.V.(type) {
	case diag.Pairs:
		var b bytes.Buffer
		b.WriteByte('{')
		for i, p := range x {
			if i > 0 {
				b.WriteByte(',')
			}
			k, err := json.Marshal(p.Key)
			if err != nil {
				return nil, err
			}
			s, err := Value{p.Value}.MarshalJSON()
			if err != nil {
				return nil, err
			}
			b.Write(append(append(k, ':'), s...))
		}
		b.WriteByte('}')
		return b.Bytes(), nil
	case []any:
		all := make([]Value, len(x))
		for i := range x {
			all[i] = Value{x[i]}
		}
		return json.Marshal(all)
	}
	return json.Marshal(v.V)
}

func (v *Value) UnmarshalJSON(b []byte) error {
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	var err error
	v.V, err = valueOf(d)
	return err
}

// valueOf reads one value; keys keep their order.
func valueOf(d *json.Decoder) (any, error) {
	t, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch t {
	case json.Delim('{'):
		out := diag.Pairs{}
		for d.More() {
			k, err := d.Token()
			if err != nil {
				return nil, err
			}
			v, err := valueOf(d)
			if err != nil {
				return nil, err
			}
			out = append(out, diag.Pair{Key: k.(string), Value: v})
		}
		_, err = d.Token()
		return out, err
	case json.Delim('['):
		out := []any{}
		for d.More() {
			v, err := valueOf(d)
			if err != nil {
				return nil, err
			}
			out = append(out, v)
		}
		_, err = d.Token()
		return out, err
	}
	if n, ok := t.(json.Number); ok {
		return n.String(), nil
	}
	return t, nil
}

// diag is the change as the project takes it.
func (c Change) diag() (diag.Change, error) {
	out := diag.Change{Words: c.Words, At: c.At}
	n := 0
	for do, v := range [...]*Value{diag.Set: c.Set, diag.Add: c.Add, diag.Remove: c.Remove} {
		if v != nil {
			n++
			out.Do, out.Value = diag.Doing(do), v.V
		}
	}
	if n != 1 || c.At == "" {
		return out, errors.New("a change wants a key, and one of set, add and remove")
	}
	if out.Do == diag.Remove && out.Value == true {
		out.Value = nil
	}
	return out, nil
}

func diagChanges(all []Change) ([]diag.Change, error) {
	out := make([]diag.Change, len(all))
	for i, c := range all {
		var err error
		if out[i], err = c.diag(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func changesOf(all []diag.Change) []Change {
	var out []Change
	for _, c := range all {
		one := Change{Words: c.Words, At: c.At}
		v := &Value{c.Value}
		switch c.Do {
		case diag.Set:
			one.Set = v
		case diag.Add:
			one.Add = v
		case diag.Remove:
			if one.Remove = v; c.Value == nil {
				v.V = true
			}
		}
		out = append(out, one)
	}
	return out
}

// chosen returns the changes that a choice's YAML, of a panel's entry, means.
func chosen(panel, words, yaml string) []Change {
	tree, err := project.Tree(yaml)
	if err != nil {
		return nil
	}
	var out []diag.Change
	for _, p := range tree {
		at := diag.PanelKey(panel, p.Key)
		roles, ok := p.Value.(diag.Pairs)
		if !ok || p.Key != "roles" {
			out = append(out, diag.Change{Words: words, At: at, Do: diag.Set, Value: p.Value})
			continue
		}
		for _, r := range roles {
			rules, many := r.Value.([]any)
			if !many {
				rules = []any{r.Value}
			}
			for _, one := range rules {
				out = append(out, diag.Change{Words: words, At: at + "." + r.Key, Do: diag.Add, Value: one})
			}
		}
	}
	return changesOf(out)
}

// Editing is what an edit takes: changes that are made together, or not at all.
type Editing struct {
	Changes []Change `json:"changes"`
}

// Told is what was done, in words. With it come files to be laid onto the desk; those of Gone are to be taken off it.
type Told struct {
	Words string   `json:"words"`
	Gone  []string `json:"gone,omitempty"`
}

// edit changes the project file; all that is not changed stays as it is written.
func edit(a *asked) (given, error) {
	var in Editing
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	if _, _, err := a.project(); err != nil {
		return given{}, err
	}
	changes, err := diagChanges(in.Changes)
	if err != nil {
		return given{}, err
	}
	src, err := a.read(project.FileName)
	if err != nil {
		return given{}, err
	}
	out, err := project.Edited(src, project.FileName, changes)
	if err != nil {
		return given{}, err
	}
	var words []string
	for _, c := range in.Changes {
		if c.Words != "" && (len(words) == 0 || words[len(words)-1] != c.Words) {
			words = append(words, c.Words)
		}
	}
	if len(words) == 0 {
		words = []string{fmt.Sprintf("%s is changed", project.FileName)}
	}
	return given{gives: Told{Words: strings.Join(words, "; ")}, files: []bundle.File{{Path: project.FileName, Data: out}}}, nil
}
