package role

import "lampblack/panel/geom"

// Places is where a thing lies; a rule of the project file can name each.
type Places uint8

const (
	InCorners   Places = 1 << iota // of the outline; of round things of one size, the nearest to each
	NearEdge                       // of the outline
	RoundOthers                    // closed lines lie within it
	WithinOther                    // it lies within another closed line
)

// A screw sits in a corner no farther from it, along both edges, than a fifth of the edge or 15 mm, and a large one no
// farther than twice its diameter. In slim modules the first hole stands 7.5 mm from the side (IEC 60297-3-101).
const cornerShare, cornerReach, cornerLeast = 0.2, 15.0, 8.0

// Near the edge a web of at most 5 mm is left, since screws stand one to two of their heads' diameters from an edge; in a
// slim panel, where nothing is far from it, a twelfth of the shorter side.
const edgeReach, edgeShare = 5.0, 1.0 / 12

// Of returns where a thing of that size lies: at its centre, its distance from the outline, and the outline's box.
func Of(at geom.XY, size, edge float64, outline geom.XYBox) Places {
	var p Places
	rx, ry := max(min(cornerReach, outline.W()*cornerShare), 2*size, cornerLeast), max(min(cornerReach, outline.H()*cornerShare), 2*size, cornerLeast)
	dx := min(at.X-outline.Min.X, outline.Max.X-at.X)
	dy := min(at.Y-outline.Min.Y, outline.Max.Y-at.Y)
	if dx <= rx && dy <= ry && size < 12 {
		p |= InCorners
	}
	if edge-size/2 <= min(edgeReach, edgeShare*min(outline.W(), outline.H())) {
		p |= NearEdge
	}
	return p
}
