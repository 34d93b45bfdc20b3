package desk

import (
	"math"
	"strconv"

	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// pathData writes the d of an SVG path, in mm with y up: who shows it turns it over. Arcs are A commands. Numbers are rounded to a
// thousandth of a millimetre.
//
// Source: Scalable Vector Graphics (SVG) 2, W3C Candidate Recommendation, 4 October 2018, section 9.3.
type pathData struct {
	b  []byte
	at geom.XY // added to what is drawn
}

func (p *pathData) String() string { return string(p.b) }

func (p *pathData) number(v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		v = 0
	}
	p.b = strconv.AppendFloat(p.b, math.Round(v*1e3)/1e3, 'f', -1, 64)
}

func (p *pathData) point(command byte, at geom.XY) {
	p.b = append(p.b, command)
	p.number(p.at.X + at.X)
	p.b = append(p.b, ' ')
	p.number(p.at.Y + at.Y)
}

// edge draws from a point to another, as bulge says.
func (p *pathData) edge(from, to geom.XY, bulge float64) {
	if bulge == 0 || from == to {
		p.point('L', to)
		return
	}
	r := from.Dist(to) * (1 + float64(bulge*bulge)) / (4 * math.Abs(bulge))
	flag := func(is bool) byte {
		if is {
			return '1'
		}
		return '0'
	}
	p.b = append(p.b, 'A')
	p.number(r)
	p.b = append(p.b, ' ')
	p.number(r)
	p.b = append(p.b, ' ', '0', ' ', flag(math.Abs(bulge) > 1), ' ', flag(bulge > 0), ' ')
	p.number(p.at.X + to.X)
	p.b = append(p.b, ' ')
	p.number(p.at.Y + to.Y)
}

// line draws a line of a drawing; a closed one ends with Z.
func (p *pathData) line(l dxf.Path) {
	n := len(l.Vertices)
	if n == 0 {
		return
	}
	p.point('M', l.Vertices[0].XY)
	for i := 1; i < n; i++ {
		p.edge(l.Vertices[i-1].XY, l.Vertices[i].XY, l.Vertices[i-1].Bulge)
	}
	if l.Closed {
		if last := l.Vertices[n-1]; last.Bulge != 0 {
			p.edge(last.XY, l.Vertices[0].XY, last.Bulge)
		}
		p.b = append(p.b, 'Z')
	}
}

// circle draws a circle.
func (p *pathData) circle(c geom.XY, d float64) {
	a, b := geom.XY{X: c.X - d/2, Y: c.Y}, geom.XY{X: c.X + d/2, Y: c.Y}
	p.line(dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: a, Bulge: 1}, {XY: b, Bulge: 1}}})
}

// contour draws a closed line of a panel.
func (p *pathData) contour(c geom.Contour) {
	l := dxf.Path{Closed: true, Vertices: make([]dxf.Vertex, len(c))}
	for i, v := range c {
		l.Vertices[i] = dxf.Vertex{XY: xy(v.Pt), Bulge: v.Bulge}
	}
	p.line(l)
}

// region draws an area, whichever rule it is filled by.
func (p *pathData) region(g geom.Region) {
	for _, part := range g {
		p.ring(part.Outer)
		for _, h := range part.Holes {
			p.ring(h)
		}
	}
}

func (p *pathData) ring(r geom.Ring) {
	for i, v := range r {
		if i == 0 {
			p.point('M', xy(v))
		} else {
			p.point('L', xy(v))
		}
	}
	if len(r) > 0 {
		p.b = append(p.b, 'Z')
	}
}

// box draws a rectangle.
func (p *pathData) box(b [4]float64) {
	p.line(dxf.Path{Closed: true, Vertices: []dxf.Vertex{
		{XY: geom.XY{X: b[0], Y: b[1]}}, {XY: geom.XY{X: b[2], Y: b[1]}}, {XY: geom.XY{X: b[2], Y: b[3]}}, {XY: geom.XY{X: b[0], Y: b[3]}},
	}})
}

func xy(p geom.Pt) geom.XY { return geom.XY{X: p.X.MM(), Y: p.Y.MM()} }
