package picture

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/export/scene/svg"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/lettering"
	"lampblack/panel/read"
)

// sketchOf is a drawing's report: an outline, an LED hole, a cutout, a line that does not close, and words.
func sketchOf(k float64) read.Report {
	at := func(x, y float64) dxf.XY { return dxf.XY{X: x * k, Y: y * k} }
	box := func(x0, y0, x1, y1 float64) dxf.Path {
		return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: at(x0, y0)}, {XY: at(x1, y0)}, {XY: at(x1, y1)}, {XY: at(x0, y1)}}}
	}
	ring := func(x, y, r float64) dxf.Path {
		return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: at(x-r, y), Bulge: 1}, {XY: at(x+r, y), Bulge: 1}}}
	}
	d := dxf.Drawing{Name: "desk/dome & <shutter>.dxf", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
	add := func(layer string, p dxf.Path) {
		d.Entities = append(d.Entities, dxf.Entity{Type: "LWPOLYLINE", Layer: layer, Path: p})
	}
	add("OUTLINE", box(0, 0, 120, 80))
	add("LED", ring(30, 60, 1.5))
	add("OPENING", box(20, 20, 40, 40))
	add("NOTES", dxf.Path{Vertices: []dxf.Vertex{{XY: at(50, 10)}, {XY: at(70, 10)}, {XY: at(70, 20)}}})
	d.Entities = append(d.Entities, dxf.Entity{Type: "TEXT", Layer: "LETTERING", Text: &dxf.Text{Text: "DOME", At: at(60, 65), Height: 4 * k, Width: 1}})
	rep, _ := read.Survey(context.Background(), d, read.Options{})
	return rep
}

// TestSurvey: the picture is sound XML, shows each thing in its role's colour, rings open ends, marks what is wrong and
// nothing else, and names what it shows.
func TestSurvey(t *testing.T) {
	var l diag.List
	l.Add(diag.Error, "x", "wrong").At(60, 40)
	l.Add(diag.Warning, "x", "odd").At(10, 10)
	l.Add(diag.Note, "x", "by the way").At(20, 10)
	src := surveyed(sketchOf(1), l)
	s := string(src)
	dec := xml.NewDecoder(bytes.NewReader(src))
	ids, open, marks := map[string]bool{}, 0, 0
	group := ""
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			if a.Name.Local == "id" || a.Name.Local == "class" {
				ids[a.Value] = true
				if e.Name.Local == "g" {
					group = a.Value
				}
			}
			require.NotContains(t, a.Value, "NaN")
			require.NotContains(t, a.Value, "Inf")
		}
		switch {
		case group == "open-ends" && e.Name.Local == "circle":
			open++
		case group == "notes-findings" && e.Name.Local == "path" && strings.Contains(attr(e, "d"), "l1.6"):
			marks++
		}
	}
	for _, id := range []string{"outline", "led", "opening"} {
		require.True(t, ids[id], id)
	}
	require.Equal(t, 2, open, "both ends of the open line")
	require.Equal(t, 2, marks, "an error and a warning; notes are not marked")
	require.Contains(t, s, `aria-label="DOME"`)
	require.Contains(t, s, "dome &amp; &lt;shutter&gt;.dxf")
	require.Contains(t, s, `aria-label="2 open ends"`)
	require.Equal(t, src, surveyed(sketchOf(1), l), "the same every time")
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// TestSurveyOfAnySize: from nothing to a drawing in the wrong unit, the page stays a page.
func TestSurveyOfAnySize(t *testing.T) {
	reports := []read.Report{{File: "empty.dxf"}}
	for _, k := range []float64{1e-6, 0.001, 25.4, 1e6} {
		reports = append(reports, sketchOf(k))
	}
	far := sketchOf(1)
	far.Extents.Max = dxf.XY{X: 1e9, Y: 1e9}
	far.Loops = append(far.Loops, read.Loop{Drawn: read.Drawn{Layer: "0"}, Box: dxf.Box{Min: dxf.XY{X: 9e8, Y: 9e8}, Max: dxf.XY{X: 1e9, Y: 1e9}}})
	reports = append(reports, far)
	for _, r := range reports {
		s := string(surveyed(r, nil))
		var w, h float64
		dec := xml.NewDecoder(strings.NewReader(s))
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err)
			if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "svg" {
				w, h = number(t, strings.TrimSuffix(attr(e, "width"), "mm")), number(t, strings.TrimSuffix(attr(e, "height"), "mm"))
			}
		}
		require.LessOrEqual(t, math.Max(w, h), 300.0, r.File)
		require.GreaterOrEqual(t, math.Min(w, h), 30.0)
		require.NotContains(t, s, "NaN")
	}
	require.Contains(t, string(surveyed(far, nil)), "1 more thing lies far outside this view")
}

func surveyed(r read.Report, l diag.List) []byte { return svg.Encode(nil, SurveyPage(r, l, nil)) }

// asking is a panel with a question, several kinds of things for several reasons, a title block, and a dial.
func asking(t *testing.T) (read.Report, diag.List) {
	t.Helper()
	d := dxf.Drawing{Name: "fans.dxf", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
	add := func(p dxf.Path) { d.Entities = append(d.Entities, dxf.Entity{Type: "LWPOLYLINE", Layer: "0", Path: p}) }
	line := func(xy ...float64) {
		p := dxf.Path{}
		for i := 0; i < len(xy); i += 2 {
			p.Vertices = append(p.Vertices, dxf.Vertex{XY: dxf.XY{X: xy[i], Y: xy[i+1]}})
		}
		add(p)
	}
	box := func(x0, y0, x1, y1 float64) {
		add(dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x0, Y: y0}}, {XY: dxf.XY{X: x1, Y: y0}}, {XY: dxf.XY{X: x1, Y: y1}}, {XY: dxf.XY{X: x0, Y: y1}}}})
	}
	ring := func(x, y, d float64) {
		add(dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x - d/2, Y: y}, Bulge: 1}, {XY: dxf.XY{X: x + d/2, Y: y}, Bulge: 1}}})
	}
	box(0, 0, 160, 90)
	for _, x := range []float64{5, 155} {
		ring(x, 5, 3.2)
		ring(x, 85, 3.2)
	}
	for i := range 6 {
		ring(30+20*float64(i), 40, 3.2)
	}
	ring(80, 65, 12.2)
	line(70, 10, 90, 10, 90, 20)
	line(-60, -40, -20, -40, -20, -20) // a title block
	line(-60, -30, -30, -30)
	rep, l := read.Survey(t.Context(), d, read.Options{})
	return rep, l.Sorted().Grouped()
}

// TestSurveyTells: questions come first in the list, each finding and each kind of thing has one number there and stands by it
// on the drawing, reasons are told, and no two texts of the page share any ink.
func TestSurveyTells(t *testing.T) {
	r, l := asking(t)
	page := SurveyPage(r, l, nil)
	tidy(t, page)
	listed, drawn, said := map[string]int{}, map[string]int{}, ""
	for _, i := range inks(page) {
		switch {
		case i.text == "":
		case strings.HasSuffix(i.group, "notes-list"):
			if _, err := strconv.Atoi(i.text); err == nil {
				listed[i.text]++
			} else {
				said += " " + i.text
			}
		case strings.HasSuffix(i.group, "notes-numbers"):
			drawn[i.text]++
		}
	}
	require.GreaterOrEqual(t, len(listed), 5)
	for n, k := range listed {
		require.Equal(t, 1, k, n)
		require.Positive(t, drawn[n], "number %s stands nowhere on the drawing", n)
	}
	require.Equal(t, 6, drawn["1"], "at each of the six things in question")
	require.Less(t, strings.Index(said, "Questions"), strings.Index(said, "What is wrong or odd"))
	for _, want := range []string{"6 circles of 3.2 mm: are they holes for 3 mm LEDs or mounts", "write which in the project file", "4 circles of 3.2 mm: mounts, the holes of screws, since they lie in the corners",
		"since it is the largest closed line", "1 open line on layer 0, within the panel", "2 open lines on layer 0, outside every panel"} {
		require.Contains(t, said, want)
	}
	require.Len(t, r.Open, 2, "the corner within the panel, not what lies beside it")
	marked := SurveyMarks(l, "fans.svg")
	require.Equal(t, diag.Mark{Number: 1, On: "fans.svg"}, marked[0].Mark)
	require.NotNil(t, marked[0].Question)
	require.Zero(t, l[0].Mark, "the list itself stays as it is")
}

// Texts are shown in the face that they get: the condensed one is narrower.
func TestSurveyShowsFaces(t *testing.T) {
	words := read.Words{Text: dxf.Text{Text: "Dome opens", Height: 5, Width: 1}}
	wide := func(name string) float64 {
		s := sketch{k: 1}
		if name != "" {
			s.faces = &lettering.Faces{Usual: lettering.Named(name)}
		}
		return s.words(&words).Box().W().MM()
	}
	require.Equal(t, wide(lettering.Plain), wide(""))
	require.Less(t, wide(lettering.Condensed), 0.9*wide(lettering.Plain))
}

// TestSurveyAsEngraved: a line round a word is shown as a line, not as a slab over it, a filling filled, and a dashed line in the dashes
// that the sheets have: of 33 mm in dashes of 3 mm and gaps of 2 mm there are seven.
func TestSurveyAsEngraved(t *testing.T) {
	at := func(x, y float64) dxf.Vertex { return dxf.Vertex{XY: dxf.XY{X: x, Y: y}} }
	box := func(x0, y0, x1, y1 float64) dxf.Path {
		return dxf.Path{Closed: true, Vertices: []dxf.Vertex{at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)}}
	}
	d := dxf.Drawing{Name: "dome.dxf", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}, Entities: []dxf.Entity{
		{Type: "LWPOLYLINE", Layer: "OUTLINE", Path: box(0, 0, 100, 60)},
		{Type: "LWPOLYLINE", Layer: "LETTERING", Path: box(10, 10, 50, 30)},
		{Type: "TEXT", Layer: "LETTERING", Text: &dxf.Text{Text: "OPEN", At: dxf.XY{X: 20, Y: 18}, Height: 5, Width: 1}},
		{Type: "HATCH", Layer: "LETTERING", Fill: true, Path: box(60, 10, 70, 20)},
		{Type: "LINE", Layer: "LETTERING", Path: dxf.Path{Vertices: []dxf.Vertex{at(60, 40), at(93, 40)}}, Pen: &dxf.Pen{Dashes: []float64{3, -2}}},
	}}
	rep, _ := read.Survey(t.Context(), d, read.Options{})
	page := SurveyPage(rep, nil, nil)
	var filled, lines []int
	in := false // of what is drawn
	var walk func(items []scene.Item)
	walk = func(items []scene.Item) {
		for _, it := range items {
			switch v := it.(type) {
			case *scene.Group:
				if v.Name == "view" || in {
					in = true
					walk(v.Items)
					in = v.Name != "view"
				}
			case *scene.Path:
				if in && v.Label == "" && v.Fill == scene.Solid(letterInk) {
					filled = append(filled, len(v.Shapes))
				}
				if in && v.Stroke.Paint == scene.Solid(letterInk) && v.Fill == (scene.Paint{}) {
					lines = append(lines, len(v.Shapes))
				}
			}
		}
	}
	walk(page.Body.Items)
	require.Equal(t, []int{1, 7}, filled, "the filling and the dashes")
	require.Equal(t, []int{1}, lines, "the line round the word")
}
