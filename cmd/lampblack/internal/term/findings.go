package term

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"lampblack/panel/diag"
)

// Cap is how many findings are shown unless all are asked for, and few how many of the places of one.
const (
	Cap = 20
	few = 3
)

// Findings writes the findings, gravest first, at most limit of them and a few places of each (0: all), each as
//
//	file:line: error: what is so [code]
//	    the place on the drawing
//	    the line of the file, with a caret
//	    of one that tells of several: each, with its place
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
		s.finding(f, limit)
	}
	if rest > 0 {
		fmt.Fprintf(s.W, "%s not shown; --all shows every one\n", Plural(rest, "more finding"))
	}
}

func (s Screen) finding(f diag.Finding, limit int) {
	severity := map[diag.Severity]ink{diag.Error: red, diag.Warning: yellow, diag.Note: cyan}[f.Severity]
	place := f.Place
	if f.Count() > 1 && place.Source == "" {
		place = diag.Place{File: f.Place.File}
	}
	head := where(place)
	if head == "" {
		head = Clean(f.Panel)
	}
	if head != "" {
		head = s.paint(bold, head) + ": "
	}
	fmt.Fprintf(s.W, "%s%s: %s [%s]\n", head, s.paint(severity, f.Severity.String()), Clean(f.Text), f.Code)
	at := site(f.Panel, place)
	if f.Mark.Number > 0 {
		at = strings.TrimPrefix(fmt.Sprintf("%s, marked %d in %s", at, f.Mark.Number, Clean(f.Mark.On)), ", ")
	}
	if at != "" {
		fmt.Fprintf(s.W, "    %s\n", at)
	}
	s.source(place)
	if f.Count() > 1 {
		s.several(f, limit)
	} else {
		s.related(f.Related)
	}
	if f.Advice != "" {
		fmt.Fprintf(s.W, "    do: %s\n", Clean(f.Advice))
	}
}

// related writes the other places that explain a finding.
func (s Screen) related(l []diag.Related) {
	for _, r := range l {
		var parts []string
		for _, p := range []string{where(r.Place), site("", r.Place)} {
			if p != "" {
				parts = append(parts, p)
			}
		}
		if len(parts) == 0 {
			fmt.Fprintf(s.W, "    note: %s\n", Clean(r.Text))
			continue
		}
		fmt.Fprintf(s.W, "    note: %s (%s)\n", Clean(r.Text), strings.Join(parts, ", "))
	}
}

// several writes what a finding tells together: those that say the same as places alone.
func (s Screen) several(f diag.Finding, limit int) {
	shown := f.Each()
	if limit > 0 && len(shown) > few {
		shown = shown[:few]
	}
	same := true
	for _, g := range f.Each() {
		same = same && g.Text == f.Each()[0].Text
	}
	told := map[string]bool{}
	for _, g := range shown {
		text, at := Clean(g.Text), spot(g.Place)
		if g.Place.Source != "" {
			at = "" // the line is shown above
		}
		switch {
		case same && at == "":
			continue
		case same:
			text = at
		case at != "":
			text += " (" + at + ")"
		}
		if told[text+g.Advice] {
			continue
		}
		told[text+g.Advice] = true
		fmt.Fprintf(s.W, "    - %s\n", text)
		if g.Advice != "" && g.Advice != f.Advice {
			fmt.Fprintf(s.W, "      do: %s\n", Clean(g.Advice))
		}
		if limit == 0 {
			s.related(g.Related)
		}
	}
	switch rest := f.Count() - len(shown); {
	case rest > 0 && limit > 0:
		fmt.Fprintf(s.W, "    - and %d more; --all shows every one\n", rest)
	case rest > 0:
		fmt.Fprintf(s.W, "    - and %d more\n", rest)
	}
}

// spot returns the place of one of several within a file that is named already.
func spot(p diag.Place) string {
	var parts []string
	if p.At != nil {
		parts = append(parts, fmt.Sprintf("at x %.2f, y %.2f mm", p.At.X, p.At.Y))
	}
	if p.Line > 0 {
		parts = append(parts, fmt.Sprintf("line %d", p.Line))
	}
	return strings.Join(parts, ", ")
}

// where returns "file:line", as editors and terminals turn into a link.
func where(p diag.Place) string {
	switch {
	case p.File == "":
		return ""
	case p.Line > 0:
		return fmt.Sprintf("%s:%d", Clean(p.File), p.Line)
	}
	return Clean(p.File)
}

// site returns the place on the drawing.
func site(panel string, p diag.Place) string {
	var parts []string
	if panel != "" {
		parts = append(parts, "panel "+Clean(panel))
	}
	if p.At != nil {
		parts = append(parts, fmt.Sprintf("at x %.2f, y %.2f mm", p.At.X, p.At.Y))
	}
	if p.Layer != "" {
		parts = append(parts, "layer "+Clean(p.Layer))
	}
	if p.Handle != "" {
		parts = append(parts, "entity "+Clean(p.Handle))
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
	line := []rune(Clean(p.Source))
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

// Clean makes text from a user's file safe for a terminal: control characters could move the cursor or hide text.
func Clean(t string) string {
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
	tally := strings.Join(parts, ", ")
	n := 0
	for _, f := range l {
		if f.Question != nil {
			n++
		}
	}
	switch n {
	case 0:
		return tally
	case 1:
		return tally + ", 1 of them a question that is open"
	}
	return tally + fmt.Sprintf(", %d of them questions that are open", n)
}
