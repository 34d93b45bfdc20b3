package raster

import (
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

func square(x, y, w float64) geom.Ring {
	return geom.Rect(geom.Box{Min: geom.PtMM(x, y), Max: geom.PtMM(x+w, y+w)}).Ring(1)
}

func sum(m Mask) (s int) {
	for _, a := range m.Cover {
		s += int(a)
	}
	return s
}

// A square's edges cover the pixels that they cut in the share that lies within.
func TestFill(t *testing.T) {
	m := NewMask(image.Rect(0, 0, 4, 3))
	m.Fill(View{PerMM: 1}, []geom.Ring{square(0.5, 0.25, 2)}, false)
	half, edge := uint8(128), uint8(191) // of 255: 1/2, 3/4; and 3/8, 1/8, 1/4 in the corners and below
	require.Equal(t, []uint8{96, edge, 96, 0, half, 255, half, 0, 32, 64, 32, 0}, m.Cover)

	up := NewMask(image.Rect(0, 0, 4, 3))
	up.Fill(View{PerMM: 1, Up: true, Corner: geom.PtMM(0, 3)}, []geom.Ring{square(0.5, 0.75, 2)}, false)
	require.Equal(t, m.Cover, up.Cover, "with Y up, the same picture is at 3 - y")

	moved := NewMask(image.Rect(1, 1, 3, 3))
	moved.Fill(View{PerMM: 1}, []geom.Ring{square(0.5, 0.25, 2)}, false)
	require.Equal(t, []uint8{255, half, 64, 32}, moved.Cover, "a window shows its part")
}

// Holes run the other way or count even; what is covered twice is covered; disjoint areas add up.
func TestRules(t *testing.T) {
	outer, inner := square(1, 1, 8), square(3, 3, 4)
	clockwise := inner.Oriented(geom.CW)
	for _, c := range []struct {
		rings   []geom.Ring
		evenOdd bool
		want    int
	}{
		{[]geom.Ring{outer, inner}, false, 64}, {[]geom.Ring{outer, inner}, true, 48}, {[]geom.Ring{outer, clockwise}, false, 48},
	} {
		m := NewMask(image.Rect(0, 0, 10, 10))
		m.Fill(View{PerMM: 1}, c.rings, c.evenOdd)
		require.Equal(t, c.want*255, sum(m))
		m.Fill(View{PerMM: 1}, []geom.Ring{square(4, 4, 1)}, false)
		require.Equal(t, max(c.want*255, (c.want+map[bool]int{true: 1}[c.want == 48])*255), sum(m))
	}
}

// The coverages of a disc sum up to its area, wherever it lies.
func TestArea(t *testing.T) {
	for i := range 20 {
		at := geom.Pt{X: 30*geom.Millimetre + geom.Nm(i)*37_001, Y: 30*geom.Millimetre + geom.Nm(i)*53_003}
		m := NewMask(image.Rect(0, 0, 480, 480))
		m.Fill(View{PerMM: 8}, []geom.Ring{geom.Circle(at, geom.MM(20)).Ring(1000)}, false)
		require.InEpsilon(t, math.Pi*100, float64(sum(m))/255/64, 2e-4)
	}
}

// What lies outside the window, or is nothing, changes nothing.
func TestOutside(t *testing.T) {
	m := NewMask(image.Rect(0, 0, 3, 3))
	m.Fill(View{PerMM: 1}, nil, false)
	m.Fill(View{PerMM: 1}, []geom.Ring{square(-20, -20, 5), square(50, 1, 5), {geom.PtMM(1, 1), geom.PtMM(2, 2)}}, false)
	require.Zero(t, sum(m))
	m.Fill(View{PerMM: 1}, []geom.Ring{square(-5, -5, 20)}, false)
	require.Equal(t, 9*255, sum(m))
	require.Nil(t, m.Row(3))
	NewMask(image.Rectangle{}).Fill(View{PerMM: 1}, []geom.Ring{square(0, 0, 1)}, false)
}
