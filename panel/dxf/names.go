package dxf

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// words returns a text as the release's files hold it.
func (e encoder) words(s string) string { return e.release.words(s) }

// words returns a text in UTF-8 from AC1021 on, else in ANSI_1252: its characters as single bytes, others as \U+nnnn.
// Those beyond four digits have no such form and become a question mark. Control characters become blanks.
func (r Release) words(s string) string {
	if r.utf8() {
		return strings.Map(func(c rune) rune {
			if c < ' ' || c == 0x7f {
				return ' '
			}
			return c
		}, s)
	}
	out := ansi(s, true)
	if utf8.ValidString(out) && len(out) != utf8.RuneCountInString(out) {
		return ansi(s, false) // bytes that happen to be UTF-8 would be read as such
	}
	return out
}

func ansi(s string, bytes bool) string {
	var b strings.Builder
	for _, r := range s {
		c, single := charmap.Windows1252.EncodeRune(r)
		switch {
		case r < ' ' || r == 0x7f:
			b.WriteByte(' ')
		case r < 0x7f:
			b.WriteRune(r)
		case single && bytes:
			b.WriteByte(c)
		case r <= 0xffff:
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}

// names gives layers and blocks names that a release allows, one for each whatever its case.
type names struct {
	release Release
	given   map[string]string // by the upper-case name asked for
	taken   map[string]bool   // upper-case names given
}

func namesFor(r Release) names { return names{r, map[string]string{}, map[string]bool{}} }

// of returns the name to write, and whether it is new.
func (n names) of(name string) (string, bool) {
	if name = strings.TrimSpace(name); name == "" {
		name = "0"
	}
	key := strings.ToUpper(name)
	if got, ok := n.given[key]; ok {
		return got, false
	}
	clean := n.release.name(name)
	got := clean
	for i := 2; n.taken[strings.ToUpper(got)]; i++ {
		tail := fmt.Sprintf("_%d", i)
		got = clean
		if n.release == R12 {
			got = got[:min(len(got), maxOldName-len(tail))]
		}
		got += tail
	}
	n.taken[strings.ToUpper(got)] = true
	n.given[key] = got
	return got, true
}

// maxOldName is the longest name that R12 takes.
const maxOldName = 31

// name returns a name without the characters that DXF forbids in names (DXF Reference, "Symbol table names"): a few signs;
// in R12 all but letters, digits and $ - _.
func (r Release) name(s string) string {
	s = strings.Map(func(c rune) rune {
		switch {
		case r == R12 && (c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || strings.ContainsRune("$-_", c)):
			return c
		case r == R12 || c < ' ' || strings.ContainsRune("<>/\\\":;?*|,=`", c):
			return '_'
		}
		return c
	}, s)
	if r == R12 {
		s = s[:min(len(s), maxOldName)]
	}
	return r.words(s)
}
