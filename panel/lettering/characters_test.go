package lettering

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// The letters one by one are the text as a whole, and words are told apart by blanks and line ends.
func TestCharacters(t *testing.T) {
	text := panel.Text{Text: "DOME  IN\nOUT", At: geom.PtMM(5, 7), Height: geom.MM(4), Width: 1, Angle: 0.3}
	var all geom.Region
	runes, words := "", map[int]string{}
	last := 0
	for _, c := range letters(text) {
		all = append(all, c.Region...)
		runes += string(c.Rune)
		words[c.Word] += string(c.Rune)
		require.GreaterOrEqual(t, c.Word, last)
		last = c.Word
	}
	require.Equal(t, Outline(text), all)
	require.Equal(t, "DOMEINOUT", runes)
	require.Len(t, words, 3)
	for _, w := range words {
		require.Contains(t, []string{"DOME", "IN", "OUT"}, w)
	}
}
