package svg

import (
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// data returns path data of shapes on a page that shows a box of 20 by 20 mm.
func data(mirror, open bool, step geom.Nm, cs ...geom.Contour) string {
	w := writer{step: step}
	f := scene.Frame{Box: geom.Box{Max: geom.PtMM(20, 20)}, Mirror: mirror}
	return w.path(f.Contours(cs...), open)
}

// A quarter circle that turns counter-clockwise on the panel. SVG 1.1, section 8.3.8: sweep flag 1 turns toward
// positive angles, and with Y down those run clockwise.
func TestArcs(t *testing.T) {
	c := geom.Contour{{Pt: geom.PtMM(10, 0), Bulge: math.Sqrt2 - 1}, {Pt: geom.PtMM(0, 10)}, {}}
	require.Equal(t, "M10 20A10 10 0 0 0 0 10l0 10Z", data(false, false, 100, c))
	require.Equal(t, "M10 20A10 10 0 0 1 20 10l0 10Z", data(true, false, 100, c))
	require.Equal(t, "M10 20A10 10 0 0 1 20 10l0 10", data(true, true, 100, c))
	c[0].Bulge = -3 // more than half a turn, clockwise
	require.Contains(t, data(false, false, 100, c), " 0 1 1 0 10")
	require.Equal(t, "M2 15A3 3 0 0 0 8 15A3 3 0 0 0 2 15Z", data(false, false, 100, geom.Circle(geom.PtMM(5, 5), geom.MM(6))))
}

func TestLines(t *testing.T) {
	require.Equal(t, "M1 19l2 0 0 -2Z", data(false, false, 100, geom.Straight(geom.PtMM(1, 1), geom.PtMM(3, 1), geom.PtMM(3, 3))))
	require.Equal(t, "M1 19h0", data(false, true, 100, geom.Straight(geom.PtMM(1, 1))), "a dot")
	require.Equal(t, "", data(false, false, 100, nil))
	// A second point that rounds to the first is left out.
	require.Equal(t, "M5 15l1 0 0 -1Z", data(false, false, 10_000, geom.Straight(geom.PtMM(5, 5), geom.PtMM(5.001, 5), geom.PtMM(6, 5), geom.PtMM(6, 6))))

	// A thousand short steps must end where they should: the rounding of a step is not carried on.
	var l geom.Contour
	for i := range 1001 {
		l = append(l, geom.Vertex{Pt: geom.Pt{X: geom.Nm(i) * 7777}})
	}
	_, steps, ok := strings.Cut(data(false, true, 10_000, l), "l")
	require.True(t, ok)
	x := 0.0
	for i, s := range strings.Fields(steps) {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		if i%2 == 0 {
			x += v
		}
	}
	require.InDelta(t, 7.777, x, 0.0051)
}

// element is one element of a document.
type element struct {
	name, in string // in: the id of the group around it
	attr     map[string]string
}

func read(t *testing.T, doc []byte) []element {
	t.Helper()
	var out []element
	var groups []string
	d := xml.NewDecoder(strings.NewReader(string(doc)))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			require.Empty(t, groups)
			return out
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.StartElement:
			el := element{name: e.Name.Local, attr: map[string]string{}}
			if len(groups) > 0 {
				el.in = groups[len(groups)-1]
			}
			for _, a := range e.Attr {
				el.attr[a.Name.Local] = a.Value
			}
			out = append(out, el)
			groups = append(groups, el.attr["id"])
		case xml.EndElement:
			groups = groups[:len(groups)-1]
		}
	}
}

func square(x, y, w float64) []geom.Contour {
	return []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(x, y), Max: geom.PtMM(x+w, y+w)})}
}

// The document has the page's true size, layers by name, and each shape where it belongs, painted as it is.
func TestDocument(t *testing.T) {
	p := scene.Page{W: geom.MM(30), H: geom.MM(12.5), Title: `a "title" <&> ` + "\x00\x07\ufffe"}
	g := &scene.Group{Name: "2-cut", Title: "Cuts", Label: "all cuts"}
	p.Body.Add(g)
	g.Clip = square(0, 0, 30)
	line := scene.Line(0x1f6f5c, geom.MM(0.05))
	g.Add(&scene.Path{Shapes: square(1, 1, 5), Stroke: line}, &scene.Path{Shapes: []geom.Contour{geom.Circle(geom.PtMM(10, 5), geom.MM(3))}, Stroke: line})
	p.Body.Add(&scene.Path{Name: "face", Label: "the face", Shapes: square(20, 2, 4), EvenOdd: true, Fill: scene.Paint{Colour: 0xff0080, Percent: 28},
		Stroke: scene.Line(0x0000ff, geom.MM(0.3)).Dashed(geom.MM(2), geom.MM(1)).Round()})
	all := read(t, Encode(nil, p))
	require.Equal(t, map[string]string{"xmlns": "http://www.w3.org/2000/svg", "width": "30mm", "height": "12.5mm", "viewBox": "0 0 30 12.5"}, all[0].attr)
	byName := map[string][]element{}
	for _, e := range all {
		byName[e.name] = append(byName[e.name], e)
	}
	group := byName["g"][0].attr
	require.Equal(t, map[string]string{"id": "2-cut", "aria-label": "all cuts", "clip-path": "url(#clip-1)", "fill": "none", "stroke": "#1f6f5c", "stroke-width": "0.05"}, group,
		"what all paths of a group have alike, the group says once")
	require.Equal(t, map[string]string{"cx": "10", "cy": "5", "r": "1.5"}, byName["circle"][0].attr)
	require.Equal(t, "2-cut", byName["circle"][0].in)
	require.Equal(t, map[string]string{"d": "M0 0l30 0 0 30 -30 0Z", "clip-rule": "evenodd"}, byName["path"][0].attr)
	face := byName["path"][2].attr
	delete(face, "d")
	require.Equal(t, map[string]string{"id": "face", "aria-label": "the face", "fill": "#ff0080", "fill-opacity": "0.28", "fill-rule": "evenodd", "stroke": "#0000ff",
		"stroke-width": "0.3", "stroke-dasharray": "2 1", "stroke-linecap": "round", "stroke-linejoin": "round"}, face)
}

// Letters and shapes that are drawn several times are there once, and each use finds them.
func TestSharedShapes(t *testing.T) {
	letter := square(0, -1, 1)
	run := func(x float64) *scene.Glyphs {
		return &scene.Glyphs{Text: "H H", At: geom.PtMM(x, 5), Height: geom.MM(2.5), Fill: scene.Solid(0x123456),
			Letters: []scene.Letter{{Rune: 'H', Shapes: letter}, {Rune: 'H', X: geom.MM(1.5), Shapes: letter}}}
	}
	twice := square(3, 3, 2)
	p := scene.Page{W: geom.MM(30), H: geom.MM(10), Step: geom.Micrometre}
	p.Body.Add(run(1), run(10), &scene.Path{Shapes: twice, Fill: scene.Solid(1)}, &scene.Path{Shapes: square(0, 0, 1), Fill: scene.Solid(2)},
		&scene.Path{Shapes: twice, Fill: scene.Solid(3)})
	ids, uses := map[string]int{}, map[string]int{}
	for _, e := range read(t, Encode(nil, p)) {
		if e.attr["id"] != "" {
			ids["#"+e.attr["id"]]++
		}
		if e.name == "use" {
			uses[e.attr["href"]]++
		}
		if e.name == "g" {
			require.Equal(t, "H H", e.attr["aria-label"])
			require.Contains(t, e.attr["transform"], "scale(2.5)")
		}
	}
	require.Equal(t, map[string]int{"#letter-72": 1, "#shape-1": 1}, ids)
	require.Equal(t, map[string]int{"#letter-72": 4, "#shape-1": 2}, uses)
}

// A revision is told once, made safe as XML 1.0 asks, and documents without a title or without a revision stay as they are.
func TestRevised(t *testing.T) {
	p := scene.Page{W: geom.MM(30), H: geom.MM(12), Title: "a <b>"}
	page := Encode(nil, p)
	once := Revised(page, "R&D")
	require.Contains(t, string(once), "<title>a &lt;b&gt;, revision R&amp;D</title>")
	require.Equal(t, once, Revised(once, "R&D"))
	require.Equal(t, page, Revised(page, ""))
	require.Equal(t, []byte("<svg/>"), Revised([]byte("<svg/>"), "A"))
}
