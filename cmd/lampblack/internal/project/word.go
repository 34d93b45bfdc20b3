package project

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/export/filename"
	"lampblack/panel/diag"
)

// choice is one of a few words, whatever its case.
type choice struct {
	leaf
	words []string
	more  []string            // other words
	means func(string) string // what one of the others stands for
	was   map[string]string   // former words, with blanks for dashes, and what they are called now
}

func (c choice) read(r *reader, n ast.Node, at spot, to *string) bool {
	s, ok := r.text(n, at)
	if !ok {
		return false
	}
	for _, w := range c.words {
		if strings.EqualFold(w, s) {
			*to = w
			return true
		}
	}
	for _, w := range c.more {
		if strings.EqualFold(w, s) {
			*to = c.means(w)
			return true
		}
	}
	if now, ok := c.was[strings.ReplaceAll(strings.ToLower(s), "-", " ")]; ok {
		r.add(n, "project-former-value", "%s: %s is called %s now", r.say(at.path), s, now).Fix("write %s", now).By("write "+now, diag.Set, at.path, now)
		return false
	}
	f := r.add(n, "project-unknown-value", "%s: unknown %s", r.say(at.path), strconv.Quote(s))
	if w, ok := diag.Nearest(s, c.words); ok {
		f.Fix("did you mean %s?", w).By("write "+w, diag.Set, at.path, w)
	} else {
		f.Fix("use one of: %s", strings.Join(c.words, ", "))
	}
	return false
}

// yesNo is a choice of yes and no.
type yesNo struct{ leaf }

func (yesNo) words() choice { return choice{words: []string{"true", "false", "yes", "no"}} }

func (b yesNo) read(r *reader, n ast.Node, at spot, to *bool) bool {
	var w string
	ok := b.words().read(r, n, at, &w)
	if ok {
		*to = w == "true" || w == "yes"
	}
	return ok
}

// text is a text of the user's own, within limits.
type text struct {
	leaf
	pattern string // what it must match, by ECMA-262; empty: any
	most    int    // bytes; 0: no bound
	// refuse says of a text that cannot be: a finding's code, what is wrong, with %s for the key, and what to do. An empty
	// code lets it pass.
	refuse func(s string) (code, wrong, advice string)
}

func (t text) read(r *reader, n ast.Node, at spot, to *string) bool {
	s, ok := r.text(n, at)
	if !ok {
		return false
	}
	if t.refuse != nil {
		if code, wrong, advice := t.refuse(s); code != "" {
			r.add(n, code, wrong, r.say(at.path)).Fix("%s", advice)
			return false
		}
	}
	*to = s
	return true
}

// line is a text for people: one line.
func line() text {
	return text{pattern: `^[^\x00-\x1f\x7f�]*$`, most: 120, refuse: func(s string) (string, string, string) {
		if strings.ContainsFunc(s, func(c rune) bool { return c < ' ' || c == 0x7f || c == '\uFFFD' }) || len(s) > 120 {
			return "project-wrong-value", "%s must be one line of at most 120 letters", "shorten it"
		}
		return "", "", ""
	}}
}

// revision is what boards are told apart by.
func revision() text {
	return text{pattern: `^[A-Za-z0-9_.-]*$`, most: 12, refuse: func(s string) (string, string, string) {
		if len(s) > 12 || strings.ContainsFunc(s, func(c rune) bool { return !filename.Letter(c) && c != '.' }) {
			return "project-wrong-value", "%s must be at most 12 letters, digits, dots or dashes: it is printed on the boards", "write a revision as A or 1.2"
		}
		return "", "", ""
	}}
}

// fileName is a name that files and nets are called by.
func fileName() text {
	return text{pattern: `^[A-Za-z0-9_]([A-Za-z0-9_.-]*[A-Za-z0-9_-])?$`, most: filename.Most, refuse: func(s string) (string, string, string) {
		bad := strings.ContainsFunc(s, func(c rune) bool { return !filename.Letter(c) && c != '.' })
		switch {
		case bad, len(s) > filename.Most, s[0] == '.', s[0] == '-', s[len(s)-1] == '.':
			return "project-wrong-name", "%s: " + escaped(s) + " cannot name files",
				fmt.Sprintf("use at most %d letters, digits, - and _, beginning with a letter or digit", filename.Most)
		case !filename.Whole(s):
			return "project-wrong-name", "%s: some systems allow no file called " + s, "choose another name"
		}
		return "", "", ""
	}}
}

// groupName is a name that stands in the names of nets and pins.
func groupName() text {
	return text{pattern: `^[A-Za-z0-9_-]*$`, most: 12, refuse: func(s string) (string, string, string) {
		if len(s) > 12 || strings.ContainsFunc(s, func(c rune) bool { return !filename.Letter(c) }) {
			return "project-wrong-name", "%s: " + escaped(s) + " cannot name a group", "use at most 12 letters, digits, - and _"
		}
		return "", "", ""
	}}
}

// escaped quotes a text for a format.
func escaped(s string) string { return strings.ReplaceAll(strconv.Quote(s), "%", "%%") }

// names is a list of names; one that is wrong counts as empty.
func names(word string) list[string] { return list[string]{of: text{}, word: word} }
