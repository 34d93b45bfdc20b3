package read

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// Ways between the same two nodes are one edge drawn twice where they lie nowhere farther apart than astray, mm, which is as
// little as the gaps that are closed by themselves; or, where they cross each other and no area lies clearly between them, than
// a pen's width and leanest of their length, which the flat of a hole is not.
const (
	astray  = 0.1
	leanest = 0.04
	longFor = 50 // how many times longer than the distance to each other lines are that are meant as one
)

// way is a run of pieces from one node at which ways part to the next.
type way struct {
	a, b  int32 // nodes, a < b
	first int32 // the end from which it leaves a
	pos   int32 // of its pieces, the first in the drawing
}

// dropAlong drops ways that run along an earlier one between the same two nodes, in however many pieces: an arc beside an
// elliptic arc, a line beside two. What is left may be part of a longer way that runs along another, so it looks again.
func (g *net) dropAlong(j *joined) {
	for range 4 {
		if !g.dropAlongOnce(j) {
			return
		}
	}
}

func (g *net) dropAlongOnce(j *joined) bool {
	var ways []way
	for n, d := range g.deg {
		if d < 3 {
			continue
		}
		g.watch.Step()
		for _, e := range g.ends[n] {
			at, pos := e, e/2
			far := g.node[e^1]
			for steps := 0; g.deg[far] == 2 && steps < len(g.ps); steps++ {
				g.watch.Step()
				next := g.ends[far][0]
				if next == at^1 {
					next = g.ends[far][1]
				}
				at = next
				pos, far = min(pos, at/2), g.node[at^1]
			}
			if int32(n) < far && g.deg[far] > 2 {
				ways = append(ways, way{int32(n), far, e, pos})
			}
		}
	}
	slices.SortFunc(ways, func(v, w way) int {
		g.watch.Step()
		return cmp.Or(cmp.Compare(v.a, w.a), cmp.Compare(v.b, w.b), cmp.Compare(v.pos, w.pos), cmp.Compare(v.first, w.first))
	})
	dropped := false
	for from := 0; from < len(ways); {
		to := from + 1
		for to < len(ways) && ways[to].a == ways[from].a && ways[to].b == ways[from].b {
			to++
		}
		if n := to - from; n > 1 && n <= mostAlong {
			dropped = g.dropOf(ways[from:to], j) || dropped
		}
		from = to
	}
	if dropped {
		g.recount()
	}
	return dropped
}

// mostAlong bounds the ways between two nodes that are compared: more are no mistake of a hand.
const mostAlong = 16

// dropOf drops those of the ways between two nodes that run along an earlier one.
func (g *net) dropOf(ways []way, j *joined) (dropped bool) {
	var kept []course
	for _, w := range ways {
		g.watch.Look()
		c := g.course(w)
		if !slices.ContainsFunc(kept, func(o course) bool { return o.same(&c) }) {
			kept = append(kept, c)
			continue
		}
		dropped = true
		for _, e := range c.ends {
			g.dead[e/2] = true
			j.same = append(j.same, g.ps[e/2].from)
		}
	}
	return dropped
}

// course is where a way goes.
type course struct {
	ends  []int32
	edges []dxf.Edge
	box   dxf.Box
	long  float64
	line  *border // there and back, once it was asked for
}

// course follows a way.
func (g *net) course(w way) course {
	c := course{box: dxf.EmptyBox()}
	for e := w.first; ; {
		g.watch.Step()
		c.ends = append(c.ends, e)
		p := g.ps[e/2].path
		if e&1 == 1 {
			p = p.Reversed()
		}
		for _, x := range p.Edges() {
			c.edges, c.box, c.long = append(c.edges, x), c.box.Union(x.Box()), c.long+x.Len()
		}
		n := g.node[e^1]
		if n == w.b {
			return c
		}
		next := g.ends[n][0]
		if next == e^1 {
			next = g.ends[n][1]
		}
		e = next
	}
}

// same reports whether two courses are one edge.
func (c *course) same(o *course) bool {
	short := min(c.long, o.long)
	close := min(astray, max(snap, short/longFor)) // between short ways lies a shape, if a small one
	most := max(close, min(penWidth, leanest*short))
	if math.Abs(c.long-o.long) > 0.2*max(c.long, o.long)+4*snap || apartBoxes(c.box, o.box, most) {
		return false
	}
	far := max(c.farthest(o, most), o.farthest(c, most))
	return far <= close || far <= most && c.crosses(o)
}

// apartBoxes reports whether a side of one box lies farther than most from that of the other.
func apartBoxes(a, b dxf.Box, most float64) bool {
	return max(math.Abs(a.Min.X-b.Min.X), math.Abs(a.Min.Y-b.Min.Y), math.Abs(a.Max.X-b.Max.X), math.Abs(a.Max.Y-b.Max.Y)) > most
}

// farthest returns how far a point of the course lies from the other one at most; +Inf if that is more than most.
func (c *course) farthest(o *course, most float64) float64 {
	far := 0.0
	line := o.flat()
	for _, p := range c.flat().pts[:len(c.flat().pts)/2+1] {
		d := line.distance(p, most+snap)
		if d > most {
			return math.Inf(1)
		}
		far = max(far, d)
	}
	return far
}

// crosses reports whether the courses cross, in their first thousand edges: what lies between them is no one area then.
func (c *course) crosses(o *course) bool {
	looks := 0
	start, end := c.edges[0].From, c.edges[len(c.edges)-1].To
	for _, e := range c.edges {
		b := e.Box()
		for _, f := range o.edges {
			if looks++; looks > 100_000 {
				return false
			}
			if !overlap(b, f.Box()) {
				continue
			}
			for _, p := range meetings(e, f) {
				if p.Dist(start) > 4*snap && p.Dist(end) > 4*snap {
					return true
				}
			}
		}
	}
	return false
}

// flat returns the course as a polygon that goes there and back.
func (c *course) flat() *border {
	if c.line == nil {
		var pts []dxf.XY
		for _, e := range c.edges {
			pts = appendFlat(pts, e)
			if n := len(pts); n > 0 && e.Bulge == 0 { // so that a point far along is compared too
				pts = append(pts, e.Mid())
			}
		}
		pts = append(pts, c.edges[len(c.edges)-1].To)
		for i := len(pts) - 2; i > 0; i-- {
			pts = append(pts, pts[i])
		}
		c.line = newBorder(pts)
	}
	return c.line
}

// crossesItself reports whether the loop's line does: its area says nothing then.
func (l *loop) crossesItself(w *work.Watch) bool {
	_, ok := crossingOf(w, spread(l.flat()))
	return ok
}

// thin reports whether a closed line is a sliver: narrower than a pen's line, by twice its area over its edge, which is the
// width of a long strip.
func (l *loop) thin() bool {
	return !l.round && 2*l.area < penWidth*l.path.Perimeter()
}

// sliver reports whether a face between lines that branch is what is left between two lines drawn for one: thin, and much
// longer than wide.
func (l *loop) sliver() bool {
	p := l.path.Perimeter()
	return l.thin() && float64(p*p) > 40*l.area
}

// beside reports whether a loose end at p, which runs on in the direction given, lies on the edge of another piece within
// reach and runs along it there, away from the ends of that piece: then it is drawn over it, if not quite on it.
func beside(e dxf.Edge, p, dir dxf.XY, reach float64) (t float64, on bool) {
	if e.From.Dist(p) <= reach || e.To.Dist(p) <= reach {
		return 0, false
	}
	var tangent dxf.XY
	if e.Bulge == 0 {
		d := e.To.Sub(e.From)
		if t = d.Dot(p.Sub(e.From)) / d.Dot(d); t <= 0 || t >= 1 || segmentDistance(e.From, e.To, p) > reach {
			return 0, false
		}
		tangent = d
	} else {
		c := e.Centre()
		u, v := e.From.Sub(c), p.Sub(c)
		if math.Abs(v.Len()-e.Radius()) > reach {
			return 0, false
		}
		a, sweep := math.Atan2(u.Cross(v), u.Dot(v)), e.Sweep()
		if sweep < 0 {
			a, sweep = -a, -sweep
		}
		if a < 0 {
			a += 2 * math.Pi
		}
		if t = a / sweep; t <= 0 || t >= 1 {
			return 0, false
		}
		tangent = dxf.XY{X: -v.Y, Y: v.X}
	}
	l := tangent.Len() * dir.Len()
	return t, l > 0 && math.Abs(tangent.Cross(dir)) <= abreast*l
}

// abreast is the sine of the angle up to which lines run along each other: five degrees.
const abreast = 0.087
