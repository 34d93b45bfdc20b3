package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// drawn returns what a page of 20 by 10 mm with the items on it draws.
func drawn(t *testing.T, items ...scene.Item) string {
	t.Helper()
	src := Encode(nil, Document{}, scene.Page{W: geom.MM(20), H: geom.MM(10), Body: scene.Group{Items: items}})
	at := regexp.MustCompile(`/Length (\d+)>>\nstream\n`).FindIndex(src)
	z, err := zlib.NewReader(bytes.NewReader(src[at[1]:]))
	require.NoError(t, err)
	all, err := io.ReadAll(z)
	require.NoError(t, err)
	// 72/25.4; ISO 32000-1, 8.3.2.3: 1/72 inch, Y up
	_, rest, ok := strings.Cut(string(all), "q\n2.83465 0 0 -2.83465 0 28.34646 cm\n")
	require.True(t, ok)
	rest, words, ok := strings.Cut(rest, "Q\n\n")
	require.True(t, ok)
	if words != "" {
		rest += "|" + words
	}
	return strings.ReplaceAll(rest, "\n", " ")
}

func line(pts ...geom.Pt) []geom.Contour { return []geom.Contour{geom.Straight(pts...)} }

// Operators of ISO 32000-1, 8.5: m l c h, f and f* fill, S strokes, B does both; rg and RG colours, w width, d dashes, W* n clips.
func TestShapes(t *testing.T) {
	at := geom.PtMM
	tri := line(at(1, 2), at(3, 4), at(5, 4))
	require.Equal(t, "0 0 0 rg 1 2 m 3 4 l 5 4 l h f ", drawn(t, &scene.Path{Shapes: tri, Fill: scene.Solid(0)}))
	require.Equal(t, "1 0 0.50196 rg 1 2 m 3 4 l 5 4 l h f* ", drawn(t, &scene.Path{Shapes: tri, Fill: scene.Solid(0xff0080), EvenOdd: true}))
	require.Equal(t, "0 0 1 RG 0.3 w 1 J 1 j 4 M [2 1] 0 d 0 0 m 1 1 l S ",
		drawn(t, &scene.Path{Shapes: line(at(0, 0), at(1, 1)), Open: true, Stroke: scene.Line(0xff, geom.MM(0.3)).Dashed(geom.MM(2), geom.MM(1)).Round()}))
	require.Equal(t, "0 0 0 rg 1 0 0 RG 0.1 w 0 J 0 j 4 M [] 0 d 1 2 m 3 4 l 5 4 l h B ",
		drawn(t, &scene.Path{Shapes: tri, Fill: scene.Solid(0), Stroke: scene.Line(0xff0000, geom.MM(0.1))}))
	require.Equal(t, "q 1 2 m 3 4 l 5 4 l h W* n 0 0 0 rg 1 2 m 3 4 l 5 4 l h f Q ",
		drawn(t, &scene.Group{Clip: tri, Items: []scene.Item{&scene.Path{Shapes: tri, Fill: scene.Solid(0)}}}))
	require.Empty(t, drawn(t, &scene.Path{}, &scene.Path{Shapes: tri}))
}

// Paint that covers in part is drawn with a state of its own, and what comes after it is whole again.
func TestPartPaint(t *testing.T) {
	tri := line(geom.PtMM(1, 2), geom.PtMM(3, 4), geom.PtMM(5, 4))
	got := drawn(t, &scene.Path{Shapes: tri, Fill: scene.Paint{Colour: 0, Percent: 28}, Stroke: scene.Line(0, 1000)})
	require.Regexp(t, `^ *q .*`, "q "+got)
	require.Equal(t, 2, strings.Count(got, " gs "), got)
	require.Less(t, strings.Index(got, " gs "), strings.Index(got, " f "))
	require.Less(t, strings.LastIndex(got, " gs "), strings.Index(got, " S "))
	src := Encode(nil, Document{}, scene.Page{W: geom.MM(20), H: geom.MM(10), Body: scene.Group{Items: []scene.Item{&scene.Path{Shapes: tri, Fill: scene.Paint{Colour: 0, Percent: 28}}}}})
	require.Contains(t, string(src), "/ca 0.28")
}

// Letters are outlines in their own measure, and the text lies over them, invisible: text rendering mode 3.
func TestGlyphs(t *testing.T) {
	bar := line(geom.PtMM(0, 0), geom.PtMM(0.5, 0), geom.PtMM(0.5, -1))
	got := drawn(t, &scene.Glyphs{Text: "I (I)", At: geom.PtMM(3, 4), Height: geom.MM(2), Fill: scene.Solid(0),
		Letters: []scene.Letter{{Rune: 'I', Shapes: bar}, {Rune: 'I', X: geom.MM(1.5), Shapes: bar}}})
	require.True(t, strings.HasPrefix(got, "q 0 0 0 rg 2 0 0 2 3 4 cm 0 0 m 0.5 0 l 0.5 -1 l h f 1 0 0 1 1.5 0 cm 0 0 m 0.5 0 l 0.5 -1 l h f Q |"), got)
	require.Contains(t, got, "3 Tr ")
	require.Contains(t, got, `(I \(I\)) Tj`)
}

// Arcs: ends, and every point of the curves within 0.03 % of the radius from the circle.
func TestArcs(t *testing.T) {
	q := math.Sqrt2 - 1
	for _, c := range []struct {
		to     geom.Pt
		bulge  float64
		cx, cy float64
		n      int
	}{
		{geom.PtMM(0, 1), q, 0, 0, 1},
		{geom.PtMM(0, -1), -q, 0, 0, 1},               // and the other way
		{geom.PtMM(0, 1), -(1 + math.Sqrt2), 0, 0, 3}, // the long way round
		{geom.PtMM(-1, 0), 1, 0, 0, 2},                // half
	} {
		body := drawn(t, &scene.Path{Shapes: []geom.Contour{{{Pt: geom.PtMM(1, 0), Bulge: c.bulge}, {Pt: c.to}}}, Open: true, Stroke: scene.Line(0, 1000)})
		body = body[strings.Index(body, "0 d ")+4:]
		require.Equal(t, c.n, strings.Count(body, " c "), body)
		var x, y float64
		_, err := fmt.Sscanf(body, "%g %g m", &x, &y)
		require.NoError(t, err)
		body = body[strings.Index(body, "m ")+2:]
		for range c.n {
			var p [6]float64
			_, err := fmt.Sscanf(body, "%g %g %g %g %g %g c", &p[0], &p[1], &p[2], &p[3], &p[4], &p[5])
			require.NoError(t, err)
			body = body[strings.Index(body, "c ")+2:]
			for k := range 21 {
				s := float64(k) / 20
				at := func(a, b, c, d float64) float64 {
					u := 1 - s
					return u*u*u*a + 3*u*u*s*b + 3*u*s*s*c + s*s*s*d
				}
				require.InDelta(t, 1, math.Hypot(at(x, p[0], p[2], p[4])-c.cx, at(y, p[1], p[3], p[5])-c.cy), 4e-4)
			}
			x, y = p[4], p[5]
		}
		require.Equal(t, [2]float64{c.to.X.MM(), c.to.Y.MM()}, [2]float64{x, y})
	}
}

// The same pages give the same bytes; a date is there only when it is given, and blanks leave the table of places right.
func TestSettled(t *testing.T) {
	p := scene.Page{W: geom.MM(20), H: geom.MM(10)}
	bare := Encode(nil, Document{Title: "dome"}, p)
	require.Equal(t, bare, Encode(nil, Document{Title: "dome"}, p))
	require.NotContains(t, string(bare), "Date")
	require.NotContains(t, string(bare), "/Names")
	require.Contains(t, string(bare), "/ViewerPreferences << /PrintScaling /None >>")
	dated := Encode(nil, Document{Title: "dome", Date: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)}, p)
	require.Contains(t, string(dated), "/CreationDate (D:20261125000000)")
	require.Len(t, dated, len(bare))
}
