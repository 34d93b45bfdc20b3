package route

import (
	"math"
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// grid is the search space: a square lattice over the board's box, once per side. A node's index is
// side·n + y·nx + x. The outermost nodes are never free, so that a step never leaves the lattice.
type grid struct {
	watch  *work.Watch
	origin geom.Pt // of node (0, 0)
	pitch  geom.Nm
	nx, ny int
	n      int // nodes per side
	room   []cell
	noVia  []bool  // per position: no via may be here, whatever its net
	soft   []uint8 // per position: extra price of a step, percent
	margin int32   // µm that a node must be farther from an obstacle than the rules say, see chord
}

// cell is the room round a node: d1 is the greatest half width, in µm, that a track of any net but net may have here,
// and d2 the same for net itself. It is the distance to the nearest obstacle less the clearance it asks, so that one
// lattice serves all widths and all nets.
type cell struct {
	net    led.NetID // whose pad is nearest; -1 for an edge or a hole
	d1, d2 uint16
}

// fixed owns edges, holes and pads without a net.
const fixed led.NetID = -1

// roomCap is the most room, in µm, that is told apart.
const roomCap = 1600

// Bounds of the lattice: fine where the board is small, at most maxNodes per side to bound time and memory.
const (
	finePitch   = 150 * geom.Micrometre
	coarsePitch = 250 * geom.Micrometre
	goodNodes   = 500_000
	maxNodes    = 2_000_000
)

// pitchFor chooses the lattice's pitch for a board's box.
func pitchFor(b geom.Box) geom.Nm {
	area := float64(b.W()) * float64(b.H())
	p := geom.Nm(math.Sqrt(area / goodNodes))
	p = min(max(p, finePitch), coarsePitch)
	p = max(p, geom.Nm(math.Sqrt(area/maxNodes)))
	// A board much longer than wide has a border of nodes that the area does not show.
	for (int64(b.W()/p)+4)*(int64(b.H()/p)+4) > maxNodes*5/4 {
		p += p / 8
	}
	return (p + 4999) / 5000 * 5000
}

func newGrid(w *work.Watch, b board.Board, pins []pin, pitch geom.Nm) *grid {
	box := b.Outline.Box()
	if pitch <= 0 {
		pitch = pitchFor(box)
	}
	g := &grid{watch: w, pitch: pitch}
	g.nx = int(box.W()/pitch) + 3
	g.ny = int(box.H()/pitch) + 3
	g.n = g.nx * g.ny
	// The lattice is centred on the box.
	g.origin = geom.Pt{
		X: box.Min.X + (box.W()-geom.Nm(g.nx-1)*pitch)/2,
		Y: box.Min.Y + (box.H()-geom.Nm(g.ny-1)*pitch)/2,
	}
	g.margin = int32(chord(pitch, 400*geom.Micrometre)/geom.Micrometre) + 1
	g.room = make([]cell, 2*g.n)
	for i := range g.room {
		g.room[i] = cell{fixed, roomCap, roomCap}
	}
	w.Look()
	g.noVia = make([]bool, g.n)
	g.soft = make([]uint8, g.n)
	w.Look()
	g.edges(b)
	w.Look()
	g.holes(b)
	w.Look()
	g.pads(b, pins)
	w.Look()
	return g
}

// chord bounds how much nearer than its ends a step of one diagonal can come to an obstacle that both ends keep the
// distance r from: r - sqrt(r² - s²/4) with s = √2·pitch, to first order pitch²/(4r).
func chord(pitch, r geom.Nm) geom.Nm { return pitch * pitch / (4 * r) }

func (g *grid) at(node int32) geom.Pt {
	i := int(node) % g.n
	return geom.Pt{X: g.origin.X + geom.Nm(i%g.nx)*g.pitch, Y: g.origin.Y + geom.Nm(i/g.nx)*g.pitch}
}

func (g *grid) side(node int32) geom.Side { return geom.Side(int(node) / g.n) }

// put lowers the room at a node for all nets but owner.
func (c *cell) put(owner led.NetID, d uint16) {
	switch {
	case owner == c.net:
		c.d1 = min(c.d1, d)
	case d < c.d1:
		c.d2, c.d1, c.net = c.d1, d, owner
	case d < c.d2:
		c.d2 = d
	}
}

// near calls f with every node (side 0) no farther than r from the segment; x and y are its position.
func (g *grid) near(s geom.Segment, r geom.Nm, f func(node int32, p geom.Pt)) {
	g.rows(s, r, func(y, x0, x1 int) {
		for x := x0; x <= x1; x++ {
			f(int32(y*g.nx+x), geom.Pt{X: g.origin.X + geom.Nm(x)*g.pitch, Y: g.origin.Y + geom.Nm(y)*g.pitch})
		}
	})
}

// rows calls f with the run of nodes in each row that are no farther than r from the segment. A capsule is convex, so
// each row is one run: the union of what its two discs and the strip between them cover.
func (g *grid) rows(s geom.Segment, r geom.Nm, f func(y, x0, x1 int)) {
	if r < 0 {
		return
	}
	ax, ay := float64(s.A.X-g.origin.X), float64(s.A.Y-g.origin.Y)
	bx, by := float64(s.B.X-g.origin.X), float64(s.B.Y-g.origin.Y)
	rr, p := float64(r), float64(g.pitch)
	l := math.Sqrt(float64((bx-ax)*(bx-ax)) + float64((by-ay)*(by-ay)))
	var qx, qy [4]float64 // corners of the strip
	if l > 0 {
		ux, uy := float64(-(by-ay)/l*rr), float64((bx-ax)/l*rr)
		qx = [4]float64{ax + ux, bx + ux, bx - ux, ax - ux}
		qy = [4]float64{ay + uy, by + uy, by - uy, ay - uy}
	}
	y0 := max(0, int(math.Ceil((min(ay, by)-rr)/p)))
	y1 := min(g.ny-1, int(math.Floor((max(ay, by)+rr)/p)))
	for y := y0; y <= y1; y++ {
		g.watch.Step()
		py := float64(y) * p
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range [2][2]float64{{ax, ay}, {bx, by}} {
			if d := rr*rr - float64((py-c[1])*(py-c[1])); d >= 0 {
				w := math.Sqrt(d)
				lo, hi = min(lo, c[0]-w), max(hi, c[0]+w)
			}
		}
		if l > 0 {
			for i := range 4 {
				j := (i + 1) % 4
				a, b := qy[i], qy[j]
				if a > b {
					a, b = b, a
				}
				if py < a || py > b {
					continue
				}
				if a == b {
					lo, hi = min(lo, qx[i], qx[j]), max(hi, qx[i], qx[j])
					continue
				}
				x := qx[i] + float64((qx[j]-qx[i])*((py-qy[i])/(qy[j]-qy[i])))
				lo, hi = min(lo, x), max(hi, x)
			}
		}
		if lo > hi {
			continue
		}
		x0, x1 := max(0, int(math.Ceil(lo/p))), min(g.nx-1, int(math.Floor(hi/p)))
		if x0 <= x1 {
			f(y, x0, x1)
		}
	}
}

// obstruct lowers the room round a shape that asks the clearance, on the sides given.
func (g *grid) obstruct(s shape, clear geom.Nm, owner led.NetID, sides ...geom.Side) {
	reach := clear + roomCap*geom.Micrometre
	put := func(node int32, p geom.Pt) {
		d := math.Floor((s.distTo(p) - float64(clear)) / 1000)
		if d >= roomCap {
			return
		}
		v := uint16(max(0, d))
		for _, side := range sides {
			g.room[int(side)*g.n+int(node)].put(owner, v)
		}
	}
	if s.rect {
		b := s.box()
		mid := geom.Segment{A: geom.Pt{X: b.Min.X, Y: b.Centre().Y}, B: geom.Pt{X: b.Max.X, Y: b.Centre().Y}}
		g.near(mid, reach+b.H()/2+1, put)
		return
	}
	g.near(geom.Segment{A: s.a, B: s.b}, reach+s.r, put)
}

// bar forbids vias whose centre would be nearer than d to the shape.
func (g *grid) bar(s shape, d geom.Nm) {
	reach := d + s.r
	seg := geom.Segment{A: s.a, B: s.b}
	if s.rect {
		b := s.box()
		seg = geom.Segment{A: geom.Pt{X: b.Min.X, Y: b.Centre().Y}, B: geom.Pt{X: b.Max.X, Y: b.Centre().Y}}
		reach = d + b.H()/2 + 1
	}
	g.near(seg, reach, func(node int32, p geom.Pt) {
		if s.distTo(p) < float64(d) {
			g.noVia[node] = true
		}
	})
}

// edges bars everything that is not board, and the rim of the board.
func (g *grid) edges(b board.Board) {
	r := b.Rules
	block := func(node int) {
		g.room[node].put(fixed, 0)
		g.room[g.n+node].put(fixed, 0)
		g.noVia[node] = true
	}
	for x := range g.nx {
		block(x)
		block((g.ny-1)*g.nx + x)
	}
	for y := range g.ny {
		block(y * g.nx)
		block(y*g.nx + g.nx - 1)
	}
	board := [][]geom.Segment{}
	for _, c := range append([]geom.Contour{b.Outline}, b.Cutouts...) {
		board = append(board, c.Ring(geom.FlattenTolerance).Segments())
	}
	g.fill(slices.Concat(board...), func(y int, in []float64) {
		// in holds the crossings of the row: outside the pairs there is no board.
		x := 0
		for i := 0; i+1 < len(in); i += 2 {
			for ; x < g.nx && float64(x) < in[i]; x++ {
				block(y*g.nx + x)
			}
			x = max(x, int(math.Floor(in[i+1]))+1)
		}
		for ; x < g.nx; x++ {
			block(y*g.nx + x)
		}
	})
	viaEdge := max(r.ViaPad/2+r.CopperToEdge, r.ViaDrill/2+r.HoleToEdge)
	for _, ring := range board {
		for _, s := range ring {
			g.obstruct(capsule(s, 0), r.CopperToEdge+geom.FlattenTolerance, fixed, geom.Top, geom.Bottom)
			g.bar(capsule(s, 0), viaEdge+geom.FlattenTolerance)
		}
	}
	for _, c := range b.Keepout {
		segs := c.Ring(geom.FlattenTolerance).Segments()
		g.fill(segs, func(y int, in []float64) {
			for i := 0; i+1 < len(in); i += 2 {
				for x := max(0, int(math.Ceil(in[i]))); x < g.nx && float64(x) <= in[i+1]; x++ {
					block(y*g.nx + x)
				}
			}
		})
		for _, s := range segs {
			g.obstruct(capsule(s, 0), geom.FlattenTolerance, fixed, geom.Top, geom.Bottom)
			g.bar(capsule(s, 0), r.ViaPad/2+geom.FlattenTolerance)
		}
	}
}

// fill calls f for every row with the sorted places, in nodes, where the row crosses the segments.
func (g *grid) fill(segs []geom.Segment, f func(y int, in []float64)) {
	rows := make([][]float64, g.ny)
	for _, s := range segs {
		a, b := s.A, s.B
		if a.Y > b.Y {
			a, b = b, a
		}
		if a.Y == b.Y {
			continue
		}
		p := float64(g.pitch)
		y0 := max(0, int(math.Ceil(float64(a.Y-g.origin.Y)/p)))
		for y := y0; y < g.ny && g.origin.Y+geom.Nm(y)*g.pitch < b.Y; y++ {
			py := float64(g.origin.Y + geom.Nm(y)*g.pitch - a.Y)
			x := float64(a.X-g.origin.X) + float64(float64(b.X-a.X)*(py/float64(b.Y-a.Y)))
			rows[y] = append(rows[y], x/p)
		}
	}
	for y := range rows {
		slices.Sort(rows[y])
		f(y, rows[y])
	}
}

func (g *grid) holes(b board.Board) {
	for _, h := range b.Holes {
		s, c := disc(h.At, h.D), b.HoleClear(h)
		g.obstruct(s, c, fixed, geom.Top, geom.Bottom)
		g.bar(s, max(b.Rules.ViaPad/2+c, b.Rules.ViaDrill/2+b.Rules.BetweenHoles))
	}
}

// pads bars the pads to foreign nets, finds the nodes in each pad, and makes the gap between the pads of a part
// dear: a track belongs round an LED, not between its leads.
func (g *grid) pads(b board.Board, pins []pin) {
	r := b.Rules
	for i := range pins {
		p := &pins[i]
		owner := p.Net
		if owner <= led.NoNet {
			owner = fixed
		}
		for _, side := range geom.BothSides() {
			if !p.OnSide(side) {
				continue
			}
			g.obstruct(p.shape, r.Clearance, owner, side)
			p.nodes[side] = g.inside(p, side)
		}
		g.bar(p.shape, r.ViaPad/2+max(r.Clearance, r.CopperToHole))
		if p.Drill > 0 {
			g.bar(disc(p.At, p.Drill), r.ViaDrill/2+r.BetweenHoles)
		}
		if i > 0 && pins[i-1].part == p.part {
			if gap, ok := gapBetween(&pins[i-1], p); ok {
				g.near(gap, g.pitch, func(node int32, _ geom.Pt) { g.soft[node] = gapPrice })
			}
		}
	}
}

const gapPrice = 200 // percent

// gapReach is how far apart two pins of a part may be for the line between them to count as a gap: the widest pitch of a
// footprint with neighbours, 5.08 mm, lies well within it.
const gapReach = 8 * geom.Millimetre

// gapBetween returns the open line between two pads of a part, if they are near enough for a gap.
func gapBetween(a, b *pin) (geom.Segment, bool) {
	d := b.At.Sub(a.At)
	l := d.Len()
	if l == 0 || l > float64(gapReach) {
		return geom.Segment{}, false
	}
	ra, rb := float64(min(a.W, a.H))/2, float64(min(b.W, b.H))/2
	if ra+rb >= l {
		return geom.Segment{}, false
	}
	along := func(k float64) geom.Pt {
		return geom.Pt{X: a.At.X + geom.Nm(float64(d.X)*k), Y: a.At.Y + geom.Nm(float64(d.Y)*k)}
	}
	return geom.Segment{A: along(ra / l), B: along(1 - rb/l)}, true
}

// inside returns the nodes in the pad's copper on a side, or the one nearest to its centre when it holds none.
func (g *grid) inside(p *pin, side geom.Side) []int32 {
	var out []int32
	b := p.shape.box()
	x0, x1 := int((b.Min.X-g.origin.X)/g.pitch), int((b.Max.X-g.origin.X)/g.pitch)+1
	y0, y1 := int((b.Min.Y-g.origin.Y)/g.pitch), int((b.Max.Y-g.origin.Y)/g.pitch)+1
	var best int32 = -1
	for y := max(1, y0); y <= min(g.ny-2, y1); y++ {
		for x := max(1, x0); x <= min(g.nx-2, x1); x++ {
			node := int32(int(side)*g.n + y*g.nx + x)
			q := g.at(node)
			if p.shape.contains(q) {
				out = append(out, node)
			}
			if best < 0 || q.Dist(p.At) < g.at(best).Dist(p.At) {
				best = node
			}
		}
	}
	if len(out) == 0 && best >= 0 {
		out = append(out, best)
	}
	return out
}
