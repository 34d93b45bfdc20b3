package geom_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// TestLocatorAgainstRings: the banded search gives what the rings themselves give.
func TestLocatorAgainstRings(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	p := geom.Polygon{Outer: geom.Circle(geom.PtMM(5, 5), geom.MM(9)).Ring(500)}
	p.Holes = []geom.Ring{geom.Circle(geom.PtMM(4, 4), geom.MM(3)).Ring(500).Oriented(geom.CW)}
	l := geom.NewLocator(p)
	for range 20000 {
		q := geom.Pt{X: geom.Nm(r.IntN(10e6)), Y: geom.Nm(r.IntN(10e6))}
		require.Equal(t, p.Locate(q), l.Locate(q))
	}
	for _, ring := range p.Rings() {
		for _, q := range ring {
			require.Equal(t, geom.OnEdge, l.Locate(q))
		}
	}
}
