package project

import (
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/panel/diag"
)

// mapping is a value of keys, each with a value of its own, read into a T.
type mapping[T any] struct {
	keys []key[T]
	// brief says that the keys explain themselves: README has no rows of their own for them.
	brief bool
	// whole judges and completes what was read; nil: nothing is left to do.
	whole func(r *reader, n ast.Node, at spot, to *T)
}

// read reads the keys in the order of the file, and tells every other key.
func (m mapping[T]) read(r *reader, n ast.Node, at spot, to *T) bool {
	tree, ok := n.(ast.MapNode)
	if !ok {
		r.wrongKind(n, at, "keys, each with a value")
		return false
	}
	for it := tree.MapRange(); it.Next(); {
		k := it.Key()
		name, ok := scalar(k)
		if !ok {
			r.add(k, "project-unknown-key", "this cannot be a key here").Fix("use one of: %s", m.list())
			continue
		}
		i := slices.IndexFunc(m.keys, func(q key[T]) bool { return q.name == name })
		if i < 0 {
			m.unknown(r, k, name, at)
			continue
		}
		sub := spot{path: join(at.path, name), eg: m.keys[i].eg}
		r.places[sub.path] = r.at(k)
		v := it.Value()
		if _, null := v.(*ast.NullNode); null || v == nil {
			r.add(k, "project-no-value", "%s has no value", r.say(sub.path)).Fix("write one, or leave the key out").
				By("leave "+name+" out", diag.Remove, sub.path, nil)
			continue
		}
		m.keys[i].is.into(r, v, sub, to)
	}
	for _, k := range m.keys {
		if sub := join(at.path, k.name); k.need && !k.later && !r.has(sub) {
			r.add(n, "project-missing-key", "%s needs %s", r.say(at.path), k.name).Fix("write %s", written(k.name, k.eg))
		}
	}
	if m.whole != nil {
		m.whole(r, n, at, to)
	}
	return true
}

// unknown tells a key that there is not.
func (m mapping[T]) unknown(r *reader, k ast.Node, name string, at spot) {
	if now, ok := m.now(name); ok {
		r.add(k, "project-former-key", "the key %s%s is called %s now", name, r.in(at.path), now).Fix("write %s", now).
			By("call it "+now, diag.Rename, join(at.path, name), now)
		return
	}
	f := r.add(k, "project-unknown-key", "unknown key %s%s", strconv.Quote(name), r.in(at.path))
	near, ok := diag.Nearest(name, m.names())
	switch {
	case name != "" && name[0] >= '0' && name[0] <= '9':
		// {volts: 11,1 V} or {rule: circles near 40,25}: the comma ended the value.
		f.Fix("write a decimal point, not a comma: 11.1 V and not 11,1 V, and a place in quotes: 'near 40, 25'; the keys here are %s", m.list())
	case r.misplaced(f, name, at, near):
	case ok:
		f.Fix("did you mean %s?", near).By("call it "+near, diag.Rename, join(at.path, name), near)
	default:
		f.Fix("use one of: %s", m.list())
	}
}

// now returns what a key of a former name is called now.
func (m mapping[T]) now(name string) (string, bool) {
	spaced := strings.ReplaceAll(name, "_", " ")
	for _, k := range m.keys {
		if slices.Contains(k.was, spaced) {
			return k.name, true
		}
	}
	return "", false
}

func (m mapping[T]) names() []string {
	out := make([]string, len(m.keys))
	for i, k := range m.keys {
		out[i] = k.name
	}
	return out
}

func (m mapping[T]) list() string { return strings.Join(m.names(), ", ") }

func (mapping[T]) bare() string { return "" }

func (m mapping[T]) rows(path string) []Row {
	var out []Row
	for _, k := range m.keys {
		sub := join(path, k.name)
		if k.help != "" {
			out = append(out, Row{Path: sub, Help: k.help, Usual: k.usual, Bare: k.is.bare(), brief: m.brief})
		}
		out = append(out, k.is.rows(sub)...)
	}
	return out
}

// list is a list of values of one kind, each read over what fresh gives.
type list[V any] struct {
	of    kind[V]
	word  string // what an entry is called in findings: "panel"; empty: "entry 2 of ..."
	fresh func() V
	most  int // entries; 0: no bound
}

// read reads every entry, also where one before it is wrong, so that their numbers are those of the file.
func (l list[V]) read(r *reader, n ast.Node, at spot, to *[]V) bool {
	s, ok := n.(*ast.SequenceNode)
	if !ok {
		r.wrongKind(n, at, "a list: lines that begin with a dash, or [a, b]")
		return false
	}
	r.entry[at.path] = l.word
	good := true
	for i, v := range s.Values {
		if l.most > 0 && i == l.most {
			r.add(v, "project-too-large", "%s has more than %d entries", r.say(at.path), l.most).Fix("split the console")
			return false
		}
		sub := spot{path: join(at.path, strconv.Itoa(i)), eg: at.eg}
		if _, null := v.(*ast.NullNode); null || v == nil {
			f := r.add(n, "project-no-value", "entry %d of %s is empty", i+1, r.say(at.path)).Fix("write a value or take the dash away")
			if v != nil {
				f.Place = r.at(v)
			}
			good = false
			*to = append(*to, *new(V))
			continue
		}
		r.places[sub.path] = r.at(v)
		r.called[sub.path] = title(v)
		var x V
		if l.fresh != nil {
			x = l.fresh()
		}
		good = l.of.read(r, v, sub, &x) && good
		*to = append(*to, x)
	}
	return good
}

func (l list[V]) bare() string           { return l.of.bare() }
func (l list[V]) rows(path string) []Row { return l.of.rows(path + "[]") }

// someOf is one value, or a list of them.
type someOf[V any] struct{ list[V] }

func (s someOf[V]) read(r *reader, n ast.Node, at spot, to *[]V) bool {
	if _, many := n.(*ast.SequenceNode); many {
		return s.list.read(r, n, at, to)
	}
	var x V
	if s.fresh != nil {
		x = s.fresh()
	}
	ok := s.of.read(r, n, at, &x)
	*to = append(*to, x)
	return ok
}
