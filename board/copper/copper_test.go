package copper

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/fill"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel/geom"
)

func mm(x, y float64) geom.Pt { return geom.PtMM(x, y) }

// turned returns the points of a ring in mm, turned by degrees about the origin.
func turned(deg float64, xy ...float64) geom.Ring {
	s, c := math.Sincos(deg * math.Pi / 180)
	var r geom.Ring
	for i := 0; i < len(xy); i += 2 {
		r = append(r, mm(xy[i]*c-xy[i+1]*s, xy[i]*s+xy[i+1]*c))
	}
	return r
}

func held(r geom.Ring) electrode { return electrode{r, r.Box(), [2]bool{true, true}} }

// squares solves copper on the top.
func squares(t *testing.T, cell float64, a, b geom.Ring, pieces ...outline) float64 {
	t.Helper()
	s := sheets{pieces, nil}
	r, ok := newGrid(s, s.box(), geom.MM(cell)).solve(nil, nil, [2]electrode{held(a), held(b)})
	require.True(t, ok)
	return r
}

// A track of 100 by 0.5 mm has 200 squares, 98.5 mΩ (references.md section 3), at any angle and in any cells.
func TestStraightTrack(t *testing.T) {
	for _, deg := range []float64{0, 45, 90, 30, 17.3} {
		for _, cell := range []float64{0.1, 0.25, 0.6} {
			strip := outline{turned(deg, -5, -0.25, 105, -0.25, 105, 0.25, -5, 0.25)}
			got := squares(t, cell, turned(deg, -6, -1, 0, -1, 0, 1, -6, 1), turned(deg, 100, -1, 106, -1, 106, 1, 100, 1), strip)
			require.InEpsilon(t, 200, got, 0.01, "%v degrees, cells of %v", deg, cell)
		}
	}
	b := board.Board{Laminate: board.UsualLaminate(), Tracks: []board.Track{{Net: 1, Width: geom.MM(0.5), Path: geom.Polyline{mm(0, 0), mm(100, 0)}}}}
	pad := func(x float64) board.Pad {
		return board.Pad{Net: 1, At: mm(x, 0), Shape: board.Square, W: geom.MM(0.01), H: geom.MM(0.6)}
	}
	r, ok := between(nil, b, 1, pad(0), pad(100), Usual())
	require.True(t, ok)
	require.InEpsilon(t, 0.09852, float64(r), 0.01)
	b.Laminate.Copper = 2 * board.Ounce
	r, ok = between(nil, b, 1, pad(0), pad(100), Usual())
	require.True(t, ok)
	require.InEpsilon(t, 0.09852/2, float64(r), 0.01, "twice as thick")
}

func TestSquareSheet(t *testing.T) {
	sheet := outline{turned(0, -2, 0, 22, 0, 22, 20, -2, 20)}
	got := squares(t, 0.5, turned(0, -3, -1, 0, -1, 0, 21, -3, 21), turned(0, 20, -1, 23, -1, 23, 21, 20, 21), sheet)
	require.InEpsilon(t, 1, got, 1e-4)
}

// From circle to circle about it: ln(r2/r1)/2π squares.
func TestAnnulus(t *testing.T) {
	for _, c := range []struct{ r1, r2, cell, tol float64 }{{2, 10, 0.25, 0.01}, {0.6, 20, 0.25, 0.02}, {0.6, 20, 0.6, 0.05}} {
		sheet := outline{geom.Circle(geom.Pt{}, geom.MM(2*c.r2+2)).Ring(curve)}
		in := geom.Circle(geom.Pt{}, geom.MM(2*c.r1)).Ring(curve)
		hole := geom.Circle(geom.Pt{}, geom.MM(2*c.r2)).Ring(curve)
		k := c.r2 + 5
		// A square with the hole in it, as one ring with a slit.
		out := turned(0, hole[0].X.MM(), hole[0].Y.MM(), k, hole[0].Y.MM(), k, k, -k, k, -k, -k, k, -k, k, hole[0].Y.MM())
		for i := range hole {
			out = append(out, hole[(len(hole)-i)%len(hole)])
		}
		require.InEpsilon(t, math.Log(c.r2/c.r1)/(2*math.Pi), squares(t, c.cell, in, out, sheet), c.tol, "%+v", c)
	}
}

// Two round contacts of radius a at distance d in a wide sheet: acosh(d/2a)/π squares, by the capacitance of a two-wire line
// (textbook; from memory).
func TestTwoContacts(t *testing.T) {
	const a, d = 1.0, 10.0
	sheet := outline{turned(0, -50, -50, 50, -50, 50, 50, -50, 50)}
	disc := func(x float64) geom.Ring { return geom.Circle(mm(x, 0.1), geom.MM(2*a)).Ring(curve) }
	require.InEpsilon(t, math.Acosh(d/(2*a))/math.Pi, squares(t, 0.35, disc(-d/2), disc(d/2), sheet), 0.02)
}

// A right-angled bend of a track counts 0.559 squares for its corner (M. Horowitz and R. W. Dutton, "Resistance Extraction from
// Mask Layout Data", IEEE Trans. CAD 2(3), 1983; the number from memory).
func TestCorner(t *testing.T) {
	bend := outline{turned(0, 0, 0, 12, 0, 12, 1, 1, 1, 1, 12, 0, 12)}
	got := squares(t, 0.05, turned(0, 11, -1, 13, -1, 13, 2, 11, 2), turned(0, -1, 11, 2, 11, 2, 13, -1, 13), bend)
	require.InDelta(t, 10+10+0.559, got, 0.02)
}

// Copper that overlaps is there once; copper beside it counts twice.
func TestPieces(t *testing.T) {
	a, b := turned(0, -1, -1, 0, -1, 0, 5, -1, 5), turned(0, 40, -1, 41, -1, 41, 5, 40, 5)
	one := outline{turned(0, -0.5, 0, 40.5, 0, 40.5, 1, -0.5, 1)}
	two := outline{turned(0, -0.5, 3, 40.5, 3, 40.5, 4, -0.5, 4)}
	require.InEpsilon(t, 40, squares(t, 0.25, a, b, one, one), 1e-3)
	require.InEpsilon(t, 20, squares(t, 0.25, a, b, one, two), 1e-3)
	// A hole takes away: two strips of a quarter of the width each, with the ends between.
	holed := outline{one[0], turned(0, 10, 0.25, 30, 0.25, 30, 0.75, 10, 0.75)}
	got := squares(t, 0.05, a, b, holed)
	require.Greater(t, got, 20+20*2.0)
	require.Less(t, got, 20+20*2.0+1)
	// Nothing in between: no resistance to tell.
	s := sheets{{outline{turned(0, 0, 0, 10, 0, 10, 1, 0, 1)}, outline{turned(0, 30, 0, 40, 0, 40, 1, 30, 1)}}, nil}
	_, ok := newGrid(s, s.box(), geom.MM(0.25)).solve(nil, nil, [2]electrode{held(a), held(b)})
	require.False(t, ok)
}

// A plated hole of 0.3 mm finished, 25 µm, 1.6 mm: 1.081 mΩ (references.md section 3). On a board: a track on the top, a via,
// and a track on the bottom.
func TestVia(t *testing.T) {
	require.InEpsilon(t, 1.081e-3, barrel(geom.MM(0.3), geom.MM(1.6), Usual()), 1e-3)
	opt := Usual()
	opt.Plating = 100 // nm: the hole is nearly all there is
	track := func(on geom.Side, x0, x1 float64) board.Track {
		return board.Track{Net: 1, On: on, Width: geom.MM(1), Path: geom.Polyline{mm(x0, 0), mm(x1, 0)}}
	}
	b := board.Board{
		Laminate: board.UsualLaminate(),
		Tracks:   []board.Track{track(geom.Top, 0, 10), track(geom.Bottom, 10, 20)},
		Vias:     []board.Via{{Net: 1, At: mm(10, 0), D: geom.MM(0.9), Drill: geom.MM(0.4)}},
	}
	pad := func(on geom.Side, x float64) board.Pad {
		return board.Pad{Net: 1, At: mm(x, 0), Shape: board.Square, W: geom.MM(0.1), H: geom.MM(1), On: on}
	}
	r, ok := between(nil, b, 1, pad(geom.Top, 0), pad(geom.Bottom, 20), opt)
	require.True(t, ok)
	require.InEpsilon(t, barrel(geom.MM(0.4), geom.MM(1.6), opt)+20*0.4926e-3, float64(r), 0.02)
	b.Vias = nil
	_, ok = between(nil, b, 1, pad(geom.Top, 0), pad(geom.Bottom, 20), opt)
	require.False(t, ok)
}

// The solver against a dense one.
func TestSolveDense(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for range 20 {
		n := 2 + r.IntN(40)
		var links []link
		for i := range n {
			links = append(links, link{int32(i), int32(r.IntN(i + 1)), 0.1 + r.Float64()})
			if links[i].a == links[i].b {
				links[i].b = held0
			}
			if r.IntN(3) == 0 {
				links = append(links, link{int32(i), held1, r.Float64()})
			}
			if j := r.IntN(n); j != i && r.IntN(2) == 0 {
				links = append(links, link{int32(i), int32(j), r.Float64()})
			}
		}
		dense, rhs := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
		at := func(i, j int32, g float64) { dense.Set(int(i), int(j), dense.At(int(i), int(j))+g) }
		for _, l := range links {
			at(l.a, l.a, l.g)
			switch l.b {
			case held0:
			case held1:
				rhs.SetVec(int(l.a), rhs.AtVec(int(l.a))+l.g)
			default:
				at(l.b, l.b, l.g)
				at(l.a, l.b, -l.g)
				at(l.b, l.a, -l.g)
			}
		}
		var want mat.VecDense
		require.NoError(t, want.SolveVec(dense, rhs))
		for i, v := range newMatrix(n, links).solve(nil, 1e-9) {
			require.InDelta(t, want.AtVec(i), v, 1e-7)
		}
	}
}

func supply() []led.Group { return led.Wiring{}.Conductors() }

func fieldBoard(t testing.TB, seed uint64) board.Board {
	c := boardtest.FieldCase(seed)
	w, l := c.Wiring()
	require.False(t, l.HasErrors())
	b, l := shape.Derive(c.Panel, w, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	require.False(t, l.HasErrors())
	b, _, l = place.Place(context.Background(), b, c.Panel, w, place.Options{})
	require.False(t, l.HasErrors())
	b, _, l = route.Route(context.Background(), b, route.Options{})
	require.False(t, l.HasErrors())
	return b
}

// Whole boards: coarse and fine cells agree; the tracks alone are what a ruler says; areas help.
func TestThrough(t *testing.T) {
	for _, seed := range []uint64{3} {
		bare := fieldBoard(t, seed)
		b, _, _ := fill.Fill(context.Background(), bare, fill.Usual())
		f, ok := Through(context.Background(), b, supply(), Usual())
		require.True(t, ok)
		fine := Usual()
		fine.Cell = geom.MM(0.2)
		g, ok := Through(context.Background(), b, supply(), fine)
		require.True(t, ok)
		h, ok := Through(context.Background(), bare, supply(), fine)
		require.True(t, ok)
		t.Logf("seed %d: + %.3f - %.3f mΩ, fine %.3f %.3f, tracks alone %.3f %.3f, by ruler %.3f %.3f", seed, 1e3*f.Plus, 1e3*f.Minus,
			1e3*g.Plus, 1e3*g.Minus, 1e3*h.Plus, 1e3*h.Minus, 1e3*f.SimplePlus, 1e3*f.SimpleMinus)
		require.InEpsilon(t, float64(g.Plus), float64(f.Plus), 0.15) // thermal gaps are narrower than the coarse cells
		require.InEpsilon(t, float64(g.Minus), float64(f.Minus), 0.15)
		// The ruler counts every bend too long and no pad at all.
		require.InEpsilon(t, float64(f.SimplePlus), float64(h.Plus), 0.15)
		require.InEpsilon(t, float64(f.SimpleMinus), float64(h.Minus), 0.15)
		require.Less(t, g.Plus, h.Plus)
		require.Less(t, g.Minus, h.Minus)
	}
}

func TestThroughNeedsBothConnectors(t *testing.T) {
	_, ok := Through(context.Background(), board.Board{}, supply(), Usual())
	require.False(t, ok)
	b := fieldBoard(t, 3)
	var parts []board.Part
	for _, p := range b.Parts {
		if p.Role != led.Out || p.Kind != board.Connector {
			parts = append(parts, p)
		}
	}
	b.Parts = parts
	_, ok = Through(context.Background(), b, supply(), Usual())
	require.False(t, ok)
}

func BenchmarkThrough(b *testing.B) {
	for _, seed := range []uint64{3, 38} {
		bd, _, _ := fill.Fill(context.Background(), fieldBoard(b, seed), fill.Usual())
		b.Run(fmt.Sprint("seed ", seed), func(b *testing.B) {
			for b.Loop() {
				Through(context.Background(), bd, supply(), Usual())
			}
		})
	}
}
