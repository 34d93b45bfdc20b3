package fill

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/panel/geom"
)

// Two foreign pads leave a passage that is a little too narrow, just wide enough, or a little wider: the area may close it or
// not, but never leaves a waist narrower than the neck or a slit narrower than half the clearance.
func TestNoWaistNoSlit(t *testing.T) {
	r := plate().Rules
	just := geom.MM(1.8) + 2*(r.Clearance+slack) + r.Neck
	closed := 0
	for d := just - 100*geom.Micrometre; d < just+20*geom.Micrometre; d += 500 { // nm
		b := withPads(plate(), pad(led.Return, 5, 5), pad(3, 20, 15), pad(3, 20, 15+d.MM()))
		b, _, _ = Fill(context.Background(), b, top())
		require.Len(t, b.Areas, 1)
		fill := b.Areas[0].Fill
		var pts []geom.Pt
		var along, round []float64 // way along the ring to each point, and all round it
		way := 0.0
		for _, ring := range fill.Rings() {
			for _, s := range ring.Segments() {
				if s.A.Dist(geom.PtMM(20, 15+d.MM()/2)) < 1e6 {
					pts, along, round = append(pts, s.A), append(along, way), append(round, ring.Perimeter()*1e6)
				}
				way += s.Len()
			}
			way += 1e9 // rings lie far apart
		}
		crossed := fill.Locate(geom.Pt{X: geom.MM(20), Y: geom.MM(15) + d/2}) == geom.Inside
		if !crossed {
			closed++
		}
		for i, p := range pts {
			for j := range i {
				dist := p.Dist(pts[j])
				apart := along[i] - along[j]
				if apart < 3*dist || apart > round[i]-3*dist && apart < round[i] {
					continue // flanks of one corner
				}
				if crossed {
					require.Greater(t, dist, float64(r.Neck-5*geom.Micrometre), "waist at %v", d)
				} else {
					require.Greater(t, dist, float64(r.Clearance/2), "slit at %v", d)
				}
			}
		}
	}
	require.Positive(t, closed)
}
