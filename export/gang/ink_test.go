package gang_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/gang"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// broken is what silkscreen keeps off in a written array: perforation as discs of 0.5 mm, scored lines as grooves of 0.4 mm.
func broken(a export.Artwork) geom.Region {
	var rings []geom.Ring
	for _, d := range a.Drills {
		for _, h := range d.Hits {
			if d.Tools[h.Tool].Function == "MechanicalDrill,Breakout" {
				rings = append(rings, geom.Circle(h.At, d.Tools[h.Tool].D).Ring(geom.Micrometre))
			}
		}
	}
	v, _ := a.Layer(export.Vcut)
	for _, s := range v.Objects {
		rings = append(rings, geom.NewRegion(geom.Rect(geom.BoxOf(s.From, s.To).Grown(geom.MM(0.2))).Ring(1)).Rings()...)
	}
	return geom.UnionOf(rings...)
}

func silkscreen(a export.Artwork) geom.Region {
	var all geom.Region
	for _, f := range []export.Function{export.SilkscreenTop, export.SilkscreenBottom} {
		l, _ := a.Layer(f)
		all = all.Or(readback.Image(l))
	}
	return all
}

// lined puts two frames of silkscreen into a board, 0.35 mm and 1.5 mm within its edge, so that wherever a tab or a score lies, it
// meets the outer one, and the inner one is met by none.
func lined(p gang.Piece, box geom.Box) gang.Piece {
	for i := range p.Art.Layers {
		l := &p.Art.Layers[i]
		if l.Function != export.SilkscreenTop {
			continue
		}
		l.Apertures = append(l.Apertures, export.Aperture{Shape: export.Circle, W: geom.MM(0.2), H: geom.MM(0.2)})
		for _, in := range []float64{0.35, 1.5} {
			for _, e := range geom.Rect(box.Grown(-geom.MM(in))).Edges() {
				l.Objects = append(l.Objects, export.Object{Op: export.Draw, Aperture: len(l.Apertures) - 1, From: e.From, To: e.To})
			}
		}
	}
	return p
}

// framed puts an area of silkscreen into a board: a frame 3 mm wide along its edge, and a bar of 0.15 mm across it, which no hole
// comes near.
func framed(p gang.Piece, box geom.Box) gang.Piece {
	frame := geom.Polygon{Outer: geom.Rect(box.Grown(-geom.MM(0.25))).Ring(1), Holes: []geom.Ring{geom.Rect(box.Grown(-geom.MM(3))).Ring(1).Reversed()}}
	c := box.Centre()
	bar := geom.Rect(geom.Box{Min: c, Max: c.Add(geom.Vec{X: geom.MM(5), Y: geom.MM(0.15)})}).Ring(1)
	for i := range p.Art.Layers {
		if l := &p.Art.Layers[i]; l.Function == export.SilkscreenTop {
			l.Objects = append(export.Inked(frame), export.Inked(geom.Polygon{Outer: bar})...)
		}
	}
	return p
}

// Silkscreen keeps its way to what is drilled or scored, and what lies farther off is the board's own to the last stroke.
func TestSilkscreenKeepsOffWhatBreaks(t *testing.T) {
	desk, grid := exporttest.Desk(), exporttest.Grid(12)
	desk.Outline, desk.Cutouts = geom.Rect(desk.Outline.Box()), nil
	for _, c := range []struct {
		name   string
		cut    gang.Cut
		pieces []gang.Piece
		loses  bool
	}{
		{"tabs", gang.Tabs, []gang.Piece{lined(piece(desk, 3), desk.Outline.Box())}, true},
		{"scored", gang.Vcuts, []gang.Piece{lined(piece(grid, 4), grid.Outline.Box())}, true},
		{"areas, tabs", gang.Tabs, []gang.Piece{framed(piece(desk, 3), desk.Outline.Box())}, true},
		{"areas, scored", gang.Vcuts, []gang.Piece{framed(piece(grid, 4), grid.Outline.Box())}, true},
		{"real", gang.Tabs, []gang.Piece{piece(real(t, 0, 8), 2), piece(real(t, 1, 12), 1)}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := options()
			o.Cut = c.cut
			plan, l := gang.Make(t.Context(), c.pieces, o)
			require.False(t, l.HasErrors(), "%v", l)
			prove(t, plan, c.pieces)
			clear := c.pieces[0].InkClear
			off := broken(plan.Art)
			require.NotEmpty(t, off)
			// Half a micrometre for strokes that end on a circle and lie on a lattice.
			near := silkscreen(plan.Art).And(off.Grown(clear - 2*geom.Micrometre))
			require.Less(t, near.Area(), 1e-5, "silkscreen within %v of what is broken", clear)
			// What the boards lost: all of it lies round what is broken, a stroke's width farther at most.
			lost := 0.0
			for i := range plan.Boards {
				b := plan.Boards[i]
				whole, left := silkscreen(c.pieces[b.Piece].Art), silkscreen(plan.Expected(i))
				require.Less(t, left.Minus(whole).Area(), 1e-4, "nothing is added")
				lost += whole.Minus(left).Area()
			}
			require.Equal(t, c.loses, lost > 0.1, "%.3f mm²", lost)
			if c.cut == gang.Tabs && c.loses && c.name == "tabs" {
				// The outer frame is cut at tabs alone, the inner one nowhere: 7 mm for each row of holes is ample.
				rows := 0
				for _, tab := range plan.Tabs {
					if rows++; tab.Other >= 0 {
						rows++
					}
				}
				require.Less(t, lost, float64(rows)*7*0.2)
			}
		})
	}
}

// A board that has one straight side, beside another board, and is round else, hangs on tabs on all sides: through its middle goes
// no line with all of them on one side.
func TestRoundBoardsAreHeldAllRound(t *testing.T) {
	b := exporttest.Desk()
	b.Cutouts = nil
	// A disc of 120 mm, cut straight on the right.
	b.Outline = geom.Contour{{Pt: geom.PtMM(100, 10), Bulge: 0}, {Pt: geom.PtMM(100, 110), Bulge: math.Tan((2*math.Pi - 2*math.Asin(50.0/60)) / 8)}, {Pt: geom.PtMM(100-60-math.Sqrt(1100), 60), Bulge: math.Tan((2*math.Pi - 2*math.Asin(50.0/60)) / 8)}}.CounterClockwise()
	flat := exporttest.Desk()
	flat.Outline, flat.Cutouts = geom.Rect(geom.Box{Max: geom.PtMM(60, 120)}), nil
	flat.Name = "flat"
	plan, l := gang.Make(t.Context(), []gang.Piece{piece(b, 1), piece(flat, 1)}, options())
	require.False(t, l.HasErrors(), "%v", l)
	for i, q := range plan.Boards {
		if q.Piece != 0 {
			continue
		}
		c := q.Box.Centre()
		var at []geom.Vec
		for _, tab := range plan.Tabs {
			if tab.Board == i {
				at = append(at, tab.At.Sub(c))
			}
			if tab.Other == i {
				at = append(at, tab.Far().Sub(c))
			}
		}
		for _, a := range at {
			left, right := 0, 0
			for _, o := range at {
				switch turn := a.Cross(o); {
				case turn > 0:
					left++
				case turn < 0:
					right++
				}
			}
			require.NotZero(t, left, "%v", at)
			require.NotZero(t, right, "%v", at)
		}
	}
}

// A tab is moved to where it cuts no silkscreen: a word at the edge keeps its letters.
func TestTabsAvoidWords(t *testing.T) {
	b := exporttest.Desk()
	b.Outline, b.Cutouts = geom.Rect(geom.Box{Max: geom.PtMM(60, 40)}), nil
	bare := piece(b, 1)
	plan, l := gang.Make(t.Context(), []gang.Piece{bare}, options())
	require.Empty(t, l)
	// Strokes where the tabs would be.
	box := plan.Boards[0].Box
	marked := piece(b, 1)
	n := 0
	for i := range marked.Art.Layers {
		layer := &marked.Art.Layers[i]
		if layer.Function != export.SilkscreenTop {
			continue
		}
		layer.Apertures = append(layer.Apertures, export.Aperture{Shape: export.Circle, W: geom.MM(0.2), H: geom.MM(0.2)})
		for _, tab := range plan.Tabs {
			if plan.Boards[0].Turn != 0 {
				t.Skip("the board lies turned")
			}
			at := tab.At.Sub(box.Min)
			q := geom.Pt{X: at.X - geom.Nm(tab.X*3e5), Y: at.Y - geom.Nm(tab.Y*3e5)}
			along := geom.Vec{X: geom.Nm(-tab.Y * 2e6), Y: geom.Nm(tab.X * 2e6)}
			layer.Objects = append(layer.Objects, export.Object{Op: export.Draw, Aperture: len(layer.Apertures) - 1, From: q.Add(along.Neg()), To: q.Add(along)})
			n++
		}
	}
	require.GreaterOrEqual(t, n, 3)
	moved, l := gang.Make(t.Context(), []gang.Piece{marked}, options())
	require.Empty(t, l)
	require.Len(t, moved.Tabs, len(plan.Tabs))
	require.NotEqual(t, plan.Tabs, moved.Tabs)
	want, _ := marked.Art.Layer(export.SilkscreenTop)
	got, _ := moved.Expected(0).Layer(export.SilkscreenTop)
	require.Equal(t, want.Objects, got.Objects, "no stroke is cut")
}
