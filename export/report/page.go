package report

import (
	"strings"

	"lampblack/export"
)

// width is the longest line of a text page.
const width = 78

// page is a text under way.
type page struct{ lines []string }

// line adds a line as it stands; what is no printable ASCII becomes '?', and what is too long goes on in the next line.
func (t *page) line(s string) {
	s = export.ASCII(s)
	for len(s) > width {
		t.lines = append(t.lines, strings.TrimRight(s[:width], " "))
		s = "      " + s[width:]
	}
	t.lines = append(t.lines, strings.TrimRight(s, " "))
}

// heading adds an underlined heading, parted from what went before.
func (t *page) heading(s string) {
	s = export.ASCII(s)
	if len(t.lines) > 0 && t.lines[len(t.lines)-1] != "" {
		t.line("")
	}
	t.line(s)
	t.line(strings.Repeat("-", min(len(s), width)))
}

// row adds a name and its value, wrapped under itself; nothing when there is no value.
func (t *page) row(name, value string) {
	if value != "" {
		const column = 16
		t.wrapped("  "+name+strings.Repeat(" ", max(1, column-2-len(name))), strings.Repeat(" ", column), value)
	}
}

// text adds a paragraph, parted from what goes before and after.
func (t *page) text(s string) {
	if len(t.lines) > 0 && t.lines[len(t.lines)-1] != "" {
		t.line("")
	}
	t.wrapped("  ", "  ", s)
	t.line("")
}

// item adds a point of a list.
func (t *page) item(s string) { t.wrapped("  - ", "    ", s) }

// wrapped adds s in lines of at most width columns: the first begins with first, the others with rest.
func (t *page) wrapped(first, rest, s string) {
	line, empty := first, true
	for _, word := range strings.Fields(export.ASCII(s)) {
		if !empty && len(line)+1+len(word) > width {
			t.line(line)
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	t.line(line)
}

func (t *page) bytes() []byte {
	lines := t.lines
	for len(lines) > 0 && lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return []byte(strings.Join(lines, "\n") + "\n")
}
