package light

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// Two words 30 mm apart, each with an LED of its own behind it, are two groups' own. What one LED gives the other's word is stray: as
// much, to a fifth, as the light computed in full has there with the other LED dark.
func TestSpills(t *testing.T) {
	s := UsualStack()
	p, w := desk(slew(), geom.PtMM(40, 20), geom.PtMM(70, 20))
	p.Lettering = append(p.Lettering, panel.Text{Text: "PARK", At: geom.PtMM(70, 20), Height: geom.MM(3), Width: 1, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}})
	shares := Shares(t.Context(), p, nil, w, s)
	require.Len(t, shares, 2)
	got := Spills(shares, []int{0, 1}, 2)
	require.Len(t, got, 2)
	full := Evaluate(t.Context(), p, nil, w, s)
	for k, one := range got {
		dark := w
		dark.Strings = append(w.Strings[:0:0], w.Strings...)
		dark.Strings[w.LEDs[one.Group].String].Nominal = 0
		stray := Evaluate(t.Context(), p, nil, dark, s).Words[k].Mean
		require.Equal(t, k, one.Group)
		require.Equal(t, 1-k, one.From)
		require.InEpsilon(t, stray/(full.Words[k].Mean-stray), one.Share, 0.2, one.Text)
	}
	// A wall from edge to edge between them stops what goes straight and what comes after bounces; below it, through a clear LED sheet of 3
	// whose way counts 2.0 of 10.0, a fifth of that passes, through a black one nothing.
	wall := p
	wall.Frame = geom.NewRegion(geom.Rect(geom.BoxOf(geom.PtMM(53, 0), geom.PtMM(57, 40))).Ring(wallTolerance))
	open, clear := shares[1].By[0], Shares(t.Context(), wall, nil, w, s)
	require.InDelta(t, 0.2, clear[1].By[0]/open, 0.02)
	require.Equal(t, shares[0].By[0], clear[0].By[0], "its own side is as it was")
	require.Zero(t, Shares(t.Context(), wall, nil, w, s.WithSheet("black"))[1].By[0])
	// All of one group, nothing is stray.
	require.Empty(t, Spills(shares, []int{0, 0}, 1))
}

// By hand: a word has 1 of its own group and of the other 0.04, 0.051, 0.099, 0.101; and a word of the other, with 10.
func TestSpillLimits(t *testing.T) {
	of := []int{0, 1}
	judged := func(stray float64) (codes []string) {
		shares := []Share{{Text: "ARM", At: geom.PtMM(1, 2), By: []float64{1, stray}}, {Text: "HEAT", By: []float64{0, 10}}}
		for _, f := range JudgeSpills("dome", Spills(shares, of, 2), []string{"night", "day"}) {
			require.Contains(t, f.Text, `"ARM" still shows when its LEDs are off: from group day it gets`)
			codes = append(codes, f.Severity.String()+" "+f.Code)
		}
		return codes
	}
	require.Empty(t, judged(0.04))
	require.Equal(t, []string{"note light-spill"}, judged(0.051))
	require.Equal(t, []string{"note light-spill"}, judged(0.099))
	require.Equal(t, []string{"warning light-spill"}, judged(0.101))
	// A word beside another's LEDs gets two fifths of what those give their own: the nearer, the worse, and never nothing.
	require.Equal(t, []string{"warning light-spill"}, judged(4))
	// However bright the other group, the word is its own group's.
	dim := []Share{{Text: "ARM", By: []float64{1, 24}}, {Text: "HEAT", By: []float64{0, 100}}}
	require.InDelta(t, 24, Spills(dim, of, 2)[0].Share, 0.1)
	// Two sets behind the same words, one of them half as well: both are its own.
	both := []Share{{Text: "ARM", By: []float64{1, 6}}, {Text: "HEAT", By: []float64{1, 10}}}
	require.Empty(t, JudgeSpills("dome", Spills(both, of, 2), []string{"night", "day"}))
}
