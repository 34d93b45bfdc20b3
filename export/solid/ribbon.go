package solid

import (
	"math"
	"slices"

	"lampblack/panel/geom"
)

// ribbon is a line so wide to both sides, whose ends are flat where they would be round: as far beyond the last point as has the same
// area. Where it turns by more than a third of a right angle it is begun anew.
func ribbon(path geom.Polyline, r, z geom.Nm, seen caps) Mesh {
	path = slices.Compact(slices.Clone(path))
	if len(path) == 1 { // a dot
		path = append(path, path[0].Add(geom.Vec{X: 1}))
	}
	var m Mesh
	for first := 0; first+1 < len(path); {
		last := first + 1
		for last+1 < len(path) && straightOn(path[last-1], path[last], path[last+1]) {
			last++
		}
		m.add(strip(path[first:last+1], r, z))
		first = last
	}
	if seen == back {
		for i, f := range m.Faces {
			m.Faces[i] = [3]int32{f[0], f[2], f[1]}
		}
	}
	return m
}

// straightOn reports whether the way through b turns by less than 30 degrees.
func straightOn(a, b, c geom.Pt) bool {
	u, v := b.Sub(a), c.Sub(b)
	return float64(u.Dot(v)) > 0.866*float64(u.Len()*v.Len())
}

// strip is a line that turns little, as seen from the front.
func strip(path geom.Polyline, r, z geom.Nm) Mesh {
	var m Mesh
	last := len(path) - 1
	for i, q := range path {
		u := path[min(i+1, last)].Sub(path[max(i-1, 0)])
		k := float64(r) / u.Len()
		side := geom.Vec{X: scaled(-u.Y, k), Y: scaled(u.X, k)}
		beyond := geom.Vec{X: scaled(u.X, k*math.Pi/4), Y: scaled(u.Y, k*math.Pi/4)}
		switch i {
		case 0:
			q = q.Add(beyond.Neg())
		case last:
			q = q.Add(beyond)
		}
		right, left := q.Add(side.Neg()), q.Add(side)
		m.Points = append(m.Points, Point{right.X, right.Y, z}, Point{left.X, left.Y, z})
		if n := int32(2 * i); i > 0 {
			m.Faces = append(m.Faces, [3]int32{n - 2, n, n + 1}, [3]int32{n - 2, n + 1, n - 1})
		}
	}
	return m
}
