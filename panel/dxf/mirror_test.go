package dxf

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestMirroredBlocks: an arc in a block that is mirrored bends the way that its mirror image does. The block holds a D of
// 10 x 20 mm with a half disc of 10 mm radius on its right, whose arc has its middle at (20, 10) and which encloses
// 200 + 50π mm²; an arc that bent the wrong way would have its middle at (0, 10) and leave 200 - 50π. Where the middle
// goes follows from the order of the DXF Reference: scale, turn, move; extrusion (0,0,-1) negates X of all of it.
func TestMirroredBlocks(t *testing.T) {
	shapes := map[string]string{
		"lwpolyline": "0 LWPOLYLINE,8 0,90 4,70 1,10 0,20 0,10 10,20 0,42 1,10 10,20 20,10 0,20 20",
		// The same seen from below: X negated, and so the other way round.
		"lwpolyline from below": "0 LWPOLYLINE,8 0,90 4,70 1,230 -1,10 0,20 0,10 -10,20 0,42 -1,10 -10,20 20,10 0,20 20",
		"polyline":              "0 POLYLINE,8 0,66 1,70 1,0 VERTEX,10 0,20 0,0 VERTEX,10 10,20 0,42 1,0 VERTEX,10 10,20 20,0 VERTEX,10 0,20 20,0 SEQEND",
		"hatch":                 "0 HATCH,8 0,2 SOLID,70 1,71 0,91 1,92 3,72 1,73 1,93 4,10 0,20 0,42 0,10 10,20 0,42 1,10 10,20 20,42 0,10 0,20 20,42 0,97 0,75 0,76 1,98 0",
	}
	const area = 200 + 50*math.Pi
	for _, k := range []struct {
		name, insert string
		mid          XY
		area         float64
		tol          float64 // mm
	}{
		{"as it is", "10 100,20 50", XY{X: 120, Y: 60}, area, 1e-9},
		{"left to right", "10 100,20 50,41 -1", XY{X: 80, Y: 60}, area, 1e-9},
		{"top to bottom", "10 100,20 50,42 -1", XY{X: 120, Y: 40}, area, 1e-9},
		{"both, which is a turn", "10 100,20 50,41 -1,42 -1", XY{X: 80, Y: 40}, area, 1e-9},
		{"mirrored, then turned by 90", "10 100,20 50,41 -1,50 90", XY{X: 90, Y: 30}, area, 1e-9},
		{"mirrored and twice as large", "10 100,20 50,41 -2,42 2", XY{X: 60, Y: 70}, 4 * area, 1e-9},
		{"mirrored and stretched", "10 100,20 50,41 -2,42 1", XY{X: 60, Y: 60}, 2 * area, 2 * CurveTolerance},
		{"seen from below", "10 100,20 50,230 -1", XY{X: -120, Y: 60}, area, 1e-9},
		{"seen from below and mirrored", "10 100,20 50,41 -1,230 -1", XY{X: -80, Y: 60}, area, 1e-9},
	} {
		for name, shape := range shapes {
			t.Run(k.name+"/"+name, func(t *testing.T) {
				blocks := "0 SECTION,2 BLOCKS,0 BLOCK,2 D,10 0,20 0," + shape + ",0 ENDBLK," +
					"0 BLOCK,2 TURNED,10 0,20 0,0 INSERT,8 0,2 D,10 0,20 0,41 -1,0 ENDBLK,0 ENDSEC"
				d, l := Read(t.Context(), file("AC1015", blocks, "0 INSERT,8 OPENING,2 D,"+k.insert), "iris.dxf")
				require.False(t, l.HasErrors(), l)
				require.Len(t, d.Entities, 1)
				p := d.Entities[0].Path
				require.True(t, p.Closed)
				require.InDelta(t, k.area, math.Abs(p.SignedArea()), 60*k.tol)
				require.LessOrEqual(t, offPath(p, k.mid), k.tol, "the arc's middle")

				// A mirrored block in a mirrored one is as it was.
				if k.name == "left to right" {
					d, l = Read(t.Context(), file("AC1015", blocks, "0 INSERT,8 OPENING,2 TURNED,"+k.insert), "iris.dxf")
					require.False(t, l.HasErrors(), l)
					require.InDelta(t, area, math.Abs(d.Entities[0].Path.SignedArea()), 1e-7)
					require.LessOrEqual(t, offPath(d.Entities[0].Path, XY{X: 120, Y: 60}), 1e-9)
				}
			})
		}
	}
}

// TestMirroredArcs: the quarter from 0° to 90° round (0, 0) with radius 10 has its middle at 45°, and mirrored at 135°,
// 315° or 225°.
func TestMirroredArcs(t *testing.T) {
	const h = 7.0710678118654755 // 10·sin 45°
	for scale, mid := range map[[2]float64]XY{{1, 1}: {X: h, Y: h}, {-1, 1}: {X: -h, Y: h}, {1, -1}: {X: h, Y: -h}, {-1, -1}: {X: -h, Y: -h}} {
		blocks := "0 SECTION,2 BLOCKS,0 BLOCK,2 Q,10 0,20 0,0 ARC,8 0,10 0,20 0,40 10,50 0,51 90,0 ENDBLK,0 ENDSEC"
		d, l := Read(t.Context(), file("AC1015", blocks, fmt.Sprintf("0 INSERT,8 BODY,2 Q,10 0,20 0,41 %g,42 %g", scale[0], scale[1])), "iris.dxf")
		require.Empty(t, l)
		require.Len(t, d.Entities, 1)
		es := d.Entities[0].Path.Edges()
		require.Len(t, es, 1)
		require.Less(t, es[0].Mid().Dist(mid), 1e-9, "%v: %v", scale, es[0].Mid())
		require.InDelta(t, 5*math.Pi, d.Entities[0].Path.Perimeter(), 1e-9)
	}
}
