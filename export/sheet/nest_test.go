package sheet

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/nest"
	"lampblack/export/nest/prove"
	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// laid lays sheets on stock and returns it with where the proof is told that they lie.
func laid(t *testing.T, s nest.Stock, turns nest.Turns, sheets ...Sheet) (Nest, []prove.Piece) {
	t.Helper()
	var parts []nest.Part
	for _, q := range sheets {
		parts = append(parts, nest.Part{Shape: q.Shape(t.Context()), Turns: turns})
	}
	l := nest.Arrange(nil, parts, s, 100)
	require.Equal(t, 1, l.Sheets)
	require.Empty(t, l.Left)
	n := Nest{Title: "desk", W: s.W, H: s.H}
	var pieces []prove.Piece
	for i, p := range l.Placed {
		one := Laid{Sheet: sheets[i], Quarters: p.Quarters, By: p.By}
		n.Laid = append(n.Laid, one)
		box := geom.EmptyBox()
		for _, c := range one.Outer() {
			box = box.Union(c.Box())
		}
		pieces = append(pieces, prove.Piece{Name: sheets[i].Of(), Sheet: i, Turn: 90 * p.Quarters, At: box.Min})
	}
	return n, pieces
}

// told is what the proof says of the nest as it is written.
func told(t *testing.T, s nest.Stock, n Nest, pieces []prove.Piece) []string {
	t.Helper()
	src, err := n.DXF(t.Context())
	require.NoError(t, err)
	var single [][]byte
	for _, l := range n.Laid {
		one, err := l.Sheet.DXF(t.Context())
		require.NoError(t, err)
		single = append(single, one)
	}
	var out []string
	for _, f := range prove.Nest(t.Context(), prove.Stock{W: s.W, H: s.H, Gap: s.Gap, Edge: s.Edge}, src, single, pieces) {
		out = append(out, f.Text)
	}
	return out
}

// frame is a panel with a window in which others find room.
func frame() panel.Panel {
	p := panel.Panel{Name: "frame", Outline: geom.Rect(geom.Box{Max: geom.PtMM(160, 110)})}
	p.Openings = []panel.Opening{{Contour: geom.Rect(geom.Box{Min: geom.PtMM(10, 10), Max: geom.PtMM(150, 100)})},
		{Contour: geom.Circle(geom.PtMM(5, 5), geom.MM(3))}}
	return p
}

// What is written of a nest, DXF and SVG alike, is what the single sheets have, each turned and in its place, of a face with paint on its
// back turned over; in R2000 and R12.
func TestNestAsWritten(t *testing.T) {
	s := nest.Stock{W: geom.MM(330), H: geom.MM(116), Gap: geom.MM(2), Edge: geom.MM(2)}
	for _, release := range []dxf.Release{dxf.R2000, dxf.R12} {
		opt := Options{Kerf: geom.MM(0.2), Laser: UsualLaser()}
		opt.Laser.Release = release
		behind := opt
		behind.Behind = true
		n, pieces := laid(t, s, nest.AnyQuarter, Face(t.Context(), frame(), nil, opt), Face(t.Context(), desk(), nil, opt), Face(t.Context(), desk(), nil, behind))
		require.Empty(t, told(t, s, n, pieces))

		d := read(t, n.SVG(t.Context()))
		require.Equal(t, 330.0, d.w)
		require.Equal(t, 116.0, d.h)
		require.Equal(t, []string{"1-engrave", "2-cut-inner", "3-cut-outer"}, d.order)
		src, err := n.DXF(t.Context())
		require.NoError(t, err)
		back, _ := dxf.Read(t.Context(), src, "nest.dxf")
		var cuts []geom.Contour
		for _, e := range back.Entities {
			if e.Layer != "1-engrave" {
				var c geom.Contour
				for _, v := range e.Path.Vertices {
					c = append(c, geom.Vertex{Pt: geom.PtMM(v.X, v.Y), Bulge: v.Bulge})
				}
				cuts = append(cuts, c)
			}
		}
		drawn := append(d.groups["2-cut-inner"], d.groups["3-cut-outer"]...)
		require.Len(t, drawn, len(cuts))
		for i, c := range cuts {
			require.InDelta(t, c.Box().Min.X.MM(), drawn[i].Box().Min.X.MM(), 1e-3)
			require.InDelta(t, c.Box().Max.Y.MM(), drawn[i].Box().Max.Y.MM(), 1e-3)
			require.InDelta(t, c.Area(), drawn[i].Area(), 2e-3)
		}
		require.InDelta(t, 2*read(t, Face(t.Context(), desk(), nil, opt).SVG(t.Context())).area("1-engrave"), d.area("1-engrave"), 0.02)
	}
}

// A piece in a window is cut out before the window is, which would let it drop.
func TestNestFromWithin(t *testing.T) {
	s := nest.Stock{W: geom.MM(164.4), H: geom.MM(114.4), Gap: geom.MM(2), Edge: geom.MM(2)}
	opt := Options{Kerf: geom.MM(0.2)}
	n, pieces := laid(t, s, nest.AsDrawn, LED(t.Context(), frame(), opt), LED(t.Context(), desk(), opt))
	require.Empty(t, told(t, s, n, pieces))
	d := read(t, n.SVG(t.Context()))
	outer := d.groups["3-cut-outer"]
	require.Len(t, outer, 3)
	for i, w := range []float64{100.2, 139.8, 160.2} { // the desk's edge, the window, the frame's edge
		require.InDelta(t, w, outer[i].Box().W().MM(), 2e-3)
	}
	require.Len(t, d.groups["2-cut-inner"], 1+2+2+3)

	// Cut as single sheets are, inner cuts first, it would drop: the proof says so.
	src, err := n.DXF(t.Context())
	require.NoError(t, err)
	back, _ := dxf.Read(t.Context(), src, "nest.dxf")
	for i, e := range back.Entities {
		if math.Abs(e.Path.Box().W()-139.8) < 0.01 {
			back.Entities[i].Layer = "2-cut-inner"
		}
	}
	src, err = dxf.Write(dxf.Drawing{Units: back.Units, Entities: back.Entities}, dxf.Options{})
	require.NoError(t, err)
	var single [][]byte
	for _, l := range n.Laid {
		one, _ := l.Sheet.DXF(t.Context())
		single = append(single, one)
	}
	l := prove.Nest(t.Context(), prove.Stock{W: s.W, H: s.H, Gap: s.Gap, Edge: s.Edge}, src, single, pieces)
	require.Len(t, l, 1)
	require.Contains(t, l[0].Text, "is made before what lies in it is cut")
}

// Lettering that reaches beyond its panel, or over a window, is not engraved on the pieces there.
func TestNestEngravesNoNeighbour(t *testing.T) {
	p := desk()
	p.Lettering = append(p.Lettering, panel.Text{Text: "EDGE", At: geom.PtMM(93, 9), Height: geom.MM(4), Width: 1},
		panel.Text{Text: "OVER", At: geom.PtMM(28, 28), Height: geom.MM(4), Width: 1})
	s := nest.Stock{W: geom.MM(210), H: geom.MM(64), Gap: geom.MM(2)}
	n, pieces := laid(t, s, nest.AsDrawn, Face(t.Context(), p, nil, Options{}), Face(t.Context(), desk(), nil, Options{}))
	require.Empty(t, told(t, s, n, pieces))
	whole := read(t, Face(t.Context(), p, nil, Options{}).SVG(t.Context()))
	right := geom.Nm(0)
	for _, c := range whole.groups["1-engrave"] {
		right = max(right, c.Box().Max.X)
	}
	require.Greater(t, right.MM(), 104.0, "beyond the edge of the panel, on its own sheet")
	for _, c := range read(t, n.SVG(t.Context())).groups["1-engrave"] {
		for _, l := range n.Laid {
			for _, gap := range l.Inner() {
				require.Empty(t, geom.NewRegion(c.Ring(1000)).And(geom.NewRegion(gap.Ring(1000)).Shrunk(2000)))
			}
		}
		require.False(t, c.Box().Min.X < geom.MM(100.5) && c.Box().Max.X > geom.MM(101.5), "across the gap")
	}
}

// What is wrong with a nest is told: a piece elsewhere, turned otherwise, too near to another one or to the edge, a cut or
// engraving too many, one too few.
func TestProofOfNests(t *testing.T) {
	s := nest.Stock{W: geom.MM(210), H: geom.MM(64), Gap: geom.MM(2), Edge: geom.MM(1)}
	at := []geom.Vec{{X: geom.MM(1), Y: geom.MM(2)}, {X: geom.MM(103), Y: geom.MM(2)}}
	good := func() (Nest, []prove.Piece) {
		n := Nest{W: s.W, H: s.H}
		var pieces []prove.Piece
		for i, by := range at {
			n.Laid = append(n.Laid, Laid{Sheet: Face(t.Context(), desk(), nil, Options{}), By: by})
			pieces = append(pieces, prove.Piece{Name: "desk", Sheet: i, At: geom.Pt{}.Add(by)})
		}
		return n, pieces
	}
	n, pieces := good()
	require.Empty(t, told(t, s, n, pieces))
	for name, c := range map[string]struct {
		spoil func(*Nest, []prove.Piece)
		want  string
	}{
		"moved": {func(n *Nest, _ []prove.Piece) { n.Laid[1].By.X += geom.MM(0.01) }, "are not where it lies"},
		"turned": {func(n *Nest, p []prove.Piece) {
			n.Laid[1].Quarters, n.Laid[1].By = 2, geom.Vec{X: geom.MM(203), Y: geom.MM(62)}
		}, "are not where it lies"},
		"too near":     {func(n *Nest, p []prove.Piece) { n.Laid[1].By.X -= geom.MM(0.01); p[1].At.X -= geom.MM(0.01) }, "1.990 mm from each other"},
		"over it":      {func(n *Nest, p []prove.Piece) { n.Laid[1].By.X -= geom.MM(50); p[1].At.X -= geom.MM(50) }, "0.000 mm from each other"},
		"off":          {func(n *Nest, p []prove.Piece) { n.Laid[0].By.X -= geom.MM(0.01); p[0].At.X -= geom.MM(0.01) }, "too near to the stock's edge"},
		"one too many": {func(n *Nest, _ []prove.Piece) { n.Laid = append(n.Laid, n.Laid[0]) }, "belongs to no piece"},
		"a hole less":  {func(n *Nest, _ []prove.Piece) { n.Laid[0].Sheet.cut.inner = n.Laid[0].Sheet.cut.inner[1:] }, ""},
		"a word less":  {func(n *Nest, _ []prove.Piece) { n.Laid[0].Sheet.engrave = nil }, ""},
	} {
		n, pieces := good()
		src := [][]byte{}
		for _, l := range n.Laid {
			one, err := l.Sheet.DXF(t.Context())
			require.NoError(t, err)
			src = append(src, one)
		}
		c.spoil(&n, pieces)
		bytes, err := n.DXF(t.Context())
		require.NoError(t, err)
		l := prove.Nest(t.Context(), prove.Stock{W: s.W, H: s.H, Gap: s.Gap, Edge: s.Edge}, bytes, src, pieces)
		require.NotEmpty(t, l, name)
		require.Contains(t, fmt.Sprint(l), c.want, name)
	}
}
