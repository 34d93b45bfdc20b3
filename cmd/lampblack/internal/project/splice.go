package project

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel/diag"
)

// splice puts text in the place of a part of a document.
type splice struct {
	from, to int
	text     string
}

// widest is how long a line of keys in braces may get, in bytes; beyond it they stand on lines of their own.
const widest = 100

// inline writes a value within a line.
func inline(v any) (string, error) {
	switch v := v.(type) {
	case string:
		return scalarText(v), nil
	case bool:
		if v {
			return "yes", nil
		}
		return "no", nil
	case int:
		return strconv.Itoa(v), nil
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64), nil
	case []any:
		all := make([]string, len(v))
		for i := range v {
			var err error
			if all[i], err = inline(v[i]); err != nil {
				return "", err
			}
		}
		return "[" + strings.Join(all, ", ") + "]", nil
	case diag.Pairs:
		all := make([]string, len(v))
		for i := range v {
			s, err := inline(v[i].Value)
			if err != nil {
				return "", err
			}
			all[i] = scalarText(v[i].Key) + ": " + s
		}
		return "{" + strings.Join(all, ", ") + "}", nil
	}
	return "", fmt.Errorf("%v is no value of a project file", v)
}

// scalarText writes a text so that YAML takes it as it is, also in braces: words as they are, else in quotes, in single ones what
// has double quotes or backslashes in it.
func scalarText(s string) string {
	plain := s != "" && s == strings.TrimSpace(s) && !strings.ContainsAny(s, "#,[]{}\"'&*!|>%@`\\:") && !strings.ContainsAny(s[:1], "-?~=<")
	for _, c := range s {
		plain = plain && c >= ' ' && c != 0x7f && c < 0x80
	}
	switch strings.ToLower(s) {
	case "null", "true", "false", ".inf", ".nan", "nan", "inf":
		plain = false
	}
	switch {
	case plain:
		return s
	case strings.ContainsAny(s, "\"\\") && !strings.ContainsAny(s, "\n\t\r"):
		return "'" + strings.ReplaceAll(s, "'", "''") + "'"
	}
	return strconv.Quote(s)
}

// lined writes a key with its value on lines of its own, at an indent, the first of which is not written. made keys are those of
// which each stands on its own line however short they are.
func lined(key string, v any, indent, made int) (string, error) {
	one, err := inline(v)
	if err != nil {
		return "", err
	}
	key = scalarText(key)
	in := "\n" + strings.Repeat(" ", indent+2)
	if pairs, ok := v.(diag.Pairs); ok && len(pairs) > 0 && (made > 0 || indent+len(key)+len(one) > widest) {
		out := key + ":"
		for _, p := range pairs {
			s, err := lined(p.Key, p.Value, indent+2, made-1)
			if err != nil {
				return "", err
			}
			out += in + s
		}
		return out, nil
	}
	if list, ok := v.([]any); ok && len(list) > 0 && (made > 0 || indent+len(key)+len(one) > widest) {
		out := key + ":"
		for _, e := range list {
			s, err := inline(e)
			if err != nil {
				return "", err
			}
			out += in + "- " + s
		}
		return out, nil
	}
	return key + ": " + one, nil
}

// replaced gives a value that stands there another one.
func (d *document) replaced(n *node, holder *field, v any) (splice, error) {
	s, err := inline(v)
	if err != nil {
		return splice{}, err
	}
	switch {
	case n.kind == noValue:
		return splice{n.to, n.to, " " + s}, nil
	case n.kind == scalarNode || n.flow:
		if kept := d.comments(n.from, n.to); len(kept) > 0 {
			return splice{}, errForm // comments in the midst of braces
		}
		return splice{n.from, n.to, s}, nil
	case holder == nil:
		return splice{}, errForm
	}
	// Lines below a key: what is said about them stays below it.
	end := d.lineEnd(n.to)
	out := ": " + s
	own := strings.Repeat(" ", d.column(holder.from))
	for i, c := range d.comments(holder.to, end) {
		if i == 0 && strings.Contains(d.text[holder.to:d.lineEnd(holder.to)], c) {
			out += "  " + c
		} else {
			out += "\n" + own + c
		}
	}
	return splice{holder.to - 1, end, out}, nil
}

// withKey puts a key into a mapping, behind those that are there; a name goes before all others.
func (d *document) withKey(n *node, key string, v any, made int) (splice, error) {
	first := key == "name" && len(n.fields) > 0
	if n.flow {
		s, err := inline(diag.Pairs{{Key: key, Value: v}})
		if err != nil {
			return splice{}, err
		}
		s = s[1 : len(s)-1]
		switch at := n.from + 1; {
		case len(n.fields) == 0:
			return splice{at, at, s}, nil
		case first:
			return splice{n.fields[0].from, n.fields[0].from, s + ", "}, nil
		}
		at := n.fields[len(n.fields)-1].value.to
		return splice{at, at, ", " + s}, nil
	}
	indent := d.column(n.fields[0].from)
	s, err := lined(key, v, indent, made)
	if err != nil {
		return splice{}, err
	}
	in := strings.Repeat(" ", indent)
	if first {
		return splice{n.fields[0].from, n.fields[0].from, s + "\n" + in}, nil
	}
	at := d.lineEnd(n.to)
	return splice{at, at, "\n" + in + s}, nil
}

// withItem puts an entry behind those of a list.
func (d *document) withItem(n *node, v any) (splice, error) {
	s, err := inline(v)
	if err != nil {
		return splice{}, err
	}
	if n.flow {
		if len(n.items) == 0 {
			return splice{n.from + 1, n.from + 1, s}, nil
		}
		at := n.items[len(n.items)-1].to
		return splice{at, at, ", " + s}, nil
	}
	last := n.items[len(n.items)-1]
	in := d.column(n.from)
	if pairs, ok := v.(diag.Pairs); ok && last.kind == mapNode && !last.flow && len(pairs) > 0 {
		s = ""
		for i, p := range pairs {
			one, err := lined(p.Key, p.Value, in+2, 0)
			if err != nil {
				return splice{}, err
			}
			if i > 0 {
				s += "\n" + strings.Repeat(" ", in+2)
			}
			s += one
		}
	}
	at := d.lineEnd(last.to)
	return splice{at, at, "\n" + strings.Repeat(" ", in) + "- " + s}, nil
}

// stretch is where a key with its value stands, or an entry of a list.
type stretch struct{ from, to, mark int } // mark: where its key, or its dash, stands

func stretches(n *node) []stretch {
	var out []stretch
	for _, f := range n.fields {
		out = append(out, stretch{f.from, f.value.to, f.from})
	}
	for i, v := range n.items {
		p := stretch{v.from, v.to, v.from}
		if !n.flow {
			p.mark = n.dashes[i]
		}
		out = append(out, p)
	}
	return out
}

// without takes the i-th stretch out of a mapping or a list that has others too. Comments stay.
func (d *document) without(n *node, i int) (splice, error) {
	all := stretches(n)
	p := all[i]
	kept := func(from, to, indent int) string {
		out := ""
		for _, c := range d.comments(from, to) {
			out += c + "\n" + strings.Repeat(" ", indent)
		}
		return out
	}
	if n.flow {
		if i+1 < len(all) {
			next := all[i+1].from
			return splice{p.from, next, kept(p.from, next, d.column(p.from))}, nil
		}
		from := all[i-1].to
		s := kept(from, p.to, d.column(n.from)+1)
		if s != "" {
			s = "  " + s
		}
		return splice{from, p.to, s}, nil
	}
	start, end := d.lineStart(p.mark), d.lineEnd(p.to)
	if lead := d.text[start:p.mark]; strings.TrimSpace(lead) != "" {
		// The first key behind a dash: the next comes into its place.
		if i+1 >= len(all) || n.kind != mapNode {
			return splice{}, errForm
		}
		next := all[i+1].from
		return splice{p.mark, next, kept(p.mark, next, d.column(p.mark))}, nil
	}
	in := p.mark - start
	s := ""
	for _, c := range d.comments(start, end) {
		s += strings.Repeat(" ", in) + c + "\n"
	}
	switch {
	case end < len(d.text):
		return splice{start, end + 1, s}, nil
	case s == "" && start > 0:
		return splice{start - 1, end, ""}, nil
	}
	return splice{start, end, strings.TrimSuffix(s, "\n")}, nil
}

// spliced returns the text with a part replaced. raw is the text with its own line ends.
func spliced(raw string, s splice) string {
	end := "\n"
	if i := strings.IndexAny(raw, "\r\n"); i >= 0 && raw[i] == '\r' {
		if end = "\r"; strings.HasPrefix(raw[i:], "\r\n") {
			end = "\r\n"
		}
	}
	// Where each byte of the plain text stands in the raw one.
	at := make([]int, 0, len(raw)+1)
	for i := range len(raw) {
		if raw[i] == '\n' && i > 0 && raw[i-1] == '\r' {
			continue
		}
		at = append(at, i)
	}
	at = append(at, len(raw))
	return raw[:at[s.from]] + strings.ReplaceAll(s.text, "\n", end) + raw[at[s.to]:]
}

// plainValue is a value as the tree of a file has it: texts, and lists and keys of such.
func plainValue(v any) (any, error) {
	switch v := v.(type) {
	case string:
		return v, nil
	case []any:
		out := make([]any, len(v))
		for i := range v {
			var err error
			if out[i], err = plainValue(v[i]); err != nil {
				return nil, err
			}
		}
		return out, nil
	case diag.Pairs:
		out := slices.Clone(v)
		for i := range out {
			var err error
			if out[i].Value, err = plainValue(v[i].Value); err != nil {
				return nil, err
			}
		}
		return out, nil
	}
	return inline(v)
}

// Tree returns the keys of a piece of a project file with their values.
func Tree(text string) (diag.Pairs, error) {
	d, err := newDocument(text)
	if err != nil {
		return nil, err
	}
	pairs, _ := d.root.value().(diag.Pairs)
	return pairs, nil
}

// value is the tree below a node without its places.
func (n *node) value() any {
	if n == nil {
		return nil
	}
	switch n.kind {
	case scalarNode:
		return n.text
	case mapNode:
		out := diag.Pairs{}
		for _, f := range n.fields {
			out = append(out, diag.Pair{Key: f.name, Value: f.value.value()})
		}
		return out
	case listNode:
		out := []any{}
		for _, v := range n.items {
			out = append(out, v.value())
		}
		return out
	}
	return nil
}
