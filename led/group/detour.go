package group

import (
	"math"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// Block is an area that copper cannot cross: an opening or a body of the panel.
type Block struct {
	ring geom.Ring
	box  geom.Box
}

// blockTolerance flattens blocks: hops are compared, not made, from them.
const blockTolerance = 100 * geom.Micrometre

// Blocks returns what a hop has to go round on the panel.
func Blocks(p panel.Panel) []Block {
	var out []Block
	add := func(c geom.Contour) {
		if r := c.Ring(blockTolerance); len(r) >= 3 {
			out = append(out, Block{r, r.Box()})
		}
	}
	for _, o := range p.Openings {
		add(o.Contour)
	}
	for _, b := range p.Bodies {
		add(b)
	}
	return out
}

// around returns the metric of hops that go round the blocks: straight where none is in the way, else at least as long as
// the way round the nearer corners of the box of the worst block. Lengths of blocked hops are an estimate.
func around(pts []geom.Pt, blocks []Block) metric {
	if len(blocks) == 0 {
		return straight(pts)
	}
	type pair struct{ i, j int }
	known := map[pair]int64{} // looked up only, never ranged over
	return func(i, j int) int64 {
		if i > j {
			i, j = j, i
		}
		if d, ok := known[pair{i, j}]; ok {
			return d
		}
		d := pts[i].Dist(pts[j])
		hop := geom.Segment{A: pts[i], B: pts[j]}
		box := hop.Box()
		for _, b := range blocks {
			if b.box.Touches(box) && b.crossed(hop) {
				d = max(d, b.round(hop))
			}
		}
		v := int64(math.Round(d))
		known[pair{i, j}] = v
		return v
	}
}

// crossed reports whether the hop meets the block's edge. A hop within a Block counts as free: nothing could help it.
func (b Block) crossed(s geom.Segment) bool {
	for i := range b.ring {
		if s.Crosses(geom.Segment{A: b.ring[i], B: b.ring[(i+1)%len(b.ring)]}) {
			return true
		}
	}
	return false
}

// round returns the length of the shorter way round the block's box: over one corner or two neighbouring ones.
func (b Block) round(s geom.Segment) float64 {
	lo, hi := b.box.Min, b.box.Max
	corner := [4]geom.Pt{lo, {X: hi.X, Y: lo.Y}, hi, {X: lo.X, Y: hi.Y}}
	best := math.Inf(1)
	try := func(way ...geom.Pt) {
		way = append(append([]geom.Pt{s.A}, way...), s.B)
		for i := 1; i < len(way); i++ {
			if b.through(geom.Segment{A: way[i-1], B: way[i]}) {
				return
			}
		}
		best = min(best, geom.Polyline(way).Len())
	}
	for i := range corner {
		try(corner[i])
		try(corner[i], corner[(i+1)%4])
		try(corner[(i+1)%4], corner[i])
	}
	if math.IsInf(best, 1) {
		// An end lies inside the box: half the box's border is a fair price.
		best = s.Len() + float64(b.box.W()) + float64(b.box.H())
	}
	return best
}

// through reports whether the segment passes the inside of the block: a touch at one corner of the ring does not count.
func (b Block) through(s geom.Segment) bool {
	touched := 0
	for i := range b.ring {
		e := geom.Segment{A: b.ring[i], B: b.ring[(i+1)%len(b.ring)]}
		if !s.Crosses(e) {
			continue
		}
		o1, o2 := geom.Orient(s.A, s.B, e.A), geom.Orient(s.A, s.B, e.B)
		if o1 != geom.Collinear && o2 != geom.Collinear && o1 != o2 {
			t1, t2 := geom.Orient(e.A, e.B, s.A), geom.Orient(e.A, e.B, s.B)
			if t1 != geom.Collinear && t2 != geom.Collinear {
				return true
			}
		}
		touched++
	}
	// A diagonal of a rectangular Block touches it at four edges, two at either corner.
	if touched >= 4 {
		mid := geom.Pt{X: (s.A.X + s.B.X) / 2, Y: (s.A.Y + s.B.Y) / 2}
		return b.ring.Locate(mid) == geom.Inside
	}
	return false
}
