package sketch

import (
	"math"
	"math/rand/v2"
	"slices"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// pen draws in one manner.
type pen struct {
	rng      *rand.Rand
	manner   int
	language int
	sketch   Sketch
}

// languages are the layers for edge, cuts, holes, print and bodies as draughtsmen name them.
var languages = [...][5]string{
	{"Kontur", "Ausschnitte", "Bohrungen", "Gravur", "Bauteile"},
	{"contour", "decoupe", "percage", "gravure", "composants"},
	{"contorno", "corte", "taladros", "grabado", "piezas"},
	{"bordo", "tagli", "fori", "incisione", "corpi"},
	{"obrys", "wyciecia", "otwory", "grawer", "elementy"},
	{"omtrek", "uitsnijden", "gaten", "gravure", "onderdelen"},
}

// rolesOf are the roles that each kind of thing may be taken for.
func rolesOf(kind string) []panel.Role {
	switch kind {
	case "screw":
		return []panel.Role{panel.RoleMount, panel.RoleOpening}
	case "led":
		return []panel.Role{panel.RoleLED}
	case "letter":
		return []panel.Role{panel.RoleLettering, panel.RoleIgnore}
	case "body":
		return []panel.Role{panel.RoleBody, panel.RoleLettering, panel.RoleIgnore}
	}
	return []panel.Role{panel.RoleOpening}
}

// put adds what draws one kind of thing, on the layer and in the colour, line type and block of the manner.
func (p *pen) put(kind, name string, path dxf.Path) {
	e := dxf.Entity{Type: "LWPOLYLINE", Layer: "0", Path: path}
	column := map[string]int{"edge": 0, "cut": 1, "screw": 2, "led": 2, "letter": 3, "body": 4}[kind]
	switch p.manner {
	case 1:
		e.Layer = [...]string{"Layer_1", "Layer_1", "Layer_1", "Layer_2", "Layer_3"}[column]
	case 2:
		e.Layer = languages[p.language][column]
	case 3:
		e.Colour = [...]uint32{1, 1, 1, 5, 3}[column]
	case 4:
		if kind != "edge" && kind != "letter" {
			e.Block = name
		}
	case 7:
		if kind == "body" {
			e.Style = "HIDDEN2"
		}
	case 8:
		switch kind {
		case "led":
			e.Layer = "LED"
		case "edge":
			if p.language%2 == 0 {
				e.Layer = "Outline"
			}
		}
	case 9:
		e.Layer = [...]string{"Plate edge", "Cutouts", "Drill", "Engrave", "Hidden parts"}[column]
	}
	if !path.Closed {
		e.Type = "LINE"
	}
	p.sketch.Drawing.Entities = append(p.sketch.Drawing.Entities, e)
}

// thing adds what a builder sees.
func (p *pen) thing(kind string, x, y, w, h float64) {
	p.sketch.Things = append(p.sketch.Things, Thing{What: kind, Roles: rolesOf(kind), At: dxf.XY{X: x, Y: y}, W: w, H: h})
}

// hole draws a round thing of a diameter.
func (p *pen) hole(kind string, x, y, d float64) {
	p.thing(kind, x, y, d, d)
	name := map[string]string{"screw": "SCREW", "led": "LED", "cut": "SWITCH"}[kind]
	switch p.manner {
	case 5:
		p.put(kind, name, Ring(x, y, d-0.1))
		p.put(kind, name, Ring(x, y, d+0.1))
	case 6:
		chords := round(x, y, d, 24)
		for i, v := range chords {
			p.put(kind, name, Line(v, chords[(i+1)%len(chords)]))
		}
	default:
		p.put(kind, name, Ring(x, y, d))
	}
}

// box draws a rectangle.
func (p *pen) box(kind string, x, y, w, h float64) {
	p.thing(kind, x+w/2, y+h/2, w, h)
	p.closed(kind, dxf.XY{X: x, Y: y}, dxf.XY{X: x + w, Y: y}, dxf.XY{X: x + w, Y: y + h}, dxf.XY{X: x, Y: y + h})
}

// slot draws a slot with round ends, taller than wide.
func (p *pen) slot(kind string, x, y, w, h float64) {
	p.thing(kind, x+w/2, y+h/2, w, h)
	r := w / 2
	p.put(kind, "SLOT", dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x, Y: y + r}, Bulge: 1}, {XY: dxf.XY{X: x + w, Y: y + r}},
		{XY: dxf.XY{X: x + w, Y: y + h - r}, Bulge: 1}, {XY: dxf.XY{X: x, Y: y + h - r}}}})
}

// edge draws the outline, its corners rounded.
func (p *pen) edge(w, h, r float64) {
	p.sketch.Outline = dxf.Box{Max: dxf.XY{X: w, Y: h}}
	if r == 0 {
		p.closed("edge", dxf.XY{}, dxf.XY{X: w}, dxf.XY{X: w, Y: h}, dxf.XY{Y: h})
		return
	}
	b := math.Tan(math.Pi / 8)
	p.put("edge", "", dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: r}}, {XY: dxf.XY{X: w - r}, Bulge: b}, {XY: dxf.XY{X: w, Y: r}},
		{XY: dxf.XY{X: w, Y: h - r}, Bulge: b}, {XY: dxf.XY{X: w - r, Y: h}}, {XY: dxf.XY{X: r, Y: h}, Bulge: b}, {XY: dxf.XY{Y: h - r}}, {XY: dxf.XY{Y: r}, Bulge: b}}})
}

// closed draws a polygon as the manner has it.
func (p *pen) closed(kind string, at ...dxf.XY) {
	if p.manner == 6 {
		for i, v := range at {
			p.put(kind, "", Line(v, at[(i+1)%len(at)]))
		}
		return
	}
	path := dxf.Path{Closed: true}
	for _, v := range at {
		path.Vertices = append(path.Vertices, dxf.Vertex{XY: v})
	}
	p.put(kind, "BOX", path)
}

// word draws a word as the outlines of its letters, the islands in them included.
func (p *pen) word(x, y, height float64, s string) {
	p.letters(panel.Text{Text: s, At: geom.PtMM(x, y), Height: geom.MM(height), Width: 1})
}

// ringWord draws a word along an arc round a centre, from the left over the top.
func (p *pen) ringWord(x, y, r, height float64, s string) {
	for i, c := range s {
		a := math.Pi*0.85 - math.Pi*0.7*float64(i)/float64(len(s)-1)
		p.letters(panel.Text{Text: string(c), At: geom.PtMM(x+r*math.Cos(a), y+r*math.Sin(a)), Height: geom.MM(height), Width: 1, Angle: a - math.Pi/2,
			Anchor: panel.Anchor{H: panel.Centre}})
	}
}

func (p *pen) letters(t panel.Text) {
	if p.manner == 6 { // such exports have texts as texts
		p.sketch.Drawing.Entities = append(p.sketch.Drawing.Entities, dxf.Entity{Type: "TEXT", Layer: "0",
			Text: &dxf.Text{Text: t.Text, At: dxf.XY{X: t.At.X.MM(), Y: t.At.Y.MM()}, Height: t.Height.MM(), Width: 1, Angle: t.Angle}})
		return
	}
	for _, g := range lettering.Outline(t) {
		for k, r := range append([]geom.Ring{g.Outer}, g.Holes...) {
			path := dxf.Path{Closed: true}
			for _, v := range r {
				path.Vertices = append(path.Vertices, dxf.Vertex{XY: dxf.XY{X: v.X.MM(), Y: v.Y.MM()}})
			}
			p.put("letter", "", path)
			if b := path.Box(); k == 0 {
				p.thing("letter", (b.Min.X+b.Max.X)/2, (b.Min.Y+b.Max.Y)/2, b.W(), b.H())
			}
		}
	}
}

// Ring returns a circle round a centre, of a diameter.
func Ring(x, y, d float64) dxf.Path {
	return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x - d/2, Y: y}, Bulge: 1}, {XY: dxf.XY{X: x + d/2, Y: y}, Bulge: 1}}}
}

func round(x, y, d float64, n int) (out []dxf.XY) {
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, dxf.XY{X: x + d/2*c, Y: y + d/2*s})
	}
	return out
}

// Rect returns a rectangle from its lower left corner.
func Rect(x, y, w, h float64) dxf.Path {
	return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x, Y: y}}, {XY: dxf.XY{X: x + w, Y: y}}, {XY: dxf.XY{X: x + w, Y: y + h}}, {XY: dxf.XY{X: x, Y: y + h}}}}
}

// mirrored returns the path as seen from behind, X turned over.
func mirrored(p dxf.Path) dxf.Path {
	out := dxf.Path{Vertices: slices.Clone(p.Vertices), Closed: p.Closed}
	for i := range out.Vertices {
		out.Vertices[i].X, out.Vertices[i].Bulge = -out.Vertices[i].X, -out.Vertices[i].Bulge
	}
	return out
}

// Line returns a straight line.
func Line(a, b dxf.XY) dxf.Path { return dxf.Path{Vertices: []dxf.Vertex{{XY: a}, {XY: b}}} }
