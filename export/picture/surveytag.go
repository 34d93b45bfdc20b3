package picture

import (
	"math"

	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// The page is divided into cells to find free places for numbers.
const (
	cell     = 500 * geom.Micrometre
	mostTags = 24 // of one entry
	mostGaps = 400
)

// room knows what of a page is drawn on.
type room struct {
	within geom.Box // where numbers may stand
	cols   int
	rows   int
	drawn  []uint8
	tags   []geom.Box
	leads  [][2]geom.Pt
}

func newRoom(page, within geom.Box) *room {
	r := &room{within: within, cols: int(page.W()/cell) + 1, rows: int(page.H()/cell) + 1}
	r.drawn = make([]uint8, r.cols*r.rows)
	return r
}

// at returns the cell of a point, -1 off the page.
func (r *room) at(p geom.Pt) int {
	x, y := int(p.X/cell), int(p.Y/cell)
	if p.X < 0 || p.Y < 0 || x >= r.cols || y >= r.rows {
		return -1
	}
	return y*r.cols + x
}

// line marks what a contour goes over.
func (r *room) line(c geom.Contour) {
	for _, p := range along(c, cell) {
		if k := r.at(p); k >= 0 {
			r.drawn[k] = 1
		}
	}
}

// lineOpen marks what lines go over that do not close.
func (r *room) lineOpen(cs []geom.Contour) {
	for _, c := range cs {
		for i := range len(c) - 1 { // there and back
			r.line(geom.Contour{c[i], {Pt: c[i+1].Pt, Bulge: -c[i].Bulge}})
		}
	}
}

// area marks all of a box.
func (r *room) area(b geom.Box) {
	for y := max(b.Min.Y, 0); y <= b.Max.Y; y += cell {
		for x := max(b.Min.X, 0); x <= b.Max.X; x += cell {
			if k := r.at(geom.Pt{X: x, Y: y}); k >= 0 {
				r.drawn[k] = 1
			}
		}
	}
}

// covered counts the cells of a box that are drawn on.
func (r *room) covered(b geom.Box) int {
	n := 0
	for y := b.Min.Y; y <= b.Max.Y; y += cell {
		for x := b.Min.X; x <= b.Max.X; x += cell {
			if k := r.at(geom.Pt{X: x, Y: y}); k >= 0 {
				n += int(r.drawn[k])
			}
		}
	}
	return n
}

// along returns points of a contour, no farther apart than a step; of very long ones fewer.
func along(c geom.Contour, step geom.Nm) []geom.Pt {
	ring := c.Ring(step / 4)
	length := ring.Perimeter()
	if length > 4000*step.MM() {
		step = geom.MM(length / 4000)
	}
	var out []geom.Pt
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		v := q.Sub(p)
		n := int(math.Ceil(math.Hypot(v.X.MM(), v.Y.MM()) / step.MM()))
		for k := range max(n, 1) {
			out = append(out, geom.Pt{X: p.X + v.X*geom.Nm(k)/geom.Nm(max(n, 1)), Y: p.Y + v.Y*geom.Nm(k)/geom.Nm(max(n, 1))})
		}
	}
	return out
}

// clear reports whether a tag and its lead are free of other tags and leads.
func (r *room) clear(tag geom.Box, from, to geom.Pt, lead bool) bool {
	grown := tag.Grown(400 * geom.Micrometre)
	for _, b := range r.tags {
		if b.Touches(grown) || lead && b.Grown(300*geom.Micrometre).DistTo(geom.Segment{A: from, B: to}) == 0 {
			return false
		}
	}
	for _, l := range r.leads {
		if grown.DistTo(geom.Segment{A: l[0], B: l[1]}) == 0 {
			return false
		}
	}
	return true
}

// eight are the directions in which a number may stand beside its thing, the best first, in thousandths.
var eight = [...][2]geom.Nm{{707, -707}, {-707, -707}, {707, 707}, {-707, 707}, {1000, 0}, {-1000, 0}, {0, -1000}, {0, 1000}}

// placed is a number at its place: its middle, and the ends of its lead, which are the same where it stands in the thing.
type placed struct{ at, from, to geom.Pt }

// find returns the best free place for a tag so wide beside a thing, at most so far from it.
func (r *room) find(s spot, wide geom.Nm, gaps []geom.Nm) (placed, bool) {
	best, found := math.MaxInt, false
	var out placed
	try := func(at, to geom.Pt, lead bool, price int) {
		tag := geom.Box{Min: geom.Pt{X: at.X - wide/2, Y: at.Y - tagHigh/2}, Max: geom.Pt{X: at.X + wide/2, Y: at.Y + tagHigh/2}}
		if !r.within.Contains(tag.Min) || !r.within.Contains(tag.Max) {
			return
		}
		cost := price
		if cost >= best {
			return
		}
		if cost += 4 * r.covered(tag.Grown(200*geom.Micrometre)); cost >= best || !r.clear(tag, at, to, lead) {
			return
		}
		best, found, out = cost, true, placed{at, at, at}
		if lead {
			out.to = to
		}
	}
	if s.rim != nil {
		for i, p := range s.rim {
			if i == mostGaps || best == 0 {
				break
			}
			for k, d := range eight {
				const off = 4200 * geom.Micrometre
				try(geom.Pt{X: p.X + d[0]*off/1000, Y: p.Y + d[1]*off/1000}, p, true, i+k)
			}
		}
		return out, found
	}
	m := s.box.Centre()
	hw, hh := s.box.W()/2, s.box.H()/2
	if min(s.box.W(), s.box.H()) > 8*geom.Millimetre {
		try(m, m, false, 0)
	}
	for i, g := range gaps {
		for k, d := range eight {
			edge := geom.Pt{X: m.X + d[0]*hw/1000, Y: m.Y + d[1]*hh/1000}
			if !s.round {
				edge = geom.Pt{X: m.X + d[0].Sign()*hw, Y: m.Y + d[1].Sign()*hh}
			}
			at := geom.Pt{X: edge.X + d[0]*(g+wide/2)/1000, Y: edge.Y + d[1]*(g+tagHigh/2)/1000}
			try(at, edge, true, 1+k+6*i)
		}
	}
	return out, found
}

// put takes the place.
func (r *room) put(p placed, wide geom.Nm) {
	tag := geom.Box{Min: geom.Pt{X: p.at.X - wide/2, Y: p.at.Y - tagHigh/2}, Max: geom.Pt{X: p.at.X + wide/2, Y: p.at.Y + tagHigh/2}}
	r.tags = append(r.tags, tag)
	if p.from != p.to {
		r.leads = append(r.leads, [2]geom.Pt{p.from, p.to})
	}
}

// How far numbers may stand from their things; farther for one that has no other.
var (
	nearGaps = []geom.Nm{600 * geom.Micrometre, 2200 * geom.Micrometre, 4500 * geom.Micrometre}
	farGaps  = []geom.Nm{7 * geom.Millimetre, 11 * geom.Millimetre, 16 * geom.Millimetre, 24 * geom.Millimetre, 36 * geom.Millimetre}
)

// numbers writes the number of an entry at its things: at each that is not near one that has it, as far as there is room,
// and at one whatever there is room for.
func (d *drawing) numbers(r *room, e noted) {
	if e.number == 0 {
		return
	}
	wide := tagWide(d, e.number)
	var at []geom.Pt
	put := func(s spot, gaps []geom.Nm) {
		m := s.box.Centre()
		for _, p := range at {
			if math.Hypot((p.X-m.X).MM(), (p.Y-m.Y).MM()) < e.apart.MM() {
				return
			}
		}
		p, ok := r.find(s, wide, gaps)
		if !ok {
			return
		}
		at = append(at, m)
		r.put(p, wide)
		if p.from != p.to {
			d.run(scene.Line(e.ink, finePen), p.from.X, p.from.Y, p.to.X, p.to.Y)
		}
		d.tag(p.at, e.number, e.ink)
	}
	tried := 0
	all := geom.EmptyBox()
	for _, s := range e.places {
		all = all.Union(s.box)
	}
	if len(e.places) > mostTags { // spread over all
		e.apart = max(e.apart, geom.MM(math.Sqrt(all.W().MM()*all.H().MM()/mostTags)))
	}
	for _, s := range e.places {
		if len(at) == mostTags || tried == 40*mostTags {
			break
		}
		if r.within.Touches(s.box) {
			tried++
			put(s, nearGaps)
		}
	}
	for i := 0; i < len(e.places) && i < mostTags && len(at) == 0; i++ {
		put(e.places[i], farGaps)
	}
}
