package read

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/dxf"
)

// sloppy is a drawing in DXF's own words: what a reader makes of an elliptic arc is part of the matter.
type sloppy struct {
	rng   *rand.Rand
	layer string
	put   []string
}

func (s *sloppy) add(format string, v ...any) {
	s.put = append(s.put, strings.ReplaceAll(fmt.Sprintf("0 "+strings.Replace(format, " ", " 8 "+s.layer+" ", 1), v...), " ", "\n"))
}

func (s *sloppy) line(a, b dxf.XY) {
	if s.rng.IntN(2) == 0 {
		a, b = b, a
	}
	s.add("LINE 10 %.6f 20 %.6f 11 %.6f 21 %.6f", a.X, a.Y, b.X, b.Y)
}

func (s *sloppy) circle(c dxf.XY, d float64) { s.add("CIRCLE 10 %.6f 20 %.6f 40 %.6f", c.X, c.Y, d/2) }

// arc draws an arc, degrees, as such, as an elliptic arc whose one axis is off by that, or in chords.
func (s *sloppy) arc(c dxf.XY, r, from, to, off float64) {
	switch s.rng.IntN(3) {
	case 0:
		s.add("ARC 10 %.6f 20 %.6f 40 %.6f 50 %.6f 51 %.6f", c.X, c.Y, r, from, to)
	case 1:
		s.add("ELLIPSE 10 %.6f 20 %.6f 11 %.6f 21 0 40 %.9f 41 %.9f 42 %.9f", c.X, c.Y, r, (r-off)/r, from*math.Pi/180, to*math.Pi/180)
	default:
		n := max(2, int((to-from)/4))
		at := func(i int) dxf.XY {
			y, x := math.Sincos((from + (to-from)*float64(i)/float64(n)) * math.Pi / 180)
			return dxf.XY{X: c.X + r*x, Y: c.Y + r*y}
		}
		for i := range n {
			s.line(at(i), at(i+1))
		}
	}
}

// over draws a straight side in pieces that overlap, off the line by that.
func (s *sloppy) over(a, b dxf.XY, off float64) {
	u := b.Sub(a)
	v := dxf.XY{X: -u.Y, Y: u.X}.Times(off / u.Len())
	m := 0.4 + 0.2*s.rng.Float64()
	k := m - 0.3*s.rng.Float64()
	s.line(a, a.Add(u.Times(m)))
	s.line(a.Add(u.Times(k)).Add(v), b)
	if s.rng.IntN(2) == 0 {
		s.line(a.Add(u.Times(0.1)), b.Sub(u.Times(0.1)))
	}
}

func (s *sloppy) drawing(t *testing.T) dxf.Drawing {
	s.rng.Shuffle(len(s.put), func(i, k int) { s.put[i], s.put[k] = s.put[k], s.put[i] })
	src := "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + strings.Join(s.put, "\n") + "\n0\nENDSEC\n0\nEOF\n"
	d, l := dxf.Read(t.Context(), []byte(src), "shade.dxf")
	require.False(t, l.HasErrors())
	return d
}

// TestOverdrawnOutline: an outline of lines, arcs, elliptic arcs and chords that overlap in part, each a little off the
// others, is the one outline that it looks like, and the hole in it stays.
func TestOverdrawnOutline(t *testing.T) {
	const w, h, r = 160.0, 50.0, 12.5
	for seed := range uint64(60) {
		off := [...]float64{0, 0.002, 0.008, 0.03, 0.06}[seed%5]
		s := &sloppy{rng: rand.New(rand.NewPCG(seed, 9)), layer: [...]string{"0", "OUTLINE"}[seed/5%2]}
		for i, c := range []dxf.XY{{X: w - r, Y: r}, {X: w - r, Y: h - r}, {X: r, Y: h - r}, {X: r, Y: r}} {
			a := float64(i)*90 - 90
			m := a + 30 + 40*s.rng.Float64()
			switch s.rng.IntN(3) {
			case 0:
				s.arc(c, r, a, m, off)
				s.arc(c, r, m-25, a+90, off)
			case 1:
				s.arc(c, r, a, a+90, off)
				s.arc(c, r, a+10, m, off)
			default:
				s.arc(c, r, a, a+90, off)
				s.arc(c, r, a, a+90, off)
			}
		}
		s.over(dxf.XY{X: r}, dxf.XY{X: w - r}, off)
		s.over(dxf.XY{X: w, Y: r}, dxf.XY{X: w, Y: h - r}, off)
		s.over(dxf.XY{X: w - r, Y: h}, dxf.XY{X: r, Y: h}, off)
		s.over(dxf.XY{Y: h - r}, dxf.XY{Y: r}, off)
		s.circle(dxf.XY{X: 70, Y: 25}, 12)
		ps, l := Panels(t.Context(), s.drawing(t), Options{})
		require.False(t, l.HasErrors(), "seed %d: %v", seed, l)
		require.Len(t, ps, 1, "seed %d", seed)
		require.InDelta(t, w*h-(4-math.Pi)*r*r, ps[0].Outline.Area(), 1+250*off, "seed %d", seed)
		require.InDelta(t, w, ps[0].Outline.Box().W().MM(), 0.02+2*off)
		require.InDelta(t, h, ps[0].Outline.Box().H().MM(), 0.02+2*off)
		require.Len(t, ps[0].Openings, 1, "seed %d", seed)
	}
}

// TestTwoBows: two flat arcs between the same corners, 0.3 mm apart over 12.5 mm, are one edge of the outline; what lies
// between them is nothing.
func TestTwoBows(t *testing.T) {
	for _, layer := range []string{"0", "OUTLINE"} {
		bow := func(sagitta float64) dxf.Path {
			return dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: 30}, Bulge: 2 * sagitta / 12.5}, {XY: dxf.XY{X: 42.5}}}}
		}
		es := strokes([]float64{0, 0, 30, 0}, []float64{42.5, 0, 80, 0}, []float64{80, 0, 80, 40}, []float64{80, 40, 0, 40}, []float64{0, 40, 0, 0})
		d := dxf.Drawing{Name: "shade.dxf", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
		for _, e := range append(es, &dxf.Entity{Type: "ARC", Path: bow(1)}, &dxf.Entity{Type: "ARC", Path: bow(1.3)}) {
			e.Layer = layer
			d.Entities = append(d.Entities, *e)
		}
		ps, l := Panels(t.Context(), d, Options{})
		require.False(t, l.HasErrors(), "%v", l)
		require.Len(t, ps, 1)
		require.InDelta(t, 3200+12.5*1.15*2/3, ps[0].Outline.Area(), 2)
		require.Empty(t, ps[0].Openings)
		require.Empty(t, ps[0].Bodies)
		require.Empty(t, ps[0].Symbols)
	}
}

// TestSliverIsNoPanel: a strip of 0.3 x 12.5 mm is not taken for a panel's edge, whatever else there is.
func TestSliverIsNoPanel(t *testing.T) {
	for _, layer := range []string{"0", "OUTLINE"} {
		ps, l := Panels(t.Context(), drawn(t, layer+" rect 0 0 0.3 12.5\n"+layer+" line 5 0 90 0\n"+layer+" line 5 0 5 40"), Options{})
		require.Empty(t, ps, layer)
		require.True(t, l.HasErrors())
		require.Contains(t, strings.Join(codes(l), " "), "outline", "%v", l)
	}
}

// TestFlatOfHole: the flat of a round hole is no second edge of it: both parts of the hole stay.
func TestFlatOfHole(t *testing.T) {
	ring := func(d, flat float64) []*dxf.Entity {
		x := d/2 - flat
		y := math.Sqrt(d*d/4 - x*x)
		return []*dxf.Entity{
			{Path: dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: x, Y: y}, Bulge: math.Tan((2*math.Pi - 2*math.Acos(2*x/d)) / 4)}, {XY: dxf.XY{X: x, Y: -y}}}}},
			{Path: dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: x, Y: -y}, Bulge: math.Tan(2 * math.Acos(2*x/d) / 4)}, {XY: dxf.XY{X: x, Y: y}}}}},
			{Path: dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: x, Y: y}}, {XY: dxf.XY{X: x, Y: -y}}}}},
		}
	}
	for _, d := range []float64{3.2, 6, 9.5, 16} {
		for _, flat := range []float64{0.25, 0.6, 1} {
			j := join(nil, ring(d, flat), 0.1, false)
			require.Empty(t, j.same, "%v with a flat of %v", d, flat)
			require.Len(t, j.outers, 1)
			require.InDelta(t, math.Pi*d*d/4, j.outers[0].area, 1e-6)
		}
	}
}
