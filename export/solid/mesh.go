package solid

import (
	"math"
	"slices"

	"lampblack/panel/geom"
)

// How far flattened curves may be off: less than a screen shows of a hole looked at from near, and twice that of boards, whose
// holes are small.
const (
	chord  = 10 * geom.Micrometre
	etched = 20 * geom.Micrometre
)

// ring flattens a contour.
func ring(c geom.Contour) geom.Ring { return c.Ring(chord) }

// scaled returns a length times a number, rounded.
func scaled(d geom.Nm, k float64) geom.Nm { return geom.Nm(math.Round(float64(float64(d) * k))) }

// region is what a contour holds.
func region(c geom.Contour) geom.Region { return geom.NewRegion(ring(c)) }

// rings flattens contours.
func rings(all []geom.Contour, tol geom.Nm) []geom.Ring {
	out := make([]geom.Ring, len(all))
	for i, c := range all {
		out[i] = c.Ring(tol)
	}
	return out
}

// caps are those of a prism's ends that are there.
type caps uint8

const (
	front caps = 1 << iota // toward the viewer
	back
	both = front | back
)

// add adds a mesh.
func (m *Mesh) add(o Mesh) {
	first := int32(len(m.Points))
	m.Points = append(m.Points, o.Points...)
	for _, f := range o.Faces {
		m.Faces = append(m.Faces, [3]int32{f[0] + first, f[1] + first, f[2] + first})
	}
}

// at returns the mesh moved.
func (m Mesh) at(x, y, z geom.Nm) Mesh {
	m.Points = slices.Clone(m.Points)
	for i := range m.Points {
		p := &m.Points[i]
		p.X, p.Y, p.Z = p.X+x, p.Y+y, p.Z+z
	}
	return m
}

// prism is what a region covers between two heights, the lower one first.
func prism(g geom.Region, low, high geom.Nm, ends caps) Mesh {
	var m Mesh
	for _, p := range g {
		whole, corners := p.Triangles()
		first := int32(len(m.Points))
		around := (geom.Region{whole}).Rings()
		n := int32(0)
		for _, z := range [2]geom.Nm{low, high} {
			n = 0
			for _, r := range around {
				n += int32(len(r))
				for _, q := range r {
					m.Points = append(m.Points, Point{q.X, q.Y, z})
				}
			}
		}
		for _, c := range corners {
			if ends&back != 0 {
				m.Faces = append(m.Faces, [3]int32{first + c[0], first + c[2], first + c[1]})
			}
			if ends&front != 0 {
				m.Faces = append(m.Faces, [3]int32{first + n + c[0], first + n + c[1], first + n + c[2]})
			}
		}
		at := first
		for _, r := range around {
			k := int32(len(r))
			for i := range k {
				a, b := at+i, at+(i+1)%k
				m.Faces = append(m.Faces, [3]int32{a, b, n + b}, [3]int32{a, n + b, n + a})
			}
			at += k
		}
	}
	return m
}

// film is a region as a sheet without thickness, seen from the front or from the back.
func film(g geom.Region, z geom.Nm, seen caps) Mesh {
	var m Mesh
	for _, p := range g {
		whole, corners := p.Triangles()
		first := int32(len(m.Points))
		for _, r := range (geom.Region{whole}).Rings() {
			for _, q := range r {
				m.Points = append(m.Points, Point{q.X, q.Y, z})
			}
		}
		for _, c := range corners {
			if seen == back {
				c[1], c[2] = c[2], c[1]
			}
			m.Faces = append(m.Faces, [3]int32{first + c[0], first + c[1], first + c[2]})
		}
	}
	return m
}

// box is a cuboid.
func box(x0, y0, x1, y1, low, high geom.Nm) Mesh {
	r := geom.Ring{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
	return prism(geom.Region{{Outer: r}}, low, high, both)
}

// step is a height and the radius there of something turned.
type step struct{ r, z geom.Nm }

// turned is a solid of revolution about the Z axis, by sides; its profile runs from the low end to the high one and is closed there.
// A radius of 0 is a point.
func turned(sides int, profile ...step) Mesh {
	var m Mesh
	var rows [][]int32
	add := func(s step, n int) {
		row := make([]int32, n)
		for i := range row {
			row[i] = int32(len(m.Points))
			v := geom.Vec{X: s.r}.Rotated(2 * math.Pi * float64(i) / float64(sides))
			m.Points = append(m.Points, Point{v.X, v.Y, s.z})
		}
		rows = append(rows, row)
	}
	if first := profile[0]; first.r > 0 {
		add(step{0, first.z}, 1)
	}
	for _, s := range profile {
		if s.r > 0 {
			add(s, sides)
		} else {
			add(s, 1)
		}
	}
	if last := profile[len(profile)-1]; last.r > 0 {
		add(step{0, last.z}, 1)
	}
	for k := 1; k < len(rows); k++ {
		low, high := rows[k-1], rows[k]
		for i := range sides {
			a, b := low[i%len(low)], low[(i+1)%len(low)]
			c, d := high[i%len(high)], high[(i+1)%len(high)]
			if a != b {
				m.Faces = append(m.Faces, [3]int32{a, b, d})
			}
			if c != d {
				m.Faces = append(m.Faces, [3]int32{a, d, c})
			}
		}
	}
	return m
}

// dome is a half ball's profile above a height, from its rim to its top, in steps of less than 20 degrees.
func dome(r, z geom.Nm) []step {
	const steps = 5
	out := make([]step, 0, steps+1)
	for i := range steps {
		v := geom.Vec{X: r}.Rotated(math.Pi / 2 * float64(i) / steps)
		out = append(out, step{v.X, z + v.Y})
	}
	return append(out, step{0, z + r})
}

// sides returns by how many sides something round of that diameter is shown.
func sides(d geom.Nm) int { return min(max(len(ring(geom.Circle(geom.Pt{}, d))), 12), 48) }

// rod is a cylinder, upright.
func rod(d, low, high geom.Nm) Mesh { return turned(sides(d), step{d / 2, low}, step{d / 2, high}) }

// lying lays what stands along Z, from 0 up, along X.
func (m Mesh) lying() Mesh {
	m.Points = slices.Clone(m.Points)
	for i, p := range m.Points {
		m.Points[i] = Point{p.Z, p.Y, -p.X}
	}
	return m
}

// quarter turns what lies along X along Y.
func (m Mesh) quarter() Mesh {
	m.Points = slices.Clone(m.Points)
	for i, p := range m.Points {
		m.Points[i] = Point{-p.Y, p.X, p.Z}
	}
	return m
}

// log is a cylinder that fills a box, lying along the box's longer side; its middle is at height z.
func log(b geom.Box, z geom.Nm) Mesh {
	w, h := b.W(), b.H()
	c := b.Centre()
	if w >= h {
		return rod(h, 0, w).lying().at(b.Min.X, c.Y, z)
	}
	return rod(w, 0, h).lying().quarter().at(c.X, b.Min.Y, z)
}

// hexagon is a nut of that size across its corners.
func hexagon(corners geom.Nm) geom.Region {
	r := make(geom.Ring, 6)
	for i := range r {
		r[i] = geom.Pt{}.Add(geom.Vec{X: corners / 2}.Rotated(math.Pi / 3 * float64(i)))
	}
	return geom.Region{{Outer: r}}
}

// overFlats returns a hexagon's size across its corners by that across its flats.
func overFlats(flats geom.Nm) geom.Nm {
	return geom.Nm(math.Round(float64(flats) / math.Cos(math.Pi/6)))
}

// cone narrows from an outline to that of a circle about its middle.
func cone(c geom.Contour, d, low, high geom.Nm) Mesh {
	r := ring(c)
	mid := c.Box().Centre()
	var m Mesh
	n := int32(len(r))
	for _, q := range r {
		m.Points = append(m.Points, Point{q.X, q.Y, low})
	}
	for _, q := range r {
		v := q.Sub(mid)
		k := float64(d) / 2 / max(v.Len(), 1)
		m.Points = append(m.Points, Point{mid.X + scaled(v.X, k), mid.Y + scaled(v.Y, k), high})
	}
	for i := range n {
		a, b := i, (i+1)%n
		if low > high {
			a, b = b, a
		}
		m.Faces = append(m.Faces, [3]int32{a, b, n + b}, [3]int32{a, n + b, n + a})
	}
	return m
}
