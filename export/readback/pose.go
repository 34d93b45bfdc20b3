package readback

import (
	"math"

	"lampblack/export"
	"lampblack/panel/geom"
)

// pose is what LM, LR and LS do to an aperture: mirror left to right, then turn counter-clockwise, then scale (4.9).
// Mirroring top to bottom is mirroring left to right and half a turn.
type pose struct {
	mirror bool
	turn   float64 // degrees, 0 <= turn < 360
	scale  float64
}

func upright() pose { return pose{scale: 1} }

func (p pose) plain() bool { return p == upright() }

func degrees(d float64) float64 {
	d = math.Mod(d, 360)
	if d < 0 {
		d += 360
	}
	return d
}

func (p pose) vec(v geom.Vec) geom.Vec {
	if p.mirror {
		v.X = -v.X
	}
	if q := p.turn / 90; q == math.Trunc(q) {
		v = v.Quarter(int(q))
	} else {
		v = v.Rotated(p.turn * math.Pi / 180)
	}
	if p.scale != 1 {
		v = geom.Vec{X: geom.Nm(math.Round(float64(v.X) * p.scale)), Y: geom.Nm(math.Round(float64(v.Y) * p.scale))}
	}
	return v
}

func (p pose) length(n geom.Nm) geom.Nm { return geom.Nm(math.Round(float64(n) * p.scale)) }

func (p pose) contour(c geom.Contour) geom.Contour {
	out := make(geom.Contour, len(c))
	for i, v := range c {
		out[i] = geom.Vertex{Pt: geom.Pt{}.Add(p.vec(v.Pt.Sub(geom.Pt{}))), Bulge: v.Bulge}
		if p.mirror {
			out[i].Bulge = -v.Bulge
		}
	}
	return out
}

// aperture returns the posed aperture.
func (p pose) aperture(a export.Aperture) export.Aperture {
	quarter := math.Mod(p.turn, 90) == 0
	if p.mirror && a.Slant { // the diagonals change places
		a.W, a.H = a.H, a.W
	}
	switch {
	case a.Shape == export.Rectangle && math.Mod(p.turn, 90) == 45:
		a.W, a.H = p.length(a.W), p.length(a.H)
		if (math.Mod(p.turn, 180) == 135) != a.Slant { // from aslant an eighth leads to upright, with the sides changed
			a.W, a.H = a.H, a.W
		}
		a.Slant = !a.Slant
		return a
	case a.Shape == export.Circle, quarter && a.Shape != export.Outline:
		a.W, a.H = p.length(a.W), p.length(a.H)
		if math.Mod(p.turn, 180) == 90 {
			a.W, a.H = a.H, a.W
		}
		return a
	}
	out := export.Aperture{Shape: export.Outline, Function: a.Function}
	for _, c := range contoursOf(a) {
		out.Contours = append(out.Contours, p.contour(c))
	}
	return out
}

// contoursOf returns an aperture's outline round the origin.
func contoursOf(a export.Aperture) []geom.Contour {
	o := geom.Pt{}
	box := geom.Box{Min: geom.Pt{X: -a.W / 2, Y: -a.H / 2}, Max: geom.Pt{X: a.W - a.W/2, Y: a.H - a.H/2}}
	switch a.Shape {
	case export.Circle:
		if a.W == 0 {
			return nil
		}
		return []geom.Contour{geom.Circle(o, a.W)}
	case export.Rectangle:
		if a.Slant {
			return []geom.Contour{pose{turn: 45, scale: 1}.contour(geom.Rect(box))}
		}
		return []geom.Contour{geom.Rect(box)}
	case export.Obround:
		return []geom.Contour{obround(box)}
	case export.Diamond:
		r := a.W / 2
		return []geom.Contour{geom.Straight(geom.Pt{X: r}, geom.Pt{Y: r}, geom.Pt{X: -r}, geom.Pt{Y: -r})}
	}
	return a.Contours
}

func obround(b geom.Box) geom.Contour {
	if b.W() == b.H() {
		return geom.Circle(geom.Pt{}, b.W())
	}
	at := func(x, y geom.Nm, bulge float64) geom.Vertex {
		return geom.Vertex{Pt: geom.Pt{X: x, Y: y}, Bulge: bulge}
	}
	r := min(b.W(), b.H()) / 2
	if b.W() > b.H() {
		return geom.Contour{at(b.Min.X+r, b.Min.Y, 0), at(b.Max.X-r, b.Min.Y, 1), at(b.Max.X-r, b.Max.Y, 0), at(b.Min.X+r, b.Max.Y, 1)}
	}
	return geom.Contour{at(b.Max.X, b.Min.Y+r, 0), at(b.Max.X, b.Max.Y-r, 1), at(b.Min.X, b.Max.Y-r, 0), at(b.Min.X, b.Min.Y+r, 1)}
}

// object returns an object of a block, posed and then moved by v; clear turns its polarity round. remake finds the
// posed aperture.
func (p pose) object(o export.Object, v geom.Vec, clear bool, remake func(int) int) export.Object {
	move := func(q geom.Pt) geom.Pt { return geom.Pt{}.Add(p.vec(q.Sub(geom.Pt{}))).Add(v) }
	o.From, o.To = move(o.From), move(o.To)
	if p.mirror {
		o.Bulge = -o.Bulge
	}
	o.Clear = o.Clear != clear
	if o.Op == export.Region {
		o.Contour = p.contour(o.Contour).Moved(v)
	} else {
		o.Aperture = remake(o.Aperture)
	}
	return o
}
