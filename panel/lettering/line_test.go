package lettering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
)

func lengths(mm ...float64) (out []geom.Nm) {
	for _, v := range mm {
		out = append(out, geom.MM(v))
	}
	return out
}

// Dashes of lines by hand: half a dash and half of what is left at both ends, whole dashes between; a dot is a place.
func TestDashes(t *testing.T) {
	for _, x := range []struct {
		dashes []geom.Nm
		long   float64
		closed bool
		want   [][2]float64
	}{
		{lengths(3, -2), 20, false, [][2]float64{{3.5, 6.5}, {8.5, 11.5}, {13.5, 16.5}, {0, 1.5}, {18.5, 20}}},
		{lengths(3, -2), 22, false, [][2]float64{{4.5, 7.5}, {9.5, 12.5}, {14.5, 17.5}, {0, 2.5}, {19.5, 22}}},
		{lengths(3, -2), 5, false, [][2]float64{{0, 1.5}, {3.5, 5}}},
		{lengths(3, -2), 4.9, false, nil},
		{lengths(6, -1, 0, -1), 20, false, [][2]float64{{6, 6}, {7, 13}, {14, 14}, {0, 5}, {15, 20}}},
		{lengths(0, -2), 9, false, [][2]float64{{2.5, 2.5}, {4.5, 4.5}, {6.5, 6.5}, {0.5, 0.5}, {8.5, 8.5}}},
		{lengths(3, -2), 24, true, [][2]float64{{3.36, 6.24}, {8.16, 11.04}, {12.96, 15.84}, {17.76, 20.64}, {0, 1.44}, {22.56, 24}}}, // five times, 0.96 as long
		{nil, 20, false, nil},
		{lengths(0.0001, -0.0001), 20, false, nil},
	} {
		var got [][2]float64
		for _, m := range dashed(x.dashes, x.long*1e6, x.closed) {
			got = append(got, [2]float64{math.Round(m.from) / 1e6, math.Round(m.to) / 1e6})
		}
		require.Equal(t, x.want, got, "%v on %v", x.dashes, x.long)
	}
}

// Areas of dashes: as long as they are told, with flat ends or with round ones within them, but at the line's own ends.
func TestDashesAreAsLongAsTold(t *testing.T) {
	s := panel.Symbol{Shape: geom.Straight(geom.PtMM(0, 0), geom.PtMM(20, 0)), Width: geom.MM(0.3), Dashes: lengths(3, -2)}
	cap := math.Pi / 4 * 0.3 * 0.3
	g := SymbolRegion(s, Stroke)
	require.Len(t, g, 5)
	require.InDelta(t, 3*(2.7*0.3+cap)+2*(1.35*0.3+cap), g.Area(), 0.01, "chords of round ends lie within them")
	require.Equal(t, geom.Box{Min: geom.PtMM(-0.15, -0.15), Max: geom.PtMM(20.15, 0.15)}, g.Box())
	s.Flat = true
	require.InDelta(t, 12*0.3, SymbolRegion(s, Stroke).Area(), 1e-9)
	s.Flat, s.Dashes = false, lengths(0, -2)
	g = SymbolRegion(s, Stroke)
	require.Len(t, g, 11)
	require.InDelta(t, 11*cap, g.Area(), 0.02, "dots as wide as the line")
}

// Over a corner dashes run on, or begin anew: then both sides begin and end with half a dash.
func TestDashesAtCorners(t *testing.T) {
	s := panel.Symbol{Shape: geom.Straight(geom.PtMM(0, 0), geom.PtMM(10, 0), geom.PtMM(10, 6)), Width: geom.MM(0.3), Flat: true, Dashes: lengths(3, -2)}
	inked := func(x, y float64) bool { return SymbolRegion(s, Stroke).Locate(geom.PtMM(x, y)) == geom.Inside }
	// Each side: of 10 mm 1.5 2 3 2 1.5, of 6 mm 2 2 2.
	for _, x := range []struct {
		x, y float64
		on   bool
	}{{1.4, 0, true}, {1.6, 0, false}, {5, 0, true}, {8, 0, false}, {9, 0, true}, {10, 1.9, true}, {10, 2.1, false}, {10, 4.1, true}} {
		require.Equal(t, x.on, inked(x.x, x.y), "%v", x)
	}
	s.Runs = true // 16 mm: 2 | 2 3 2 3 2 | 2
	for _, x := range []struct {
		x, y float64
		on   bool
	}{{1.9, 0, true}, {2.1, 0, false}, {3.9, 0, false}, {4.1, 0, true}, {6.9, 0, true}, {8, 0, false}, {9.1, 0, true}, {10, 1.9, true}, {10, 3, false}, {10, 4.1, true}} {
		require.Equal(t, x.on, inked(x.x, x.y), "%v running on", x)
	}
}

// A wide polyline ends flat and has sharp corners: what it covers is its length times its width. A corner that is too sharp is cut off.
func TestFlatLines(t *testing.T) {
	s := panel.Symbol{Shape: geom.Straight(geom.PtMM(0, 0), geom.PtMM(10, 0), geom.PtMM(10, 10)), Width: geom.MM(2), Flat: true}
	g := SymbolRegion(s, Stroke)
	require.InDelta(t, 20*2, g.Area(), 1e-9)
	require.Equal(t, geom.Box{Min: geom.PtMM(0, -1), Max: geom.PtMM(11, 10)}, g.Box())
	s.Shape[1].Pt, s.Shape[2].Pt = geom.PtMM(0, 10), geom.PtMM(10, 10) // the other way round
	require.InDelta(t, 20*2, SymbolRegion(s, Stroke).Area(), 1e-9)
	s = panel.Symbol{Closed: true, Shape: geom.Rect(geom.Box{Max: geom.PtMM(10, 10)}), Width: geom.MM(1), Flat: true}
	require.InDelta(t, 40, SymbolRegion(s, Stroke).Area(), 1e-9)
	s = panel.Symbol{Shape: geom.Straight(geom.PtMM(0, 0), geom.PtMM(10, 0), geom.PtMM(0, 1)), Width: geom.MM(1), Flat: true}
	require.Less(t, SymbolRegion(s, Stroke).Box().Max.X, geom.PtMM(10.6, 0).X)
	arc := panel.Symbol{Shape: geom.Contour{{Pt: geom.PtMM(0, 0), Bulge: 1}, {Pt: geom.PtMM(20, 0)}}, Width: geom.MM(1), Flat: true}
	require.InDelta(t, math.Pi*10*1, SymbolRegion(arc, Stroke).Area(), 0.02)
}

// A circle has dashes all round, a whole number of times; none is broken where it begins.
func TestDashedCircle(t *testing.T) {
	d := 24 / math.Pi
	s := panel.Symbol{Closed: true, Shape: geom.Circle(geom.PtMM(0, 0), geom.MM(d)), Width: geom.MM(0.3), Dashes: lengths(3, -2), Runs: true}
	g := SymbolRegion(s, Stroke)
	require.Len(t, g, 5)
	for _, p := range g {
		require.InDelta(t, (2.88-0.3)*0.3+math.Pi/4*0.09, p.Area(), 0.01)
	}
}
