package scene

import (
	"lampblack/panel/geom"
)

// Frame brings the frame of a panel or board, Y up, onto a page, Y down: moved, enlarged, and mirrored left to right where
// the thing is seen from behind.
type Frame struct {
	Box    geom.Box // what is shown: its upper left corner, or upper right when mirrored, comes to At
	Mirror bool     // seen from behind
	At     geom.Pt  // on the page
	Halves int      // how much larger than life, in halves; 0 means 2, true size
}

// Scaled returns a length as it is on the page.
func (f Frame) Scaled(v geom.Nm) geom.Nm {
	if f.Halves == 0 {
		return v
	}
	return v * geom.Nm(f.Halves) / 2
}

// Pt returns the place of p on the page.
func (f Frame) Pt(p geom.Pt) geom.Pt {
	x := p.X - f.Box.Min.X
	if f.Mirror {
		x = f.Box.Max.X - p.X
	}
	return geom.Pt{X: f.At.X + f.Scaled(x), Y: f.At.Y + f.Scaled(f.Box.Max.Y-p.Y)}
}

// Contours returns the curves as they are on the page.
func (f Frame) Contours(cs ...geom.Contour) []geom.Contour {
	out := make([]geom.Contour, 0, len(cs))
	for _, c := range cs {
		if len(c) == 0 {
			continue
		}
		d := make(geom.Contour, len(c))
		for i, v := range c {
			// Y turns over, and so does the way that arcs turn, but for what is seen from behind.
			if !f.Mirror && v.Bulge != 0 {
				v.Bulge = -v.Bulge
			}
			d[i] = geom.Vertex{Pt: f.Pt(v.Pt), Bulge: v.Bulge}
		}
		out = append(out, d)
	}
	return out
}

// Rings returns the polygons as they are on the page.
func (f Frame) Rings(rings ...geom.Ring) []geom.Contour {
	out := make([]geom.Contour, 0, len(rings))
	for _, r := range rings {
		if len(r) >= 3 {
			out = append(out, f.Line(geom.Polyline(r)))
		}
	}
	return out
}

// Region returns the region's rings as they are on the page.
func (f Frame) Region(g geom.Region) []geom.Contour { return f.Rings(g.Rings()...) }

// Line returns the line as it is on the page.
func (f Frame) Line(l geom.Polyline) geom.Contour {
	out := make(geom.Contour, len(l))
	for i, p := range l {
		out[i].Pt = f.Pt(p)
	}
	return out
}
