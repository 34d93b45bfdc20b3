package route

import (
	"math"

	"github.com/tidwall/rtree"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// world is the board's exact geometry: what stands fixed, and the copper of every run. It proves clearances for the
// clean-up, which works in whole nanometres and off the lattice.
type world struct {
	rules  board.Rules
	fixed  rtree.RTreeG[*thing]
	copper rtree.RTreeG[*piece]
}

// thing is a fixed obstacle, or the gap between the pads of one part.
type thing struct {
	shape
	net   led.NetID
	clear geom.Nm
	sides [2]bool
	gap   bool // no obstacle, but a place where no track belongs
	pin   int  // -1 unless a pad
}

// piece is one straight piece of a run, or one of the two faces of a via.
type piece struct {
	seg  geom.Segment
	half geom.Nm
	on   geom.Side
	net  led.NetID
	run  *run // nil for a via
	node *node
}

func corners(b geom.Box) (lo, hi [2]float64) {
	return [2]float64{float64(b.Min.X), float64(b.Min.Y)}, [2]float64{float64(b.Max.X), float64(b.Max.Y)}
}

func newWorld(b board.Board, pins []pin) *world {
	w := &world{rules: b.Rules}
	r := b.Rules
	both := [2]bool{true, true}
	add := func(t thing) {
		lo, hi := corners(t.box().Grown(t.clear))
		w.fixed.Insert(lo, hi, &t)
	}
	for i := range pins {
		p := &pins[i]
		owner := p.Net
		if owner <= led.NoNet {
			owner = fixed
		}
		add(thing{shape: p.shape, net: owner, clear: r.Clearance, sides: [2]bool{p.OnSide(geom.Top), p.OnSide(geom.Bottom)}, pin: i})
		if i > 0 && pins[i-1].part == p.part {
			if s, ok := gapBetween(&pins[i-1], p); ok {
				add(thing{shape: capsule(s, 0), net: fixed, sides: both, gap: true, pin: -1})
			}
		}
	}
	for _, c := range append([]geom.Contour{b.Outline}, b.Cutouts...) {
		for _, s := range c.Ring(geom.FlattenTolerance).Segments() {
			add(thing{shape: capsule(s, 0), net: fixed, clear: r.CopperToEdge + geom.FlattenTolerance, sides: both, pin: -1})
		}
	}
	for _, c := range b.Keepout {
		for _, s := range c.Ring(geom.FlattenTolerance).Segments() {
			add(thing{shape: capsule(s, 0), net: fixed, clear: geom.FlattenTolerance, sides: both, pin: -1})
		}
	}
	for _, h := range b.Holes {
		add(thing{shape: disc(h.At, h.D), net: fixed, clear: b.HoleClear(h), sides: both, pin: -1})
	}
	return w
}

func (w *world) insert(p *piece) {
	lo, hi := corners(p.seg.Box().Grown(p.half))
	w.copper.Insert(lo, hi, p)
}

func (w *world) remove(p *piece) {
	lo, hi := corners(p.seg.Box().Grown(p.half))
	w.copper.Delete(lo, hi, p)
}

// view is what a straight piece of copper sees around it.
type view struct {
	slack float64 // nm to spare beyond the clearance to the nearest foreign thing; capped at like
	gaps  int     // gaps between pads of one part that it runs through
}

// like is the room beyond the clearance that copper is given where it can be had, in nm.
const like = comfort * 1000

// look measures the surroundings of a straight piece of the given half width. It stops early, with a negative
// slack, at the first broken clearance.
func (w *world) look(s geom.Segment, half geom.Nm, on geom.Side, id led.NetID) view {
	v := view{slack: like}
	lo, hi := corners(s.Box().Grown(half + like))
	w.fixed.Search(lo, hi, func(_, _ [2]float64, t *thing) bool {
		if !t.sides[on] || t.net == id {
			return true
		}
		d := t.dist(s)
		if t.gap {
			if d <= 0 {
				v.gaps++
			}
			return true
		}
		v.slack = min(v.slack, d-float64(half+t.clear))
		return v.slack >= 0
	})
	if v.slack < 0 {
		return v
	}
	lo, hi = corners(s.Box().Grown(half + w.rules.Clearance + like))
	w.copper.Search(lo, hi, func(_, _ [2]float64, p *piece) bool {
		if p.on != on || p.net == id {
			return true
		}
		v.slack = min(v.slack, p.seg.Dist(s)-float64(half+p.half+w.rules.Clearance))
		return v.slack >= 0
	})
	return v
}

// own judges a straight piece against other copper of its own net: 0 when it stays clear or meets it only at a
// common end at 45 degrees or more, 1 when it comes too near, 2 when it crosses it. ends are the run's own ends.
func (w *world) own(s geom.Segment, r *run, ends [2]*node) int {
	worst := 0
	half := r.width / 2
	lo, hi := corners(s.Box().Grown(half + w.rules.Clearance))
	w.copper.Search(lo, hi, func(_, _ [2]float64, p *piece) bool {
		if p.on != r.on || p.net != r.net || p.run == r {
			return true
		}
		d := p.seg.Dist(s)
		if d >= float64(half+p.half+w.rules.Clearance) {
			return true
		}
		if p.run == nil { // a via of the net: only the run's own end may meet it
			if p.node == ends[0] || p.node == ends[1] {
				return true
			}
			worst = 2
			return false
		}
		for _, e := range ends {
			if p.run.a != e && p.run.b != e {
				continue
			}
			// Both runs end at e. Near it they may be as close as their angle makes them.
			if touches(s, e.at) && touches(p.seg, e.at) {
				if square(s, p.seg, e.at) {
					return true
				}
				worst = 2
				return false
			}
			reach := 1.5 * float64(half+p.half+w.rules.Clearance)
			if e.pin >= 0 {
				reach += e.size / 2
			}
			if d > 0 && s.DistTo(e.at) < reach && p.seg.DistTo(e.at) < reach {
				return true
			}
		}
		worst = max(worst, 1)
		if d == 0 {
			worst = 2
		}
		return worst < 2
	})
	if worst == 2 {
		return 2
	}
	// Copper over a pad of the net that is not its end would be a second way to it.
	lo, hi = corners(s.Box().Grown(half))
	w.fixed.Search(lo, hi, func(_, _ [2]float64, t *thing) bool {
		if t.pin < 0 || t.net != r.net || !t.sides[r.on] || t.pin == ends[0].pin || t.pin == ends[1].pin {
			return true
		}
		if t.dist(s) < float64(half) {
			worst = 2
		}
		return worst < 2
	})
	return worst
}

func touches(s geom.Segment, p geom.Pt) bool { return s.A == p || s.B == p }

// square reports whether two segments that meet at p leave it at 45 degrees or more.
func square(s, t geom.Segment, p geom.Pt) bool {
	u, v := away(s, p), away(t, p)
	dot := float64(u.Dot(v))
	if dot <= 0 {
		return true
	}
	const cos2of45 = 0.5001 // cos²(45°), a little more for rounding
	return float64(dot*dot) <= cos2of45*float64(float64(u.Dot(u))*float64(v.Dot(v)))
}

func away(s geom.Segment, p geom.Pt) geom.Vec {
	if s.A == p {
		return s.B.Sub(p)
	}
	return s.A.Sub(p)
}

// viaFits reports whether a via may stand at p: clear of every pad, edge, hole and foreign copper, also with its
// drill, with holes of its own net at their distance too.
func (w *world) viaFits(p geom.Pt, me *node, id led.NetID) bool {
	r := w.rules
	s := geom.Segment{A: p, B: p}
	ok := true
	reach := r.ViaPad + max(r.Clearance, r.BetweenHoles, r.HoleToEdge)
	lo, hi := corners(s.Box().Grown(reach))
	w.fixed.Search(lo, hi, func(_, _ [2]float64, t *thing) bool {
		if t.gap {
			return true
		}
		d := t.dist(s)
		need := float64(r.ViaPad/2 + t.clear)
		if t.pin < 0 {
			need = max(need, float64(r.ViaDrill/2+max(r.HoleToEdge, r.BetweenHoles)))
		} else {
			need = max(need, float64(r.ViaDrill/2+r.BetweenHoles))
		}
		ok = d >= need
		return ok
	})
	if !ok {
		return false
	}
	w.copper.Search(lo, hi, func(_, _ [2]float64, q *piece) bool {
		d := q.seg.Dist(s)
		switch {
		case q.run == nil && q.node == me:
		case q.run == nil:
			ok = d >= float64(max(r.ViaDrill+r.BetweenHoles, r.ViaPad+r.Clearance))
		case q.net != id:
			ok = d >= float64(r.ViaPad/2+q.half+r.Clearance)
		}
		return ok
	})
	return ok
}

// room returns the greatest half width, up to most, that a straight piece may have.
func (w *world) room(s geom.Segment, on geom.Side, id led.NetID, most geom.Nm) geom.Nm {
	best := float64(most)
	lo, hi := corners(s.Box().Grown(most))
	w.fixed.Search(lo, hi, func(_, _ [2]float64, t *thing) bool {
		if t.sides[on] && t.net != id && !t.gap {
			best = min(best, t.dist(s)-float64(t.clear))
		}
		return true
	})
	lo, hi = corners(s.Box().Grown(most + w.rules.Clearance))
	w.copper.Search(lo, hi, func(_, _ [2]float64, p *piece) bool {
		if p.on == on && p.net != id {
			best = min(best, p.seg.Dist(s)-float64(p.half+w.rules.Clearance))
		}
		return true
	})
	return geom.Nm(math.Floor(max(0, best)))
}
