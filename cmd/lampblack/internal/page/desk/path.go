package desk

import (
	"strconv"
	"strings"

	"lampblack/panel/geom"
)

// drawn is a frame in which the page draws: the drawing's own, millimetres, Y up. Numbers have three decimals, a micrometre: finer than
// any screen shows at any zoom.
type drawn struct{ x, y float64 } // of the panel's origin on the drawing

func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func (d drawn) xy(p geom.Pt) [2]float64 { return [2]float64{d.x + p.X.MM(), d.y + p.Y.MM()} }

func (d drawn) pt(p geom.Pt) string {
	at := d.xy(p)
	return num(at[0]) + " " + num(at[1])
}

func (d drawn) box(b geom.Box) [4]float64 {
	low, high := d.xy(b.Min), d.xy(b.Max)
	return [4]float64{low[0], low[1], high[0], high[1]}
}

// closed are closed curves as one SVG path; arcs stay arcs.
func (d drawn) closed(cs ...geom.Contour) string {
	var b strings.Builder
	for _, c := range cs {
		for i, e := range c.Edges() {
			if i == 0 {
				b.WriteString("M" + d.pt(e.From))
			}
			if e.Straight() {
				b.WriteString("L" + d.pt(e.To))
				continue
			}
			// In a frame with Y up a positive sweep is counter-clockwise, which SVG's flag 1 means there. Beyond half a turn an arc is the
			// large one.
			long, way := "0", "0"
			if s := e.Sweep(); s > 0 {
				way = "1"
			}
			if b := e.Bulge; b > 1 || b < -1 {
				long = "1"
			}
			r := num(e.Radius() / float64(geom.Millimetre))
			b.WriteString("A" + r + " " + r + " 0 " + long + " " + way + " " + d.pt(e.To))
		}
		b.WriteString("Z")
	}
	return b.String()
}

// rings are polygons as one SVG path.
func (d drawn) rings(rs ...geom.Ring) string {
	var b strings.Builder
	for _, r := range rs {
		d.line(&b, r)
		b.WriteString("Z")
	}
	return b.String()
}

// open is a line as an SVG path.
func (d drawn) open(l geom.Polyline) string {
	var b strings.Builder
	d.line(&b, l)
	return b.String()
}

func (d drawn) line(b *strings.Builder, pts []geom.Pt) {
	for i, p := range pts {
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(d.pt(p))
	}
}
