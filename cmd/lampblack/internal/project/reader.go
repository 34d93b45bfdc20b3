package project

import (
	"errors"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"lampblack/panel/diag"
)

// Limits of a project file. A console of a hundred panels takes about 10 kB; nobody nests deeper than the keys go.
const (
	maxBytes = 256 << 10
	maxLine  = 2000 // of a line that a finding shows
	maxDepth = 32   // of flow brackets, which the YAML parser follows by recursion
)

// reader walks the YAML tree, collecting findings and the place of every key.
type reader struct {
	file   string
	lines  []string
	places map[string]diag.Place
	called map[string]string // names that entries of lists give themselves, by path; "" where they give none
	entry  map[string]string // what the entries of a list are called, by its path; "" where they have no word of their own
	diags  diag.List
	words  map[string]string // what paths are called whose steps are no keys

	what      string       // is read: "project file"
	described func() []Row // its keys

	homes    homes    // where keys have their places, once asked for
	brief    homes    // those of keys that explain themselves
	everyKey []string // that has a home
}

func newReader(text, file string, places map[string]diag.Place) *reader {
	return &reader{
		file: file, lines: strings.Split(text, "\n"),
		places: places, called: map[string]string{}, entry: map[string]string{}, words: map[string]string{},
		what: "project file", described: func() []Row { return fileKeys().rows("") },
	}
}

// entryPlace returns the place of an entry of a list.
func (r *reader) entryPlace(list string, i int) diag.Place {
	return r.places[join(list, strconv.Itoa(i))]
}

// parse returns the root mapping of the text, or nil and a finding.
func (r *reader) parse(text string) (root ast.Node) {
	if len(text) > maxBytes {
		r.diags.Add(diag.Error, "project-too-large", "the %s is larger than %d kB", r.what, maxBytes>>10).
			In(r.file, 0).Fix("is this the right file? A %s is a page of text", r.what)
		return nil
	}
	if strings.IndexByte(text, 0) >= 0 {
		f := r.diags.Add(diag.Error, "project-not-text", "the %s is not text", r.what).In(r.file, 0)
		if r.what == priceWords {
			f.Fix("name a YAML file; if it is the right one, save it as UTF-8")
			return nil
		}
		f.Fix("name the %s of the console, or a DXF drawing; if it is the right file, save it as UTF-8", FileName)
		return nil
	}
	text = r.oneByte(text)
	src := []byte(text)
	if deep(src) {
		r.diags.Add(diag.Error, "project-syntax", "brackets or indents are nested more than %d deep", maxDepth).
			In(r.file, 0).Fix("write lists as lines that begin with a dash")
		return nil
	}
	// The YAML library has panicked on broken input before; whatever it does, the user gets a finding.
	defer func() {
		if e := recover(); e != nil {
			r.syntax(diag.Place{File: r.file}, "")
			root = nil
		}
	}()
	file, err := parser.ParseBytes(src, 0)
	if err != nil {
		at, message := diag.Place{File: r.file}, ""
		var ye yaml.Error
		if errors.As(err, &ye) {
			at, message = r.placeOf(ye.GetToken()), ye.GetMessage()
		}
		r.syntax(at, message)
		return nil
	}
	var body ast.Node
	for _, d := range file.Docs {
		if d == nil || d.Body == nil {
			continue
		}
		if body != nil {
			r.add(d.Body, "project-syntax", "a second YAML document begins here").Fix("keep one console in one file")
			return nil
		}
		body = d.Body
	}
	return body
}

// deep reports text whose brackets or indents nest beyond maxDepth, by a count that ignores quotes: it may refuse
// brackets in a text, never let a deep tree through.
func deep(src []byte) bool {
	depth, indents := 0, []int{-1}
	for line := range strings.Lines(string(src)) {
		// Each dash, question mark or colon at the head of a line opens a level of its own.
		t := strings.TrimLeft(line, " -?:\t")
		head := line[:len(line)-len(t)]
		if strings.Count(head, "-")+strings.Count(head, "?")+strings.Count(head, ":") > maxDepth {
			return true
		}
		if t = strings.TrimSpace(t); t != "" && t[0] != '#' {
			for indents[len(indents)-1] >= len(head) {
				indents = indents[:len(indents)-1]
			}
			indents = append(indents, len(head))
			if len(indents) > maxDepth {
				return true
			}
		}
		for _, c := range line {
			switch c {
			case '[', '{':
				depth++
			case ']', '}':
				depth = max(0, depth-1)
			}
			if depth > maxDepth {
				return true
			}
		}
	}
	return false
}

// placeOf returns the place of a token.
func (r *reader) placeOf(t *token.Token) diag.Place {
	p := diag.Place{File: r.file}
	if t == nil || t.Position == nil {
		return p
	}
	return r.lineAt(t.Position.Line, max(t.Position.Column, 1))
}

// lineAt returns a place of the text by its line and column.
func (r *reader) lineAt(line, column int) diag.Place {
	p := diag.Place{File: r.file, Line: line, Column: column}
	if line >= 1 && line <= len(r.lines) && len(r.lines[line-1]) <= maxLine {
		p.Source = r.lines[line-1]
	}
	return p
}

// at returns the place where a value begins.
func (r *reader) at(n ast.Node) diag.Place {
	switch n := n.(type) {
	case nil:
		return diag.Place{File: r.file}
	case *ast.MappingNode:
		if len(n.Values) > 0 && !n.IsFlowStyle {
			return r.at(n.Values[0].Key)
		}
		return r.placeOf(n.Start)
	case *ast.MappingValueNode:
		return r.at(n.Key)
	case *ast.SequenceNode:
		return r.placeOf(n.Start)
	}
	return r.placeOf(n.GetToken())
}

func (r *reader) add(n ast.Node, code, format string, args ...any) *diag.Finding {
	f := r.diags.Add(diag.Error, code, format, args...)
	f.Place = r.at(n)
	return f
}

// has reports whether a key is written.
func (r *reader) has(path string) bool {
	_, ok := r.places[path]
	return ok
}

func (r *reader) wrongKind(n ast.Node, at spot, want string) {
	what := "the " + r.what
	if at.path != "" {
		what = r.say(at.path)
	}
	switch n.(type) {
	case *ast.AnchorNode, *ast.AliasNode, *ast.TagNode, *ast.MergeKeyNode, *ast.DirectiveNode:
		r.add(n, "project-syntax", "anchors, aliases and tags are not used in a %s", r.what).Fix("write the value itself")
		return
	}
	advice := "see the " + r.what + "'s reference in README.md"
	if at.words != "" || len(at.eg) > 0 {
		advice = at.advice()
	}
	r.add(n, "project-wrong-kind", "%s must be %s", what, want).Fix("%s", advice)
}

// text reads a scalar as it is written.
func (r *reader) text(n ast.Node, at spot) (string, bool) {
	s, ok := scalar(n)
	if !ok {
		r.wrongKind(n, at, "one value")
		return "", false
	}
	s = strings.TrimSpace(s)
	if s == "" {
		r.add(n, "project-no-value", "%s is empty", r.say(at.path)).Fix("write a value, or leave the key out").
			By("leave "+at.key()+" out", diag.Remove, at.path, nil)
		return "", false
	}
	return s, r.plainText(n, at, s)
}

// scalar returns the text of a scalar node as the file has it, quotes taken off.
func scalar(n ast.Node) (string, bool) {
	switch n := n.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		if n.Value == nil {
			return "", true
		}
		return n.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		if t := n.GetToken(); t != nil {
			return t.Value, true
		}
	case *ast.MappingKeyNode:
		return scalar(n.Value)
	}
	return "", false
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}
