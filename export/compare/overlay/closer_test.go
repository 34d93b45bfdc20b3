package overlay

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/result"
	"lampblack/export/scene/typeset"
	"lampblack/panel/geom"
)

// An LED that moved by 2 mm on a panel of 400 mm, which nobody sees on the whole, is drawn once more, three times as large at least, with a
// scale; a panel of which a third is another is not.
func TestSmallChangesAreDrawnCloser(t *testing.T) {
	wide := func(x float64) result.Panel {
		p := desk()
		p.BBox, p.OutlineArea, p.Outline = [4]float64{500, 0, 900, 60}, 24000, "500 0, 900 0, 900 60, 500 60"
		p.Holes.LED = append(p.Holes.LED, result.Hole{X: x, Y: 20, D: 3})
		return p
	}
	pair := Panels(wide(820), wide(822), [2]float64{})
	all := Closer(nil, &typeset.Setter{}, pair)
	require.Len(t, all, 1)
	require.Equal(t, "A: 12 mm wide", all[0].Says)
	require.Equal(t, all, Closer(nil, &typeset.Setter{}, pair), "deterministic")
	got := labels(&all[0].Page.Body)
	for _, s := range []string{"only the old one", "only the new one", "scale", "5 mm", "A"} {
		require.Contains(t, got, s)
	}
	whole := Page(nil, &typeset.Setter{}, pair)
	require.Contains(t, labels(&whole.Body), "|A|", "the place has its name on the whole")
	k := float64(whole.W) / float64(all[0].Page.W)
	require.Greater(t, k, 3.0*170/55, "where both are as wide as they are on paper")

	opened := wide(820)
	opened.Openings = append(opened.Openings, result.Loop{Area: 6000, BBox: [4]float64{620, 5, 780, 55}})
	require.Empty(t, Closer(nil, &typeset.Setter{}, Panels(wide(820), opened, [2]float64{})))
	require.Empty(t, Closer(nil, &typeset.Setter{}, Panels(wide(820), wide(820), [2]float64{})))

	// Of many places those with most that differs are drawn, a few, named from the top left on.
	many := desk()
	for i := range 6 {
		many.Holes.LED = append(many.Holes.LED, result.Hole{X: 510 + 15*float64(i), Y: 10, D: 1 + float64(i)/2})
	}
	few := closer(Panels(desk(), many, [2]float64{}))
	require.Len(t, few, closest)
	for i, p := range few {
		require.Equal(t, string(rune('A'+i)), p.name)
		require.InDelta(t, 40+15*float64(i), p.part.Centre().X.MM(), 0.01)
		require.GreaterOrEqual(t, p.part.W(), 12*geom.Millimetre)
	}
}
