package fasten

import (
	"math"
	"slices"

	"lampblack/board"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

// Support is how a board is held, and what is not held of it.
type Support struct {
	Board    string
	Screws   int
	Far      geom.Pt   // the place on the board that is farthest from a screw
	Distance geom.Nm   // so far
	Flat     geom.Nm   // by which the board alone may be out of flat there
	Bow      geom.Nm   // by which board and diffuser may come nearer to each other there
	Clear    geom.Nm   // what is likely left between the LEDs' tips and the diffuser there
	Proposed []geom.Pt // where screws of M3 have room on board and face, if it wants more
	Round    geom.Pt   // of the screws the one nearest to the middle: from it everything grows
	Grows    geom.Nm   // by how much a sheet outgrows the board between the two screws with the least play for it
	Play     geom.Nm   // what the holes of both leave for that
	Reach    geom.Nm   // between these; 0: there are no two
	Wider    geom.Nm   // holes of all others that leave as much where Round alone holds everything in its place
	Lamps    geom.Nm   // by how much the LED sheet does as far as the farthest LED
	Slotted  int       // mounts of the board whose holes in the sheets are slots
	Longest  geom.Nm   // of these
}

// tooFar is how far a board of usual thickness may lie from a screw before one more is proposed (common practice: a screw every 100 to
// 200 mm).
const tooFar = 100 * geom.Millimetre

// proposed is the hole of proposed mounts: M3, ISO 273 fine. Its head and washer are 7 across at most (ISO 7089), and lettering keeps a
// millimetre off them.
const (
	proposed   = 3200 * geom.Micrometre
	headRoom   = 4500 * geom.Micrometre
	mostScrews = 8
)

// SupportOf tells how a board is held by the mounts. engraved are areas of the face where no screw's head may come.
func SupportOf(p panel.Panel, b board.Board, mounts []Mount, s Stack, c material.Climate, engraved []geom.Region) Support {
	out := Support{Board: b.Name}
	var at []geom.Pt
	for _, m := range mounts {
		if m.Board == b.Name {
			at = append(at, m.At)
		}
	}
	out.Screws = len(at)
	if len(b.Outline) == 0 {
		return out
	}
	ground := groundOf(b)
	if len(at) > 0 {
		out.Far, out.Distance = farthest(ground, at)
		surface := slices.ContainsFunc(b.Parts, func(p board.Part) bool {
			return slices.ContainsFunc(p.Pads, func(q board.Pad) bool { return !q.Through && p.Footprint != "wire-pads" })
		})
		span := 2 * out.Distance
		bows := []float64{float64(material.BoardBow(span, surface)), float64(material.SheetBow(span, s.diffuser().Least))}
		tips := Adjust(b, s, Thread{}).Tips
		out.Flat, out.Bow = geom.Nm(bows[0]), geom.Nm(bows[0]+bows[1])
		thin := float64(tips.Thin())
		sum := float64(bows[0]*bows[0]) + float64(bows[1]*bows[1]) + float64(thin*thin)
		out.Clear = s.Gap + tips.Nominal - geom.Nm(math.Round(math.Sqrt(sum)))
		out.grown(p, b, mounts, s, c)
	}
	if len(at) == 0 || out.Distance > tooFar {
		out.Proposed = propose(p, b, ground, at, engraved)
	}
	return out
}

// Held reports whether the sheets cannot grow against the board as its mounts are drawn: one would arch.
func (out Support) Held() bool { return Arch(out.Reach, out.Grows-out.Play) >= leastArch }

// grown tells how the sheets grow against the board, from the screw nearest to the middle of all: common practice for panels of plastic
// on something that grows less is one fixed point in the middle, from which all else slides, as then the ways are the shortest. A slot
// that is drawn fixes nothing.
func (out *Support) grown(p panel.Panel, b board.Board, mounts []Mount, s Stack, c material.Climate) {
	var box geom.Box
	first := true
	for _, m := range mounts {
		if m.Board != b.Name {
			continue
		}
		if first {
			box, first = geom.BoxOf(m.At), false
		}
		box = box.Union(geom.BoxOf(m.At))
	}
	best := math.Inf(1)
	for i, m := range mounts {
		d := m.At.Dist(box.Centre())
		if i >= len(p.Mounts) {
			d += math.Hypot(float64(p.Outline.Box().W()), float64(p.Outline.Box().H()))
		}
		if m.Board == b.Name && d < best {
			out.Round, best = m.At, d
		}
	}
	var more material.Strain // of the sheet that grows most
	const metre = 1000 * geom.Millimetre
	for _, one := range s.growths(c) {
		if one := one.Beyond(material.BoardStrain(c)); one.Of(metre) > more.Of(metre) {
			more = one
		}
	}
	// The play of a mount is half in the sheet's hole and half in the board's, for a screw that stands in the middle of both; between
	// two screws there is that of both.
	play := func(m Mount) geom.Nm {
		t := ThreadOf(b.Name, []Mount{m})
		return max(0, m.D-t.Diameter())
	}
	for i, m := range mounts {
		if m.Board != b.Name || m.Thread == "" {
			continue
		}
		for _, o := range mounts[:i] {
			if o.Board != b.Name || o.Thread == "" {
				continue
			}
			reach := geom.Nm(math.Round(m.At.Dist(o.At)))
			if grows, left := more.Of(reach), play(m)+play(o); out.Reach == 0 || grows-left > out.Grows-out.Play {
				out.Grows, out.Play, out.Reach = grows, left, reach
			}
		}
		const step = 100 * geom.Micrometre
		if t := ThreadOf(b.Name, []Mount{m}); m.At != out.Round {
			out.Wider = max(out.Wider, (t.Diameter()+more.Of(geom.Nm(math.Round(m.At.Dist(out.Round))))+step-1)/step*step)
		}
	}
	for _, part := range b.Parts {
		if part.Kind == board.LED {
			out.Lamps = max(out.Lamps, s.Thick.LED.Kind.Strain(c).Beyond(material.BoardStrain(c)).Of(geom.Nm(part.At.Dist(out.Round))))
		}
	}
}

// Arch returns how high a sheet of a length arches that has grown by more and cannot: its arc is L + e long over L, and so
// √(3 L e/8) high.
func Arch(length, more geom.Nm) geom.Nm {
	if more <= 0 {
		return 0
	}
	return geom.Nm(math.Round(math.Sqrt(float64(3*float64(length)) * float64(more) / 8)))
}

// ground is a board's area.
type ground struct {
	area geom.Region
	step geom.Nm
}

func groundOf(b board.Board) ground {
	g := geom.NewRegion(b.Outline.Ring(geom.FlattenTolerance))
	for _, c := range b.Cutouts {
		g = g.Minus(geom.NewRegion(c.Ring(geom.FlattenTolerance)))
	}
	return ground{g, 2 * geom.Millimetre}
}

// places are those on a lattice over the ground, then its corners.
func (g ground) places() []geom.Pt {
	var out []geom.Pt
	box := g.area.Box()
	for y := box.Min.Y + g.step/2; y < box.Max.Y; y += g.step {
		for x := box.Min.X + g.step/2; x < box.Max.X; x += g.step {
			if q := (geom.Pt{X: x, Y: y}); g.area.Locate(q) == geom.Inside {
				out = append(out, q)
			}
		}
	}
	for _, r := range g.area.Rings() {
		out = append(out, r...)
	}
	return out
}

// farthest returns the place of the ground that is farthest from all of at.
func farthest(g ground, at []geom.Pt) (far geom.Pt, d geom.Nm) {
	return farthestOf(g.places(), at)
}

func farthestOf(places, at []geom.Pt) (far geom.Pt, d geom.Nm) {
	best := -1.0
	for _, q := range places {
		near := math.Inf(1)
		for _, m := range at {
			near = min(near, q.Dist(m))
		}
		if near > best {
			far, best = q, near
		}
	}
	return far, geom.Nm(math.Round(best))
}

// propose returns where more screws have room, so that no place of the board is farther than tooFar from one; four near the corners
// where there is none yet. Tracks are laid anew round them, and so do not count.
func propose(p panel.Panel, b board.Board, g ground, at []geom.Pt, engraved []geom.Region) []geom.Pt {
	free := freeFor(p, b, g, engraved)
	var out []geom.Pt
	add := func(want geom.Pt, within float64) bool {
		best, near := geom.Pt{}, within
		for _, q := range free {
			if d := q.Dist(want); d < near && !slices.ContainsFunc(slices.Concat(at, out), func(o geom.Pt) bool { return o.Dist(q) < float64(15*geom.Millimetre) }) {
				best, near = q, d
			}
		}
		if near < within {
			out = append(out, best)
		}
		return near < within
	}
	if len(at) == 0 {
		box := g.area.Box()
		for _, c := range []geom.Pt{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}} {
			add(c, math.Inf(1))
		}
	}
	places := g.places()
	for len(out) < mostScrews {
		far, d := farthestOf(places, slices.Concat(at, out))
		if d <= tooFar || !add(far, float64(d)/2) {
			break
		}
	}
	return out
}

// freeFor returns places of a lattice where a screw's head and washer have room: on the board beside its parts, holes and edge, on the
// face beside openings and lettering.
func freeFor(p panel.Panel, b board.Board, g ground, engraved []geom.Region) []geom.Pt {
	clear := float64(proposed/2 + max(b.Rules.ScrewClear, b.Rules.HoleToEdge))
	var edges []geom.Segment
	for _, r := range g.area.Rings() {
		edges = append(edges, r.Segments()...)
	}
	var pads []geom.Pt // the corners of what is soldered, and its middle
	for _, part := range b.Parts {
		pads = append(pads, part.Courtyard...)
		pads = append(pads, part.At)
	}
	near := func(q geom.Pt, d float64, of []geom.Pt) bool {
		return slices.ContainsFunc(of, func(o geom.Pt) bool { return o.Dist(q) < d })
	}
	var out []geom.Pt
	for _, q := range g.places() {
		switch {
		case near(q, clear+float64(geom.Millimetre), pads),
			slices.ContainsFunc(b.Holes, func(h board.Hole) bool { return h.At.Dist(q) < clear+float64(h.D) }),
			slices.ContainsFunc(p.Openings, func(o panel.Opening) bool {
				box := o.Box().Grown(headRoom)
				return box.Contains(q) && o.Ring(geom.FlattenTolerance).DistTo(q) < float64(headRoom)
			}),
			slices.ContainsFunc(b.Parts, func(part board.Part) bool { return len(part.Courtyard) > 2 && part.Courtyard.Locate(q) != geom.Outside }),
			slices.ContainsFunc(edges, func(e geom.Segment) bool { return e.DistTo(q) < clear }),
			slices.ContainsFunc(engraved, func(r geom.Region) bool {
				return r.Box().Grown(headRoom).Contains(q) && (r.Locate(q) != geom.Outside || r.DistTo(q) < float64(headRoom))
			}):
			continue
		}
		out = append(out, q)
	}
	return out
}
