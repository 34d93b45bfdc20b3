package overlay

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/compare"
	"lampblack/export/exporttest"
	"lampblack/export/paper"
	"lampblack/export/readback"
	"lampblack/export/result"
	"lampblack/export/scene"
	"lampblack/export/scene/typeset"
	"lampblack/panel/geom"
)

func desk() result.Panel {
	return result.Panel{
		Name: "dome", BBox: [4]float64{500, 0, 600, 60}, OutlineArea: 6000, Outline: "500 0, 600 0, 600 60, 500 60",
		Holes:    result.Holes{LED: []result.Hole{{X: 520, Y: 30, D: 3}, {X: 550, Y: 30, D: 3}}},
		Openings: []result.Loop{{Area: 100, BBox: [4]float64{570, 10, 580, 20}, Path: "570 10, 580 10, 580 20, 570 20"}},
	}
}

// A hole that moved is in the old one alone where it was, in the new one alone where it is, and all else in both.
func TestPanels(t *testing.T) {
	require.True(t, Panels(desk(), desk(), [2]float64{}).Same())
	is := desk()
	is.Holes.LED = []result.Hole{{X: 520, Y: 30, D: 3}, {X: 550, Y: 40, D: 3}}
	p := Panels(desk(), is, [2]float64{})
	disc := geom.Circle(geom.Pt{}, geom.MM(3)).Area()
	require.InDelta(t, disc, p.Gone.Area(), 0.02)
	require.InDelta(t, disc, p.New.Area(), 0.02)
	require.InDelta(t, 30, p.Gone.Box().Centre().Y.MM(), 0.01)
	require.InDelta(t, 40, p.New.Box().Centre().Y.MM(), 0.01)
	require.Equal(t, geom.Outside, p.Both.Locate(geom.PtMM(50, 30)))
	require.NotEqual(t, geom.Outside, p.Both.Locate(geom.PtMM(20, 30)), "the LED that stayed")
	old := desk() // of a version that told boxes alone
	old.Outline, old.Openings = "", []result.Loop{{Area: 100, BBox: [4]float64{570, 10, 580, 20}}}
	require.True(t, Panels(old, desk(), [2]float64{}).Same())
	elsewhere := desk()
	elsewhere.BBox[0], elsewhere.BBox[2], elsewhere.Outline, elsewhere.Openings, elsewhere.Holes.LED = 510, 610, "510 0, 610 0, 610 60, 510 60",
		[]result.Loop{{Area: 100, BBox: [4]float64{580, 10, 590, 20}, Path: "580 10, 590 10, 590 20, 580 20"}}, []result.Hole{{X: 530, Y: 30, D: 3}, {X: 560, Y: 30, D: 3}}
	require.True(t, Panels(desk(), elsewhere, [2]float64{10, 0}).Same())
}

// labels are what a page shows, in words.
func labels(g *scene.Group) string {
	var out []string
	for _, it := range g.Items {
		switch it := it.(type) {
		case *scene.Path:
			if it.Label != "" {
				out = append(out, it.Label)
			}
		case *scene.Glyphs:
			out = append(out, it.Text)
		case *scene.Group:
			out = append(out, labels(it))
		}
	}
	return strings.Join(out, "|")
}

// What only one has differs from what both have by its pattern and in grey print by its brightness, and each place is ringed.
func TestPage(t *testing.T) {
	is := desk()
	is.Holes.LED = []result.Hole{{X: 520, Y: 30, D: 3}, {X: 550, Y: 40, D: 3}}
	p := Page(nil, &typeset.Setter{}, Panels(desk(), is, [2]float64{}))
	got := labels(&p.Body)
	for _, s := range []string{"both", "only the old one", "only the new one", "places that differ", "in both", "only in the old one", "only in the new one"} {
		require.Contains(t, got, s)
	}
	luma := func(c scene.Colour) float64 {
		r, g, b := c.RGB()
		return 0.2126*float64(r) + 0.7152*float64(g) + 0.0722*float64(b) // ITU-R BT.709, on coded values
	}
	require.Greater(t, luma(common)-luma(old), 80.0)
	require.Greater(t, luma(common)-luma(fresh), 80.0)
	require.Equal(t, p, Page(nil, &typeset.Setter{}, Panels(desk(), is, [2]float64{})), "deterministic")
	same := Page(nil, &typeset.Setter{}, Panels(desk(), desk(), [2]float64{}))
	require.NotContains(t, labels(&same.Body), "places that differ")
}

// Layers that differ make pictures, others none; what is told stands beside them.
func TestBoards(t *testing.T) {
	pack := func(width geom.Nm) readback.Pack {
		b := exporttest.Desk()
		b.Tracks[0].Width = width
		a := export.Lower(b)
		a.Layers = append(a.Layers, export.Components(b)...)
		return readback.Pack{Artwork: a}
	}
	none := func(string) bool { return false }
	require.Empty(t, Boards(nil, pack(geom.MM(0.4)), pack(geom.MM(0.4)), none))
	pairs := Boards(nil, pack(geom.MM(0.4)), pack(geom.MM(1)), none)
	require.Len(t, pairs, 1)
	require.Equal(t, "copper on the bottom", pairs[0].Title)
	require.Empty(t, pairs[0].Gone)
	require.NotEmpty(t, pairs[0].New)
	d := compare.Difference{Old: "was", New: "is", Changes: []compare.Change{{Code: "copper", Panel: "dome", Text: "copper <changed>"}}, Boards: []compare.Board{{Panel: "dome", Board: "dome", Fits: true}}}
	p := Paper(nil, d, []Shown{{Panel: "dome", Board: "dome", Pairs: pairs}}, "Desk", "B", "", "0.1.0")
	page := string(paper.HTML(nil, p))
	for _, s := range []string{"Old: was. New: is. 1 change.", "copper &lt;changed&gt;", "Board dome: copper on the bottom; seen from the front", "<img ", "<td class=\"l\">yes</td>"} {
		require.Contains(t, page, s)
	}
	require.NotContains(t, page, "<script")
	require.Less(t, len(page), 60_000)
}
