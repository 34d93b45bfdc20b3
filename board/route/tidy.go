package route

import (
	"math"
	"slices"

	"lampblack/panel/geom"
)

// The clean-up works on exact geometry, run by run, with everything else in its place. Each move is kept only when it
// lowers one price: length, bends, nearness to foreign copper, gaps between leads that are run through, odd angles.
// The price of anything that breaks a clearance is out of reach, so a proven run stays proven.

const (
	broken   = int64(1) << 40 // breaks a clearance
	odd      = 1500           // a piece at no multiple of 45 degrees, outside a pad
	gapToll  = 2500           // running between the leads of a part
	ownToll  = 2500           // too near to other copper of its own net
	crossing = int64(1) << 32 // crosses or doubles other copper of its own net, or a pad of it that is not its end
	sharp    = int64(1) << 36 // a bend of more than 90 degrees
	reachDP  = 40             // how far ahead along a path a short cut is looked for
	sampleAt = 3_000_000      // nm between points at which a short cut may start on a long piece
)

// way returns the direction of a vector in eighths of a turn, or 8 for none of them.
func way(v geom.Vec) int {
	ax, ay := max(v.X, -v.X), max(v.Y, -v.Y)
	switch {
	case ax == 0 && ay == 0:
		return 8
	case ay == 0:
		if v.X > 0 {
			return 0
		}
		return 4
	case ax == 0:
		if v.Y > 0 {
			return 2
		}
		return 6
	case ax != ay:
		return 8
	case v.X > 0 && v.Y > 0:
		return 1
	case v.X < 0 && v.Y > 0:
		return 3
	case v.X < 0:
		return 5
	}
	return 7
}

// bend returns the price of a bend between two directions.
func bend(a, b int) int64 {
	if a == 8 || b == 8 {
		return bend45
	}
	switch (a - b + 8) % 8 {
	case 0:
		return 0
	case 1, 7:
		return bend45
	case 2, 6:
		return bend90
	}
	return sharp
}

// toll returns the price of one straight piece of a run, without its bends.
func (lay *layout) toll(x *run, s geom.Segment) int64 {
	if c, ok := x.cache[s]; ok {
		return c
	}
	c := lay.measure(x, s)
	if x.cache == nil {
		x.cache = map[geom.Segment]int64{}
	}
	x.cache[s] = c
	return c
}

func (lay *layout) measure(x *run, s geom.Segment) int64 {
	v := lay.w.look(s, (x.width+1)/2, x.on, x.net)
	if v.slack < 0 {
		return broken
	}
	um := int64(math.Round(s.Len() / 1000))
	c := um + int64(float64(um)*(comfortPct/100.0)*(like-v.slack)/like) + int64(v.gaps)*gapToll
	if way(s.B.Sub(s.A)) == 8 {
		c += odd
	}
	switch lay.w.own(s, x, [2]*node{x.a, x.b}) {
	case 1:
		c += ownToll
	case 2:
		c += crossing
	}
	return c
}

// price returns the price of a path for a run.
func (lay *layout) price(x *run, path geom.Polyline) int64 {
	sum := int64(0)
	for i := 0; i+1 < len(path); i++ {
		sum += lay.toll(x, geom.Segment{A: path[i], B: path[i+1]})
		if i > 0 {
			sum += bendAt(path[i-1], path[i], path[i+1])
		}
	}
	return sum
}

func bendAt(p, q, r geom.Pt) int64 {
	u, v := q.Sub(p), r.Sub(q)
	a, b := way(u), way(v)
	if (a == 8 || b == 8) && u.Dot(v) < 0 {
		return sharp
	}
	return bend(a, b)
}

// links returns the ways from p to q in one straight piece or two at 45 degrees: the point between, or q itself.
func links(p, q geom.Pt) []geom.Pt {
	d := q.Sub(p)
	if way(d) != 8 {
		return []geom.Pt{q}
	}
	k := min(max(d.X, -d.X), max(d.Y, -d.Y))
	diag := geom.Vec{X: k, Y: k}
	if d.X < 0 {
		diag.X = -k
	}
	if d.Y < 0 {
		diag.Y = -k
	}
	return []geom.Pt{p.Add(diag), q.Add(diag.Neg())}
}

// elbows returns the ways from p to q in two straight pieces at a right angle, both along the axes.
func elbows(p, q geom.Pt) []geom.Pt {
	return []geom.Pt{{X: p.X, Y: q.Y}, {X: q.X, Y: p.Y}}
}

// straighten finds the cheapest path for a run that hops between the points of its present path by one or two
// straight pieces: a shortest path over the points in order, so that every step, staircase and needless bend of the
// lattice that can go goes at once.
func (lay *layout) straighten(x *run) {
	pts := sampled(x.path)
	m := len(pts)
	type state struct {
		cost     int64
		prev     int // point
		dir      int // arriving at prev
		via      geom.Pt
		straight bool
	}
	best := make([][9]state, m)
	for i := range best {
		for d := range best[i] {
			best[i][d].cost = math.MaxInt64
		}
	}
	best[0][8].cost = 0
	for i := range m - 1 {
		lay.watch.Look()
		for j := i + 1; j < min(m, i+1+reachDP); j++ {
			try := func(via geom.Pt, straight bool) {
				var c int64
				first, last := way(via.Sub(pts[i])), 8
				if straight {
					c = lay.toll(x, geom.Segment{A: pts[i], B: pts[j]})
					first = way(pts[j].Sub(pts[i]))
					last = first
				} else {
					c = lay.toll(x, geom.Segment{A: pts[i], B: via})
					if c < broken {
						c += lay.toll(x, geom.Segment{A: via, B: pts[j]})
					}
					last = way(pts[j].Sub(via))
					c += bend(first, last)
				}
				if c >= broken && !(straight && j == i+1) {
					return
				}
				for d := range 9 {
					s := &best[i][d]
					if s.cost == math.MaxInt64 {
						continue
					}
					turn := int64(0)
					if i > 0 {
						if turn = bend(d, first); d == 8 || first == 8 {
							from, to := s.via, via
							if s.straight {
								from = pts[s.prev]
							}
							turn = bendAt(from, pts[i], to)
						}
					}
					if total := s.cost + c + turn; total < best[j][last].cost {
						best[j][last] = state{total, i, d, via, straight}
					}
				}
			}
			if j == i+1 {
				try(pts[j], true)
				if way(pts[j].Sub(pts[i])) != 8 {
					continue
				}
			}
			ls := links(pts[i], pts[j])
			if len(ls) == 1 {
				if j > i+1 {
					try(ls[0], true)
				}
				continue
			}
			for _, v := range ls {
				try(v, false)
			}
		}
	}
	at, dir := m-1, 0
	for d := range 9 {
		if best[m-1][d].cost < best[m-1][dir].cost {
			dir = d
		}
	}
	// Both are priced piece by piece: a long piece pays for its nearest neighbour over all its length, so that the same way
	// costs more in one piece than in several.
	if best[at][dir].cost >= lay.price(x, pts) {
		return
	}
	var path geom.Polyline
	path = append(path, pts[at])
	for at > 0 {
		s := best[at][dir]
		if !s.straight {
			path = append(path, s.via)
		}
		path = append(path, pts[s.prev])
		at, dir = s.prev, s.dir
	}
	slices.Reverse(path)
	lay.reshape(x, simplified(path))
}

// sampled returns the points of a path with more of them along long straight pieces.
func sampled(p geom.Polyline) geom.Polyline {
	out := geom.Polyline{p[0]}
	for i := 1; i < len(p); i++ {
		a, b := p[i-1], p[i]
		d := b.Sub(a)
		l := max(max(d.X, -d.X), max(d.Y, -d.Y))
		if n := min(int64(l)/sampleAt, 24); n > 0 && way(d) != 8 {
			step := l / geom.Nm(n+1)
			u := geom.Vec{X: d.X.Sign() * step, Y: d.Y.Sign() * step}
			q := a
			for range n {
				q = q.Add(u)
				out = append(out, q)
			}
		}
		out = append(out, b)
	}
	return out
}

// slideSteps are the distances, in nm, that a piece is tried to be shifted by.
var slideSteps = [...]geom.Nm{20_000, 60_000, 150_000, 300_000, 600_000, 1_200_000}

// slide shifts straight pieces of a run sideways, the pieces beside them growing or shrinking, until nothing gets
// cheaper: this aligns them with pads, takes out steps and centres them between obstacles.
func (lay *layout) slide(x *run) {
	for range 12 {
		moved := false
		for i := 1; i+2 < len(x.path); i++ {
			lay.watch.Look()
			if lay.slideOne(x, i) {
				moved = true
			}
		}
		if !moved {
			return
		}
	}
}

// slideOne shifts the piece from point i to i+1 to its best place.
func (lay *layout) slideOne(x *run, i int) bool {
	p := x.path
	du, dp, dn := unit(p[i+1].Sub(p[i])), unit(p[i].Sub(p[i-1])), unit(p[i+2].Sub(p[i+1]))
	if du == (geom.Vec{}) || dp == (geom.Vec{}) || dn == (geom.Vec{}) {
		return false
	}
	cp, cn := dp.Cross(du), dn.Cross(du)
	if cp == 0 || cn == 0 {
		return false
	}
	before, after := steps(p[i].Sub(p[i-1])), steps(p[i+2].Sub(p[i+1]))
	was := lay.price(x, p)
	var best geom.Polyline
	// The start moves by k along the piece before it, the end by kn along the piece after it.
	try := func(k geom.Nm) {
		if int64(k)*cp%cn != 0 {
			return
		}
		kn := geom.Nm(int64(k) * cp / cn)
		if before+k < 0 || after-kn < 0 {
			return
		}
		a, b := p[i].Add(geom.Vec{X: dp.X * k, Y: dp.Y * k}), p[i+1].Add(geom.Vec{X: dn.X * kn, Y: dn.Y * kn})
		if d := b.Sub(a); d != (geom.Vec{}) && unit(d) != du {
			return // turned round
		}
		q := slices.Clone(p)
		q[i], q[i+1] = a, b
		q = simplified(q)
		if len(q) < 2 {
			return
		}
		if c := lay.price(x, q); c < was {
			was, best = c, q
		}
	}
	try(-before)
	try(geom.Nm(int64(after) * cn / cp))
	for _, s := range slideSteps {
		try(s)
		try(-s)
	}
	if best == nil {
		return false
	}
	lay.reshape(x, best)
	return true
}

// unit returns the step (components -1, 0 or 1) of a vector at a multiple of 45 degrees, else zero.
func unit(v geom.Vec) geom.Vec {
	if way(v) == 8 {
		return geom.Vec{}
	}
	return geom.Vec{X: v.X.Sign(), Y: v.Y.Sign()}
}

// steps returns how many unit steps a vector at a multiple of 45 degrees is long.
func steps(v geom.Vec) geom.Nm { return max(v.X, -v.X, v.Y, -v.Y) }

// tidy cleans up all runs. Runs that break a clearance as they come from the lattice are treated like others: any
// proven path is cheaper.
func (lay *layout) tidy(passes int) {
	for range passes {
		lay.fuse()
		for _, x := range lay.runs {
			x.cache = nil
			lay.straighten(x)
			lay.slide(x)
		}
		for _, v := range lay.nodes {
			lay.watch.Look()
			lay.collapse(v)
			lay.settle(v)
		}
	}
	// What the last moves left at an odd angle, or fused, has not been looked at since.
	lay.fuse()
	for _, x := range lay.runs {
		x.cache = nil
		if x.isOdd() {
			lay.straighten(x)
			lay.slide(x)
		}
		x.cache = nil
	}
}

// isOdd reports whether a piece of the run is at no multiple of 45 degrees.
func (x *run) isOdd() bool {
	return slices.ContainsFunc(x.path.Segments(), func(s geom.Segment) bool { return way(s.B.Sub(s.A)) == 8 })
}
