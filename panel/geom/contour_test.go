package geom

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Facts of the DXF Reference (LWPOLYLINE, "bulge"): bulge = tan(θ/4); 1 is a semicircle, a quarter circle is 0.414214;
// radius = c(1+b²)/(4|b|), sagitta = |b|c/2.
func TestBulgeFacts(t *testing.T) {
	quarter := math.Tan(math.Pi / 8)
	require.InDelta(t, 0.414214, quarter, 5e-7)
	for _, c := range []struct {
		name   string
		arc    Arc
		radius float64 // mm
		sweep  float64 // degrees
		cx, cy float64 // mm
	}{
		{"semicircle", Arc{PtMM(0, 0), PtMM(10, 0), 1}, 5, 180, 5, 0},
		{"semicircle clockwise", Arc{PtMM(0, 0), PtMM(10, 0), -1}, 5, -180, 5, 0},
		{"quarter", Arc{PtMM(10, 0), PtMM(0, 10), quarter}, 10, 90, 0, 0},
		{"quarter clockwise", Arc{PtMM(0, 10), PtMM(10, 0), -quarter}, 10, -90, 0, 0},
		{"three quarters", Arc{PtMM(10, 0), PtMM(0, -10), math.Tan(3 * math.Pi / 8)}, 10, 270, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.InDelta(t, c.radius, c.arc.Radius()/1e6, 1e-6)
			require.InDelta(t, c.sweep, c.arc.Sweep()*180/math.Pi, 1e-9)
			x, y := c.arc.Centre()
			require.InDelta(t, c.cx, x/1e6, 1e-6)
			require.InDelta(t, c.cy, y/1e6, 1e-6)
			chord, b := c.arc.From.Dist(c.arc.To), math.Abs(c.arc.Bulge)
			require.InDelta(t, c.arc.Radius(), chord*(1+b*b)/(4*b), 1)
			for _, p := range c.arc.Flatten(5 * Micrometre) {
				require.InDelta(t, c.arc.Radius(), math.Hypot(float64(p.X)-x, float64(p.Y)-y), 2)
			}
		})
	}
}

func TestContourMeasures(t *testing.T) {
	circle := Circle(PtMM(7, -3), MM(3))
	require.InDelta(t, math.Pi*2.25, circle.Area(), 1e-9)
	require.InDelta(t, math.Pi*3, circle.Perimeter(), 1e-9)
	require.Equal(t, Box{PtMM(5.5, -4.5), PtMM(8.5, -1.5)}, circle.Box())
	at, d, ok := circle.Circular()
	require.True(t, ok)
	require.Equal(t, PtMM(7, -3), at)
	require.Equal(t, MM(3), d)

	rect := Rect(Box{PtMM(0, 0), PtMM(20, 10)})
	require.Equal(t, 200.0, rect.Area())
	require.Equal(t, 60.0, rect.Perimeter())
	require.Equal(t, -200.0, rect.Reversed().SignedArea())

	// A slot 40 by 8 mm: a rectangle and two semicircles.
	slot := Contour{{PtMM(4, 0), 0}, {PtMM(36, 0), 1}, {PtMM(36, 8), 0}, {PtMM(4, 8), 1}}
	require.InDelta(t, 32*8+math.Pi*16, slot.Area(), 1e-9)
	require.InDelta(t, 64+8*math.Pi, slot.Perimeter(), 1e-9)
	require.Equal(t, Box{PtMM(0, 0), PtMM(40, 8)}, slot.Box())
	require.InDelta(t, -slot.SignedArea(), slot.Reversed().SignedArea(), 1e-9)
	require.Equal(t, slot.Box(), slot.Reversed().Box())
	_, _, ok = slot.Circular()
	require.False(t, ok)
}

// pick returns want if v is as good as it, else v.
func pick(v, want float64) float64 {
	if math.Abs(v-want) < 1e-12 {
		return want
	}
	return v
}

// The Gerber specification's simple contour: (2,3)(7,3)(7,1)(11,5)(7,9)(7,7)(2,7) has area 36
// (The Gerber Layer Format Specification, 2021.02, 4.10.4.1).
func TestGerberContourArea(t *testing.T) {
	c := Straight(PtMM(2, 3), PtMM(7, 3), PtMM(7, 1), PtMM(11, 5), PtMM(7, 9), PtMM(7, 7), PtMM(2, 7))
	require.Equal(t, 36.0, c.Area())
	require.Equal(t, 36.0, c.Ring(FlattenTolerance).Area())
}

func TestFlattenErrorStaysBelowTolerance(t *testing.T) {
	for _, d := range []float64{0.3, 3, 24, 300} {
		for _, tol := range []Nm{FlattenTolerance, 5 * Micrometre} {
			c := Circle(PtMM(100, 100), MM(d))
			r := c.Ring(tol)
			for i := range r {
				mid := Pt{(r[i].X + r[(i+1)%len(r)].X) / 2, (r[i].Y + r[(i+1)%len(r)].Y) / 2}
				require.Less(t, MM(d/2).MM()-mid.Dist(PtMM(100, 100))/1e6, tol.MM()+2e-6, "d %v tol %v", d, tol)
			}
		}
	}
}

func TestRingContourFindsArcs(t *testing.T) {
	q := math.Tan(math.Pi / 8)
	rounded := Contour{
		{PtMM(3, 0), 0}, {PtMM(37, 0), q}, {PtMM(40, 3), 0}, {PtMM(40, 27), q},
		{PtMM(37, 30), 0}, {PtMM(3, 30), q}, {PtMM(0, 27), 0}, {PtMM(0, 3), q},
	}
	got := rounded.Ring(FlattenTolerance).Contour(FlattenTolerance)
	require.Len(t, got, 8)
	for _, v := range got {
		require.Contains(t, rounded, Vertex{v.Pt, pick(v.Bulge, q)}, "fillets come back exactly")
	}
	// The same after an offset there and back, which blurs the ends of the arcs.
	twice := NewRegion(rounded.Ring(FlattenTolerance)).Shrunk(MM(1))[0].Outer.Contour(FlattenTolerance)
	require.Len(t, twice, 8)
	require.InDelta(t, 38*28-(4-math.Pi)*4, twice.Area(), 1e-3)
	require.Equal(t, Box{PtMM(1, 1), PtMM(39, 29)}, twice.Box())

	round := Circle(PtMM(50, 50), MM(60)).Ring(FlattenTolerance).Contour(FlattenTolerance)
	require.LessOrEqual(t, len(round), 3)
	require.InDelta(t, math.Pi*900, round.Area(), 1e-2)

	// Straight work stays exactly as it is.
	square := Rect(Box{PtMM(0, 0), PtMM(20, 10)}).Ring(FlattenTolerance)
	require.Equal(t, square, square.Contour(FlattenTolerance).Ring(FlattenTolerance))
	octagon := Ring{PtMM(2, 0), PtMM(5, 0), PtMM(7, 2), PtMM(7, 5), PtMM(5, 7), PtMM(2, 7), PtMM(0, 5), PtMM(0, 2)}
	require.Len(t, octagon.Contour(FlattenTolerance), 8)
	for _, v := range octagon.Contour(FlattenTolerance) {
		require.Zero(t, v.Bulge)
	}
}
