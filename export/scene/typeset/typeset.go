// Package typeset sets the words of pictures and papers: how wide they are, where they part, and the outlines that a scene draws.
//
// The letters are those of the plain face of package lettering, so that a page looks the same everywhere and needs no font.
package typeset

import (
	"strings"
	"unicode/utf8"

	"lampblack/export/scene"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// Setter sets words, and keeps the letters that it has used. The zero Setter is ready. It serves one goroutine.
type Setter struct {
	font map[rune]letter // looked up only
}

// letter is a letter with capitals a millimetre high.
type letter struct {
	advance geom.Nm
	shapes  []geom.Contour // none: a gap
}

func (s *Setter) letter(r rune) letter {
	if l, ok := s.font[r]; ok {
		return l
	}
	t := panel.Text{Text: string(r), Height: geom.Millimetre, Width: 1}
	l := letter{advance: lettering.Advance(t)}
	if len(lettering.Missing(t)) == 0 {
		l.shapes = scene.Frame{}.Region(lettering.Outline(t))
	}
	if s.font == nil {
		s.font = map[rune]letter{}
	}
	s.font[r] = l
	return l
}

// Wide returns the length of words whose capitals are h high.
func (s *Setter) Wide(words string, h geom.Nm) geom.Nm {
	w := geom.Nm(0)
	for _, r := range words {
		w += s.letter(r).advance
	}
	return w * h / geom.Millimetre
}

// Shortened returns words that are at most room wide, cut short with an ellipsis where they are longer.
func (s *Setter) Shortened(words string, h, room geom.Nm) string {
	for r := []rune(words); s.Wide(words, h) > room && len(r) > 1; {
		r = r[:len(r)-1]
		words = strings.TrimRight(string(r), " ") + "…"
	}
	return words
}

// Wrapped returns a text in lines that are at most room wide: parted at blanks, and where a word alone is wider behind a
// hyphen, an underscore or at last any letter.
func (s *Setter) Wrapped(text string, h, room geom.Nm) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && s.Wide(line+" "+word, h) <= room {
			line += " " + word
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		for line = word; s.Wide(line, h) > room; {
			n := s.cut(line, h, room)
			if n == len(line) {
				break
			}
			out, line = append(out, line[:n]), line[n:]
		}
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// cut returns where to part a word that is wider than room: at least one letter.
func (s *Setter) cut(word string, h, room geom.Nm) int {
	best, last := 0, 0
	for i, r := range word {
		end := i + utf8.RuneLen(r)
		if r == utf8.RuneError {
			end = i + 1
		}
		if last > 0 && s.Wide(word[:end], h) > room {
			break
		}
		last = end
		if r == '-' || r == '_' {
			best = end
		}
	}
	if best > 0 {
		return best
	}
	return last
}

// Glyphs returns words whose baseline starts at a point of the page.
func (s *Setter) Glyphs(words string, at geom.Pt, h geom.Nm) *scene.Glyphs {
	g := &scene.Glyphs{Text: words, At: at, Height: h}
	run := geom.Nm(0)
	for _, r := range words {
		l := s.letter(r)
		if len(l.shapes) > 0 {
			g.Letters = append(g.Letters, scene.Letter{Rune: r, X: run, Shapes: l.shapes})
		}
		run += l.advance
	}
	return g
}
