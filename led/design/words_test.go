package design

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// desk is two words of two LEDs, one close under the other.
func desk() panel.Panel {
	p := panel.Panel{Name: "climate"}
	for k, word := range []string{"VENT", "SOIL"} {
		y := -10.4 * float64(k)
		p.Lettering = append(p.Lettering, panel.Text{Text: word, At: geom.PtMM(5, y), Height: geom.MM(5), Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}})
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(0, y), D: geom.MM(3)}, panel.Hole{At: geom.PtMM(10, y), D: geom.MM(3)})
	}
	return p
}

// strung returns the string of each hole.
func strung(t *testing.T, p panel.Panel, change func(r *led.Request)) []led.StringID {
	r := led.Usual()
	r.Defaults.StringLength = 2
	if change != nil {
		change(&r)
	}
	c, l := Circuit(t.Context(), []panel.Panel{p}, r)
	require.False(t, l.HasErrors(), "%v", l)
	out := make([]led.StringID, len(p.LEDs))
	for _, d := range c.Boards[0].LEDs {
		out[d.Hole] = d.String
	}
	return out
}

// The LEDs of a word are in two strings where its neighbour is near; without words the shortest hops are taken.
func TestWordsHaveSeveralStrings(t *testing.T) {
	p := desk()
	s := strung(t, p, nil)
	require.NotEqual(t, s[0], s[1])
	require.NotEqual(t, s[2], s[3])
	p.Lettering = nil
	s = strung(t, p, nil)
	require.Equal(t, s[0], s[1])
	require.Equal(t, s[2], s[3])
}

// Strings are of one kind, whatever words would want.
func TestWordsMixNoKinds(t *testing.T) {
	p := desk()
	p.LEDs[2].Kind, p.LEDs[3].Kind = "white-3mm", "white-3mm"
	s := strung(t, p, nil)
	require.Equal(t, s[0], s[1])
	require.Equal(t, s[2], s[3])
	require.NotEqual(t, s[0], s[2])
}

// Nor do those of two groups mix: the windows' LEDs are dimmed by themselves.
func TestWordsMixNoGroups(t *testing.T) {
	p := desk()
	p.LEDs[2].Window, p.LEDs[3].Window = true, true
	s := strung(t, p, func(r *led.Request) { r.Groups = []led.Dimmed{{Name: "rings", Lights: led.LightsWindows, Duty: 1}} })
	require.Equal(t, s[0], s[1])
	require.Equal(t, s[2], s[3])
	require.NotEqual(t, s[0], s[2])
}

// Words are found by their anchors, angles and spaces: here LEDs stand under the middle of each word.
func TestWordsOf(t *testing.T) {
	text := func(s string, at geom.Pt, h panel.HAlign, angle float64) panel.Text {
		return panel.Text{Text: s, At: at, Height: geom.MM(5), Angle: angle, Anchor: panel.Anchor{H: h, V: panel.Middle}}
	}
	p := panel.Panel{Lettering: []panel.Text{
		text("ROOF VENT", geom.PtMM(0, 0), panel.Left, 0),
		text("MIST", geom.PtMM(100, 0), panel.Right, 0),
		text("SOIL WARM", geom.PtMM(200, 0), panel.Centre, 0),
	}}
	for _, x := range []float64{7, 24.5, 93, 191.25, 208.75} {
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, 0)})
	}
	p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(7, 20.1)})
	require.Equal(t, []int{0, 1, 2, 3, 4, -1}, wordsOf(p))
	p.Lettering[0].Angle = 1.5707963
	p.LEDs = []panel.Hole{{At: geom.PtMM(0, 7)}, {At: geom.PtMM(0, 24.5)}, {At: geom.PtMM(24.5, 0)}}
	require.Equal(t, []int{0, 1, -1}, wordsOf(p))
	require.True(t, slices.Contains(wordsOf(desk()), 1))
}

// The LEDs of a window are in two strings too, and no word's; drawn letters stand in for words where nothing is written.
func TestWindowsHaveSeveralStrings(t *testing.T) {
	frame := func(x, y, w, h float64, window bool) panel.Symbol {
		return panel.Symbol{Closed: true, Filled: window, Window: window, Shape: geom.Rect(geom.BoxOf(geom.PtMM(x-w/2, y-h/2), geom.PtMM(x+w/2, y+h/2)))}
	}
	p := desk()
	p.Symbols = []panel.Symbol{frame(5, 0, 14, 4, true), frame(5, -10.4, 14, 4, false)}
	p.LEDs[0].Window, p.LEDs[1].Window = true, true
	require.Equal(t, []int{2, 2, 1, 1}, wordsOf(p))
	p.LEDs[0].Window, p.LEDs[1].Window = false, false
	require.Equal(t, []int{0, 0, 1, 1}, wordsOf(p), "a frame beside words is none")
	p.Lettering = nil
	p.Symbols[0].Window = false
	require.Equal(t, []int{0, 0, 1, 1}, wordsOf(p))
	s := strung(t, p, nil)
	require.NotEqual(t, s[0], s[1])
	require.NotEqual(t, s[2], s[3])
	p.Symbols = nil
	s = strung(t, p, nil)
	require.Equal(t, s[0], s[1])
}
