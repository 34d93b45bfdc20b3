package result

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// A curve in words is that curve again, and what is no curve is refused.
func TestPath(t *testing.T) {
	c := geom.Contour{{Pt: geom.PtMM(0, 0)}, {Pt: geom.PtMM(60.123456, 0), Bulge: 1}, {Pt: geom.PtMM(60.123456, 40)}, {Pt: geom.PtMM(-3, 40), Bulge: -0.25}}
	p := frame{}.path(c)
	require.Equal(t, Path("0 0, 60.123456 0 1, 60.123456 40, -3 40 -0.25"), p)
	got, ok := p.Contour([2]float64{})
	require.True(t, ok)
	require.Equal(t, c, got)
	far, ok := Path("5000 0, 5060 0, 5060 40").Contour([2]float64{5000, 0})
	require.True(t, ok)
	require.Equal(t, geom.Straight(geom.PtMM(0, 0), geom.PtMM(60, 0), geom.PtMM(60, 40)), far)
	for _, s := range []Path{"", "1", "1 2", "1 2, 3", "1 2, 3 4 5 6", "1 2, x 4", "1 2, NaN 4", "1 2, 1e300 4", "1 2, 3 Inf", "0 0 900, 900 0"} {
		_, ok := s.Contour([2]float64{})
		require.False(t, ok, "%q", s)
	}
}

// Whatever a result.json says of curves is read or refused.
func FuzzPath(f *testing.F) {
	f.Add("0 0, 60 0 1, 60 40")
	f.Fuzz(func(t *testing.T, s string) {
		if c, ok := Path(s).Contour([2]float64{}); ok {
			again, ok := frame{}.path(c).Contour([2]float64{})
			require.True(t, ok)
			require.Len(t, again, len(c))
		}
	})
}

// A seal is of all of the file, and is broken by any edit.
func TestSeal(t *testing.T) {
	src := Console{Lampblack: "0.1.0", Console: `"seal": "0000"`}.JSON()
	require.Equal(t, Whole, SealOf(src))
	for i := range src {
		b := append([]byte{}, src...)
		b[i] ^= 1
		require.NotEqual(t, Whole, SealOf(b), "byte %d", i)
	}
	require.Equal(t, Unsealed, SealOf([]byte(`{"lampblack": "0.1.0"}`)))
	require.Equal(t, Broken, SealOf([]byte(`{"seal": "0"}`)))
}
