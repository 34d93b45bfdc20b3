package shape

import (
	"cmp"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// mostBridges bounds how many moves are tried that might join a board that is cut.
const mostBridges = 16

// shift is a way to move a body or an opening so that board passes beside it.
type shift struct {
	body, opening int // -1: not such
	by            geom.Vec
}

// adviseBridges says of a board that is cut which body or opening could be moved, and how far, so that it is whole.
func (d deriver) adviseBridges(out *outcome) {
	i := slices.IndexFunc(out.l, func(f diag.Finding) bool { return f.Code == "shape-board-cut" })
	if i < 0 {
		return
	}
	w := necks()[len(necks())-1]
	for n, s := range d.shifts(out.b.Room, w) {
		if n == mostBridges {
			break
		}
		if !d.joins(s, out.b.Room, w) {
			continue
		}
		what, at := "body", geom.Pt{}
		if s.opening >= 0 {
			what, at = "opening", d.p.Openings[s.opening].Box().Centre()
		} else {
			at = d.p.Bodies[s.body].Box().Centre()
		}
		for k := range out.l {
			if f := &out.l[k]; f.Code == "shape-board-cut" {
				f.Fix("move the %s between them %v, which leaves a bridge of %v; or leave one elsewhere, or make two panels of it", what, board.Move(s.by), w)
				f.Note(diag.Place{At: &diag.Point{X: at.X.MM(), Y: at.Y.MM()}}, "the %s to be moved", what)
			}
		}
		return
	}
}

// shifts returns the moves of one body or opening away from another, or from the outline, that make the way between them as wide as
// w and what the board keeps from both, the shortest first; of near ones
// in about one direction there is one. An opening takes its room along.
func (d deriver) shifts(rooms []panel.Room, w geom.Nm) []shift {
	type thing struct {
		shift
		ring geom.Ring
	}
	var all []thing
	for i, c := range d.p.Bodies {
		all = append(all, thing{shift{body: i, opening: -1}, c.Ring(geom.FlattenTolerance)})
	}
	for i, o := range d.p.Openings {
		ring := o.Ring(geom.FlattenTolerance)
		for _, r := range rooms {
			if r.Opening == i {
				ring = r.Ring(geom.FlattenTolerance)
			}
		}
		all = append(all, thing{shift{body: -1, opening: i}, ring})
	}
	var out []shift
	away := func(a thing, from geom.Ring, need geom.Nm) {
		p, q := nearestPoints(from, a.ring)
		gap := p.Dist(q)
		if gap == 0 || gap >= float64(need) {
			return
		}
		const more = 20 * geom.Micrometre
		f := (float64(need-geom.Nm(gap)) + float64(more)) / gap
		v := q.Sub(p)
		a.by = geom.Vec{X: geom.Nm(math.Round(float64(v.X) * f)), Y: geom.Nm(math.Round(float64(v.Y) * f))}
		out = append(out, a.shift)
	}
	outline := d.p.Outline.Ring(geom.FlattenTolerance)
	for i, a := range all {
		for _, e := range outline.Segments() {
			away(a, geom.Ring{e.A, e.B}, d.r.Margin+w+d.r.BodyClearance)
		}
		for j, b := range all {
			if i != j && a.ring.Box().Dist(b.ring.Box()) < float64(w+2*d.r.BodyClearance) {
				away(a, b.ring, w+2*d.r.BodyClearance)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b shift) int { return cmp.Compare(a.by.Dot(a.by), b.by.Dot(b.by)) })
	type way struct{ body, opening, octant int }
	most := map[way]geom.Nm{}
	return slices.DeleteFunc(out, func(s shift) bool {
		k := way{s.body, s.opening, octant(s.by)}
		far := geom.Nm(s.by.Len())
		again := most[k] > 0 && far < most[k]+100*geom.Micrometre
		if !again {
			most[k] = far
		}
		return again
	})
}

// octant returns which of the eight directions along the axes and the diagonals is nearest.
func octant(v geom.Vec) int {
	return int(math.Round(math.Atan2(float64(v.Y), float64(v.X))/(math.Pi/4))+8) % 8
}

// joins reports whether the board has all LEDs on one piece once the thing is moved, which then meets no other.
func (d deriver) joins(s shift, rooms []panel.Room, w geom.Nm) bool {
	p := d.p
	rooms = slices.Clone(rooms)
	var now geom.Ring
	if s.body >= 0 {
		p.Bodies = slices.Clone(p.Bodies)
		p.Bodies[s.body] = p.Bodies[s.body].Moved(s.by)
		now = p.Bodies[s.body].Ring(geom.FlattenTolerance)
	} else {
		p.Openings = slices.Clone(p.Openings)
		o := &p.Openings[s.opening]
		o.Contour = o.Contour.Moved(s.by)
		now = o.Contour.Ring(geom.FlattenTolerance)
		for i := range rooms {
			if rooms[i].Opening == s.opening {
				rooms[i].Contour = rooms[i].Contour.Moved(s.by)
			}
		}
	}
	others := []geom.Ring{}
	for i, c := range p.Bodies {
		if i != s.body {
			others = append(others, c.Ring(geom.FlattenTolerance))
		}
	}
	for i, o := range p.Openings {
		if i != s.opening {
			others = append(others, o.Ring(geom.FlattenTolerance))
		}
	}
	if len(geom.NewRegion(now).Minus(geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance)))) > 0 ||
		len(geom.NewRegion(now).And(geom.UnionOf(others...))) > 0 {
		return false
	}
	g := trimmed(freeArea(p, d.r, rooms, nil), w/2)
	return ledsOn(mainPiece(g, p), p) == len(p.LEDs)
}

// nearestPoints returns the points of two rings that are nearest to each other.
func nearestPoints(a, b geom.Ring) (p, q geom.Pt) {
	best := math.Inf(1)
	for _, s := range a.Segments() {
		for _, t := range b.Segments() {
			if d := s.Dist(t); d < best {
				best = d
				for _, c := range [4][2]geom.Pt{{s.A, t.Nearest(s.A)}, {s.B, t.Nearest(s.B)}, {s.Nearest(t.A), t.A}, {s.Nearest(t.B), t.B}} {
					if c[0].Dist(c[1]) <= d+1.5 {
						p, q = c[0], c[1]
						break
					}
				}
			}
		}
	}
	return p, q
}
