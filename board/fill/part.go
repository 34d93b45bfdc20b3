package fill

import (
	"github.com/tidwall/rtree"

	"lampblack/panel/geom"
)

// parted returns the eroded area core cut back where, grown by half, it would nearly meet itself again: on either side of a
// neck that is a little too narrow stands a tip, and two tips nearer than 2·half + gap would touch in a waist, or leave a
// slit that does not etch clean.
func parted(knife geom.Knife, core geom.Region, half, gap geom.Nm) geom.Region {
	reach := half + gap/2
	for range 16 { // one or two rounds in practice
		var bites []geom.Ring
		for _, m := range facing(core, 2*reach) {
			bites = append(bites, disc(m, reach+slack))
		}
		if len(bites) == 0 {
			return core
		}
		core = knife.Without(core, bites...)
	}
	return core
}

// facing returns the middles between tips of the region that lie less than d apart with no copper between them.
func facing(core geom.Region, d geom.Nm) []geom.Pt {
	var tips rtree.RTreeGN[geom.Nm, geom.Pt]
	var all []geom.Pt
	for _, r := range core.Rings() {
		for i, p := range r {
			if sharp(r[(i+len(r)-1)%len(r)], p, r[(i+1)%len(r)]) {
				all = append(all, p)
				tips.Insert([2]geom.Nm{p.X, p.Y}, [2]geom.Nm{p.X, p.Y}, p)
			}
		}
	}
	var out []geom.Pt
	for _, p := range all {
		lo, hi := corners(geom.BoxOf(p).Grown(d))
		tips.Search(lo, hi, func(_, _ [2]geom.Nm, q geom.Pt) bool {
			if (p.Y < q.Y || p.Y == q.Y && p.X < q.X) && p.Dist(q) < float64(d) {
				if m := geom.BoxOf(p, q).Centre(); core.Locate(m) == geom.Outside {
					out = append(out, m)
				}
			}
			return true
		})
	}
	return out
}

// sharp reports whether the border, which has the region to its left, turns by more than 30° to the left at b.
func sharp(a, b, c geom.Pt) bool {
	u, v := b.Sub(a), c.Sub(b)
	const half = 0.5 // sin 30°
	return u.Cross(v) > 0 && (u.Dot(v) <= 0 || float64(u.Cross(v)) > half*u.Len()*v.Len())
}
