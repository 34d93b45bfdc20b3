package sketch

import (
	"math"
	"slices"

	"lampblack/panel/dxf"
)

// Export is what one kind of CAD program makes of a drawing when it saves it, named by what it does.
type Export struct {
	Name string
	By   dxf.XY // where it moves things, mm
	make func(s Sketch, f *file)
}

// Exports returns all kinds.
func Exports() []Export {
	return []Export{
		{Name: "lines and arcs of R12, no unit", make: linesAndArcs},
		{Name: "splines and ellipses", make: splines},
		{Name: "blocks in blocks, scaled and mirrored", make: blocks},
		{Name: "exploded, much of it twice", make: exploded},
		{Name: "lines in space", make: inSpace},
		{Name: "extruded downwards, with proxies", make: downwards},
		{Name: "inches, and no unit told", make: inches},
		{Name: "letters as hatches", make: hatches},
		{Name: "wide polylines, shut by their last point", make: wide},
		{Name: "polylines point by point", make: pointByPoint},
		{Name: "far from the origin", By: dxf.XY{X: 512345.678, Y: 4876543.21}, make: far},
		{Name: "ends that miss each other", make: loose},
		{Name: "sides that overlap", make: overlapping},
	}
}

// Source returns the sketch as that program saves it.
func (e Export) Source(s Sketch) []byte {
	f := &file{scale: 1, by: e.By}
	e.make(s, f)
	return f.bytes()
}

// Moved returns the sketch elsewhere.
func (s Sketch) Moved(by dxf.XY) Sketch {
	s.Outline = s.Outline.Moved(by)
	s.Things = slices.Clone(s.Things)
	for i := range s.Things {
		s.Things[i].At = s.Things[i].At.Add(by)
	}
	return s
}

// each writes the entities by one function, texts as texts.
func (f *file) each(s Sketch, draw func(i int, layer string, p dxf.Path)) {
	f.section("ENTITIES")
	for i := range s.Drawing.Entities {
		e := &s.Drawing.Entities[i]
		if e.Text != nil {
			f.text(e.Layer, e.Text)
		} else {
			draw(i, e.Layer, e.Path)
		}
	}
	f.end()
}

func linesAndArcs(s Sketch, f *file) {
	f.header("AC1009", -1)
	f.each(s, func(_ int, layer string, p dxf.Path) { f.edges(layer, p) })
}

func splines(s Sketch, f *file) {
	f.header("AC1015", 4)
	f.each(s, func(_ int, layer string, p dxf.Path) {
		if c, d, ok := p.Circle(); ok {
			f.ellipse(layer, c, d/2, 0, 2*math.Pi)
			return
		}
		var run []dxf.XY // straight so far
		flush := func() {
			if len(run) > 1 {
				f.spline(layer, 1, run, nil)
			}
			run = nil
		}
		for _, e := range p.Edges() {
			if e.Bulge == 0 {
				if run == nil {
					run = append(run, e.From)
				}
				run = append(run, e.To)
				continue
			}
			flush()
			half := e.Sweep() / 4 // two pieces: a half circle's middle point would lie infinitely far
			c := e.Centre()
			for _, q := range [2][2]dxf.XY{{e.From, e.Mid()}, {e.Mid(), e.To}} {
				m := q[0].Add(q[1]).Times(0.5).Sub(c)
				top := c.Add(m.Times(1 / (math.Cos(half) * math.Cos(half))))
				f.spline(layer, 2, []dxf.XY{q[0], top, q[1]}, []float64{1, math.Abs(math.Cos(half)), 1})
			}
		}
		flush()
	})
}

func blocks(s Sketch, f *file) {
	f.header("AC1015", 4)
	block := func(name string, draw func()) {
		f.entity("BLOCK", "0")
		f.put(2, name)
		f.whole(70, 0)
		f.vector(10, dxf.XY{})
		f.put(3, name)
		draw()
		f.entity("ENDBLK", "0")
	}
	f.section("BLOCKS")
	block("PLATE", func() { // in half inches, mirrored
		f.scale = 2 / 25.4
		for i := range s.Drawing.Entities {
			e := &s.Drawing.Entities[i]
			if e.Text != nil {
				continue // a mirrored text is another thing
			}
			f.polyline(e.Layer, mirrored(e.Path), -1, true)
		}
		f.scale = 1
	})
	block("SHEET", func() {
		f.entity("INSERT", "0")
		f.put(2, "PLATE")
		f.vector(10, dxf.XY{X: 7, Y: 9})
		f.number(41, -25.4)
		f.number(42, 25.4)
	})
	f.end()
	f.section("ENTITIES")
	f.entity("INSERT", "0")
	f.put(2, "SHEET")
	f.vector(10, dxf.XY{X: -3.5, Y: -4.5})
	f.number(41, 0.5)
	f.number(42, 0.5)
	f.end()
}

func exploded(s Sketch, f *file) {
	f.header("AC1015", 4)
	f.each(s, func(i int, layer string, p dxf.Path) {
		f.edges(layer, p)
		if i%2 == 0 {
			f.edges(layer, p.Reversed())
		}
		if i%3 == 0 {
			f.line(layer, p.Vertices[0].XY, p.Vertices[0].XY)
		}
	})
}

func inSpace(s Sketch, f *file) {
	f.header("AC1015", 4)
	f.each(s, func(i int, layer string, p dxf.Path) {
		if c, d, ok := p.Circle(); ok {
			f.circle(layer, c, d/2)
			f.length(30, 3)
			return
		}
		var flat []dxf.Vertex // lines in space know no arcs
		for _, e := range p.Edges() {
			n := 1
			if e.Bulge != 0 {
				n = 16
			}
			for k := range n {
				flat = append(flat, dxf.Vertex{XY: along(e, float64(k)/float64(n))})
			}
		}
		q := dxf.Path{Vertices: flat, Closed: p.Closed}
		if !p.Closed {
			q.Vertices = append(q.Vertices, dxf.Vertex{XY: p.Vertices[len(p.Vertices)-1].XY})
		}
		f.old(layer, q, 3)
	})
}

func downwards(s Sketch, f *file) {
	f.header("AC1015", 4)
	f.more = []group{{210, "0"}, {220, "0"}, {230, "-1"}}
	f.each(s, func(i int, layer string, p dxf.Path) {
		q := mirrored(p)
		switch c, d, ok := q.Circle(); {
		case ok:
			f.circle(layer, c, d/2)
		case len(q.Vertices) == 2: // LINE is in the drawing's own frame
			f.line(layer, p.Vertices[0].XY, p.Vertices[1].XY)
		default:
			f.polyline(layer, q, -1, true)
		}
		if i%10 == 0 {
			f.put(0, "ACAD_PROXY_ENTITY")
			f.put(8, layer)
			f.whole(90, 498)
		}
	})
}

func inches(s Sketch, f *file) {
	f.header("AC1015", -1)
	f.scale = 1 / 25.4
	f.each(s, func(_ int, layer string, p dxf.Path) { f.polyline(layer, p, -1, true) })
}

func hatches(s Sketch, f *file) {
	f.header("AC1015", 4)
	f.each(s, func(_ int, layer string, p dxf.Path) {
		m := p.Box().Centre()
		if _, _, round := p.Circle(); !round && slices.ContainsFunc(s.Things, func(t Thing) bool {
			return t.What == "letter" && math.Abs(m.X-t.At.X) <= t.W/2 && math.Abs(m.Y-t.At.Y) <= t.H/2
		}) {
			f.hatch(layer, p)
			return
		}
		f.polyline(layer, p, -1, true)
	})
}

func wide(s Sketch, f *file) {
	f.header("AC1015", 4)
	f.each(s, func(i int, layer string, p dxf.Path) { f.polyline(layer, p, float64(i%3)*0.1, false) })
}

func pointByPoint(s Sketch, f *file) {
	f.header("AC1009", -1)
	f.each(s, func(_ int, layer string, p dxf.Path) { f.old(layer, p, 0) })
}

func far(s Sketch, f *file) {
	f.header("AC1015", 4)
	f.each(s, func(_ int, layer string, p dxf.Path) {
		if c, d, ok := p.Circle(); ok {
			f.circle(layer, c, d/2)
		} else {
			f.polyline(layer, p, -1, true)
		}
	})
}

// loose has each line and arc end up to 0.03 mm from where the next one begins.
func loose(s Sketch, f *file) {
	f.header("AC1015", 4)
	f.each(s, func(i int, layer string, p dxf.Path) {
		for k, e := range p.Edges() {
			along := e.To.Sub(e.From)
			if l := along.Len(); l > 0.5 && p.Closed {
				e.To = e.To.Sub(along.Times([]float64{0.03, 0.02, 0}[(i+k)%3] / l))
			}
			if e.Bulge == 0 {
				f.line(layer, e.From, e.To)
			} else {
				f.arc(layer, e)
			}
		}
	})
}

// overlapping has the straight sides of what is large in two pieces that lie over each other for a third.
func overlapping(s Sketch, f *file) {
	f.header("AC1015", 4)
	f.each(s, func(_ int, layer string, p dxf.Path) {
		for _, e := range p.Edges() {
			switch l := e.From.Dist(e.To); {
			case e.Bulge != 0:
				f.arc(layer, e)
			case l < 12:
				f.line(layer, e.From, e.To)
			default:
				f.line(layer, e.From, along(e, 2.0/3))
				f.line(layer, e.To, along(e, 1.0/3))
			}
		}
	})
}

// along returns the point of an edge at a share of its length.
func along(e dxf.Edge, t float64) dxf.XY {
	if e.Bulge == 0 {
		return e.From.Add(e.To.Sub(e.From).Times(t))
	}
	c := e.Centre()
	v := e.From.Sub(c)
	sin, cos := math.Sincos(e.Sweep() * t)
	return c.Add(dxf.XY{X: v.X*cos - v.Y*sin, Y: v.X*sin + v.Y*cos})
}
