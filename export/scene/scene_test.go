package scene

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

func TestDecimal(t *testing.T) {
	for _, c := range []struct {
		v, step geom.Nm
		want    string
	}{
		{0, 100, "0"}, {49, 100, "0"}, {-49, 100, "0"}, {50, 100, "0.0001"}, {-50, 100, "-0.0001"}, {1_500_000, 100, "1.5"},
		{-12_345_678, 1000, "-12.346"}, {999_999_999, 100, "1000"}, {geom.MaxCoord, 100, "1073.7418"}, {1, 1, "0.000001"},
		{123_456, geom.Millimetre, "0"}, {500_000, geom.Millimetre, "1"}, {-500_000, 10, "-0.5"},
	} {
		require.Equal(t, c.want, Decimal(c.v, c.step), "%d", c.v)
		f, err := strconv.ParseFloat(Decimal(c.v, c.step), 64)
		require.NoError(t, err)
		require.InDelta(t, c.v.MM(), f, c.step.MM()/2+1e-12)
	}
}

// A frame turns Y over, enlarges in halves, and mirrors; arcs keep their curves: the area of what is drawn grows by the
// square of the scale, and its winding turns over unless it is seen from behind.
func TestFrame(t *testing.T) {
	c := geom.Contour{{Pt: geom.PtMM(10, 2), Bulge: math.Sqrt2 - 1}, {Pt: geom.PtMM(2, 10)}, {Pt: geom.PtMM(2, 2)}}
	box := geom.Box{Min: geom.PtMM(1, 1), Max: geom.PtMM(21, 11)}
	plain := Frame{Box: box}
	require.Equal(t, geom.PtMM(9, 9), plain.Pt(geom.PtMM(10, 2)))
	require.Equal(t, geom.PtMM(11, 9), Frame{Box: box, Mirror: true}.Pt(geom.PtMM(10, 2)))
	require.Equal(t, geom.PtMM(5+13.5, 7+13.5), Frame{Box: box, At: geom.PtMM(5, 7), Halves: 3}.Pt(geom.PtMM(10, 2)))
	for _, f := range []Frame{plain, {Box: box, Mirror: true}, {Box: box, Halves: 5, At: geom.PtMM(3, 3)}} {
		k := f.Scaled(geom.Millimetre).MM()
		sign := -1.0
		if f.Mirror {
			sign = 1
		}
		require.InDelta(t, sign*k*k*c.SignedArea(), f.Contours(c)[0].SignedArea(), 1e-4)
		require.Equal(t, f.Pt(c[0].Pt), f.Contours(c)[0][0].Pt)
	}
	require.Empty(t, plain.Contours(nil, geom.Contour{}))
	require.Empty(t, plain.Rings(geom.Ring{{}, {}}))
	require.Len(t, plain.Region(geom.NewRegion(c.Ring(1000))), 1)
}

func TestPaint(t *testing.T) {
	require.Equal(t, "#0a0b0c", Colour(0x0a0b0c).String())
	r, g, b := Colour(0x0a0b0c).RGB()
	require.Equal(t, [3]uint8{10, 11, 12}, [3]uint8{r, g, b})
	require.True(t, Paint{}.None())
	require.False(t, Solid(0).None(), "black is a paint")
	require.True(t, Stroke{}.None())
	s := Line(1, 5).Dashed(3, 2).Round()
	require.Equal(t, Stroke{Paint{1, 100}, 5, []geom.Nm{3, 2}, RoundCap, RoundJoin}, s)
}

// Letters stand one after another from the start of the baseline, as high as the run is.
func TestOutlines(t *testing.T) {
	bar := []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(0, -1), Max: geom.PtMM(0.5, 0)})}
	g := Glyphs{At: geom.PtMM(10, 20), Height: geom.MM(4), Letters: []Letter{{'I', 0, bar}, {'I', geom.MM(0.75), bar}}}
	all := g.Outlines()
	require.Equal(t, geom.Box{Min: geom.PtMM(10, 16), Max: geom.PtMM(12, 20)}, all[0].Box())
	require.Equal(t, geom.Box{Min: geom.PtMM(13, 16), Max: geom.PtMM(15, 20)}, all[1].Box())
}
