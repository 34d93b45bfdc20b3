package dxf

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// groups writes codes and values as a file has them.
func groups(s string) string { return strings.Join(strings.Fields(s), "\n") + "\n" }

// Widths of pens (DXF Reference, LWPOLYLINE 40, 41, 43, POLYLINE and VERTEX 40, 41; common groups and LAYER 370): a polyline's own
// is drawn and grows with its block, a line weight is not; -1 is the layer's, -3 none.
func TestPens(t *testing.T) {
	src := groups(`
0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 9 $INSUNITS 70 4 0 ENDSEC
0 SECTION 2 TABLES 0 TABLE 2 LAYER
0 LAYER 2 WIDE 70 0 62 7 6 CONTINUOUS 370 70
0 LAYER 2 PLAIN 70 0 62 7 6 CONTINUOUS 370 -3
0 ENDTAB 0 ENDSEC
0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 B 70 0 10 0 20 0 0 LWPOLYLINE 8 PLAIN 90 2 70 0 43 0.5 10 0 20 0 10 5 20 0 0 ENDBLK 0 ENDSEC
0 SECTION 2 ENTITIES
0 LINE 8 WIDE 10 0 20 0 11 9 21 0
0 LINE 8 PLAIN 370 35 10 0 20 1 11 9 21 1
0 LINE 8 PLAIN 370 -1 10 0 20 2 11 9 21 2
0 LINE 8 WIDE 370 -3 10 0 20 3 11 9 21 3
0 LWPOLYLINE 8 PLAIN 90 2 70 0 43 1.5 10 0 20 4 10 9 20 4
0 LWPOLYLINE 8 PLAIN 90 2 70 0 10 0 20 5 40 0.8 41 0.8 10 9 20 5
0 POLYLINE 8 PLAIN 66 1 70 0 40 0.6 41 0.6 0 VERTEX 8 PLAIN 10 0 20 6 0 VERTEX 8 PLAIN 10 9 20 6 0 SEQEND
0 INSERT 2 B 8 PLAIN 10 0 20 7 41 2 42 2
0 ENDSEC 0 EOF`)
	d, l := Read(t.Context(), []byte(src), "pens.dxf")
	require.Empty(t, l)
	type pens struct {
		width  float32
		weight uint8
	}
	var got []pens
	for _, e := range d.Entities {
		require.False(t, e.Fill)
		got = append(got, pens{e.Width, e.Weight})
	}
	require.Equal(t, []pens{{0, 70}, {0, 35}, {0, 0}, {0, 0}, {1.5, 0}, {0.8, 0}, {0.6, 0}, {1, 0}}, got)
}

// A polyline whose pen narrows is the line and, for each piece with a width, the area that it covers: an arrow of 3 x 4 with a shaft.
func TestTaperingPen(t *testing.T) {
	src := groups(`
0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 9 $INSUNITS 70 4 0 ENDSEC
0 SECTION 2 ENTITIES
0 LWPOLYLINE 8 0 90 3 70 0 10 0 20 0 10 10 20 0 40 3 41 0 10 14 20 0
0 ENDSEC 0 EOF`)
	d, l := Read(t.Context(), []byte(src), "arrow.dxf")
	require.Empty(t, l)
	require.Len(t, d.Entities, 2)
	require.False(t, d.Entities[0].Fill)
	require.Zero(t, d.Entities[0].Width)
	require.Equal(t, &Pen{Parted: true, Lines: []Path{{Vertices: []Vertex{{XY: XY{}}, {XY: XY{X: 10}}}}}}, d.Entities[0].Pen, "the shaft alone is a line")
	head := d.Entities[1]
	require.True(t, head.Fill && head.Path.Closed)
	var corners []XY
	for _, v := range head.Path.Vertices {
		corners = append(corners, v.XY)
	}
	require.Equal(t, []XY{{X: 10, Y: -1.5}, {X: 14}, {X: 14}, {X: 10, Y: 1.5}}, corners)
}
