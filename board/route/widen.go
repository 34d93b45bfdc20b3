package route

import (
	"slices"

	"lampblack/panel/geom"
)

const (
	widenStep = 1_000_000 // nm: how finely a narrow run is looked at
	widenRun  = 2_500_000 // nm: a wide stretch shorter than this is not worth the change of width
)

// widen gives runs that had to be narrow somewhere their full width wherever it fits, in stretches worth having.
func (lay *layout) widen() {
	for _, x := range slices.Clone(lay.runs) {
		if x.width >= x.full {
			continue
		}
		lay.widenRun(x)
	}
}

func (lay *layout) widenRun(x *run) {
	var pts geom.Polyline
	for _, s := range x.path.Segments() {
		d := s.B.Sub(s.A)
		l := steps(d)
		n := min(max(1, int64(l)/widenStep), 400)
		pts = append(pts, s.A)
		if u := unit(d); u != (geom.Vec{}) {
			for i := int64(1); i < n; i++ {
				k := l / geom.Nm(n) * geom.Nm(i)
				pts = append(pts, s.A.Add(geom.Vec{X: u.X * k, Y: u.Y * k}))
			}
		}
	}
	pts = append(pts, x.path[len(x.path)-1])
	fits := make([]bool, len(pts)-1)
	for i := range fits {
		lay.watch.Look()
		fits[i] = lay.w.room(geom.Segment{A: pts[i], B: pts[i+1]}, x.on, x.net, (x.full+1)/2) >= (x.full+1)/2
	}
	// Stretches of equal width; wide ones that are too short become narrow.
	for i := 0; i < len(fits); {
		j, l := i, 0.0
		for j < len(fits) && fits[j] == fits[i] {
			l += pts[j].Dist(pts[j+1])
			j++
		}
		if fits[i] && l < widenRun && !(i == 0 && j == len(fits)) {
			for k := i; k < j; k++ {
				fits[k] = false
			}
		}
		i = j
	}
	if !slices.Contains(fits, true) {
		return
	}
	lay.lift(x)
	a, b := x.a, x.b
	a.runs = slices.DeleteFunc(a.runs, func(y *run) bool { return y == x })
	b.runs = slices.DeleteFunc(b.runs, func(y *run) bool { return y == x })
	lay.runs = slices.DeleteFunc(lay.runs, func(y *run) bool { return y == x })
	from := a
	for i := 0; i < len(fits); {
		j := i
		for j < len(fits) && fits[j] == fits[i] {
			j++
		}
		to := b
		if j < len(fits) {
			to = &node{at: pts[j], net: x.net, pin: -1}
			lay.nodes = append(lay.nodes, to)
		}
		y := *x
		y.a, y.b, y.pieces, y.cache = from, to, nil, nil
		if fits[i] {
			y.width = x.full
		}
		y.path = simplified(slices.Clone(pts[i : j+1]))
		lay.runs = append(lay.runs, &y)
		from.runs = append(from.runs, &y)
		to.runs = append(to.runs, &y)
		lay.place(&y)
		from, i = to, j
	}
}
