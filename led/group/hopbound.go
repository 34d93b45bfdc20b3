package group

import (
	"math"
	"slices"

	"lampblack/panel/geom"
)

// ends returns a lower bound of the hops of strings of the given lengths through the points: an LED within a string has two
// hops and one at its end one, none of them shorter than the ways to its nearest and next nearest neighbour, and each hop has
// two ends. It beats the forest where strings are short: pairs have no long way to save.
func ends(pts []geom.Pt, lengths []int) float64 {
	one, two := 0, 0 // LEDs that have at least one hop, and that have two
	for _, n := range lengths {
		if n > 1 {
			one += n
			two += n - 2
		}
	}
	first, second := make([]float64, len(pts)), make([]float64, len(pts))
	for i, p := range pts {
		first[i], second[i] = math.Inf(1), math.Inf(1)
		for j, q := range pts {
			if i == j {
				continue
			}
			switch d := p.Dist(q); {
			case d < first[i]:
				first[i], second[i] = d, first[i]
			case d < second[i]:
				second[i] = d
			}
		}
	}
	slices.Sort(first)
	slices.Sort(second)
	sum := 0.0
	for _, d := range first[:min(one, len(first))] {
		sum += float64(d / 2)
	}
	for _, d := range second[:min(two, len(second))] {
		sum += float64(d / 2)
	}
	if math.IsInf(sum, 1) {
		return 0 // lengths that do not go with the points
	}
	return sum
}
