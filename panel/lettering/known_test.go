package lettering

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/writing"
)

// What is asked for and not to be had gets the nearest of the program's faces; some of them are the very font.
func TestInstead(t *testing.T) {
	for _, c := range []struct {
		asked writing.Font
		face  string
		same  bool
	}{
		{writing.Font{File: "plate.ttf"}, Plain, false},
		{writing.Font{File: `C:\FONTS\Lines.SHX`}, SingleLine, false},
		{writing.Font{Family: "Plate Condensed"}, Condensed, false},
		{writing.Font{File: "ARIAL.TTF"}, Grotesque, false},
		{writing.Font{File: "x.ttf", Family: "Arial Narrow"}, Condensed, false},
		{writing.Font{File: "LiberationSans-Regular.ttf"}, Grotesque, true},
		{writing.Font{Family: "Go"}, Plain, true},
	} {
		face, same := Instead(c.asked)
		require.Equal(t, c.face, face, "%v", c.asked)
		require.Equal(t, c.same, same, "%v", c.asked)
	}
}

// The width that a text would have is known where the font's letters are those of a face of ours in an em, 1467 to 1409 higher.
func TestWidthAsked(t *testing.T) {
	text := panel.Text{Text: "SHUTTER", Height: geom.MM(4), Font: writing.Font{Family: "Arial"}}
	want, ok := WidthAsked(text)
	require.True(t, ok)
	require.InEpsilon(t, 1467.0/1409, float64((&Faces{Usual: grotesque()}).Advance(text))/float64(want), 1e-4)
	text.Font.Family = "Arial Narrow"
	narrow, ok := WidthAsked(text)
	require.True(t, ok)
	require.InEpsilon(t, 0.82, float64(narrow)/float64(want), 1e-4)
	text.Font.Family = "Plate"
	_, ok = WidthAsked(text)
	require.False(t, ok)
}

// Files and families are of one font whatever their blanks, dashes, case and endings.
func TestSameName(t *testing.T) {
	require.True(t, SameName("Plate Gothic", "plate-gothic.TTF"))
	require.False(t, SameName("Plate", "Plate Gothic"))
	require.False(t, SameName("", ""))
}
