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

// wordsOf returns for each LED of the panel the word of its lettering that it lights most, -1 for none, by a guess: the nearest
// within reach, where words are as long as their usual letters. It is good enough to choose strings by; light is not known yet.
func wordsOf(p panel.Panel) []int {
	var words []geom.Segment
	for _, t := range p.Lettering {
		for n, line := range strings.Split(t.Text, "\n") {
			words = append(words, wordsIn(t, line, n)...)
		}
	}
	of := make([]int, len(p.LEDs))
	for i, h := range p.LEDs {
		of[i] = -1
		least := float64(wordReach)
		for k, w := range words {
			if d := w.DistTo(h.At); d < least {
				least, of[i] = d, k
			}
		}
	}
	return of
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
	sin, cos := math.Sincos(t.Angle)
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
