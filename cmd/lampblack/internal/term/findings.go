package term

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"lampblack/panel/diag"
)

// Cap is how many findings are shown unless all are asked for.
const Cap = 20

// Findings writes the findings, gravest first, at most limit of them (0: all), each as
//
//	file:line: error: what is so [code]
//	    the place on the drawing
//	    the line of the file, with a caret
//	    other places that explain it
//	    what to do
func (s Screen) Findings(l diag.List, limit int) {
	l = l.Sorted()
	rest := 0
	if limit > 0 && len(l) > limit {
		rest = len(l) - limit
		l = l[:limit]
	}
	for _, f := range l {
		s.finding(f)
	}
	if rest > 0 {
		fmt.Fprintf(s.W, "%s not shown; --all shows every one\n", Plural(rest, "more finding"))
	}
}

func (s Screen) finding(f diag.Finding) {
	severity := map[diag.Severity]ink{diag.Error: red, diag.Warning: yellow, diag.Note: cyan}[f.Severity]
	head := where(f.Place)
	if head == "" {
		head = clean(f.Panel)
	}
	if head != "" {
		head = s.paint(bold, head) + ": "
	}
	fmt.Fprintf(s.W, "%s%s: %s [%s]\n", head, s.paint(severity, f.Severity.String()), clean(f.Text), f.Code)
	if at := site(f.Panel, f.Place); at != "" {
		fmt.Fprintf(s.W, "    %s\n", at)
	}
	s.source(f.Place)
	for _, r := range f.Related {
		var parts []string
		for _, p := range []string{where(r.Place), site("", r.Place)} {
			if p != "" {
				parts = append(parts, p)
			}
		}
		if len(parts) == 0 {
			fmt.Fprintf(s.W, "    note: %s\n", clean(r.Text))
			continue
		}
		fmt.Fprintf(s.W, "    note: %s (%s)\n", clean(r.Text), strings.Join(parts, ", "))
	}
	if f.Advice != "" {
		fmt.Fprintf(s.W, "    do: %s\n", clean(f.Advice))
	}
}

// where returns "file:line", as editors and terminals turn into a link.
func where(p diag.Place) string {
	switch {
	case p.File == "":
		return ""
	case p.Line > 0:
		return fmt.Sprintf("%s:%d", clean(p.File), p.Line)
	}
	return clean(p.File)
}

// site returns the place on the drawing.
func site(panel string, p diag.Place) string {
	var parts []string
	if panel != "" {
		parts = append(parts, "panel "+clean(panel))
	}
	if p.At != nil {
		parts = append(parts, fmt.Sprintf("at x %.2f, y %.2f mm", p.At.X, p.At.Y))
	}
	if p.Layer != "" {
		parts = append(parts, "layer "+clean(p.Layer))
	}
	if p.Handle != "" {
		parts = append(parts, "entity "+clean(p.Handle))
	}
	return strings.Join(parts, ", ")
}

// maxSource bounds the shown part of a line, round the caret.
const maxSource = 100

// source writes the line and a caret under the column. Columns count characters; tabs become one blank each.
func (s Screen) source(p diag.Place) {
	if p.Source == "" || p.Line == 0 {
		return
	}
	line := []rune(clean(p.Source))
	col := min(max(p.Column, 1), len(line)+1) - 1
	if len(line) > maxSource {
		from := min(max(0, col-maxSource/2), len(line)-maxSource)
		line, col = line[from:from+maxSource], col-from
	}
	number := fmt.Sprintf("%d", p.Line)
	fmt.Fprintf(s.W, "    %s | %s\n", number, strings.TrimRight(string(line), " "))
	if p.Column > 0 {
		fmt.Fprintf(s.W, "    %s | %s%s\n", strings.Repeat(" ", len(number)), strings.Repeat(" ", col), s.paint(red, "^"))
	}
}

// clean makes text from a user's file safe for a terminal: control characters could move the cursor or hide text.
func clean(t string) string {
	if !utf8.ValidString(t) {
		t = strings.ToValidUTF8(t, "\uFFFD")
	}
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			return ' '
		case r < ' ' || r >= 0x7f && r < 0xa0, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
			return '\uFFFD'
		}
		return r
	}, t)
}

// Plural returns "1 panel" or "6 panels".
func Plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// Tally returns the findings by weight: "1 error, 2 warnings, 3 notes", or "no findings".
func Tally(l diag.List) string {
	var parts []string
	for _, s := range []diag.Severity{diag.Error, diag.Warning, diag.Note} {
		if n := l.Count(s); n > 0 {
			parts = append(parts, Plural(n, s.String()))
		}
	}
	if len(parts) == 0 {
		return "no findings"
	}
	return strings.Join(parts, ", ")
}
