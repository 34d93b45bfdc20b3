package fill

import "lampblack/panel/geom"

// shortest is the shortest edge of an area.
const shortest = 3 * geom.Micrometre

// tidied returns the region without edges shorter than shortest. Where a track bends by a fraction of a degree, the core has a
// tooth between the ends of its two straight sides, a micrometre wide; the disc that grows the tooth is flattened, so that
// between the two grown sides a slit stays open, as wide as the tooth and as deep as the tolerance of curves. A slit is not
// wider than it is deep, and thus all its points lie within shortest. Everything else in an area is a hundred times wider than
// that, so that no ring can come to cross itself or another.
func tidied(g geom.Region) geom.Region {
	out := make(geom.Region, 0, len(g))
	for _, p := range g {
		outer := stepped(p.Outer)
		if len(outer) < 3 {
			continue // a crumb
		}
		q := geom.Polygon{Outer: outer}
		for _, h := range p.Holes {
			if h = stepped(h); len(h) >= 3 {
				q.Holes = append(q.Holes, h)
			}
		}
		out = append(out, q)
	}
	return out
}

// stepped returns the ring less the points that lie within shortest of the one before them.
func stepped(r geom.Ring) geom.Ring {
	var out geom.Ring
	for _, p := range r {
		if len(out) == 0 || p.Dist(out[len(out)-1]) >= float64(shortest) {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[0].Dist(out[len(out)-1]) < float64(shortest) {
		out = out[:len(out)-1]
	}
	return out
}
