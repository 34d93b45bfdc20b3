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
