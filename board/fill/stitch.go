package fill

import (
	"github.com/tidwall/rtree"

	"lampblack/board"
	"lampblack/panel/geom"
)

// stitched joins each pocket to the areas of its net on the other side by vias, where both lie over each other and nothing
// else is near, and counts them among the contacts of both. Vias of one pocket keep Options.Stitch from each other.
func stitched(b board.Board, opt Options, made []area) ([]area, []board.Via) {
	if opt.Stitch <= 0 {
		return made, nil
	}
	var out []board.Via
	var room *drillRoom
	for i := range made {
		p := &made[i]
		if !p.pocket {
			continue
		}
		if room == nil {
			room = newDrillRoom(b)
		}
		for k := range made {
			q := &made[k]
			// Only copper that is there anyway is worth a via: of two pockets the later one is looked at first.
			if q.net != p.net || q.side == p.side || q.contacts == 0 || q.fill.Area() < opt.Least || !q.fill.Outer.Box().Touches(p.fill.Outer.Box()) {
				continue
			}
			for _, at := range room.spots(geom.Region{p.fill}, geom.Region{q.fill}, opt.Stitch) {
				v := board.Via{Net: p.net, At: at, Drill: b.Rules.ViaDrill, D: b.Rules.ViaPad}
				out = append(out, v)
				p.contacts++
				q.contacts++
			}
		}
	}
	return made, out
}

// drillRoom knows where a via may be drilled.
type drillRoom struct {
	b     board.Board
	taken rtree.RTreeGN[geom.Nm, geom.Box] // courtyards of parts and copper of pads
	holes rtree.RTreeGN[geom.Nm, circle]
	made  []geom.Pt
}

type circle struct {
	at geom.Pt
	r  geom.Nm
}

func newDrillRoom(b board.Board) *drillRoom {
	d := &drillRoom{b: b}
	add := func(box geom.Box) {
		lo, hi := corners(box)
		d.taken.Insert(lo, hi, box)
	}
	hole := func(at geom.Pt, r geom.Nm) {
		lo, hi := corners(geom.BoxOf(at).Grown(r))
		d.holes.Insert(lo, hi, circle{at, r})
	}
	for _, p := range b.Parts {
		if len(p.Courtyard) > 0 {
			add(p.Courtyard.Box()) // nothing under a body, where it could not be seen, nor in a wire's way
		}
		for _, q := range p.Pads {
			add(q.Contour(0).Box())
		}
	}
	for _, s := range b.Spots {
		add(s.Pad().Contour(s.Mask).Box())
	}
	for _, h := range b.Holes {
		hole(h.At, h.D/2)
	}
	for _, v := range b.Vias {
		hole(v.At, v.Drill/2)
	}
	return d
}

// spots returns places for vias in what p and q have in common, on a grid of half a millimetre, from below.
func (d *drillRoom) spots(p, q geom.Region, apart geom.Nm) []geom.Pt {
	const step = geom.Millimetre / 2
	r := d.b.Rules
	// A hole keeps HoleToEdge from the board's edge, from which areas keep only CopperToEdge.
	reach := max(r.ViaPad/2, r.ViaDrill/2+r.HoleToEdge-r.CopperToEdge) + 10*geom.Micrometre
	box := p.Box().Grown(geom.Millimetre)
	window := geom.Region{{Outer: geom.Ring{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}}}}
	both := p.And(q.And(window)).Shrunk(reach)
	if len(both) == 0 {
		return nil
	}
	var out []geom.Pt
	box = both.Box()
	for y := (box.Min.Y/step + 1) * step; y <= box.Max.Y; y += step {
		for x := (box.Min.X/step + 1) * step; x <= box.Max.X; x += step {
			at := geom.Pt{X: x, Y: y}
			if d.free(at, apart) && both.Locate(at) == geom.Inside {
				out = append(out, at)
				d.made = append(d.made, at)
			}
		}
	}
	return out
}

func (d *drillRoom) free(at geom.Pt, apart geom.Nm) bool {
	for _, o := range d.made {
		if at.Dist(o) < float64(apart) {
			return false
		}
	}
	r := d.b.Rules
	lo, hi := corners(geom.BoxOf(at).Grown(r.ViaPad/2 + r.Clearance))
	ok := true
	d.taken.Search(lo, hi, func(_, _ [2]geom.Nm, _ geom.Box) bool {
		ok = false
		return false
	})
	if !ok {
		return false
	}
	lo, hi = corners(geom.BoxOf(at).Grown(r.ViaDrill/2 + r.BetweenHoles))
	d.holes.Search(lo, hi, func(_, _ [2]geom.Nm, h circle) bool {
		ok = at.Dist(h.at) >= float64(h.r+r.ViaDrill/2+r.BetweenHoles)
		return ok
	})
	return ok
}
