package dxf

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// Written and read back: each curve on its layer, at its place above the page's lower edge, arcs turning as they do on the
// page, whose Y runs down.
func TestEncode(t *testing.T) {
	bow := geom.Contour{{Pt: geom.PtMM(1, 2), Bulge: math.Sqrt2 - 1}, {Pt: geom.PtMM(3, 4)}}
	ink := scene.Line(0xe01010, 1000)
	letter := []geom.Contour{geom.Straight(geom.PtMM(0, 0), geom.PtMM(0.5, 0), geom.PtMM(0.5, -1))}
	p := scene.Page{W: geom.MM(30), H: geom.MM(20), Title: "face"}
	inner := &scene.Group{Items: []scene.Item{&scene.Path{Shapes: []geom.Contour{geom.Circle(geom.PtMM(10, 5), geom.MM(4))}, Stroke: ink}}}
	g := &scene.Group{Name: "cuts"}
	p.Body.Add(g)
	g.Add(inner, &scene.Path{Name: "edge", Shapes: []geom.Contour{bow}, Open: true, Stroke: ink}, &scene.Path{Shapes: []geom.Contour{bow}})
	p.Body.Add(&scene.Glyphs{Text: "I", At: geom.PtMM(20, 10), Height: geom.MM(2), Letters: []scene.Letter{{Rune: 'I', Shapes: letter}}})
	src, err := Encode(p)
	require.NoError(t, err)
	d, l := dxf.Read(t.Context(), src, "face.dxf")
	require.Empty(t, l)
	require.Equal(t, "mm", d.Units.Name)
	require.Len(t, d.Entities, 3, "what has no paint is not drawn")

	circle := d.Entities[0]
	require.Equal(t, "cuts", circle.Layer)
	require.Equal(t, "CIRCLE", circle.Type)
	require.Equal(t, dxf.Box{Min: dxf.XY{X: 8, Y: 13}, Max: dxf.XY{X: 12, Y: 17}}, circle.Path.Box())

	arc := d.Entities[1]
	require.Equal(t, "edge", arc.Layer)
	require.False(t, arc.Path.Closed)
	require.Equal(t, dxf.XY{X: 1, Y: 18}, arc.Path.Vertices[0].XY)
	require.Equal(t, dxf.XY{X: 3, Y: 16}, arc.Path.Vertices[1].XY)
	require.InDelta(t, 1-math.Sqrt2, arc.Path.Vertices[0].Bulge, 1e-12)

	require.Equal(t, map[string]uint8{"cuts": 1, "edge": 1, "0": 7}, colours(d), "red, and what is black on paper")
	require.Equal(t, "0", d.Entities[2].Layer)
	require.Equal(t, dxf.Box{Min: dxf.XY{X: 20, Y: 10}, Max: dxf.XY{X: 21, Y: 12}}, d.Entities[2].Path.Box())
}

func colours(d dxf.Drawing) map[string]uint8 {
	out := map[string]uint8{}
	for _, l := range d.Layers {
		out[l.Name] = l.Colour
	}
	return out
}
