package lettering

import (
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Character is one letter of a text that leaves ink.
type Character struct {
	Rune   rune
	Word   int // counts the text's words; it rises from letter to letter or stays
	Region geom.Region
}

// Characters returns the letters of a text one by one, as Outline has them together.
func Characters(t panel.Text) []Character {
	var out []Character
	f := open()
	f.layout(t, func(g glyph, place placing) {
		if r := g.region(place); len(r) > 0 {
			out = append(out, Character{g.r, g.word, r})
		}
	})
	return out
}
