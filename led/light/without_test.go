package light

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// A word whose only string is dark loses all its light; one that two strings light evenly keeps half.
func TestWithout(t *testing.T) {
	ctx := context.Background()
	s := UsualStack()
	p, w := desk(slew(), geom.PtMM(36, 20), geom.PtMM(44, 20))
	w.Strings = []led.String{{LEDs: []int{0, 1}, Nominal: 0.020}}
	w.LEDs[0].Ref, w.LEDs[1].Ref, w.LEDs[1].String = "D1", "D2", 0
	words := Without(Shares(ctx, p, nil, w, s), w, nil)
	require.Len(t, words, 1)
	require.Equal(t, "SLEW", words[0].Text)
	require.Zero(t, words[0].Keeps)
	require.Equal(t, []string{"D1", "D2"}, words[0].LEDs)

	p, w = desk(slew(), geom.PtMM(36, 20), geom.PtMM(44, 20))
	words = Without(Shares(ctx, p, nil, w, s), w, nil)
	require.InDelta(t, 0.5, words[0].Keeps, 0.1)

	// Against the light as it is computed in full, of both and of one alone: a word beside, and two currents.
	p.Lettering = append(p.Lettering, panel.Text{Text: "PARK", At: geom.PtMM(66, 26), Height: geom.MM(3), Width: 1, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}})
	w.Strings[1].Nominal = 0.010
	full := Evaluate(ctx, p, nil, w, s)
	for k, lost := range Without(Shares(ctx, p, nil, w, s), w, nil) {
		require.Equal(t, full.Words[k].Text, lost.Text)
		dark := w
		dark.Strings = append([]led.String(nil), w.Strings...)
		dark.Strings[lost.String].Nominal = 0
		left := Evaluate(ctx, p, nil, dark, s)
		require.InDelta(t, left.Words[k].Mean/full.Words[k].Mean, lost.Keeps, 0.03, lost.Text)
	}
}

// A window that two LEDs of two strings light keeps half; an indicator, which one LED lights, is told no more than that LED is; and symbols
// beside words are the words' matter.
func TestWithoutCountsWindows(t *testing.T) {
	ctx := context.Background()
	s := UsualStack()
	p, w := desk(slew(), geom.PtMM(36, 20), geom.PtMM(44, 20), geom.PtMM(90, 20), geom.PtMM(98, 20), geom.PtMM(130, 20))
	p.Outline = geom.Rect(geom.Box{Max: geom.PtMM(160, 40)})
	square := func(x, y, w, h float64, window bool) panel.Symbol {
		return panel.Symbol{Closed: true, Filled: true, Window: window, Shape: geom.Rect(geom.BoxOf(geom.PtMM(x-w/2, y-h/2), geom.PtMM(x+w/2, y+h/2)))}
	}
	p.Symbols = []panel.Symbol{square(94, 20, 16, 4, true), square(130, 20, 4, 4, true), square(60, 20, 3, 3, false)}
	lost := Without(Shares(ctx, p, nil, w, s), w, nil)
	require.Len(t, lost, 2)
	require.Equal(t, "SLEW", lost[0].Text)
	require.Equal(t, p.Symbols[0].Said(), lost[1].Text)
	require.True(t, lost[1].Drawn)
	require.InDelta(t, 0.5, lost[1].Keeps, 0.1)
	w.Strings[2].LEDs, w.Strings[3].LEDs, w.LEDs[3].String = []int{2, 3}, nil, 2
	lost = Without(Shares(ctx, p, nil, w, s), w, nil)
	require.Less(t, lost[1].Keeps, 0.05, "both are of one string")
}
