package readback

import (
	"github.com/tidwall/rtree"

	"lampblack/board"
	"lampblack/export"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// dark is a piece of area on its way: a region painted dark, and what was cleared in it since.
type dark struct {
	net   led.NetID
	outer geom.Ring
	box   geom.Box
	holes []geom.Ring
	rough bool // a clear region meets its border or another hole: the boolean decides
}

// areas lifts the regions of a copper layer.
func (u *raiser) areas(l export.Layer, side geom.Side) {
	pieces := u.darks(l, func(at geom.Pt) {
		u.found.Add(diag.Error, "readback-cleared-copper", "a region is cleared after tracks or pads were painted").
			At(at.X.MM(), at.Y.MM()).Fix("paint areas and their holes first")
	})
	for _, d := range pieces {
		for _, p := range d.polygons(u.watch) {
			u.b.Areas = append(u.b.Areas, board.Area{Net: d.net, On: side, Fill: p})
		}
	}
}

// darks returns the dark regions of a layer. A clear region takes away from every dark one painted before it. Where it
// lies inside one without touching its border or another hole it simply is a hole; only the others need a boolean. A region that
// is cleared after a draw or a flash is told to late and takes nothing away.
func (u *raiser) darks(l export.Layer, late func(at geom.Pt)) []*dark {
	var pieces []*dark
	painted := false // a draw or flash: clearing after it would cut it
	for _, o := range l.Objects {
		u.watch.Look()
		if o.Op != export.Region {
			painted = true
			continue
		}
		ring := o.Contour.Ring(geom.FlattenTolerance)
		if len(ring) < 3 {
			continue
		}
		if !o.Clear {
			pieces = append(pieces, &dark{net: u.net(o), outer: ring.Oriented(geom.CCW), box: ring.Box(), rough: hasCutIn(ring)})
			continue
		}
		if painted {
			late(ring[0])
			continue
		}
		box := ring.Box()
		for _, d := range pieces {
			if d.box.Touches(box) {
				d.holes = append(d.holes, ring.Oriented(geom.CW))
			}
		}
	}
	return pieces
}

func (d *dark) polygons(w *work.Watch) []geom.Polygon {
	if len(d.holes) == 0 && !d.rough {
		return []geom.Polygon{{Outer: d.outer}}
	}
	if holes, ok := d.separate(w); ok && !d.rough {
		return []geom.Polygon{{Outer: d.outer, Holes: holes}}
	}
	return geom.Knife{Look: w.Look}.Without(geom.NewRegion(d.outer), d.holes...)
}

// separate returns the holes that lie in the piece; ok is false when borders meet or holes lie in each other.
func (d *dark) separate(w *work.Watch) (holes []geom.Ring, ok bool) {
	type edge struct {
		ring int
		s    geom.Segment
	}
	var tree rtree.RTreeGN[int64, edge]
	meets := false
	add := func(k int, r geom.Ring) {
		for _, s := range r.Segments() {
			w.Step()
			b := s.Box()
			lo, hi := [2]int64{int64(b.Min.X), int64(b.Min.Y)}, [2]int64{int64(b.Max.X), int64(b.Max.Y)}
			tree.Search(lo, hi, func(_, _ [2]int64, e edge) bool {
				meets = meets || e.ring != k && e.s.Crosses(s)
				return !meets
			})
			if meets {
				return
			}
			tree.Insert(lo, hi, edge{k, s})
		}
	}
	add(-1, d.outer)
	for k, h := range d.holes {
		if add(k, h); meets {
			return nil, false
		}
	}
	boxes := make([]geom.Box, len(d.holes))
	for k, h := range d.holes {
		boxes[k] = h.Box()
	}
	// No borders meet: one point of each ring tells where the whole ring lies.
	for k, h := range d.holes {
		w.Look()
		if d.outer.Locate(h[0]) != geom.Inside {
			if h.Locate(d.outer[0]) == geom.Inside {
				return nil, false // it takes the whole piece away
			}
			continue
		}
		holes = append(holes, h)
		for j, other := range d.holes {
			if j != k && boxes[j].Contains(h[0]) && other.Locate(h[0]) == geom.Inside {
				return nil, false
			}
		}
	}
	return holes, true
}
