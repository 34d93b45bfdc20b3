package main

import (
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// kind is what a thing is to the builder, who has no word for it in the drawing.
type kind uint8

const (
	edge  kind = iota
	cut        // an opening
	screw      // a screw's hole
	lamp       // an LED's hole
	print      // engraved
	part       // the body of a part behind the panel
)

// manner is how a kind of CAD export draws.
type manner struct {
	release  dxf.Release
	inches   bool
	at       dxf.XY // where the panel's lower left corner lies, mm
	layers   map[kind]string
	colours  map[kind]uint32
	loose    bool // closed lines are single lines and arcs in no order
	blocks   bool // holes are inserts of blocks
	outlines bool // words are outlines of letters
	curves   bool // round things are splines, in a file without tables and handles
	bare     bool // LEDs are left to Lampblack
}

// hand draws one panel, in mm from its lower left corner, and keeps what it drew for the tests.
type hand struct {
	name   string
	manner manner
	ents   []dxf.Entity
	blocks []dxf.Block

	width, height      float64
	leds, screws, cuts []dxf.XY // centres
	parts, strokes     int
}

// put adds a path as the manner has it.
func (h *hand) put(k kind, p dxf.Path) {
	e := dxf.Entity{Layer: h.layer(k), Colour: h.manner.colours[k], Path: p}
	if _, _, round := p.Circle(); !h.manner.loose || round || !p.Closed {
		h.ents = append(h.ents, e)
		return
	}
	es := p.Edges()
	for i := range es {
		d := es[(i*5+2)%len(es)] // 5 shares no factor with the number of edges drawn here
		one := e
		one.Path = dxf.Path{Vertices: []dxf.Vertex{{XY: d.From, Bulge: d.Bulge}, {XY: d.To}}}
		if d.Bulge != 0 {
			one.Type = "ARC"
		} else if i%2 == 1 {
			one.Path = one.Path.Reversed()
		}
		h.ents = append(h.ents, one)
	}
}

func (h *hand) layer(k kind) string {
	if n := h.manner.layers[k]; n != "" {
		return n
	}
	return "0"
}

// edge draws the outline, its corners rounded by r.
func (h *hand) edge(w, d, r float64) {
	h.width, h.height = w, d
	if r == 0 {
		h.put(edge, polygon(0, 0, w, d))
		return
	}
	b := math.Tan(math.Pi / 8)
	v := func(x, y, bulge float64) dxf.Vertex { return dxf.Vertex{XY: dxf.XY{X: x, Y: y}, Bulge: bulge} }
	h.put(edge, dxf.Path{Closed: true, Vertices: []dxf.Vertex{v(r, 0, 0), v(w-r, 0, b), v(w, r, 0), v(w, d-r, b), v(w-r, d, 0), v(r, d, b), v(0, d-r, 0), v(0, r, b)}})
}

// corners draws a screw's hole in each corner of the outline.
func (h *hand) corners(in float64) {
	for _, x := range []float64{in, h.width - in} {
		for _, y := range []float64{in, h.height - in} {
			h.hole(screw, "SCREW", x, y, screwHole)
		}
	}
}

// hole draws a round hole.
func (h *hand) hole(k kind, block string, x, y, d float64) {
	h.keep(k, x, y)
	h.place(k, block, x, y, dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: -d / 2}, Bulge: 1}, {XY: dxf.XY{X: d / 2}, Bulge: 1}}})
}

// slot draws a slot with round ends, taller than wide, round a point.
func (h *hand) slot(block string, x, y, w, d float64) {
	h.keep(cut, x, y)
	r, up := w/2, d/2-w/2
	h.place(cut, block, x, y, dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: -r, Y: -up}, Bulge: 1}, {XY: dxf.XY{X: r, Y: -up}}, {XY: dxf.XY{X: r, Y: up}, Bulge: 1}, {XY: dxf.XY{X: -r, Y: up}}}})
}

// box draws a rectangle round a point.
func (h *hand) box(k kind, x, y, w, d float64) {
	h.keep(k, x, y)
	h.put(k, polygon(x-w/2, y-d/2, x+w/2, y+d/2))
}

func (h *hand) keep(k kind, x, y float64) {
	at := dxf.XY{X: x, Y: y}
	switch k {
	case lamp:
		h.leds = append(h.leds, at)
	case screw:
		h.screws = append(h.screws, at)
	case cut:
		h.cuts = append(h.cuts, at)
	case part:
		h.parts++
	}
}

// place draws what is drawn round (0, 0) at a point, as a block where the manner has them.
func (h *hand) place(k kind, block string, x, y float64, p dxf.Path) {
	if !h.manner.blocks {
		h.put(k, p.Moved(dxf.XY{X: x, Y: y}))
		return
	}
	if !slices.ContainsFunc(h.blocks, func(b dxf.Block) bool { return b.Name == block }) {
		h.blocks = append(h.blocks, dxf.Block{Name: block, Entities: []dxf.Entity{{Layer: "0", Path: p}}})
	}
	h.ents = append(h.ents, dxf.Entity{Layer: h.layer(k), Insert: &dxf.Insert{Block: block, At: dxf.XY{X: x, Y: y}}})
}

// stroke draws a line that is engraved.
func (h *hand) stroke(x0, y0, x1, y1 float64) {
	h.strokes++
	h.put(print, dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: x0, Y: y0}}, {XY: dxf.XY{X: x1, Y: y1}}}})
}

// tick draws a line of a dial round a point, from one distance to another, and the hole of the LED behind it.
func (h *hand) tick(x, y, from, to, degrees float64) {
	s, c := math.Sincos(degrees * math.Pi / 180)
	h.hole(lamp, "LAMP", round3(x+(from+to)/2*c), round3(y+(from+to)/2*s), ledHole)
	h.stroke(round3(x+from*c), round3(y+from*s), round3(x+to*c), round3(y+to*s))
}

// ledStep is about how far LEDs behind a word stand apart, mm.
const ledStep = 7.0

// word draws a word round a point, and holes for the LEDs that light it from behind: the outer ones nearer to the ends than
// half a step, so that the first and last letter get as much light as the others.
func (h *hand) word(x, y, height float64, s string) {
	t := panel.Text{Text: s, At: geom.PtMM(x, y), Height: geom.MM(height), Width: 1, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}}
	glyphs := lettering.Outline(t)
	box := geom.EmptyBox()
	for _, g := range glyphs {
		box = box.Union(g.Outer.Box())
		for _, r := range append([]geom.Ring{g.Outer}, g.Holes...) {
			if !h.manner.outlines {
				continue
			}
			p := dxf.Path{Closed: true}
			for _, v := range r {
				p.Vertices = append(p.Vertices, dxf.Vertex{XY: dxf.XY{X: v.X.MM(), Y: v.Y.MM()}})
			}
			h.put(print, p)
		}
	}
	if !h.manner.outlines {
		h.ents = append(h.ents, dxf.Entity{Layer: h.layer(print), Colour: h.manner.colours[print],
			Text: &dxf.Text{Text: s, At: dxf.XY{X: x, Y: y}, Height: height, Width: 1, H: dxf.Centre, V: dxf.Middle}})
	}
	if h.manner.bare {
		return
	}
	w := box.W().MM()
	n := max(1, int(math.Round(w/ledStep)))
	step := w / float64(n)
	if n > 1 {
		step = max(6, (w-0.6*step)/float64(n-1))
	}
	for i := range n {
		h.hole(lamp, "LAMP", round3(x+(float64(i)-float64(n-1)/2)*step), y, ledHole)
	}
}

func round3(v float64) float64 { return math.Round(v*1000) / 1000 }

func polygon(x0, y0, x1, y1 float64) dxf.Path {
	return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x0, Y: y0}}, {XY: dxf.XY{X: x1, Y: y0}}, {XY: dxf.XY{X: x1, Y: y1}}, {XY: dxf.XY{X: x0, Y: y1}}}}
}
