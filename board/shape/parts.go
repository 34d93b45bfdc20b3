package shape

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Part is a panel as one of its boards has it: its name is the board's, its LEDs and mounts are those of the board. Of a panel
// with one board it is the panel itself.
type Part struct {
	panel.Panel
	Of   string   // the panel
	LEDs []int    // of the panel's, in their order
	Box  geom.Box // where its board is, roughly; of a panel with one board the panel's
}

// gapBetween is left between two boards behind one panel, for their tolerance and the wires' way.
const gapBetween = 2 * geom.Millimetre

// leastBoard is the area, mm², below which a piece of a panel cannot be a board of its own: it carries two connectors of 8 mm, a
// resistor and an LED.
const leastBoard = 200

// Parts returns the panel as each of its boards has it, in order along the panel: as many boards as are drawn; else as bodies and
// openings make pieces with LEDs, and as the largest board that is made demands. There is one as long as one will do: where
// any neck joins the pieces, or where all LEDs are within reach of one of that size. Which LEDs a board has is by place alone.
func Parts(p panel.Panel, r board.Rules) ([]Part, diag.List) {
	d := deriver{p: p, r: r, lamps: lampsOf(p, led.Wiring{})}
	var l diag.List
	var found []section
	why := ""
	switch {
	case len(p.LEDs) == 0, len(p.Boards) == 1:
	case len(p.Boards) > 1:
		found, why = d.drawnSections(&l), "as they are drawn"
	default:
		found, why = d.sections()
	}
	if len(found) > panel.MostBoards {
		l.Add(diag.Error, "shape-many-boards", "the panel would need %d boards, more than %d", len(found), panel.MostBoards).Of(p.Name).
			Fix("draw the boards on the layer for their edges, or make several panels of it")
		found = nil
	}
	if len(found) == 0 {
		return []Part{whole(p)}, l
	}
	parts := d.parts(found)
	switch {
	case len(parts) > 1:
		tellParts(p, parts, why, &l)
	case parts[0].Within != (geom.Box{}):
		l.Add(diag.Note, "shape-board-short", "the board does not reach along the whole panel, %s: it covers the part that has LEDs", why).Of(p.Name).
			About("rules.longest_board", "rules.widest_board", "rules").Fix("nothing to do if the rest needs no board")
	}
	return parts, l
}

// whole is a panel with one board.
func whole(p panel.Panel) Part {
	all := make([]int, len(p.LEDs))
	for i := range all {
		all[i] = i
	}
	return Part{p, p.Name, all, p.Outline.Box()}
}

// section is where one board will be.
type section struct {
	edge   panel.Edge // drawn
	within geom.Box   // zero: nothing bounds it
	area   geom.Region
	leds   []int
}

// parts makes parts of sections: LEDs and mounts that are on none go to the nearest, which will tell why it cannot have them.
func (d deriver) parts(all []section) []Part {
	slices.SortStableFunc(all, along(all))
	owner := func(q geom.Pt) int {
		best, near := 0, math.Inf(1)
		for i, s := range all {
			gap := s.area.DistTo(q)
			if s.area.Locate(q) != geom.Outside {
				gap = 0
			}
			if gap < near {
				best, near = i, gap
			}
		}
		return best
	}
	of := make([]int, len(d.p.LEDs))
	for i := range of {
		of[i] = -1
	}
	for i, s := range all {
		for _, k := range s.leds {
			of[k] = i
		}
	}
	out := make([]Part, len(all))
	for i, s := range all {
		q := d.p
		q.Boards, q.LEDs, q.Mounts, q.Within = nil, nil, nil, s.within
		if s.edge != nil {
			q.Boards = []panel.Edge{s.edge}
		}
		if len(all) > 1 {
			q.Name = panel.BoardName(d.p.Name, i)
		}
		out[i] = Part{Panel: q, Of: d.p.Name, Box: s.area.Box()}
	}
	for k, h := range d.p.LEDs {
		if of[k] < 0 {
			of[k] = owner(h.At)
		}
		o := &out[of[k]]
		o.LEDs, o.Panel.LEDs = append(o.LEDs, k), append(o.Panel.LEDs, h)
	}
	for _, m := range d.p.Mounts {
		o := &out[owner(m.At)]
		o.Mounts = append(o.Mounts, m)
	}
	return out
}

// along orders sections along the panel: from left to right, or from top to bottom where they stand rather above each other.
func along(all []section) func(a, b section) int {
	box := geom.EmptyBox()
	for _, s := range all {
		box = box.With(s.area.Box().Centre())
	}
	upright := box.H() > box.W()
	return func(a, b section) int {
		p, q := a.area.Box().Centre(), b.area.Box().Centre()
		if upright {
			return cmp.Or(cmp.Compare(q.Y, p.Y), cmp.Compare(p.X, q.X))
		}
		return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(q.Y, p.Y))
	}
}

// drawnSections are the boards that are drawn, but for those in which no LED is.
func (d deriver) drawnSections(l *diag.List) []section {
	var all []section
	for _, e := range d.p.Boards {
		edge := rings(e)
		s := section{edge: e, area: geom.NewRegion(edge[0]).Minus(geom.UnionOf(edge[1:]...))}
		for k, h := range d.p.LEDs {
			if s.area.Locate(h.At) != geom.Outside {
				s.leds = append(s.leds, k)
			}
		}
		if len(s.leds) == 0 {
			c := e[0].Box().Centre()
			at(l.Add(diag.Warning, "shape-dark-board", "a board is drawn in which no LED is: it is left out"), c).
				Fix("draw the LEDs that it carries, or take its edge away")
			continue
		}
		all = append(all, s)
	}
	return all
}

// sections are the boards that the panel needs; none where one will do that nothing bounds, which why tells.
func (d deriver) sections() (all []section, why string) {
	told := slices.DeleteFunc(slices.Clone(d.p.Room), panel.Room.Guessed) // guessed ones give way to LEDs, whole boards more so
	free := freeArea(d.p, d.r, told, nil)
	g := d.joinedBest(free)
	var pieced []section
	for _, c := range pieces(g, d.p) {
		if len(c.leds) > 0 {
			pieced = append(pieced, section{area: geom.Region{g[c.index]}, leds: c.leds})
		}
	}
	if len(pieced) > 1 && slices.ContainsFunc(pieced, func(s section) bool { return s.area.Area() < leastBoard }) {
		return nil, "" // too little for a board of its own: that the board is cut will be told
	}
	why = "as bodies and openings cut it"
	for _, s := range pieced {
		cut, ok := d.sized(s)
		if len(cut) > 1 || ok && len(pieced) == 1 {
			why = fmt.Sprintf("as no board of more than %v by %v is made", d.r.LongestBoard, d.r.WidestBoard)
		}
		all = append(all, cut...)
	}
	if len(all) == 1 && all[0].within == (geom.Box{}) {
		return nil, ""
	}
	return all, why
}

// joinedBest returns what is left of the free area without slivers: with the widest necks that leave all LEDs on one piece, or
// where none does, that leave most LEDs on pieces, of equals the fewest.
func (d deriver) joinedBest(free geom.Region) geom.Region {
	all, _ := spreadOf(free, d.p)
	var best geom.Region
	most, fewest := -1, 0
	for _, w := range necks() {
		g := trimmed(free, w/2)
		leds, n := spreadOf(g, d.p)
		if n == 1 && leds == all {
			return g
		}
		if leds > most || leds == most && n < fewest {
			best, most, fewest = g, leds, n
		}
	}
	return best
}

// spreadOf counts the LEDs on the region, and the pieces that have any.
func spreadOf(g geom.Region, p panel.Panel) (leds, with int) {
	for _, c := range pieces(g, p) {
		if leds += len(c.leds); len(c.leds) > 0 {
			with++
		}
	}
	return leds, with
}

// fits reports whether a board of that box is made.
func fits(b geom.Box, r board.Rules) bool {
	return max(b.W(), b.H()) <= r.LongestBoard && min(b.W(), b.H()) <= r.WidestBoard
}

// sized returns the section, or what it is cut into so that each board is made; ok says that its size bounds it. Where no cut
// finds room between LEDs, it stays as it is, and checkSize tells it.
func (d deriver) sized(s section) (all []section, ok bool) {
	box := s.area.Box()
	if fits(box, d.r) {
		return []section{s}, false
	}
	// Along the way in which most is too much.
	long, wide := d.r.LongestBoard, d.r.WidestBoard
	upright := box.H() > box.W()
	limit, x := long, side{upright}
	if over := float64(x.len(box)) / float64(long); over < float64(side{!upright}.len(box))/float64(wide) {
		x, limit = side{!upright}, wide
	}
	cells, found := d.cells(s, x, limit)
	if !found {
		return []section{s}, false
	}
	for _, c := range cells {
		g := s.area.And(geom.NewRegion(geom.Rect(c).Ring(geom.FlattenTolerance)))
		g = d.joinedBest(g)
		sub := d.p
		for _, q := range pieces(g, sub) {
			if len(q.leds) == 0 {
				continue
			}
			one := section{within: c, area: geom.Region{g[q.index]}, leds: q.leds}
			if b := one.area.Box(); fits(b, d.r) || x.len(b) > limit {
				all = append(all, one)
				continue
			}
			more, _ := d.sized(one)
			all = append(all, more...)
		}
	}
	return all, true
}

// side is a direction along the panel.
type side struct{ upright bool }

func (x side) of(p geom.Pt) geom.Nm {
	if x.upright {
		return p.Y
	}
	return p.X
}

func (x side) len(b geom.Box) geom.Nm { return x.of(b.Max) - x.of(b.Min) }

// span returns the box between two places along the side.
func (x side) span(b geom.Box, lo, hi geom.Nm) geom.Box {
	if x.upright {
		b.Min.Y, b.Max.Y = lo, hi
	} else {
		b.Min.X, b.Max.X = lo, hi
	}
	return b
}

// cells parts the section along a side into the fewest stretches no longer than limit that have all LEDs, cut in the widest
// gaps between them; not found where LEDs stand too close. One is enough where they all stand within reach of it.
func (d deriver) cells(s section, x side, limit geom.Nm) ([]geom.Box, bool) {
	box := s.area.Box()
	leds := slices.Clone(s.leds)
	at := func(k int) geom.Nm { return x.of(d.p.LEDs[k].At) }
	slices.SortStableFunc(leds, func(a, b int) int { return cmp.Compare(at(a), at(b)) })
	reach := geom.Nm(0)
	for _, k := range leds {
		reach = max(reach, geom.Nm(math.Ceil(d.lamps[k].reach())))
	}
	room := reach + d.r.CopperToEdge + 2*hair // from an LED's middle to the board's edge
	n := len(leds)
	// best[i] is the best way to part the first i LEDs: the fewest stretches, then the widest narrowest gap up to what is plenty,
	// then the most even ones.
	const plenty = 20 * geom.Millimetre
	type way struct {
		n, from int
		gap     geom.Nm
		uneven  int64 // sum of the squares of the stretches' lengths, mm²
	}
	better := func(a, b way) bool {
		return cmp.Or(cmp.Compare(a.n, b.n), cmp.Compare(b.gap, a.gap), cmp.Compare(a.uneven, b.uneven)) < 0
	}
	best := make([]way, n+1)
	best[0].gap = plenty
	for i := 1; i <= n; i++ {
		best[i].n = -1
		for j := i - 1; j >= 0 && at(leds[i-1])-at(leds[j])+2*room <= limit; j-- {
			if best[j].n < 0 {
				continue
			}
			gap := best[j].gap
			if j > 0 {
				between := at(leds[j]) - at(leds[j-1])
				if between < 2*room+gapBetween {
					continue
				}
				gap = min(gap, between)
			}
			long := int64((at(leds[i-1]) - at(leds[j])) / geom.Millimetre)
			if c := (way{best[j].n + 1, j, gap, best[j].uneven + long*long}); best[i].n < 0 || better(c, best[i]) {
				best[i] = c
			}
		}
	}
	if best[n].n < 0 {
		return nil, false
	}
	var starts []int // of the stretches, from the last
	for i := n; i > 0; i = best[i].from {
		starts = append(starts, best[i].from)
	}
	slices.Reverse(starts)
	lo := x.of(box.Min)
	var out []geom.Box
	for g, from := range starts {
		hi, next, to := x.of(box.Max), x.of(box.Max), n
		if g+1 < len(starts) {
			to = starts[g+1]
			cut := d.cutAt(x, at(leds[to-1])+room+gapBetween/2, at(leds[to])-room-gapBetween/2)
			hi, next = cut-gapBetween/2, cut+gapBetween/2
		}
		first, last := at(leds[from])-room, at(leds[to-1])+room
		a, b := lo, hi
		if b-a > limit { // round the LEDs, as even as can be
			a = min(max((first+last-limit)/2, lo), hi-limit)
			b = a + limit
		}
		out = append(out, x.span(box, a, b))
		lo = next
	}
	return out, true
}

// cutAt returns where to cut between two places: in the middle, but clear of mounts as far as there is room.
func (d deriver) cutAt(x side, lo, hi geom.Nm) geom.Nm {
	mid := (lo + hi) / 2
	best, near := mid, geom.Nm(math.MaxInt64)
	free := func(c geom.Nm) bool {
		for _, m := range d.p.Mounts {
			if gap := x.of(m.At) - c; max(gap, -gap) < m.D/2+d.r.HoleToEdge+gapBetween/2+hair {
				return false
			}
		}
		return true
	}
	for c := lo; c <= hi; c += geom.Millimetre / 2 {
		if off := max(c-mid, mid-c); off < near && free(c) {
			best, near = c, off
		}
	}
	if free(mid) {
		return mid
	}
	return best
}

// checkSize tells a board that is larger than what is made.
func checkSize(b board.Board, name string, l *diag.List) {
	box := b.Outline.Box()
	if box.Empty() || fits(box, b.Rules) {
		return
	}
	l.Add(diag.Warning, "shape-board-large", "the board is %.1f x %.1f mm, and no more than %v by %v is made", box.W().MM(), box.H().MM(), b.Rules.LongestBoard, b.Rules.WidestBoard).
		Of(name).About("rules.longest_board", "rules.widest_board", "rules").
		Fix("ask your board house, and tell what it takes as rules: {longest_board: %.0f mm}; or draw several boards, or leave gaps between LEDs where it can be cut", math.Ceil(max(box.W(), box.H()).MM()))
}

func tellParts(p panel.Panel, parts []Part, why string, l *diag.List) {
	var words []string
	for _, q := range parts {
		leds := "1 LED"
		if n := len(q.LEDs); n != 1 {
			leds = fmt.Sprintf("%d LEDs", n)
		}
		words = append(words, q.Name+" ("+leds+")")
	}
	f := l.Add(diag.Note, "shape-boards", "the panel gets %d boards, %s: %s", len(parts), why, strings.Join(words, ", "))
	f.Of(p.Name).About(diag.PanelKey(p.Name, "drawing"))
	f.Fix("wire OUT of each to IN of the next; they stand so in the chain")
	for _, q := range parts {
		c := q.Box.Centre()
		f.Note(diag.Place{At: &diag.Point{X: c.X.MM(), Y: c.Y.MM()}}, "%s is here", q.Name)
	}
}
