package result

import (
	"bytes"
	"encoding/json"
	"errors"

	"lampblack/panel/diag"
)

// Change is a change of the project file: one of Set, Add, Remove and Rename.
type Change struct {
	Words  string `json:"words" doc:"what it does"`
	At     string `json:"at" doc:"path of a key, panels by name: panels.dome.roles.opening; a name with a dot in it may stand in double quotes"`
	Set    *Value `json:"set,omitempty" doc:"the value that the key gets"`
	Add    *Value `json:"add,omitempty" doc:"one more value for it"`
	Remove *Value `json:"remove,omitempty" doc:"the value that it is not to have any more; true: the key"`
	Rename *Value `json:"rename,omitempty" doc:"the name that the key gets"`
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

// Diag is the change as the project takes it.
func (c Change) Diag() (diag.Change, error) {
	out := diag.Change{Words: c.Words, At: c.At}
	n := 0
	for do, v := range [...]*Value{diag.Set: c.Set, diag.Add: c.Add, diag.Remove: c.Remove, diag.Rename: c.Rename} {
		if v != nil {
			n++
			out.Do, out.Value = diag.Doing(do), v.V
		}
	}
	if n != 1 || c.At == "" {
		return out, errors.New("a change wants a key, and one of set, add, remove and rename")
	}
	if out.Do == diag.Remove && out.Value == true {
		out.Value = nil
	}
	return out, nil
}

// ChangesOf tells of changes, in their order.
func ChangesOf(all []diag.Change) []Change {
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
		case diag.Rename:
			one.Rename = v
		}
		out = append(out, one)
	}
	return out
}
