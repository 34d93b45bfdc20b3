package light

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// The gradient is what differences of the merit tell, for each rank, with walls and below the floor of the mean too.
func TestUphill(t *testing.T) {
	p := testPanels(t)[1]
	o := usual(p)
	o.Count = 12
	s := newSearch(nil, p, o, nil)
	at := s.greedy(12)
	for _, floor := range []float64{0.5, 1.01, 1.1, 2} {
		s.apiece = floor * dot(s.weight, s.layoutOf(at).light) / 12
		s.hard, s.spread = 1.03*floor*dot(s.weight, s.layoutOf(at).light), floor*s.spreadOf(at)
		for rank := range exponents {
			s.dark = -floor
			a := s.ascent(at)
			up := s.uphill(a, rank)
			for k := range at {
				for d, v := range []geom.Vec{{X: 10_000}, {Y: 10_000}} {
					moved := func(by geom.Vec) float64 {
						q := append([]geom.Pt(nil), at...)
						q[k] = q[k].Add(by)
						return s.merit(s.layoutOf(q).light, nil, 12, rank)
					}
					got := (moved(v) - moved(v.Neg())) / 0.02
					require.InDelta(t, got, up[2*k+d], 0.003+0.1*max(got, -got), "LED %d at %v, floor %v, rank %d", k, at[k], floor, rank)
				}
			}
		}
	}
}
