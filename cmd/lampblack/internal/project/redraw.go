package project

import (
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Redrawn returns the text of a project file in which panel i has another drawing, and nothing else is changed: every other
// byte, comment and line end stays, and so do the text's encoding and byte order mark. A panel that was named by its drawing
// alone gets that name written. ok is false for text that cannot be changed so; then it is for a person to do.
//
// The value is looked for behind every key of that name and tried: what counts is that the text, read anew, is the same project
// with that one drawing. So it does not matter how the value is written, and a comment that looks like a key is left alone.
func Redrawn(src []byte, file string, i int, drawing string) (out []byte, ok bool) {
	old, l := Read(src, file)
	if l.HasErrors() || i < 0 || i >= len(old.Panels) {
		return nil, false
	}
	text, encode := decoded(src)
	name := ""
	if !old.Has("panels." + strconv.Itoa(i) + ".name") {
		name = old.Panels[i].Name
	}
	for _, at := range drawingKey.FindAllStringIndex(text, -1) {
		from, to, quote := valueAfter(text, at[1], old.Panels[i].Drawing)
		if from < 0 {
			continue
		}
		for _, value := range ways(drawing, quote) {
			for _, key := range nameBefore(text, at[0], name) {
				out := encode(text[:at[0]] + key + text[at[0]:from] + value + text[to:])
				if now, l := Read(out, file); !l.HasErrors() && sameBut(old, now, i, drawing) {
					return out, true
				}
			}
		}
	}
	return nil, false
}

var drawingKey = regexp.MustCompile(`("drawing"|'drawing'|\bdrawing)[ \t]*:`)

// sameBut reports whether two readings of a project differ in nothing but the drawing of panel i, which is now another.
func sameBut(old, now Project, i int, drawing string) bool {
	if len(now.Panels) != len(old.Panels) || now.Panels[i].Drawing != drawing {
		return false
	}
	now.Panels = slices.Clone(now.Panels)
	now.Panels[i].Drawing = old.Panels[i].Drawing
	old.places, now.places = nil, nil
	return reflect.DeepEqual(old, now)
}

// valueAfter returns where the value behind a key begins and ends, without quotes, and the quote, if it has one; -1 where it
// cannot be old.
func valueAfter(text string, at int, old string) (from, to int, quote byte) {
	at = skipped(text, at)
	if at < len(text) && (text[at] == '|' || text[at] == '>') {
		// A block: the line below its head.
		end := strings.IndexByte(text[at:], '\n')
		if end < 0 {
			return -1, 0, 0
		}
		at = skipped(text, at+end)
	}
	rest := text[at:]
	switch {
	case strings.HasPrefix(rest, `"`):
		for j := 1; j < len(rest); j++ {
			switch rest[j] {
			case '\\':
				j++
			case '"':
				return at + 1, at + j, '"'
			}
		}
	case strings.HasPrefix(rest, "'"):
		for j := 1; j < len(rest); j++ {
			if rest[j] != '\'' {
				continue
			}
			if j+1 < len(rest) && rest[j+1] == '\'' {
				j++
				continue
			}
			return at + 1, at + j, '\''
		}
	case strings.HasPrefix(rest, old):
		return at, at + len(old), 0
	}
	return -1, 0, 0
}

// skipped passes over blanks, line ends and comments.
func skipped(text string, at int) int {
	for at < len(text) {
		switch text[at] {
		case ' ', '\t', '\r', '\n':
			at++
		case '#':
			end := strings.IndexByte(text[at:], '\n')
			if end < 0 {
				return len(text)
			}
			at += end
		default:
			return at
		}
	}
	return at
}

// ways returns ways to write a value between such quotes, the most like the old one first.
func ways(value string, quote byte) []string {
	switch quote {
	case '"':
		return []string{strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(value)}
	case '\'':
		return []string{strings.ReplaceAll(value, "'", "''")}
	}
	return []string{value, quoted(value), strconv.Quote(value)}
}

// nameBefore returns ways to write the key name before the key at a place of the text: within braces, and on a line of its own.
func nameBefore(text string, at int, name string) []string {
	if name == "" {
		return []string{""}
	}
	line := text[strings.LastIndexByte(text[:at], '\n')+1 : at]
	indent := strings.Map(func(r rune) rune {
		if r == '\t' {
			return r
		}
		return ' '
	}, line)
	end := "\n"
	if i := strings.IndexByte(text[at:], '\n'); i > 0 && text[at+i-1] == '\r' {
		end = "\r\n"
	}
	return []string{"name: " + quoted(name) + ", ", "name: " + quoted(name) + end + indent}
}
