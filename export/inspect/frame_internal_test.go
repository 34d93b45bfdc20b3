package inspect

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/panel/geom"
)

// scored is an array with a line scored at X = 0 from Y = -50 to 50 mm, and one piece of copper.
func scored(o export.Object, a export.Aperture) export.Artwork {
	return export.Artwork{Array: true, Layers: []export.Layer{
		{Function: export.CopperTop, Apertures: []export.Aperture{a}, Objects: []export.Object{o}},
		{Function: export.Vcut, Apertures: []export.Aperture{{Shape: export.Circle, W: geom.MM(0.1)}},
			Objects: []export.Object{{Op: export.Draw, From: geom.Pt{Y: geom.MM(-50)}, To: geom.Pt{Y: geom.MM(50)}}}},
	}}
}

// 0.40 mm are needed between copper and a line that is scored, whatever the copper is painted with: the corner of a square of 1 mm
// that stands aslant is 0.707 mm from its middle.
func TestScoreKeepsOffTracksAndLandsOfAllShapes(t *testing.T) {
	mm := geom.MM
	square := export.Aperture{Shape: export.Rectangle, W: mm(1), H: mm(1)}
	aslant := square
	aslant.Slant = true
	round := export.Aperture{Shape: export.Circle, W: mm(1)}
	long := export.Aperture{Shape: export.Obround, W: mm(3), H: mm(1)}
	flash := func(x float64) export.Object { return export.Object{Op: export.Flash, To: geom.PtMM(x, 7)} }
	draw := func(x float64) export.Object {
		return export.Object{Op: export.Draw, From: geom.PtMM(x, 7), To: geom.PtMM(9, 8)}
	}
	cleared := draw(0.5)
	cleared.Clear = true
	for _, c := range []struct {
		what string
		o    export.Object
		a    export.Aperture
		near bool
	}{
		{"square", flash(0.89), square, true}, {"square", flash(0.91), square, false},
		{"square aslant", flash(1.10), aslant, true}, {"square aslant", flash(1.12), aslant, false},
		{"round", flash(0.89), round, true}, {"round", flash(0.91), round, false},
		{"oblong", flash(1.89), long, true}, {"oblong", flash(1.91), long, false},
		{"track", draw(0.89), round, true}, {"track", draw(0.91), round, false},
		{"copper taken away", cleared, round, false},
	} {
		p := &inspector{}
		p.pack.Artwork = scored(c.o, c.a)
		p.score()
		require.Equal(t, c.near, len(p.found) == 1 && p.found[0].Code == "inspect-copper-at-score", "%s: %v", c.what, p.found)
	}
}
