package fill

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// A track that bends by a fraction of a degree leaves no slit in the area about it: points of its border that lie within two
// micrometres have no longer way than thrice that between them along the border.
func TestBentTrackLeavesNoSlit(t *testing.T) {
	for k := range 60 {
		b := withPads(plate(), pad(led.Return, 35, 5))
		bend := geom.PtMM(10, 10)
		b.Tracks = []board.Track{{Net: 3, On: geom.Top, Width: geom.MM(0.4), Path: geom.Polyline{
			bend.Add(geom.Vec{X: -1_050_000, Y: -1_050_000 - geom.Nm(k-30)*400}), bend, bend.Add(geom.Vec{X: 15_000_000, Y: 15_000_000}),
		}}}
		b, _, _ = Fill(context.Background(), b, top())
		require.NotEmpty(t, b.Areas)
		for _, ring := range b.Areas[0].Fill.Rings() {
			for i, p := range ring {
				way := 0.0
				for n := 1; n < min(6, len(ring)-1); n++ {
					q := ring[(i+n)%len(ring)]
					way += q.Dist(ring[(i+n-1)%len(ring)])
					if d := p.Dist(q); n > 1 && d < 2000 {
						require.LessOrEqual(t, way, 3*d, "a slit at %v when bent by %d", p, k)
					}
				}
			}
		}
	}
}

// Tidying takes the short edges and leaves the rest, also round the start of a ring; what is nothing but short goes.
func TestTidied(t *testing.T) {
	square := geom.Ring{{X: 0, Y: 0}, {X: 500_000, Y: 0}, {X: 500_000, Y: 500_000}, {X: 0, Y: 500_000}}
	slit := geom.Ring{square[0], square[1], square[2], {X: 250_000, Y: 500_000}, {X: 250_000, Y: 498_000}, {X: 249_000, Y: 498_000}, {X: 249_000, Y: 500_000}, square[3], {X: 0, Y: 2000}}
	crumb := geom.Ring{{X: 100_000, Y: 100_000}, {X: 100_000, Y: 101_000}, {X: 101_000, Y: 100_000}}
	got := tidied(geom.Region{{Outer: slit, Holes: []geom.Ring{crumb}}, {Outer: crumb}})
	require.Equal(t, geom.Region{{Outer: geom.Ring{square[0], square[1], square[2], {X: 250_000, Y: 500_000}, square[3]}}}, got)
}
