package project

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/filename"
	"lampblack/panel/diag"
)

// Edited returns the text of a project file with changes made, one after another, and nothing else changed: every comment, the order
// of keys, and how everything else is written stay, and so do the text's encoding, its byte order mark and its line ends. Of what is
// taken away the comments stay.
//
// A change is made by splicing the text where a value stands, and then judged by what is read: the new text must have the same keys
// and values as the old one but for the change, the same comments, and no error that the old one has not. If it has not, nothing is
// changed, and the error says in a builder's words what stands against it.
func Edited(src []byte, file string, changes []diag.Change) ([]byte, error) {
	_, before := Read(src, file)
	out := src
	for _, c := range apart(changes) {
		var err error
		if out, err = edited(out, file, c, before); err != nil {
			return nil, fmt.Errorf("%s is left as it is: %w", FileName, err)
		}
	}
	if _, after := Read(out, file); len(changes) > 0 {
		if f := worse(before, after); f != nil {
			return nil, fmt.Errorf("%s is left as it is: %s; %s", FileName, f.Text, f.Advice)
		}
	}
	return out, nil
}

// apart returns changes of which none adds several keys to the roles of a panel: each is added by itself, as some are there already.
func apart(changes []diag.Change) []diag.Change {
	var out []diag.Change
	for _, c := range changes {
		pairs, ok := c.Value.(diag.Pairs)
		if !ok || c.Do != diag.Add || !strings.HasSuffix(c.At, ".roles") {
			out = append(out, c)
			continue
		}
		for _, p := range pairs {
			values, many := p.Value.([]any)
			if !many {
				values = []any{p.Value}
			}
			for _, v := range values {
				out = append(out, diag.Change{Words: c.Words, At: c.At + "." + p.Key, Do: diag.Add, Value: v})
			}
		}
	}
	return out
}

// edited makes one change. Of the ways that it may be meant it takes the first that brings no error, or else the first: other
// changes may mend that.
func edited(src []byte, file string, c diag.Change, before diag.List) ([]byte, error) {
	raw, encode := decoded(src)
	d, err := newDocument(plainLines(raw))
	if err != nil {
		return nil, fmt.Errorf("it cannot be read: %w", err)
	}
	path := steps(c.At)
	if len(path) == 0 {
		return nil, errors.New("a change names no key")
	}
	var v any
	if c.Value != nil || c.Do != diag.Remove {
		if v, err = plainValue(c.Value); err != nil {
			return nil, err
		}
	}
	var first []byte
	var refused error
	for _, listed := range []bool{false, true} { // what is added where nothing is may be one value, or must be a list
		if listed && c.Do != diag.Add {
			break
		}
		s, want, err := d.change(path, c.Do, v, listed)
		if err == nil && want == nil {
			return src, nil // it is so already
		}
		if err != nil {
			refused = cmp.Or(refused, err)
			continue
		}
		text := spliced(raw, s)
		now, err := newDocument(plainLines(text))
		if err != nil || !reflect.DeepEqual(now.root.value(), want) || !slices.Equal(d.comments(0, len(d.text)), now.comments(0, len(now.text))) {
			refused = cmp.Or(refused, errForm)
			continue
		}
		out := encode(text)
		if _, after := Read(out, file); worse(before, after) == nil {
			return out, nil
		}
		if first == nil {
			first = out
		}
	}
	if first != nil {
		return first, nil
	}
	return nil, fmt.Errorf("%s: %w", c.At, refused)
}

// worse returns an error that the later list has and the earlier has not.
func worse(before, after diag.List) *diag.Finding {
	had := map[string]int{}
	for _, f := range before {
		if f.Severity == diag.Error {
			had[f.Code+f.Text]++
		}
	}
	for i, f := range after {
		if f.Severity != diag.Error {
			continue
		}
		if had[f.Code+f.Text]--; had[f.Code+f.Text] < 0 {
			return &after[i]
		}
	}
	return nil
}

// steps splits a path at its dots; what stands in double quotes is one step.
func steps(path string) []string {
	var out []string
	for path != "" {
		if rest, ok := strings.CutPrefix(path, `"`); ok {
			if name, more, ok := strings.Cut(rest, `"`); ok {
				out, path = append(out, name), strings.TrimPrefix(more, ".")
				continue
			}
		}
		name, more, _ := strings.Cut(path, ".")
		out, path = append(out, name), more
	}
	return out
}

// change returns the splice that makes a change, and the tree that must come of it; nil where nothing is to be changed. listed: what
// is added where nothing is comes into a list.
func (d *document) change(path []string, do diag.Doing, v any, listed bool) (splice, any, error) {
	if d.root == nil {
		if do == diag.Remove {
			return splice{}, nil, nil
		}
		if do == diag.Rename {
			return splice{}, nil, errors.New("there is no such key")
		}
		if listed {
			v = []any{v}
		}
		return d.begin(path, v)
	}
	if d.root.kind != mapNode {
		return splice{}, nil, errForm
	}
	tree := d.root.value().(diag.Pairs)
	var trail []hold // from the root down to what is there
	n := d.root
	i := 0
	for i < len(path) {
		k, used := n.find(path[i:])
		if k < 0 && i > 0 && path[i] == "0" && (n.kind == scalarNode || n.kind == mapNode) {
			i++ // of what may be one value or a list: the one
			continue
		}
		if k < 0 {
			break
		}
		trail = append(trail, hold{n, k})
		n, i = n.child(k), i+used
	}
	rest := path[i:]
	switch {
	case do == diag.Remove:
		if len(rest) > 0 {
			return splice{}, nil, nil
		}
		if v != nil && !reflect.DeepEqual(n.value(), v) {
			k := slices.IndexFunc(n.items, func(x *node) bool { return reflect.DeepEqual(x.value(), v) })
			if k < 0 {
				return splice{}, nil, nil
			}
			trail = append(trail, hold{n, k})
		}
		return d.removed(tree, trail)
	case do == diag.Rename:
		return d.renamed(tree, trail, rest, v)
	case len(rest) == 0 && do == diag.Set:
		if reflect.DeepEqual(n.value(), v) {
			return splice{}, nil, nil
		}
		last := trail[len(trail)-1]
		var holder *field
		if last.of.kind == mapNode {
			holder = &last.of.fields[last.at]
		}
		s, err := d.replaced(n, holder, v)
		return s, put(tree, trail, v), err
	case len(rest) == 0 && n.kind == listNode: // Add
		more, err := d.withItem(n, v)
		return more, put(tree, trail, append(slices.Clone(n.value().([]any)), v)), err
	case len(rest) == 0 && n.kind == scalarNode:
		if n.text == v {
			return splice{}, nil, nil
		}
		both := []any{n.text, v}
		s, err := d.replaced(n, &trail[len(trail)-1].of.fields[trail[len(trail)-1].at], both)
		return s, put(tree, trail, both), err
	case len(rest) == 0 && n.kind == mapNode:
		pairs, ok := v.(diag.Pairs)
		if !ok || len(pairs) != 1 {
			return splice{}, nil, errForm
		}
		rest, v = []string{pairs[0].Key}, pairs[0].Value
	}
	if listed {
		v = []any{v}
	}
	for k := len(rest) - 1; k > 0; k-- {
		v = diag.Pairs{{Key: rest[k], Value: v}}
	}
	switch n.kind {
	case noValue:
		if len(trail) == 0 || trail[len(trail)-1].of.kind != mapNode {
			return splice{}, nil, errForm
		}
		if len(rest) > 0 {
			v = diag.Pairs{{Key: rest[0], Value: v}}
		}
		s, err := d.replaced(n, nil, v)
		return s, put(tree, trail, v), err
	case mapNode:
		pairs := slices.Clone(n.value().(diag.Pairs))
		p := diag.Pair{Key: rest[0], Value: v}
		if p.Key == "name" {
			pairs = slices.Insert(pairs, 0, p)
		} else {
			pairs = append(pairs, p)
		}
		s, err := d.withKey(n, rest[0], v, len(rest)-1)
		return s, put(tree, trail, pairs), err
	case listNode:
		return splice{}, nil, fmt.Errorf("there is no %s among those of %s", strconv.Quote(rest[0]), strings.Join(path[:i], "."))
	}
	return splice{}, nil, fmt.Errorf("%s has one value, %s, and no keys", strings.Join(path[:i], "."), n.text)
}

// renamed calls the key that a trail leads to by another name.
func (d *document) renamed(tree diag.Pairs, trail []hold, rest []string, v any) (splice, any, error) {
	name, ok := v.(string)
	if len(rest) > 0 || !ok || name == "" {
		return splice{}, nil, errors.New("there is no such key")
	}
	last := trail[len(trail)-1]
	if last.of.kind != mapNode {
		return splice{}, nil, errors.New("an entry of a list has no name of its own")
	}
	if slices.ContainsFunc(last.of.fields, func(f field) bool { return f.name == name }) {
		return splice{}, nil, fmt.Errorf("the key %s is there already", name)
	}
	f := last.of.fields[last.at]
	named := func(pairs diag.Pairs) diag.Pairs {
		out := slices.Clone(pairs)
		out[last.at].Key = name
		return out
	}
	want := any(named(last.of.value().(diag.Pairs)))
	if up := trail[:len(trail)-1]; len(up) > 0 {
		want = put(tree, up, want)
	}
	return splice{f.from, f.from + len(strings.TrimRight(d.text[f.from:f.to-1], " \t")), scalarText(name)}, want, nil
}

// begin writes the first key of a text that has only comments.
func (d *document) begin(path []string, v any) (splice, any, error) {
	for k := len(path) - 1; k > 0; k-- {
		v = diag.Pairs{{Key: path[k], Value: v}}
	}
	s, err := lined(path[0], v, 0, len(path)-1)
	at, lead := len(d.text), ""
	if at > 0 && d.text[at-1] != '\n' {
		lead = "\n"
	}
	return splice{at, at, lead + s + "\n"}, diag.Pairs{{Key: path[0], Value: v}}, err
}

// hold is a part of a mapping or a list.
type hold struct {
	of *node
	at int
}

func (n *node) child(i int) *node {
	if n.kind == mapNode {
		return n.fields[i].value
	}
	return n.items[i]
}

// find returns the part that the first steps of a path name, and how many they are: entries of lists by their names, as the most
// steps give one, by the names of what their drawings give, or by their numbers.
func (n *node) find(path []string) (at, used int) {
	for used = len(path); used > 0; used-- {
		name := strings.Join(path[:used], ".")
		switch n.kind {
		case mapNode:
			if at = slices.IndexFunc(n.fields, func(f field) bool { return f.name == name }); at >= 0 {
				return at, used
			}
		case listNode:
			if at = n.entry(func(s string) bool { return s == name }); at >= 0 {
				return at, used
			}
			if at = n.entry(func(s string) bool { return strings.EqualFold(s, name) }); at >= 0 {
				return at, used
			}
		}
	}
	if n.kind != listNode {
		return -1, 0
	}
	if k, err := strconv.Atoi(path[0]); err == nil && k >= 0 && k < len(n.items) {
		return k, 1
	}
	// A drawing with several panels, or a panel with several boards: the name with a number, or a letter.
	if i := strings.LastIndexByte(path[0], '-'); i > 0 {
		if at = n.entry(func(s string) bool { return strings.EqualFold(s, path[0][:i]) }); at >= 0 {
			return at, 1
		}
	}
	return -1, 0
}

// entry returns the entry with a name.
func (n *node) entry(is func(string) bool) int {
	return slices.IndexFunc(n.items, func(v *node) bool {
		name, drawing := "", ""
		for _, f := range v.fields {
			switch f.name {
			case "name":
				name = strings.TrimSpace(f.value.text)
			case "drawing":
				drawing = strings.TrimSpace(f.value.text)
			}
		}
		if name == "" && drawing != "" {
			name = NameOf(drawing)
		}
		return name != "" && (is(name) || !fits(name) && is(filename.Of(name, "panel")))
	})
}

// removed takes away what a trail leads to, and what held nothing else.
func (d *document) removed(tree diag.Pairs, trail []hold) (splice, any, error) {
	for len(trail) > 0 {
		last := trail[len(trail)-1]
		if n := len(last.of.fields) + len(last.of.items); n > 1 {
			s, err := d.without(last.of, last.at)
			return s, cut(tree, trail), err
		}
		if len(trail) > 1 && trail[len(trail)-2].of.kind == listNode && last.of.kind == mapNode {
			break // the entry of a list would be nothing
		}
		trail = trail[:len(trail)-1]
	}
	return splice{}, nil, errors.New("nothing would be left of it")
}

// put returns a tree with another value at the end of a trail.
func put(tree any, trail []hold, v any) any {
	if len(trail) == 0 {
		return v
	}
	at := trail[0].at
	switch t := tree.(type) {
	case diag.Pairs:
		out := slices.Clone(t)
		out[at].Value = put(out[at].Value, trail[1:], v)
		return out
	case []any:
		out := slices.Clone(t)
		out[at] = put(out[at], trail[1:], v)
		return out
	}
	return tree
}

// cut returns a tree without what a trail leads to.
func cut(tree any, trail []hold) any {
	at := trail[0].at
	switch t := tree.(type) {
	case diag.Pairs:
		out := slices.Clone(t)
		if len(trail) == 1 {
			return slices.Delete(out, at, at+1)
		}
		out[at].Value = cut(out[at].Value, trail[1:])
		return out
	case []any:
		out := slices.Clone(t)
		if len(trail) == 1 {
			return slices.Delete(out, at, at+1)
		}
		out[at] = cut(out[at], trail[1:])
		return out
	}
	return tree
}
