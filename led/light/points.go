package light

import (
	"math"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Bounds of the places of lettering that a search looks at: about so many in all, and so many at least of each character or symbol.
const (
	mostPoints  = 700
	leastPoints = 8
)

// pointsOf returns places of the lettering that stand for its samples, some mostPoints of them, and the share of the lettering's
// area that each stands for.
//
// Where light is darkest and brightest within a character is mostly at one of its ends. So of each character's samples that
// which is farthest from their middle comes first, and then, again and again, that which is farthest from all those taken
// (T. F. Gonzalez, "Clustering to minimize the maximum intercluster distance", Theoretical Computer Science 38, 1985, 293-306,
// doi:10.1016/0304-3975(85)90224-5); each then stands for the samples that it is nearest to.
func pointsOf(w *work.Watch, spots []spot) (points []geom.Pt, weight []float64) {
	all := 0
	for _, t := range spots {
		for _, c := range t.chars {
			all += len(c.points)
		}
	}
	every := max(1, (all+mostPoints-1)/mostPoints)
	sum := 0.0
	for _, t := range spots {
		for _, c := range t.chars {
			n := min(max(len(c.points)/every, leastPoints), len(c.points)) // the smallest letters count too
			taken, stand := spread(w, c.points, n)
			for k, i := range taken {
				points = append(points, c.points[i])
				weight = append(weight, float64(c.area*float64(stand[k])))
				sum += weight[len(weight)-1]
			}
		}
	}
	for i := range weight {
		weight[i] /= sum
	}
	return points, weight
}

// spread returns n of the points, as indices, and how many points are nearest to each.
func spread(w *work.Watch, points []geom.Pt, n int) (taken, stand []int) {
	middle := geom.BoxOf(points...).Centre()
	next, far := 0, -1.0
	for i, q := range points {
		if d := q.Dist(middle); d > far {
			next, far = i, d
		}
	}
	near, of := make([]float64, len(points)), make([]int, len(points))
	for i := range near {
		near[i] = math.Inf(1)
	}
	for k := range n {
		w.Look()
		taken = append(taken, next)
		q := points[next]
		next, far = 0, -1.0
		for i, o := range points {
			if d := o.Dist(q); d < near[i] {
				near[i], of[i] = d, k
			}
			if near[i] > far {
				next, far = i, near[i]
			}
		}
	}
	stand = make([]int, n)
	for _, k := range of {
		stand[k]++
	}
	return taken, stand
}
