package read

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// What is drawn open and clearly meant closed. A hand or a program that misses does so by little against the thing that it
// draws: by a fortieth of what is drawn, where a missing piece of an edge, as the mouth of a U or the end of a slot, is as
// wide as the thing itself: a quarter of its lesser side is allowed at most, so that no slot is closed at its open end. The
// ends must be each other's nearest by far, since otherwise it is a guess what belongs to what. And 2 mm bound it: from
// there on, notches for cables and pins begin, which may well be left open in a drawing.
const (
	clearShare = 1.0 / 40 // of the length drawn
	clearSide  = 1.0 / 4  // of the lesser side of its box
	clearMost  = 2.0      // mm
	clearFree  = 2.0      // no third end within so many times the gap
)

// What is not that, but near enough that it may well be an opening. The reader is told, and it is kept free of LEDs.
const (
	nearlyShare = 1.0 / 8
	nearlySide  = 1.0 / 2
)

// mostEnds bounds the loose ends that are looked at: more are no slips of a hand.
const mostEnds = 20_000

// nearly is a way round of open pieces that is closed but for one gap or a few.
type nearly struct {
	loop   loop // closed, as it would be
	gaps   []spot
	length float64       // mm that are drawn
	froms  []*dxf.Entity // what it is drawn with
	pieces []int         // of the open ones
}

// spot is a gap between two loose ends.
type spot struct{ a, b dxf.XY }

func (s spot) size() float64 { return s.a.Dist(s.b) }
func (s spot) mid() dxf.XY   { return s.a.Add(s.b).Times(0.5) }

// widest returns the widest of the gaps.
func (n *nearly) widest() spot {
	return slices.MaxFunc(n.gaps, func(a, b spot) int { return cmp.Compare(a.size(), b.size()) })
}

// total returns the length that lacks, mm.
func (n *nearly) total() float64 {
	sum := 0.0
	for _, g := range n.gaps {
		sum += g.size()
	}
	return sum
}

// within reports whether what lacks is a small share of what is drawn, and narrow against the lesser side.
func (n *nearly) within(share, side float64) bool {
	least := min(n.loop.box.W(), n.loop.box.H())
	return n.total() <= float64(share*n.length)*math.Sqrt(float64(len(n.gaps))) && n.widest().size() <= min(float64(share*n.length), float64(side*least))
}

// closedNearly closes open pieces that are clearly meant closed, and names those that may be. With a join of the project's
// own, that is the limit: nothing beyond it is closed.
func closedNearly(w *work.Watch, j joined, own bool) joined {
	if len(j.open) == 0 || 2*len(j.open) > mostEnds {
		return j
	}
	drop := make([]bool, len(j.open))
	closed := false
	for _, n := range roundWays(w, j.open) {
		switch {
		case !own && n.within(clearShare, clearSide) && n.widest().size() <= clearMost:
			j.loops = append(slices.Clip(j.loops), n.loop)
			j.meant = append(slices.Clip(j.meant), n)
			for _, i := range n.pieces {
				drop[i] = true
			}
			closed = true
		case n.within(nearlyShare, nearlySide):
			j.nearly = append(slices.Clip(j.nearly), n)
		}
	}
	if !closed {
		return j
	}
	open := j.open
	j.open = nil
	for i := range open {
		if !drop[i] {
			j.open = append(j.open, open[i])
		}
	}
	j.ends = endsOf(j.open, 0)
	return j
}

// tips returns the ends of open pieces: 2i is the start of piece i, 2i+1 its end.
func tips(open []piece) []dxf.XY {
	at := make([]dxf.XY, 2*len(open))
	for i := range open {
		at[2*i], at[2*i+1] = open[i].end(false), open[i].end(true)
	}
	return at
}

// roundWays returns the ways round that open pieces make when each loose end goes on at the one that is nearest to it by far.
func roundWays(w *work.Watch, open []piece) []nearly {
	at := tips(open)
	first, second := twoNearest(w, at)
	partner := partners(at, first, second)
	done := make([]bool, len(open))
	var out []nearly
	for i := range open {
		if done[i] || open[i].spur {
			continue
		}
		var way []int // the end from which each piece is left
		for e := 2 * i; ; {
			if done[e/2] || open[e/2].spur {
				way = nil
				break
			}
			done[e/2] = true
			way = append(way, e)
			if e = partner[e^1]; e == 2*i || e < 0 {
				if e < 0 {
					way = nil
				}
				break
			}
		}
		if way != nil {
			if n, ok := nearlyOf(open, way); ok {
				out = append(out, n)
			}
		}
	}
	return out
}

// partners returns for each end the one that it would be joined to, -1 for none: each other's nearest, and no third
// within clearFree gaps of either. first and second are those of twoNearest.
func partners(at []dxf.XY, first, second []int) []int {
	out := make([]int, len(at))
	for i, k := range first {
		out[i] = -1
		if k < 0 || first[k] != i {
			continue
		}
		g := clearFree * at[i].Dist(at[k])
		free := func(n int) bool { return second[n] < 0 || at[n].Dist(at[second[n]]) > g }
		if free(i) && free(k) {
			out[i] = k
		}
	}
	return out
}

// strokeGap is how far from an end of a straight line another end may be, in lengths of the line, for the two to be taken for
// one shape that is open there.
const strokeGap = 0.5

// lonely marks the open pieces that are one straight line by itself, as a tick of a dial or a scale, a centre line, or a
// stroke of a letter: no end of another one is plainly where it should go on. at is their tips, first and second those of
// twoNearest.
func lonely(open []piece, at []dxf.XY, first, second []int) []bool {
	out := make([]bool, len(open))
	if 2*len(open) > mostEnds {
		return out
	}
	partner := partners(at, first, second)
	for i := range open {
		if out[i] = oneLine(open[i].path); !out[i] {
			continue
		}
		for _, e := range [2]int{2 * i, 2*i + 1} {
			if k := partner[e]; k >= 0 && k/2 != i && at[e].Dist(at[k]) <= strokeGap*open[i].path.Perimeter() {
				out[i] = false
			}
		}
	}
	return out
}

// oneLine reports whether an open line is straight from end to end, however many points it has on its way.
func oneLine(p dxf.Path) bool {
	n := len(p.Vertices)
	a, b := p.Vertices[0].XY, p.Vertices[n-1].XY
	for i, v := range p.Vertices[:n-1] {
		if v.Bulge != 0 || i > 0 && segmentDistance(a, b, v.XY) > snap {
			return false
		}
	}
	return true
}

// openAt returns the ends that are open: of no straight line by itself, and where nothing else ends.
func openAt(w *work.Watch, j joined) []loose {
	if len(j.ends) > mostEnds {
		return j.ends
	}
	at := tips(j.open)
	first, second := twoNearest(w, at)
	stroke := lonely(j.open, at, first, second)
	var out []loose
	for _, e := range j.ends {
		k := 2 * e.of
		if at[k].Dist(e.at) > at[k+1].Dist(e.at) {
			k++
		}
		if !stroke[e.of] && (first[k] < 0 || at[k].Dist(at[first[k]]) > snap) {
			out = append(out, e)
		}
	}
	return out
}

// twoNearest returns, for each point, the nearest other one and the next, -1 without. Sorted by X, the search stops
// where X alone is farther; cost near n log n for spread points.
func twoNearest(w *work.Watch, at []dxf.XY) (first, second []int) {
	order := make([]int, len(at))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		w.Step()
		return cmp.Or(cmp.Compare(at[a].X, at[b].X), cmp.Compare(a, b))
	})
	first, second = make([]int, len(at)), make([]int, len(at))
	for n, i := range order {
		w.Look()
		d1, d2 := math.Inf(1), math.Inf(1)
		first[i], second[i] = -1, -1
		look := func(k int) bool {
			o := order[k]
			if math.Abs(at[o].X-at[i].X) > d2 {
				return false
			}
			switch d := at[o].Dist(at[i]); {
			case d < d1 || d == d1 && o < first[i]:
				d1, d2, first[i], second[i] = d, d1, o, first[i]
			case d < d2 || d == d2 && o < second[i]:
				d2, second[i] = d, o
			}
			return true
		}
		// Thousands of points on one vertical line would make this quadratic; then near enough is good enough.
		for k, steps := n+1, 0; k < len(order) && steps < 500 && look(k); k, steps = k+1, steps+1 {
		}
		for k, steps := n-1, 0; k >= 0 && steps < 500 && look(k); k, steps = k-1, steps+1 {
		}
	}
	return first, second
}

// nearlyOf closes the pieces, each left from the end given, to one way round.
func nearlyOf(open []piece, way []int) (nearly, bool) {
	n := nearly{}
	var parts []dxf.Path
	for _, e := range way {
		p := open[e/2]
		n.pieces = append(n.pieces, e/2)
		n.froms = append(n.froms, p.from)
		n.length += p.path.Perimeter()
		if e&1 == 1 {
			p.path = p.path.Reversed()
		}
		parts = append(parts, dxf.Path{Vertices: slices.Clone(p.path.Vertices)})
	}
	links := make([]float64, len(parts)) // bulge from the end of each to the start of the next
	for i := range parts {
		a, b := &parts[i], &parts[(i+1)%len(parts)]
		end, start := a.Vertices[len(a.Vertices)-1].XY, b.Vertices[0].XY
		n.gaps = append(n.gaps, spot{end, start})
		links[i] = linked(a, b, end.Dist(start))
	}
	out := dxf.Path{Closed: true}
	for i, p := range parts {
		p.Vertices[len(p.Vertices)-1].Bulge = links[i]
		out.Vertices = append(out.Vertices, p.Vertices...)
	}
	if out = tidy(out); len(out.Vertices) < 2 {
		return n, false
	}
	n.loop = newLoop(out, n.froms[0])
	n.loop.pens = pensOf(open, way)
	return n, n.loop.area > 0
}

// linked brings the end of one path and the start of the next together: at the corner where their sides meet when these are
// made longer or shorter by no more than twice the gap; else it returns the bulge that goes on along the circle on which both
// lie, or that of a straight piece.
func linked(a, b *dxf.Path, gap float64) (bulge float64) {
	as, bs := a.Edges(), b.Edges()
	e, f := as[len(as)-1], bs[0]
	switch {
	case e.Bulge == 0 && f.Bulge == 0:
		u, v := e.To.Sub(e.From), f.To.Sub(f.From)
		k := u.Cross(v)
		if math.Abs(k) < 0.1*u.Len()*v.Len() { // less than 6°: they go on in one line, or beside each other
			return 0
		}
		x := e.From.Add(u.Times(f.From.Sub(e.From).Cross(v) / k))
		if x.Dist(e.To) > 2*gap || x.Dist(f.From) > 2*gap || x.Sub(e.From).Dot(u) <= 0 || f.To.Sub(x).Dot(v) <= 0 {
			return 0
		}
		a.Vertices[len(a.Vertices)-1].XY, b.Vertices[0].XY = x, x
	case e.Bulge != 0 && f.Bulge != 0 && (e.Bulge > 0) == (f.Bulge > 0):
		c, r := e.Centre(), e.Radius()
		const play = 0.02 // mm between two circles that are one
		if f.Centre().Dist(c) > play || math.Abs(f.Radius()-r) > play {
			return 0
		}
		u, v := e.To.Sub(c), f.From.Sub(c)
		t := math.Atan2(u.Cross(v), u.Dot(v))
		if t > 0 == (e.Bulge > 0) {
			return math.Tan(t / 4)
		}
	}
	return 0
}

// toldMeant tells what was closed since it is clearly meant so.
func toldMeant(j joined, on string) findings {
	var said findings
	for i := range j.meant {
		n := &j.meant[i]
		g := n.widest()
		m := g.mid()
		said.add(diag.Warning, "dxf-nearly-closed", n.loop.from, "%s by %.3f mm at (%.3f, %.3f), little for %s size of %s x %s mm, and %s closed",
			misses(len(n.froms), on), g.size(), m.X, m.Y, its(len(n.froms)), mm(n.loop.box.W()), mm(n.loop.box.H()), are(len(n.froms))).
			At(m.X, m.Y).About("join").Fix("draw the missing piece; if it is meant to be open, write join: 0.1 mm in the project file").
			By("it is meant to be open", diag.Set, "join", "0.1 mm")
	}
	return said
}

// nearlyIn returns what may be meant closed in sheets among what stays open, without what has been given a meaning by now, and in
// which sheet each lies.
func nearlyIn(c lines, sheets []sheet) (out []nearly, at []int) {
	left := map[*dxf.Entity]bool{}
	for i := range c.free.open {
		left[c.free.open[i].from] = true
	}
	for _, n := range c.free.nearly {
		if slices.ContainsFunc(n.froms, func(e *dxf.Entity) bool { return !left[e] }) {
			continue
		}
		if i := slices.IndexFunc(sheets, func(s sheet) bool { return n.loop.standingIn(&s.outline) != apart }); i >= 0 {
			out, at = append(out, n), append(at, i)
		}
	}
	return out, at
}

// toldNearly tells what may be meant closed.
func toldNearly(c lines, sheets []sheet) ([]nearly, findings) {
	var said findings
	out, home := nearlyIn(c, sheets)
	for i, n := range out {
		at := home[i]
		g := n.widest()
		m := g.mid()
		f := said.to(sheets[at].name).add(diag.Warning, "dxf-nearly-closed", n.loop.from,
			"%s round %s x %s mm %s not closed: %.3f mm lack between (%.3f, %.3f) and (%.3f, %.3f); nothing is cut there, and no LED is placed in it",
			lineOrLines(len(n.froms)), mm(n.loop.box.W()), mm(n.loop.box.H()), are(len(n.froms)), g.size(), g.a.X, g.a.Y, g.b.X, g.b.Y).
			At(m.X, m.Y).About("join").Of(sheets[at].name)
		if need, ok := joinFor(g.size()); ok {
			f.Asks(diag.Question{
				Things: fmt.Sprintf("%s round %s x %s mm, not closed by %.3f mm", lineOrLines(len(n.froms)), mm(n.loop.box.W()), mm(n.loop.box.H()), g.size()), Assumed: string(panel.RoleIgnore),
				Choices: []diag.Choice{
					{Role: string(panel.RoleIgnore), Words: "nothing that is cut or engraved", Says: rolesAre(Rule{Role: panel.RoleIgnore, Kind: LineRule})},
					{Role: string(panel.RoleOpening), Words: "an opening whose edge lacks a piece", Says: diag.Pair{Key: "join", Value: need.String()}},
					{Role: string(panel.RoleLettering), Words: "engraved", Says: rolesAre(Rule{Role: panel.RoleLettering, Kind: LineRule})},
				},
				At: []diag.Point{{X: m.X, Y: m.Y}},
			})
		}
		f.Fix("%s; if it is engraved or a remark, say so: roles: {lettering: lines}, or ignore: lines", joinAdvice(g.size())).
			By("engrave open lines", diag.Add, "roles.lettering", "lines").By("open lines mean nothing", diag.Add, "roles.ignore", "lines")
		if need, ok := joinFor(g.size()); ok {
			f.By("close gaps up to "+need.String(), diag.Set, "join", need.String())
		}
	}
	return out, said
}

// fromsOf returns all that they consist of.
func fromsOf(ns []nearly) map[*dxf.Entity]bool {
	out := map[*dxf.Entity]bool{}
	for i := range ns {
		for _, e := range ns[i].froms {
			out[e] = true
		}
	}
	return out
}

// withUnclosed returns the sheets with what may be meant closed in them.
func withUnclosed(sheets []sheet, ns []nearly) []sheet {
	if len(ns) == 0 {
		return sheets
	}
	out := slices.Clone(sheets)
	for i := range ns {
		if at, _ := home(out, &ns[i].loop); at >= 0 {
			out[at].unclosed = append(slices.Clip(out[at].unclosed), ns[i].loop)
		}
	}
	return out
}

// joinFor returns the join that closes a gap, mm; not ok where a join may not be so wide.
func joinFor(gap float64) (geom.Nm, bool) {
	need := math.Floor(gap*10+1) / 10
	return geom.MM(need), need <= MaxJoin.MM()
}

// joinAdvice says what closes a gap, mm.
func joinAdvice(gap float64) string {
	if need, ok := joinFor(gap); ok {
		return "if it is an opening, draw the missing piece, or write join: " + need.String() + " in the project file"
	}
	return "if it is an opening, draw the missing piece"
}

func misses(n int, on string) string {
	if n == 1 {
		return "a line on " + on + " misses closing"
	}
	return count(n, "line") + " on " + on + " miss closing"
}

func its(n int) string {
	if n == 1 {
		return "its"
	}
	return "their"
}

func lineOrLines(n int) string {
	if n == 1 {
		return "a line"
	}
	return count(n, "line")
}
