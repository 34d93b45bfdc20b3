package route

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// The map never promises more than the shortest way of straight and diagonal steps to the nearest goal, wherever its
// window has grown to, and close to the starts it promises nearly all of it.
func TestCoarseBound(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 40 {
		g := &grid{nx: 40 + r.IntN(200), ny: 40 + r.IntN(200), pitch: 200 * geom.Micrometre}
		g.n = g.nx * g.ny
		node := func() int32 { return int32(r.IntN(2 * g.n)) }
		q := &query{starts: []end{{node: node()}}}
		for range 1 + r.IntN(6) {
			q.goals = append(q.goals, end{node: node()})
		}
		c := newCoarse(g)
		c.begin(q)
		exact := func(x, y int32) int32 {
			best := int32(math.MaxInt32)
			for _, e := range q.goals {
				i := e.node % int32(g.n)
				dx, dy := i%int32(g.nx)-x, i/int32(g.nx)-y
				best = min(best, octile(abs32(dx), abs32(dy))*200/1000)
			}
			return best
		}
		s := q.starts[0].node % int32(g.n)
		x, y := s%int32(g.nx), s/int32(g.nx)
		require.GreaterOrEqual(t, c.bound(x, y), exact(x, y)-2*c.slack-c.unit, "at the start")
		for range 300 {
			x, y := int32(r.IntN(g.nx)), int32(r.IntN(g.ny))
			require.LessOrEqual(t, c.bound(x, y), exact(x, y)+1)
		}
	}
}
