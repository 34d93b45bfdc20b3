package geom

import (
	"math"
	"slices"
)

// Vertex is a corner of a Contour and the shape of the edge that leaves it.
//
// Bulge is tan(θ/4) of the edge's included angle θ: 0 straight, positive counter-clockwise, 1 a semicircle
// (DXF Reference, LWPOLYLINE and "bulge").
type Vertex struct {
	Pt
	Bulge float64
}

// Contour is a closed curve of lines and circular arcs; the last vertex joins the first. A full circle is two
// vertices with bulge 1.
type Contour []Vertex

// Arc is a circular edge, or a straight one when Bulge is 0.
type Arc struct {
	From, To Pt
	Bulge    float64
}

// Circle returns the counter-clockwise circle round c with diameter d.
func Circle(c Pt, d Nm) Contour {
	r := d / 2
	return Contour{{Pt{c.X - r, c.Y}, 1}, {Pt{c.X - r + d, c.Y}, 1}}
}

// Rect returns the counter-clockwise rectangle.
func Rect(b Box) Contour {
	return Contour{{Pt: b.Min}, {Pt: Pt{b.Max.X, b.Min.Y}}, {Pt: b.Max}, {Pt: Pt{b.Min.X, b.Max.Y}}}
}

// Straight returns the contour of straight edges through the points.
func Straight(pts ...Pt) Contour {
	c := make(Contour, len(pts))
	for i, p := range pts {
		c[i].Pt = p
	}
	return c
}

// Edges returns the edges in order.
func (c Contour) Edges() []Arc {
	out := make([]Arc, len(c))
	for i, v := range c {
		out[i] = Arc{v.Pt, c[(i+1)%len(c)].Pt, v.Bulge}
	}
	return out
}

// Straight reports whether the edge is a line.
func (a Arc) Straight() bool { return a.Bulge == 0 }

// Centre returns the centre of the circle, in nanometres; it means nothing for a straight edge.
func (a Arc) Centre() (x, y float64) {
	dx, dy := float64(a.To.X-a.From.X), float64(a.To.Y-a.From.Y)
	// The centre lies on the perpendicular through the chord's middle, at (1-b²)/(4b) chords to its left.
	k := (1 - float64(a.Bulge*a.Bulge)) / (4 * a.Bulge)
	mx, my := float64(a.From.X)+dx/2, float64(a.From.Y)+dy/2
	return mx - float64(dy*k), my + float64(dx*k)
}

// Radius returns the radius, in nanometres: r = c(1+b²)/(4|b|) with chord c.
func (a Arc) Radius() float64 {
	return a.From.Dist(a.To) * (1 + float64(a.Bulge*a.Bulge)) / (4 * math.Abs(a.Bulge))
}

// Sweep returns the signed included angle, in radians; positive is counter-clockwise.
func (a Arc) Sweep() float64 { return 4 * math.Atan(a.Bulge) }

// Len returns the length of the edge, in nanometres.
func (a Arc) Len() float64 {
	if a.Straight() {
		return a.From.Dist(a.To)
	}
	return a.Radius() * math.Abs(a.Sweep())
}

// Flatten returns points along the edge, From first and To left out, no farther than tol from the curve.
func (a Arc) Flatten(tol Nm) []Pt {
	if a.Straight() || a.From == a.To {
		return []Pt{a.From}
	}
	r, sweep := a.Radius(), a.Sweep()
	// A chord of angle α misses its arc by r(1-cos(α/2)).
	step := 2 * math.Acos(max(0, 1-float64(tol)/r))
	n := 1
	if step > 0 {
		n = int(math.Ceil(math.Abs(sweep) / step))
	}
	n = min(max(n, int(math.Ceil(math.Abs(sweep)/(math.Pi/4)))), 4096)
	cx, cy := a.Centre()
	from := math.Atan2(float64(a.From.Y)-cy, float64(a.From.X)-cx)
	pts := []Pt{a.From}
	for i := 1; i < n; i++ {
		t := from + sweep*float64(i)/float64(n)
		pts = append(pts, Pt{Nm(math.Round(cx + float64(r*math.Cos(t)))), Nm(math.Round(cy + float64(r*math.Sin(t))))})
	}
	return pts
}

// Box returns the bounding box of the edge, arcs at their extremes, rounded outward.
func (a Arc) Box() Box {
	b := BoxOf(a.From, a.To)
	if a.Straight() {
		return b
	}
	cx, cy := a.Centre()
	r, sweep := a.Radius(), a.Sweep()
	from := math.Atan2(float64(a.From.Y)-cy, float64(a.From.X)-cx)
	for q := range 4 {
		axis := float64(q) * math.Pi / 2
		d := math.Mod(axis-from, 2*math.Pi)
		if sweep > 0 && d < 0 {
			d += 2 * math.Pi
		}
		if sweep < 0 && d > 0 {
			d -= 2 * math.Pi
		}
		if math.Abs(d) <= math.Abs(sweep) {
			dir := Vec{1, 0}.Quarter(q)
			b = b.With(Pt{Nm(math.Round(cx + float64(dir.X)*r)), Nm(math.Round(cy + float64(dir.Y)*r))})
		}
	}
	return b
}

// SignedArea returns the exact area of lines and arcs in mm², positive counter-clockwise.
func (c Contour) SignedArea() float64 {
	if len(c) == 0 {
		return 0
	}
	sum, o := 0.0, c[0].Pt
	for _, e := range c.Edges() {
		sum += float64(e.From.Sub(o).Cross(e.To.Sub(o))) / 2
		if !e.Straight() {
			// The circular segment between chord and arc: r²(θ - sin θ)/2.
			r, t := e.Radius(), e.Sweep()
			sum += r * r * (t - math.Sin(t)) / 2
		}
	}
	return sum / 1e12
}

// Area returns the area in mm².
func (c Contour) Area() float64 { return math.Abs(c.SignedArea()) }

// Perimeter returns the length of the curve in mm.
func (c Contour) Perimeter() float64 {
	sum := 0.0
	for _, e := range c.Edges() {
		sum += e.Len()
	}
	return sum / 1e6
}

// Box returns the bounding box.
func (c Contour) Box() Box {
	b := EmptyBox()
	for _, e := range c.Edges() {
		b = b.Union(e.Box())
	}
	return b
}

// Reversed returns the contour run backwards.
func (c Contour) Reversed() Contour {
	n := len(c)
	out := make(Contour, n)
	for i := range c {
		out[i] = Vertex{c[n-1-i].Pt, -c[(2*n-2-i)%n].Bulge}
	}
	return out
}

// CounterClockwise returns the contour, reversed if it ran clockwise.
func (c Contour) CounterClockwise() Contour {
	if c.SignedArea() < 0 {
		return c.Reversed()
	}
	return slices.Clone(c)
}

// Moved returns the contour moved by v.
func (c Contour) Moved(v Vec) Contour {
	out := slices.Clone(c)
	for i := range out {
		out[i].Pt = out[i].Pt.Add(v)
	}
	return out
}

// Turned returns the contour turned about a point, counter-clockwise by degrees, a multiple of 45.
func (c Contour) Turned(about Pt, degrees int) Contour {
	out := slices.Clone(c)
	for i := range out {
		out[i].Pt = about.Add(out[i].Sub(about).Turned(degrees))
	}
	return out
}

// Ring returns the flattened contour, no farther than tol from it, without repeated points.
func (c Contour) Ring(tol Nm) Ring {
	var r Ring
	for _, e := range c.Edges() {
		r = append(r, e.Flatten(tol)...)
	}
	r = slices.Compact(r)
	for len(r) > 1 && r[0] == r[len(r)-1] {
		r = r[:len(r)-1]
	}
	return r
}

// Circular reports whether the contour is one full circle of arcs, as CIRCLE, two bulges or four arcs draw it, and
// returns its centre and diameter. Radii and centres of the edges may differ by 1 µm.
func (c Contour) Circular() (centre Pt, d Nm, ok bool) {
	if len(c) < 2 {
		return Pt{}, 0, false
	}
	turn, r0 := 0.0, 0.0
	var x0, y0 float64
	for i, e := range c.Edges() {
		if e.Straight() {
			return Pt{}, 0, false
		}
		x, y := e.Centre()
		r := e.Radius()
		if i == 0 {
			x0, y0, r0 = x, y, r
		}
		if math.Abs(r-r0) > 1000 || math.Hypot(x-x0, y-y0) > 1000 {
			return Pt{}, 0, false
		}
		turn += e.Sweep()
	}
	if math.Abs(math.Abs(turn)-2*math.Pi) > 1e-6 {
		return Pt{}, 0, false
	}
	return Pt{Nm(math.Round(x0)), Nm(math.Round(y0))}, Nm(math.Round(2 * r0)), true
}
