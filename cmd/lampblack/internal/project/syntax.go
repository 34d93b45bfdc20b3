package project

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"lampblack/panel/diag"
)

// syntax tells text that is no YAML, at a place of it, in a builder's words: those of the library speak of tokens.
func (r *reader) syntax(at diag.Place, message string) {
	f := r.diags.Add(diag.Error, "project-syntax", "")
	f.Place = at
	if strings.Contains(message, "escape") || strings.Contains(message, "surrogate") {
		f.Code, f.Text = "project-backslash", "a backslash in double quotes begins a special letter, and this is none"
		f.Fix("%s", unescaped(quotedAt(at)))
		return
	}
	if m := twice.FindStringSubmatch(message); m != nil {
		f.Text = "the key " + strconv.Quote(m[1]) + " stands here a second time; the first is on line " + m[2]
		f.Fix("keep one of them, with all that belongs under it")
		return
	}
	if line := []rune(at.Source); strings.Contains(message, "not allowed") && at.Column >= 1 && at.Column <= len(line) {
		switch line[at.Column-1] {
		case ']':
			message = "corresponding to ']'"
		case '}':
			message = "corresponding to '}'"
		}
	}
	for _, w := range syntaxWords {
		for _, part := range w.of {
			if strings.Contains(message, part) {
				f.Text, f.Advice = w.text, w.advice
				return
			}
		}
	}
	f.Text = "this cannot be read as keys with values"
	f.Fix("look here for a missing blank after a colon, unbalanced quotes or brackets, or wrong indents")
}

// twice is what the YAML library says of a key that stands there already.
var twice = regexp.MustCompile(`mapping key "(.*)" already defined at \[(\d+):`)

// syntaxWords are our words for what the YAML library says, by a part of it; the first that fits holds.
var syntaxWords = []struct {
	of           []string
	text, advice string
}{
	{[]string{"tab character", "'\t'"}, "a tab stands here, and lines are indented with blanks only", "put blanks in the tab's place"},
	{[]string{"quoted text"}, "a quote begins here and does not end", "put the same quote behind the text"},
	{[]string{"'}' must be specified", "token '}'", "flow map content"}, "a { is not closed up to here, or a comma is missing", "close it with }, and put a comma between keys: {volts: 12 V, amps: 2 A}"},
	{[]string{"']' must be specified", "token ']'"}, "a [ is not closed up to here, or a comma is missing", "close it with ], and put a comma between entries: [dome, mount]"},
	{[]string{"corresponding to ']'"}, "a ] stands here that closes nothing", "take it away, or put the [ where the list begins"},
	{[]string{"corresponding to '}'"}, "a } stands here that closes nothing", "take it away, or put the { where the keys begin"},
	{[]string{"found ','", "scalar value type"}, "a comma stands here with nothing before it", "take one comma away"},
	{[]string{"reserved character"}, "no value can begin with this letter", `put the value in quotes: "@home"`},
	{[]string{"anchor", "alias", "tag", "merge key", "irective"}, "anchors, aliases, tags and directives are not used in a project file", "write the value itself; put a text that begins with &, *, ! or % in quotes"},
	{[]string{"document separator"}, "a second YAML document begins here", "keep one console in one file, without lines of ---"},
	{[]string{"sequence entries", "sequence delimiter"}, "an entry of a list cannot begin here", "put the dash on a line of its own, as far in as the other entries"},
	{[]string{"indent", "multi-line", "header option"}, "a text of several lines is wrongly begun or indented here", "write the text in one line, in quotes"},
	{[]string{"pre-defined", "mapping value is not allowed", "value is not allowed", "unexpected map key", "unexpected key name", "implicit line break"},
		"this cannot stand here: its indent fits nothing, or it has a colon too many or too few",
		"indent it as far as the keys beside it, write key: value, and put a text that holds a colon in quotes"},
	{[]string{"non-map value", "could not find map", "scalar value", "delimiter ':'", "undefined map key", "invalid key"},
		"a key with a value belongs here", "write a key, a colon, a blank and the value: volts: 12 V"},
}

// quotedAt returns the text between the double quotes round a place of a line; empty where there is none.
func quotedAt(at diag.Place) string {
	line := []rune(at.Source)
	from := min(max(at.Column-1, 0), len(line))
	head, tail := string(line[:from]), string(line[from:])
	i := strings.LastIndexByte(head, '"')
	j := strings.IndexByte(tail, '"')
	if i < 0 {
		return ""
	}
	if j < 0 {
		j = len(tail)
	}
	return head[i+1:] + tail[:j]
}

// unescaped is advice for a text in double quotes with a backslash in it.
func unescaped(quoted string) string {
	if quoted == "" || !strings.Contains(quoted, `\`) {
		return "write paths with slashes, which every system understands: draw/dome.dxf"
	}
	if name := slashed(strings.ReplaceAll(quoted, `\\`, `\`)); strings.Contains(strings.ToLower(name), ".dxf") {
		return "write the path with slashes, which every system understands: " + Plain(name)
	}
	return "put the text in single quotes, where a backslash is a backslash: '" + quoted + "'"
}

// slashed returns a path with slashes in place of backslashes.
func slashed(s string) string { return strings.ReplaceAll(s, `\`, "/") }

// plainText tells letters that nobody means, which a backslash in double quotes makes: "draw\new.dxf" has a line end in it.
func (r *reader) plainText(n ast.Node, at spot, s string) bool {
	q, ok := n.(*ast.StringNode)
	if !ok || q.Token == nil || q.Token.Type != token.DoubleQuoteType || !strings.Contains(q.Token.Origin, `\`) {
		return true
	}
	if !strings.ContainsFunc(s, func(c rune) bool { return !unicode.IsPrint(c) || c == unicode.ReplacementChar }) {
		return true
	}
	f := r.add(n, "project-backslash", "%s: a backslash in double quotes begins a special letter", r.say(at.path))
	within := f.Place
	within.Column++ // behind the quote; the token lacks letters that the library took for part of an escape
	f.Fix("%s", unescaped(quotedAt(within)))
	return false
}
