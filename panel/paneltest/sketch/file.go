package sketch

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lampblack/panel/dxf"
)

// file writes DXF by its groups, as the DXF Reference has them, so that a drawing can be had in forms that dxf.Write has no use
// for. It numbers no handles.
type file struct {
	strings.Builder
	scale float64 // of all lengths
	by    dxf.XY  // and where they are moved, in mm
	more  []group // groups that each entity gets
}

type group struct {
	code  int
	value string
}

func (f *file) put(code int, value string)  { fmt.Fprintf(f, "%d\n%s\n", code, value) }
func (f *file) whole(code, v int)           { f.put(code, strconv.Itoa(v)) }
func (f *file) number(code int, v float64)  { f.put(code, strconv.FormatFloat(v, 'f', -1, 64)) }
func (f *file) length(code int, mm float64) { f.number(code, mm*f.scale) }
func (f *file) degrees(code int, r float64) { f.number(code, math.Mod(r*180/math.Pi+720, 360)) }
func (f *file) section(name string)         { f.put(0, "SECTION"); f.put(2, name) }
func (f *file) end()                        { f.put(0, "ENDSEC") }
func (f *file) point(code int, p dxf.XY)    { f.length(code, p.X+f.by.X); f.length(code+10, p.Y+f.by.Y) }
func (f *file) vector(code int, p dxf.XY)   { f.length(code, p.X); f.length(code+10, p.Y) }
func (f *file) entity(kind, layer string) {
	f.put(0, kind)
	f.put(8, layer)
	for _, g := range f.more {
		f.put(g.code, g.value)
	}
}

// header writes the version, and the unit where there is one.
func (f *file) header(version string, unit int) {
	f.section("HEADER")
	f.put(9, "$ACADVER")
	f.put(1, version)
	if unit >= 0 {
		f.put(9, "$INSUNITS")
		f.whole(70, unit)
	}
	f.end()
}

func (f *file) line(layer string, a, b dxf.XY) {
	f.entity("LINE", layer)
	f.point(10, a)
	f.point(11, b)
}

func (f *file) circle(layer string, c dxf.XY, r float64) {
	f.entity("CIRCLE", layer)
	f.point(10, c)
	f.length(40, r)
}

// arc writes an edge with a bulge, counter-clockwise as the format has it.
func (f *file) arc(layer string, e dxf.Edge) {
	c, r := e.Centre(), e.Radius()
	from, to := e.From.Sub(c), e.To.Sub(c)
	if e.Bulge < 0 {
		from, to = to, from
	}
	f.entity("ARC", layer)
	f.point(10, c)
	f.length(40, math.Abs(r))
	f.degrees(50, math.Atan2(from.Y, from.X))
	f.degrees(51, math.Atan2(to.Y, to.X))
}

// edges writes each edge by itself.
func (f *file) edges(layer string, p dxf.Path) {
	for _, e := range p.Edges() {
		if e.Bulge == 0 {
			f.line(layer, e.From, e.To)
		} else {
			f.arc(layer, e)
		}
	}
}

// polyline writes a polyline of the newer kind; not closed by its flag but by its last point when shut is false.
func (f *file) polyline(layer string, p dxf.Path, width float64, flagged bool) {
	vs := p.Vertices
	if p.Closed && !flagged {
		vs = append(append([]dxf.Vertex{}, vs...), vs[0])
	}
	f.entity("LWPOLYLINE", layer)
	f.whole(90, len(vs))
	flag := 0
	if p.Closed && flagged {
		flag = 1
	}
	f.whole(70, flag)
	if width >= 0 {
		f.length(43, width)
	}
	for _, v := range vs {
		f.point(10, v.XY)
		if v.Bulge != 0 {
			f.number(42, v.Bulge)
		}
	}
}

// old writes a polyline of the older kind, point by point; in space at a height when that is not zero.
func (f *file) old(layer string, p dxf.Path, height float64) {
	flag := 0
	if p.Closed {
		flag = 1
	}
	if height != 0 {
		flag += 8
	}
	f.entity("POLYLINE", layer)
	f.whole(66, 1)
	f.whole(70, flag)
	for _, v := range p.Vertices {
		f.entity("VERTEX", layer)
		f.point(10, v.XY)
		f.length(30, height)
		if v.Bulge != 0 {
			f.number(42, v.Bulge)
		}
		if height != 0 {
			f.whole(70, 32)
		}
	}
	f.put(0, "SEQEND")
	f.put(8, layer)
}

// ellipse writes an ellipse with equal axes, or a part of it from one parameter to another.
func (f *file) ellipse(layer string, c dxf.XY, r, from, to float64) {
	f.entity("ELLIPSE", layer)
	f.point(10, c)
	f.vector(11, dxf.XY{X: r})
	f.number(40, 1)
	f.number(41, from)
	f.number(42, to)
}

// spline writes a spline of a degree with clamped, even knots.
func (f *file) spline(layer string, degree int, at []dxf.XY, weights []float64) {
	flag := 8
	if weights != nil {
		flag |= 4
	}
	f.entity("SPLINE", layer)
	f.whole(70, flag)
	f.whole(71, degree)
	f.whole(72, len(at)+degree+1)
	f.whole(73, len(at))
	for i := range len(at) + degree + 1 {
		f.whole(40, min(max(i-degree, 0), len(at)-degree))
	}
	for _, w := range weights {
		f.number(41, w)
	}
	for _, p := range at {
		f.point(10, p)
		f.whole(30, 0)
	}
}

func (f *file) text(layer string, t *dxf.Text) {
	f.entity("TEXT", layer)
	f.point(10, t.At)
	f.length(40, t.Height)
	f.put(1, t.Text)
	f.degrees(50, t.Angle)
}

// hatch writes a filled area round one line.
func (f *file) hatch(layer string, p dxf.Path) {
	f.entity("HATCH", layer)
	f.vector(10, dxf.XY{})
	f.whole(30, 0)
	f.put(2, "SOLID")
	f.whole(70, 1)
	f.whole(71, 0)
	f.whole(91, 1)
	f.whole(92, 3)
	f.whole(72, 0)
	f.whole(73, 1)
	f.whole(93, len(p.Vertices))
	for _, v := range p.Vertices {
		f.point(10, v.XY)
	}
	f.whole(97, 0)
	f.whole(75, 0)
	f.whole(76, 1)
	f.whole(98, 0)
}

func (f *file) bytes() []byte {
	f.put(0, "EOF")
	return []byte(f.String())
}
