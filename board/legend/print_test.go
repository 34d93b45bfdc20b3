package legend_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/check"
	"lampblack/board/legend"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// written returns a text as an item, its left end at a place.
func written(s string, x, y, h float64) legend.Item {
	t := panel.Text{Text: s, At: geom.PtMM(x, y), Height: geom.MM(h), Width: 1}
	out := legend.Item{Text: s, Height: t.Height}
	for _, c := range (*lettering.Faces)(nil).Characters(t) {
		out.Parts = append(out.Parts, c.Region)
	}
	return out
}

func filled(x0, y0, x1, y1 float64) legend.Item {
	return legend.Item{Parts: []geom.Region{geom.NewRegion(geom.Rect(geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1))).Ring(1))}}
}

func all(t legend.Item) geom.Region {
	var out geom.Region
	for _, g := range t.Parts {
		out = append(out, g...)
	}
	return out
}

func inkOf(b board.Board, side geom.Side) geom.Region {
	var out geom.Region
	for _, k := range b.Ink {
		if k.On == side {
			out = append(out, k.Fill)
		}
	}
	return out
}

// fromBehind returns what someone who looks at the board from behind sees: left and right exchanged, about the middle of the bench.
func fromBehind(g geom.Region) geom.Region {
	var out geom.Region
	flip := func(r geom.Ring) geom.Ring {
		var q geom.Ring
		for _, p := range r {
			q = append(q, geom.Pt{X: geom.MM(90) - p.X, Y: p.Y})
		}
		return q.Reversed()
	}
	for _, p := range g {
		q := geom.Polygon{Outer: flip(p.Outer)}
		for _, h := range p.Holes {
			q.Holes = append(q.Holes, flip(h))
		}
		out = append(out, q)
	}
	return out
}

// same reports whether two areas differ by corners that print round and no more.
func same(t *testing.T, want, got geom.Region, what string) {
	t.Helper()
	require.NotEmpty(t, got, what)
	require.Less(t, got.Minus(want).Area(), 1e-4*want.Area()+1e-6, what)
	require.Less(t, want.Minus(got).Area(), 0.03*want.Area(), what)
}

// On the LED side a text stands as it was drawn. On the back it stands where it was drawn, and whoever looks from behind sees the
// letters as they were drawn, not mirrored, whatever else is far from it.
func TestPrintReadsRightly(t *testing.T) {
	text, other := written("Ridge 7", 20, 30, 4), written("far", 70, 10, 3)
	b, fig := legend.Print(t.Context(), bench(), legend.Options{Items: [2][]legend.Item{{text}, {text, other}}})
	require.Empty(t, fig.Told)
	same(t, all(text), inkOf(b, geom.Top), "LED side")
	var here geom.Region
	for _, p := range inkOf(b, geom.Bottom) {
		if p.Outer.Box().Max.X < geom.MM(60) {
			here = append(here, p)
		}
	}
	box := all(text).Box()
	require.InDelta(t, box.Min.X.MM(), here.Box().Min.X.MM(), 0.01, "it stands where it was drawn")
	require.InDelta(t, box.Max.X.MM(), here.Box().Max.X.MM(), 0.01)
	seen := fromBehind(here)
	same(t, all(text), seen.Moved(box.Min.Sub(seen.Box().Min)), "read from behind")
	unmirrored := all(text).And(here).Area()
	require.Less(t, unmirrored, 0.8*all(text).Area(), "from the front it is mirrored")
}

// What belongs together is seen from behind as it was drawn, as a whole: a mark left of its text is left of it, and lines of text
// begin below each other. What was drawn as it reads from behind stays as it is.
func TestPrintTurnsTogether(t *testing.T) {
	group := []legend.Item{filled(20, 30, 24, 34), written("Ridge", 25, 31, 3), written("desk", 25, 26, 3)}
	var whole geom.Region
	for _, q := range group {
		whole = append(whole, all(q)...)
	}
	b, fig := legend.Print(t.Context(), bench(), legend.Options{Items: [2][]legend.Item{nil, group}})
	require.Empty(t, fig.Told)
	got := inkOf(b, geom.Bottom)
	require.InDelta(t, whole.Box().Min.X.MM(), got.Box().Min.X.MM(), 0.01)
	seen := fromBehind(got)
	same(t, whole, seen.Moved(whole.Box().Min.Sub(seen.Box().Min)), "the group")

	behind := written("Ridge", 25, 31, 3)
	behind.Behind = true
	mark := filled(20, 30, 24, 34)
	b, _ = legend.Print(t.Context(), bench(), legend.Options{Items: [2][]legend.Item{nil, {mark, behind}}})
	same(t, append(all(mark), all(behind)...), inkOf(b, geom.Bottom), "drawn as it reads from behind")
}

// A filled ground over whole boards is cut clear of all that must be free: the prover finds nothing, no sliver is left, and the
// marks of every part stand in a clearing of their own. All parts keep their names.
func TestPrintKeepsClear(t *testing.T) {
	for seed := range uint64(4) {
		what := fmt.Sprintf("seed %d", seed)
		p := boardtest.Panel(seed, 10+int(seed)*12)
		bare := made(t, p)
		plain, before := legend.Print(t.Context(), bare, words())
		box := bare.Outline.Box()
		ground := legend.Item{Parts: []geom.Region{geom.NewRegion(geom.Rect(box.Grown(geom.MM(5))).Ring(1))}}
		b, fig := legend.Print(t.Context(), bare, legend.Options{Name: "focus desk", Items: [2][]legend.Item{{ground}, {ground}}})
		require.Equal(t, before.Skipped, fig.Skipped, what)
		require.NotEmpty(t, plain.Legend)
		found, _ := check.Sound(t.Context(), b)
		for _, f := range found {
			require.False(t, strings.HasPrefix(f.Code, "check-legend") || strings.HasPrefix(f.Code, "check-print"), "%s: %v", what, f)
		}
		for _, side := range geom.BothSides() {
			ink := inkOf(b, side)
			require.Greater(t, ink.Area(), 0.3*b.Material().Area(), what)
			require.Less(t, ink.Area()-ink.Opened(b.Rules.LegendWidth/2-geom.Micrometre).Area(), 1e-3*ink.Area(), "%s: slivers", what)
			for _, q := range b.Parts {
				if q.On == side {
					require.Less(t, ink.And(geom.NewRegion(q.Courtyard)).Area(), 1e-3, "%s: ink on the place of %s", what, q.Ref)
				}
			}
			for _, s := range b.Legend {
				for _, g := range s.Path.Segments() {
					if s.On == side {
						gap := ink.DistTo(g.A) - float64(s.Width)/2
						require.Greater(t, gap, float64(b.Rules.LegendWidth), "%s: ink beside a line of the board's own", what)
					}
				}
			}
		}
	}
}

// Each letter that is cut is counted, and told with what is in its way and where; a letter that loses nothing is whole.
func TestCutLettersAreTold(t *testing.T) {
	b := bench()
	text := written("III", 40, 30, 6)
	at := text.Parts[1].Box().Centre()
	b.Holes = []board.Hole{{At: at, D: geom.MM(0.8), What: board.StrainRelief}}
	out, fig := legend.Print(t.Context(), b, legend.Options{Items: [2][]legend.Item{{text}}})
	require.Len(t, fig.Told, 1)
	f := fig.Told[0]
	require.Equal(t, "print-cut", f.Code)
	require.Equal(t, diag.Warning, f.Severity)
	require.Equal(t, `1 of 3 letters of "III" are cut on the board's LED side by a hole`, f.Text)
	require.Equal(t, &diag.Point{X: at.X.MM(), Y: at.Y.MM()}, f.Place.At)
	ink := inkOf(out, geom.Top)
	for _, i := range []int{0, 2} {
		require.InDelta(t, text.Parts[i].Area(), ink.And(text.Parts[i]).Area(), 0.01*text.Parts[i].Area())
	}
	require.Less(t, ink.And(text.Parts[1]).Area(), 0.9*text.Parts[1].Area())

	_, fig = legend.Print(t.Context(), bench(), legend.Options{Items: [2][]legend.Item{{written("off", 200, 30, 4)}, {filled(0, 20, 0.1, 40)}}})
	require.Len(t, fig.Told, 2)
	require.Equal(t, []string{"print-lost", "print-too-fine"}, []string{fig.Told[0].Code, fig.Told[1].Code})
}

// A text without a place gets one, the largest of its sizes that fits, clear of everything, on the back to be read from behind; where
// none fits that is told. What print says, the title does not say again.
func TestPrintFindsRoom(t *testing.T) {
	free := legend.Item{Text: "Ridge observatory", Height: geom.MM(3), Sizes: [][]geom.Region{written("Ridge observatory", 0, 0, 20).Parts, written("Ridge observatory", 0, 0, 3).Parts}}
	b := bench()
	b.Parts = []board.Part{placed(t, b, "radial-3mm", "D1", board.LED, geom.PtMM(45, 8), 0, geom.Top)}
	o := words()
	o.Items = [2][]legend.Item{{free}, {free}}
	o.Given = [2]legend.Given{{Name: true}, {Revision: true}}
	out, fig := legend.Print(t.Context(), b, o)
	require.Empty(t, fig.Told)
	small := geom.Region{}
	for _, g := range free.Sizes[1] {
		small = append(small, g...)
	}
	top, bottom := inkOf(out, geom.Top), fromBehind(inkOf(out, geom.Bottom))
	same(t, small, top.Moved(small.Box().Min.Sub(top.Box().Min)), "LED side")
	same(t, small, bottom.Moved(small.Box().Min.Sub(bottom.Box().Min)), "back")
	require.Empty(t, legend.Find(out, geom.Top, "focus desk"))
	require.NotEmpty(t, legend.Find(out, geom.Bottom, "focus desk"))
	require.Empty(t, legend.Find(out, geom.Bottom, "Rev A"))
	require.NotEmpty(t, legend.Find(out, geom.Bottom, "2026-11-25"))

	free.Sizes = free.Sizes[:1]
	out, fig = legend.Print(t.Context(), b, legend.Options{Items: [2][]legend.Item{{free}, nil}})
	require.Len(t, fig.Told, 1)
	require.Equal(t, "print-no-room", fig.Told[0].Code)
	require.Empty(t, out.Ink)
}
