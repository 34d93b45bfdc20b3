package picture

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/board/footprint"
	"lampblack/board/height"
	"lampblack/export/scene"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// sideways is a side view of a panel with a terminal block, an LED and a screw.
func sideways(t *testing.T, wide float64) SideView {
	t.Helper()
	mm := geom.MM
	place := func(ref, name string, kind board.Kind, x float64, on geom.Side) board.Part {
		fp, ok := footprint.Lookup(name)
		require.True(t, ok)
		return fp.Place(ref, kind, geom.PtMM(x, 20), 0, on, 0)
	}
	outline := geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(wide, 40)))
	b := board.Board{Name: "mist", Outline: outline, Laminate: board.Laminate{Thickness: mm(1.6)}, Parts: []board.Part{
		place("D1", "radial-3mm", board.LED, 20, geom.Top), place("J1", "terminal-3.5", board.Connector, 40, geom.Bottom),
	}}
	in := height.In{
		Panel: panel.Panel{Name: "mist", Outline: outline}, Boards: []board.Board{b},
		Mounts: []fasten.Mount{{At: geom.PtMM(10, 20), D: mm(3.2), Thread: "M3", Screw: mm(30), Out: mm(8.4), Board: "mist"}},
		Stack:  fasten.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), Sheet: mm(3)},
	}
	face := height.Solid{Name: "face", To: mm(3), Edge: outline, Holes: []geom.Contour{geom.Circle(geom.PtMM(10, 20), mm(3.2))}}
	leds := height.Solid{Name: "LED sheet", From: mm(14), To: mm(17), Edge: outline}
	return SideView{Panel: in.Panel, Boards: in.Boards, Cut: in.Across([]height.Solid{face, leds}, height.Line{A: geom.PtMM(0, 20), B: geom.PtMM(wide, 20)}), Behind: mm(21.6)}
}

// said returns all that is written on a page.
func said(g *scene.Group) []string {
	var out []string
	for _, item := range g.Items {
		switch it := item.(type) {
		case *scene.Group:
			out = append(out, said(it)...)
		case *scene.Glyphs:
			out = append(out, it.Text)
		}
	}
	return out
}

// The view is to scale, says what lies behind what, how deep the whole is and by what, and names what is cut.
func TestSideView(t *testing.T) {
	v := sideways(t, 60)
	page := sidePage(nil, v, false)
	words := said(&page.Body)
	for _, want := range []string{"face 3", "air 11", "LED sheet 3", "air 3", "board 1.6", "30.4 mm deep:", "J1, terminal-3.5", "8.8 behind the board", "2.4 before", "screw M3 x 30", "D1", "A", "B"} {
		require.Contains(t, words, want)
	}
	require.Contains(t, words, "cut along A–B, 60 mm long, drawn 2.5 : 1, the front up")
	var block *scene.Path
	var walk func(g *scene.Group)
	walk = func(g *scene.Group) {
		for _, item := range g.Items {
			switch it := item.(type) {
			case *scene.Group:
				walk(it)
			case *scene.Path:
				if it.Label == "J1: body" {
					block = it
				}
			}
		}
	}
	walk(&page.Body)
	require.NotNil(t, block)
	box := block.Shapes[0].Box()
	require.InDelta(t, 2.5*7.0, box.W().MM(), 0.01, "7 mm wide")
	require.InDelta(t, 2.5*8.8, box.H().MM(), 0.01, "8.8 mm high")

	v.Told = geom.MM(45)
	page = sidePage(nil, v, true)
	require.Contains(t, said(&page.Body), "case, 45 deep")
	require.Equal(t, []geom.Nm{a4Wide, a4High}, []geom.Nm{page.W, page.H}, "A4")
}

// Two boards of a panel have parts of one name: each is named.
func TestSideViewOfTwoBoards(t *testing.T) {
	s := side{drawing: newDrawing(nil, 0, 0, ""), f: scene.Frame{}}
	lens := func(board string, x float64) height.Slice {
		return height.Slice{Piece: height.Piece{Whose: height.LED, What: height.Lens, Of: "D1", Board: board}, Along: height.Range{From: geom.MM(x), To: geom.MM(x + 3)}}
	}
	flange := lens("long-a", 10)
	flange.What = height.Flange
	require.Len(t, s.notes([]height.Slice{lens("long-a", 10), flange, lens("long-b", 90)}), 2)
}

// Names below the view cover neither each other nor each other's lines, and distances keep apart, however dense things stand.
func TestSideViewWords(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 3))
		s := side{drawing: newDrawing(nil, 0, 0, ""), f: scene.Frame{}}
		var cut []height.Slice
		for range 1 + r.IntN(12) {
			x := geom.Nm(r.Int64N(int64(80 * geom.Millimetre)))
			cut = append(cut, height.Slice{Piece: height.Piece{Whose: height.Control, Of: "toggle-m12", What: "body"}, Along: height.Range{From: x, To: x + geom.Millimetre}})
		}
		notes := s.notes(cut)
		for i, a := range notes {
			end := a.along + s.Wide(a.says, textHeight)
			for k, b := range notes {
				switch {
				case i == k:
				case a.row == b.row:
					require.False(t, a.along <= b.along && b.along < end, "seed %d: words over words", seed)
				case b.row > a.row:
					require.False(t, a.along <= b.along && b.along < end, "seed %d: a line through words", seed)
				}
			}
		}
		var want []geom.Nm
		for range 1 + r.IntN(9) {
			want = append(want, geom.Nm(r.Int64N(int64(20*geom.Millimetre))))
		}
		slices.Sort(want)
		rows := apart(want, lineStep)
		for i := 1; i < len(rows); i++ {
			require.GreaterOrEqual(t, rows[i]-rows[i-1], lineStep-2, "seed %d: %v", seed, rows)
		}
	}
	require.Equal(t, []geom.Nm{0, 10, 100}, apart([]geom.Nm{5, 5, 100}, 10), "about their middle")
}
