package design

import (
	"math"
	"strings"
	"unicode/utf8"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// How words are found for LEDs before any light is computed.
const (
	letterWidth = 0.7                  // of a letter with the space after it, of a capital's height: as usual sans serifs have it
	wordReach   = 20 * geom.Millimetre // from an LED to the word that it lights
)

// lit is what LEDs light: the middle lines of a word, or those round a drawn thing.
type lit struct {
	lines  []geom.Segment
	window bool
}

func (t lit) distTo(p geom.Pt) float64 {
	d := math.Inf(1)
	for _, s := range t.lines {
		d = min(d, s.DistTo(p))
	}
	return d
}

// wordsOf returns for each LED of the panel the word of its lettering, or the window, that it lights most, -1 for none, by a guess: the
// nearest within reach, where words are as long as their usual letters. On a panel without words symbols stand in for them; beside words
// they are lines and marks that go with these. It is good enough to choose strings by; light is not known yet.
func wordsOf(p panel.Panel) []int {
	var words []lit
	for _, t := range p.Lettering {
		for n, line := range strings.Split(t.Text, "\n") {
			for _, s := range wordsIn(t, line, n) {
				words = append(words, lit{lines: []geom.Segment{s}})
			}
		}
	}
	written := len(words) > 0
	for _, s := range p.Symbols {
		if s.Window || !written {
			words = append(words, lit{drawn(s), s.Window})
		}
	}
	of := make([]int, len(p.LEDs))
	for i, h := range p.LEDs {
		of[i] = -1
		least := float64(wordReach)
		for k, w := range words {
			if w.window != h.Window {
				continue
			}
			if d := w.distTo(h.At); d < least {
				least, of[i] = d, k
			}
		}
	}
	return of
}

// drawn returns the lines of a symbol, its arcs as their chords.
func drawn(s panel.Symbol) (out []geom.Segment) {
	n := len(s.Shape)
	for k := range n {
		if k+1 < n || s.Closed {
			out = append(out, geom.Segment{A: s.Shape[k].Pt, B: s.Shape[(k+1)%n].Pt})
		}
	}
	return out
}

// wordsIn returns the middle lines of the words in line n of a text.
func wordsIn(t panel.Text, line string, n int) (out []geom.Segment) {
	length := float64(utf8.RuneCountInString(line))
	letter := letterWidth * float64(t.Height)
	if t.Width > 0 {
		letter *= t.Width
	}
	if t.Span > 0 && length > 0 {
		letter = float64(t.Span) / length
	}
	from := 0.0 // of the line's first letter, in letters
	switch t.Anchor.H {
	case panel.Centre:
		from = -length / 2
	case panel.Right:
		from = -length
	}
	up := 0.5 // of the line's middle, in heights
	switch t.Anchor.V {
	case panel.Middle:
		up = 0
	case panel.TopLine:
		up = -0.5
	}
	const apart = 5.0 / 3 // lines
	y := float64(up-float64(apart*float64(n))) * float64(t.Height)
	sin, cos := geom.Sincos(t.Angle)
	at := func(letters int) geom.Pt {
		x := float64(from+float64(letters)) * letter
		if t.Mirror {
			x = -x
		}
		return t.At.Add(geom.Vec{
			X: geom.Nm(math.Round(float64(x*cos) - float64(y*sin))),
			Y: geom.Nm(math.Round(float64(x*sin) + float64(y*cos))),
		})
	}
	k := 0
	for _, f := range strings.Split(line, " ") {
		m := utf8.RuneCountInString(f)
		if m > 0 {
			out = append(out, geom.Segment{A: at(k), B: at(k + m)})
		}
		k += m + 1
	}
	return out
}
