package geom

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// One pass gives what two give, to the nanometre's rounding; far holes and islands in holes stay.
func TestWithoutAndWith(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 77))
		g := NewRegion(Rect(Box{PtMM(0, 0), PtMM(60, 40)}).Ring(FlattenTolerance)).Minus(UnionOf(scatter(r, 4+r.IntN(60))...))
		if seed%3 == 0 { // islands in a hole
			g = g.Minus(NewRegion(Circle(PtMM(30, 20), MM(16)).Ring(FlattenTolerance))).Or(UnionOf(Circle(PtMM(30, 20), MM(8)).Ring(FlattenTolerance)))
		}
		cuts := scatter(r, 1+r.IntN(6))
		a, b := Knife{}.Without(g, cuts...), g.Minus(UnionOf(cuts...))
		require.Less(t, a.Minus(b).Area()+b.Minus(a).Area(), 1e-5, "seed %d", seed)
		require.Equal(t, len(b), len(a), "seed %d", seed)
		require.Len(t, a.Rings(), len(b.Rings()), "seed %d", seed)
		c, d := Knife{}.With(g, cuts...), g.Or(UnionOf(cuts...))
		require.Less(t, c.Minus(d).Area()+d.Minus(c).Area(), 1e-5, "seed %d", seed)
	}
}
