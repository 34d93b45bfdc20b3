package png

import (
	"math"

	"github.com/tdewolff/canvas"

	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// strips returns the areas that the pieces of a path's line cover; together they are the line.
func strips(p *scene.Path, fine geom.Nm) []geom.Ring {
	half := max(p.Stroke.Width/2, 1)
	var out []geom.Ring
	for _, s := range p.Shapes {
		if len(s) == 0 {
			continue
		}
		line, closed := flattened(s, p.Open, fine), !p.Open
		if len(p.Stroke.Dashes) > 0 {
			for _, d := range dashed(line, closed, p.Stroke.Dashes) {
				out = append(out, strip(d, half, false, p.Stroke.Cap)...)
			}
			continue
		}
		out = append(out, strip(line, half, closed, p.Stroke.Cap)...)
	}
	return out
}

// flattened returns the points along a contour; a closed one ends where it begins.
func flattened(c geom.Contour, open bool, fine geom.Nm) geom.Polyline {
	var out geom.Polyline
	edges := c.Edges()
	if open {
		edges = edges[:len(edges)-1]
	}
	for _, e := range edges {
		out = append(out, e.Flatten(fine)...)
	}
	if open {
		return append(out, c[len(c)-1].Pt)
	}
	return append(out, c[0].Pt)
}

// strip returns what a pen of half a width covers along a line: a band for each piece and a disc for each corner.
func strip(l geom.Polyline, half geom.Nm, closed bool, end scene.Cap) []geom.Ring {
	if len(l) == 1 {
		if end == scene.RoundCap {
			return []geom.Ring{disc(l[0], half)}
		}
		return nil
	}
	var out []geom.Ring
	for i := range len(l) - 1 {
		out = append(out, band(l[i], l[i+1], half))
	}
	for i, p := range l { // round corners, and round ends where they are asked for
		if 0 < i && i < len(l)-1 || closed || end == scene.RoundCap {
			out = append(out, disc(p, half))
		}
	}
	return out
}

func disc(at geom.Pt, r geom.Nm) geom.Ring {
	return geom.Circle(at, 2*r).Ring(max(r/16, geom.Micrometre))
}

// band returns the rectangle along a piece; nil for one without length.
func band(a, b geom.Pt, half geom.Nm) geom.Ring {
	d := b.Sub(a)
	n := d.Len()
	if n == 0 {
		return nil
	}
	k := float64(half) / n
	side := geom.Vec{X: geom.Nm(math.Round(float64(-d.Y) * k)), Y: geom.Nm(math.Round(float64(d.X) * k))}
	return geom.Ring{a.Add(side.Neg()), b.Add(side.Neg()), b.Add(side), a.Add(side)}.Oriented(geom.CCW)
}

// dashed returns the dashes of a line, by canvas; its millimetres are rounded to whole nanometres here.
func dashed(l geom.Polyline, closed bool, lengths []geom.Nm) []geom.Polyline {
	var p canvas.Path
	for i, q := range l {
		if i == 0 {
			p.MoveTo(q.X.MM(), q.Y.MM())
		} else {
			p.LineTo(q.X.MM(), q.Y.MM())
		}
	}
	if closed {
		p.Close()
	}
	mm := make([]float64, len(lengths))
	for i, d := range lengths {
		mm[i] = d.MM()
	}
	var out []geom.Polyline
	for s := p.Dash(0, mm...).Scanner(); s.Scan(); {
		at := geom.PtMM(s.End().X, s.End().Y)
		if s.Cmd() == canvas.MoveToCmd {
			out = append(out, geom.Polyline{at})
			continue
		}
		if d := out[len(out)-1]; d[len(d)-1] != at {
			out[len(out)-1] = append(d, at)
		}
	}
	return out
}
