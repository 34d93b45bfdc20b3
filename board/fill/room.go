package fill

import (
	"github.com/tidwall/rtree"

	"lampblack/panel/geom"
)

// room is where a net's copper may be: a sheet less obstacles.
type room struct {
	edges     rtree.RTreeGN[geom.Nm, geom.Segment] // of the sheet
	sheet     geom.Region
	obstacles rtree.RTreeGN[geom.Nm, geom.Ring]
}

func newRoom(sheet geom.Region, obstacles []geom.Ring) *room {
	r := &room{sheet: sheet}
	for _, ring := range sheet.Rings() {
		for _, s := range ring.Segments() {
			lo, hi := corners(s.Box())
			r.edges.Insert(lo, hi, s)
		}
	}
	for _, o := range obstacles {
		lo, hi := corners(o.Box())
		r.obstacles.Insert(lo, hi, o)
	}
	return r
}

func corners(b geom.Box) (lo, hi [2]geom.Nm) {
	return [2]geom.Nm{b.Min.X, b.Min.Y}, [2]geom.Nm{b.Max.X, b.Max.Y}
}

// holds reports whether the whole of a convex ring lies in the room.
func (r *room) holds(ring geom.Ring) bool {
	if r.sheet.Locate(ring[0]) != geom.Inside {
		return false
	}
	lo, hi := corners(ring.Box())
	ok := true
	r.edges.Search(lo, hi, func(_, _ [2]geom.Nm, s geom.Segment) bool {
		ok = ring.Locate(s.A) == geom.Outside && !crosses(ring, s)
		return ok
	})
	if !ok {
		return false
	}
	r.obstacles.Search(lo, hi, func(_, _ [2]geom.Nm, o geom.Ring) bool {
		ok = ring.Locate(o[0]) == geom.Outside && o.Locate(ring[0]) == geom.Outside
		for _, s := range o.Segments() {
			ok = ok && !crosses(ring, s)
		}
		return ok
	})
	return ok
}

func crosses(ring geom.Ring, s geom.Segment) bool {
	for _, e := range ring.Segments() {
		if e.Crosses(s) {
			return true
		}
	}
	return false
}
