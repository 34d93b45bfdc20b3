package group

import (
	"math"
	"slices"

	"lampblack/led"
	"lampblack/panel/geom"
)

// Hops returns the length of all hops from LED to LED within the strings of a board, and a lower bound of it: for each kind of
// LED the greater of two, the shortest forest that leaves as many pieces as there are strings of the kind (Kruskal), since the
// strings are such a forest themselves, and what their ends ask for (see ends). at returns where a hole of the panel is.
func Hops(w led.Wiring, at func(hole int) geom.Pt) (length, bound geom.Nm) {
	var kinds []string
	for _, l := range w.LEDs {
		if !slices.Contains(kinds, l.Kind.Name) {
			kinds = append(kinds, l.Kind.Name)
		}
	}
	total := 0.0
	for _, s := range w.Strings {
		for i := 1; i < len(s.LEDs); i++ {
			total += at(w.LEDs[s.LEDs[i-1]].Hole).Dist(at(w.LEDs[s.LEDs[i]].Hole))
		}
	}
	least := 0.0
	for _, k := range kinds {
		var pts []geom.Pt
		var lengths []int
		for _, l := range w.LEDs {
			if l.Kind.Name == k {
				pts = append(pts, at(l.Hole))
			}
		}
		for _, s := range w.Strings {
			if len(s.LEDs) > 0 && w.LEDs[s.LEDs[0]].Kind.Name == k {
				lengths = append(lengths, len(s.LEDs))
			}
		}
		least += max(forest(pts, len(pts)-len(lengths)), ends(pts, lengths))
	}
	return geom.Nm(math.Round(total)), geom.Nm(math.Floor(least))
}

// forest returns the length of the shortest forest with the given number of edges: the shortest edges of the shortest
// spanning tree (Prim, O(n²)).
func forest(pts []geom.Pt, edges int) float64 {
	n := len(pts)
	if n == 0 || edges <= 0 {
		return 0
	}
	dist := make([]float64, n)
	done := make([]bool, n)
	for i := range dist {
		dist[i] = math.Inf(1)
	}
	dist[0] = 0
	var tree []float64
	for range n {
		best := -1
		for i := range dist {
			if !done[i] && (best < 0 || dist[i] < dist[best]) {
				best = i
			}
		}
		done[best] = true
		tree = append(tree, dist[best])
		for i := range dist {
			if !done[i] {
				dist[i] = min(dist[i], pts[i].Dist(pts[best]))
			}
		}
	}
	tree = tree[1:]
	slices.Sort(tree)
	sum := 0.0
	for _, d := range tree[:min(edges, len(tree))] {
		sum += d
	}
	return sum
}
