package project

import (
	"errors"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
)

// node is a value of a project file and where it stands in the text: bytes from and to. What is set in braces or brackets, or
// quoted, includes them.
type node struct {
	kind     nodeKind
	flow     bool // of keys and entries: in braces or brackets
	from, to int
	text     string // of a scalar
	fields   []field
	items    []*node
	dashes   []int // of a list of lines: where each entry's dash stands
}

type nodeKind uint8

const (
	noValue nodeKind = iota
	scalarNode
	mapNode
	listNode
)

// field is a key of a mapping with its value.
type field struct {
	name     string
	from, to int // of the key
	value    *node
}

// document is a text with the tree of its values. Its lines end with a line feed.
type document struct {
	text  string
	lines []int // where each begins
	root  *node // nil: the text holds comments at most
	inks  [][2]int
}

var errForm = errors.New("the file is written in a way that only a person should change")

// newDocument reads a text.
func newDocument(text string) (*document, error) {
	d := &document{text: text, lines: []int{0}}
	for i := range len(text) {
		if text[i] == '\n' {
			d.lines = append(d.lines, i+1)
		}
	}
	r := newReader(text, "", nil)
	root := r.parse(text)
	if r.diags.HasErrors() {
		return nil, errors.New(r.diags[0].Text + "; " + r.diags[0].Advice)
	}
	if root == nil {
		return d, nil
	}
	var err error
	d.root, err = d.node(root, -1)
	return d, err
}

// offset returns where a token stands: columns count letters.
func (d *document) offset(line, column int) (int, error) {
	if line < 1 || line > len(d.lines) || column < 1 {
		return 0, errForm
	}
	at := d.lines[line-1]
	for range column - 1 {
		if at >= len(d.text) {
			return 0, errForm
		}
		_, n := utf8.DecodeRuneInString(d.text[at:])
		at += n
	}
	return at, nil
}

// node reads a value that stands below a key or dash at an indent.
func (d *document) node(n ast.Node, indent int) (*node, error) {
	switch n := n.(type) {
	case nil, *ast.NullNode:
		return &node{}, nil
	case *ast.MappingNode:
		return d.keys(n, n.IsFlowStyle, indent)
	case *ast.MappingValueNode:
		return d.keys(n, false, indent)
	case *ast.SequenceNode:
		return d.list(n, indent)
	}
	text, ok := scalar(n)
	if !ok {
		return nil, errForm
	}
	t := n.GetToken()
	if l, literal := n.(*ast.LiteralNode); literal {
		t = l.Start
	}
	at, err := d.offset(t.Position.Line, t.Position.Column)
	if err != nil {
		return nil, err
	}
	out := &node{kind: scalarNode, text: text, from: at}
	out.to, err = d.scalarEnd(at, text, indent)
	d.inks = append(d.inks, [2]int{out.from, out.to})
	return out, err
}

// scalarEnd returns where a scalar that begins at a place ends.
func (d *document) scalarEnd(at int, text string, indent int) (int, error) {
	if at >= len(d.text) {
		return at, errForm
	}
	switch q := d.text[at]; q {
	case '"', '\'':
		for i := at + 1; i < len(d.text); i++ {
			switch {
			case q == '"' && d.text[i] == '\\':
				i++
			case d.text[i] == q && q == '\'' && strings.HasPrefix(d.text[i+1:], "'"):
				i++
			case d.text[i] == q:
				return i + 1, nil
			}
		}
		return at, errForm
	case '|', '>':
		end := d.lineEnd(at)
		for i := end + 1; i < len(d.text); i = d.lineEnd(i) + 1 {
			line := d.text[i:d.lineEnd(i)]
			if t := strings.TrimLeft(line, " "); t != "" {
				if len(line)-len(t) <= indent {
					break
				}
				end = d.lineEnd(i)
			}
		}
		return end, nil
	}
	// A plain one, maybe over several lines: word for word.
	for i, word := range strings.Fields(text) {
		if i > 0 {
			at += len(d.text[at:]) - len(strings.TrimLeft(d.text[at:], " \t\n"))
		}
		if !strings.HasPrefix(d.text[at:], word) {
			return at, errForm
		}
		at += len(word)
	}
	return at, nil
}

// lineEnd returns where the line of a place ends, before its line feed.
func (d *document) lineEnd(at int) int {
	if i := strings.IndexByte(d.text[at:], '\n'); i >= 0 {
		return at + i
	}
	return len(d.text)
}

// lineStart returns where the line of a place begins.
func (d *document) lineStart(at int) int { return strings.LastIndexByte(d.text[:at], '\n') + 1 }

// column returns how far in a place stands, in bytes.
func (d *document) column(at int) int { return at - d.lineStart(at) }

func (d *document) keys(n ast.MapNode, flow bool, indent int) (*node, error) {
	out := &node{kind: mapNode, flow: flow}
	if m, ok := n.(*ast.MappingNode); ok && flow {
		var err error
		if out.from, err = d.offset(m.Start.Position.Line, m.Start.Position.Column); err != nil {
			return nil, err
		}
	}
	for it := n.MapRange(); it.Next(); {
		k := it.Key()
		name, ok := scalar(k)
		if _, odd := k.(*ast.MappingKeyNode); !ok || odd {
			return nil, errForm
		}
		t := k.GetToken()
		at, err := d.offset(t.Position.Line, t.Position.Column)
		if err != nil {
			return nil, err
		}
		f := field{name: name, from: at}
		if f.to, err = d.scalarEnd(at, name, indent); err != nil {
			return nil, err
		}
		d.inks = append(d.inks, [2]int{f.from, f.to})
		f.to += len(d.text[f.to:]) - len(strings.TrimLeft(d.text[f.to:], " \t"))
		if !strings.HasPrefix(d.text[f.to:], ":") {
			return nil, errForm
		}
		f.to++
		in := indent
		if !flow {
			in = d.column(at)
		}
		if f.value, err = d.node(it.Value(), in); err != nil {
			return nil, err
		}
		if f.value.kind == noValue {
			f.value.from, f.value.to = f.to, f.to
		}
		out.fields = append(out.fields, f)
	}
	if flow {
		end := out.from + 1
		if n := len(out.fields); n > 0 {
			end = out.fields[n-1].value.to
		}
		return out, d.closed(out, end, '{', '}')
	}
	if len(out.fields) == 0 {
		return nil, errForm
	}
	out.from, out.to = out.fields[0].from, out.fields[len(out.fields)-1].value.to
	return out, nil
}

func (d *document) list(n *ast.SequenceNode, indent int) (*node, error) {
	out := &node{kind: listNode, flow: n.IsFlowStyle}
	var err error
	if out.from, err = d.offset(n.Start.Position.Line, n.Start.Position.Column); err != nil {
		return nil, err
	}
	in := indent
	if !out.flow {
		in = d.column(out.from)
	}
	at := out.from
	for _, v := range n.Values {
		one, err := d.node(v, in)
		if err != nil {
			return nil, err
		}
		if one.kind == noValue {
			return nil, errForm // which is an error of the project anyway
		}
		if !out.flow {
			dash, ok := d.dash(at, one.from, in)
			if !ok {
				return nil, errForm
			}
			out.dashes = append(out.dashes, dash)
		}
		out.items = append(out.items, one)
		at = one.to
	}
	if out.flow {
		return out, d.closed(out, max(at, out.from+1), '[', ']')
	}
	if len(out.items) == 0 {
		return nil, errForm
	}
	out.to = at
	return out, nil
}

// dash finds the dash of an entry that begins at to, behind a place: the first that stands so far in.
func (d *document) dash(from, to, column int) (int, bool) {
	for i := from; i < to; i++ {
		if d.text[i] == '-' && d.column(i) == column && strings.TrimLeft(d.text[d.lineStart(i):i], " -") == "" {
			return i, true
		}
	}
	return 0, false
}

// closed finds where what is in braces or brackets ends, behind a place.
func (d *document) closed(n *node, at int, open, shut byte) error {
	if n.from >= len(d.text) || d.text[n.from] != open {
		return errForm
	}
	for at < len(d.text) {
		switch c := d.text[at]; {
		case c == shut:
			n.to = at + 1
			return nil
		case c == '#':
			at = d.lineEnd(at)
		case c == ' ' || c == '\t' || c == '\n' || c == ',':
			at++
		default:
			return errForm
		}
	}
	return errForm
}

// comments returns the comments of a part of the text, with their signs, in order.
func (d *document) comments(from, to int) []string {
	var out []string
	inked := make(map[int]int, len(d.inks))
	for _, k := range d.inks {
		inked[k[0]] = k[1]
	}
	for i := 0; i < to; i++ {
		if end, ok := inked[i]; ok && end > i {
			i = end - 1
			continue
		}
		if d.text[i] != '#' || i > 0 && !strings.ContainsRune(" \t\n", rune(d.text[i-1])) {
			continue
		}
		end := d.lineEnd(i)
		if i >= from {
			out = append(out, strings.TrimRight(d.text[i:end], " \t"))
		}
		i = end
	}
	return out
}
