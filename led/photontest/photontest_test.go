package photontest_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/photontest"
)

// Source: L. Wang, S. L. Jacques and L. Zheng, MCML (see the package), tables 1 and 2: a slab of the index of its surroundings,
// 10 absorptions and 90 scatterings a centimetre, mean cosine 0.75, 0.2 mm thick, sends back 0.09739 and passes 0.66096 (H. C.
// van de Hulst, "Multiple Light Scattering", 1980, volume 2, table 35); endless depth of index 1.5 that scatters evenly sends
// back 0.2600 (R. G. Giovanelli, "Reflection by semi-infinite diffusers", Optica Acta 2, 1955, 153-162).
func TestPublishedSlabs(t *testing.T) {
	s := photontest.Layer{Thick: 0.2, Index: 1, Scatter: 9, Absorb: 1, Forward: 0.75}.Through(100_000, 1)
	require.InDelta(t, 0.09739, s.Returned, 0.003)
	require.InDelta(t, 0.66096, s.Passed, 0.004)
	require.InDelta(t, math.Exp(-2), s.Straight, 0.004, "Beer and Lambert")
	s = photontest.Layer{Thick: 5, Index: 1.5, Scatter: 9, Absorb: 1}.Through(100_000, 1)
	require.InDelta(t, 0.2600, s.Returned, 0.005)
}

// Clear acrylic passes 92 % (references.md section 12): Fresnel at both surfaces.
func TestClearSheet(t *testing.T) {
	s := photontest.Layer{Thick: 3, Index: 1.49}.Through(50_000, 1)
	require.InDelta(t, 0.92, s.Passed, 0.005)
	require.InDelta(t, 1, s.Passed+s.Returned, 1e-9)
}

// An LED alone in air lights the plane before it by the cosine law, I·cos^(m+3) θ/z² (references.md section 10): through frosted
// engraving that is seen as E/π; through clear engraving there is the disc of the source, and nothing beside it.
func TestBareLED(t *testing.T) {
	s := photontest.Stack{Layers: []photontest.Layer{{Thick: 10, Index: 1}}, Tip: 10, Lobe: 2, Source: 0.5, Paint: 1}
	v := s.Look(400_000, 1, 1, 20)
	for i, got := range v.Frosted {
		r := float64(i) + 0.5
		want := 1e6 / 100 * math.Pow(1+r*r/100, -2.5) / math.Pi
		require.InEpsilon(t, want, got, 0.08, "%g mm", r)
	}
	require.InEpsilon(t, 1e6/math.Pi, v.Clear[0], 1e-9, "the disc fills a quarter of the first ring")
	require.Zero(t, v.Clear[1])
}
