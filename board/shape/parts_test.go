package shape_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

// row is LEDs at those places along a line across the panel's middle, 30 mm up.
func row(xs ...float64) (out []panel.Hole) {
	for _, x := range xs {
		out = append(out, lamp(x, 30))
	}
	return out
}

// upright is LEDs at those heights, 30 mm from the left.
func upright(ys ...float64) (out []panel.Hole) {
	for _, y := range ys {
		out = append(out, lamp(30, y))
	}
	return out
}

// every is n places from the first at one pitch.
func every(first, pitch float64, n int) (out []float64) {
	for i := range n {
		out = append(out, first+pitch*float64(i))
	}
	return out
}

// Boards that can be worked out by hand: 1 mm from the panel's edge, 1 mm from openings and bodies, 2 mm between two boards
// that were cut apart in the middle between two LEDs, and no more of them than must be.
func TestParts(t *testing.T) {
	type part struct {
		name string
		leds int
		box  geom.Box // of its board, in the panel
	}
	box := func(x0, y0, x1, y1 float64) geom.Box { return geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1)) }
	long := func(w float64, leds []panel.Hole, edit func(*panel.Panel)) panel.Panel {
		p := panel.Panel{Name: "long", Outline: rect(0, 0, w, 60), LEDs: leds}
		if edit != nil {
			edit(&p)
		}
		return p
	}
	edge := func(x0, x1 float64) panel.Edge { return panel.Edge{rect(x0, 5, x1, 55)} }
	most := func(mm float64) func(*board.Rules) { return func(r *board.Rules) { r.LongestBoard = geom.MM(mm) } }
	for _, c := range []struct {
		name  string
		panel panel.Panel
		rules func(*board.Rules)
		parts []part
		want  string // codes of findings
	}{
		{"what is made is long enough", long(500, row(30, 470), nil), nil, []part{{"long", 2, box(1, 1, 499, 59)}}, ""},
		// LEDs every 90 mm from 45 on: five and five are most even; the cut is at 450, between those at 405 and 495.
		{"longer than is made", long(900, row(every(45, 90, 10)...), nil), nil,
			[]part{{"long-a", 5, box(1, 1, 449, 59)}, {"long-b", 5, box(451, 1, 899, 59)}}, "note shape-boards"},
		// The same LEDs: stretches of 360 mm, of which boards of 400 mm reach as far beyond to each side.
		{"no longer than is made, round its LEDs", long(900, row(every(45, 90, 10)...), nil), most(400),
			[]part{{"long-a", 5, box(25, 1, 425, 59)}, {"long-b", 5, box(475, 1, 875, 59)}}, "note shape-boards"},
		// Four LEDs reach over 300 mm and more: three each. Cuts at 300 and 600.
		{"three that are shorter yet", long(900, row(every(50, 100, 9)...), nil), most(300),
			[]part{{"long-a", 3, box(1, 1, 299, 59)}, {"long-b", 3, box(301, 1, 599, 59)}, {"long-c", 3, box(601, 1, 899, 59)}}, "note shape-boards"},
		{"all LEDs within reach of one", long(900, row(100, 300), nil), nil, []part{{"long", 2, box(1, 1, 501, 59)}}, "note shape-board-short"},
		// Above and below it no board is left.
		{"an opening across", long(300, row(30, 70, 110, 250), func(p *panel.Panel) { p.Openings = []panel.Opening{opening(rect(140, 1, 160, 59))} }), nil,
			[]part{{"long-a", 3, box(1, 1, 139, 59)}, {"long-b", 1, box(161, 1, 299, 59)}}, "note shape-boards"},
		{"a body across", long(300, row(30, 190, 230, 270), func(p *panel.Panel) { p.Bodies = []geom.Contour{rect(130, 1, 170, 59)} }), nil,
			[]part{{"long-a", 1, box(1, 1, 129, 59)}, {"long-b", 3, box(171, 1, 299, 59)}}, "note shape-boards"},
		// 8 mm beside the opening carry the board past it.
		{"an opening with room beside it", long(300, row(30, 270), func(p *panel.Panel) { p.Openings = []panel.Opening{opening(rect(140, 10, 160, 58))} }), nil,
			[]part{{"long", 2, box(1, 1, 299, 59)}}, ""},
		{"nothing lit beyond the opening", long(300, row(30, 110), func(p *panel.Panel) { p.Openings = []panel.Opening{opening(rect(140, 1, 160, 59))} }), nil,
			[]part{{"long", 2, box(1, 1, 139, 59)}}, ""},
		// Left of the body 588 mm, and the LEDs 500 mm apart: cut again, at 300. Right of it 188 mm.
		{"a body across, and what is left longer than is made", long(800, row(50, 150, 450, 550, 700), func(p *panel.Panel) { p.Bodies = []geom.Contour{rect(590, 1, 610, 59)} }), nil,
			[]part{{"long-a", 2, box(1, 1, 299, 59)}, {"long-b", 2, box(301, 1, 589, 59)}, {"long-c", 1, box(611, 1, 799, 59)}}, "note shape-boards"},
		{"from top to bottom", panel.Panel{Name: "long", Outline: rect(0, 0, 60, 900), LEDs: upright(100, 200, 700)}, nil,
			[]part{{"long-a", 1, box(1, 451, 59, 899)}, {"long-b", 2, box(1, 1, 59, 449)}}, "note shape-boards"},
		// From left to right, however they are drawn; where a board is drawn, how long it may be is its drawer's own affair.
		{"as they are drawn", long(300, row(30, 110, 190), func(p *panel.Panel) { p.Boards = []panel.Edge{edge(160, 295), edge(5, 140)} }), most(100),
			[]part{{"long-a", 2, box(5, 5, 140, 55)}, {"long-b", 1, box(160, 5, 295, 55)}}, "note shape-boards"},
		{"one of those drawn has no LED", long(300, row(30, 110), func(p *panel.Panel) { p.Boards = []panel.Edge{edge(5, 140), edge(160, 295)} }), nil,
			[]part{{"long", 2, box(5, 5, 140, 55)}}, "warning shape-dark-board"},
		// 28 LEDs, no two of which go on one board.
		{"more than letters", long(2800, row(every(50, 100, 28)...), nil), most(100), []part{{"long", 28, box(1, 1, 2799, 59)}}, "error shape-many-boards"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := board.UsualRules()
			if c.rules != nil {
				c.rules(&r)
			}
			parts, l := shape.Parts(c.panel, r)
			paneltest.Subjects(t, l)
			require.Equal(t, c.want, codes(l))
			var got []part
			seen := map[int]bool{}
			for _, q := range parts {
				b, _ := shape.Derive(q.Panel, led.Wiring{}, r, board.FloorsOf(r, nil), board.UsualLaminate())
				got = append(got, part{q.Name, len(q.LEDs), b.Outline.Box()})
				require.Equal(t, "long", q.Of)
				require.Len(t, q.Panel.LEDs, len(q.LEDs))
				for i, k := range q.LEDs {
					require.False(t, seen[k], "an LED on two boards")
					seen[k] = true
					require.Equal(t, c.panel.LEDs[k], q.Panel.LEDs[i])
				}
			}
			require.Len(t, seen, len(c.panel.LEDs), "every LED is on a board")
			require.Len(t, got, len(c.parts), "%v", got)
			for i, w := range c.parts {
				g := got[i]
				require.Equal(t, w.name, g.name)
				require.Equal(t, w.leds, g.leds, w.name)
				for _, d := range []geom.Nm{g.box.Min.X - w.box.Min.X, g.box.Min.Y - w.box.Min.Y, g.box.Max.X - w.box.Max.X, g.box.Max.Y - w.box.Max.Y} {
					require.InDelta(t, 0, d.MM(), 0.01, "%s: %v, not %v", w.name, g.box, w.box)
				}
			}
		})
	}
}
