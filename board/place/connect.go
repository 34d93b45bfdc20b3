package place

import (
	"cmp"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/led"
	"lampblack/panel/geom"
)

// berth is a place for a connector at the board's edge.
type berth struct {
	fp   footprint.Footprint
	at   geom.Pt
	turn int
	cost float64
	box  geom.Box
}

// Prices of a berth, in nm of copper that one would rather spend: weights without a source, of which the order counts.
const (
	perInset  = 3.0   // per nm that the face stands back from the edge: a straight piece of edge is taken first
	wrongSide = 4e7   // the opposite edge
	nextSide  = 1.4e7 // an edge beside the wished one
	walledIn  = 2e7   // wires would run into another part of the board
	topSide   = 1e6   // of two edges beside the wished one, that at the top
	offMiddle = 0.05  // per nm from the middle of its edge
	inner     = 0.5   // per nm that the edge lies behind the outermost one
	astray    = 0.3   // per nm from the wished edge, on one beside it
	crowded   = 2.0   // per nm that is wanting to the room before leads, or between two connectors
	bond      = 0.02  // per nm between IN and OUT: what runs through is wide
	onWay     = 3e6   // for each hop between LEDs that the part would cover
	onHop     = 4e6   // for each that its own track would cross
)

// inset of a connector's face from the board's edge, and how far it may stand back where the edge is round.
const (
	faceInset = 200 * geom.Micrometre
	insetStep = 500 * geom.Micrometre
	insetMost = 5 * geom.Millimetre
	scanStep  = 500 * geom.Micrometre
)

// wished returns the edge a connector should be at.
func wished(role led.Role, opt Options) Edge {
	want := opt.In
	if role == led.Out {
		want = opt.Out
	}
	if told := opt.told(role).Edge; told != Auto {
		want = told
	}
	switch {
	case want != Auto:
		return want
	case role == led.In:
		return Left
	}
	return Right
}

// way returns the direction from the board's middle to the edge.
func (e Edge) way() geom.Vec {
	return [...]geom.Vec{Left: {X: -1}, Bottom: {Y: -1}, Right: {X: 1}, Top: {Y: 1}, Auto: {X: -1}}[e]
}

// berths returns the free places for the footprint along all edges, or along the wished one only, cheapest first, at most
// some hundreds.
func (s *site) berths(f footprint.Footprint, edge Edge, only bool) []berth {
	var out []berth
	for _, turn := range quarters() {
		if dir := leaves(f, turn); !only || dir == edge.way() {
			out = append(out, s.along(f, turn, edge, only)...)
		}
	}
	slices.SortStableFunc(out, cheaper)
	const most = 300
	return out[:min(len(out), most)]
}

func cheaper(a, b berth) int {
	return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.turn, b.turn), cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(a.at.X, b.at.X))
}

// quarters returns the turns of connectors and resistors, degrees.
func quarters() []int {
	all := board.Turns()
	return all[:4]
}

// leaves returns the way in which the wires leave a connector at a turn.
func leaves(f footprint.Footprint, turn int) geom.Vec {
	if f.Entry == (geom.Vec{}) {
		return geom.Vec{Y: -1}.Turned(turn)
	}
	return f.Entry.Turned(turn)
}

// front returns how far the connector's face is from its origin at a turn.
func front(f footprint.Footprint, turn int) geom.Nm {
	shape, dir := yard(f, geom.Pt{}, turn), leaves(f, turn)
	return max(dot(shape.Min, dir), dot(shape.Max, dir))
}

// along returns the free places at a turn; with open those alone before which the wires are free.
func (s *site) along(f footprint.Footprint, turn int, edge Edge, open bool) []berth {
	var out []berth
	s.scan(f, turn, func(at geom.Pt, exit, inset geom.Nm) (on bool) {
		box := yard(f, at, turn)
		if !s.berthFits(f, at, turn, box) {
			return true
		}
		if dir := leaves(f, turn); !open || !s.walled(at, dir, exit) {
			out = append(out, berth{f, at, turn, s.berthPrice(at, box, dir, edge, exit, inset), box})
		}
		return false
	})
	return out
}

// scan calls try with places for the footprint along the edges that look the way in which its wires leave at a turn: where the
// line of the wires leaves the board and how far its face stands back from there, ever farther for as long as try wants to go on.
func (s *site) scan(f footprint.Footprint, turn int, try func(at geom.Pt, exit, inset geom.Nm) (on bool)) {
	dir, front := leaves(f, turn), front(f, turn)
	across := geom.Vec{X: -dir.Y, Y: dir.X}
	lo, hi := dot(s.box.Min, across), dot(s.box.Max, across)
	if lo > hi {
		lo, hi = hi, lo
	}
	for c := (lo/scanStep + 1) * scanStep; c < hi; c += scanStep {
		for _, exit := range s.exits(c, dir, across) {
			for inset := faceInset; inset <= insetMost; inset += insetStep {
				d := exit - inset - front
				if !try(geom.Pt{X: dir.X*d + across.X*c, Y: dir.Y*d + across.Y*c}, exit, inset) {
					break
				}
			}
		}
	}
}

func dot(p geom.Pt, v geom.Vec) geom.Nm { return p.X*v.X + p.Y*v.Y }

// exits returns where the line across = c leaves the outline in direction dir, as coordinates along dir.
func (s *site) exits(c geom.Nm, dir, across geom.Vec) []geom.Nm {
	a := geom.Pt{X: across.X * c, Y: across.Y * c}
	reach := s.box.Max.X + s.box.Max.Y - s.box.Min.X - s.box.Min.Y + s.box.Min.X.Abs() + s.box.Min.Y.Abs()
	line := geom.BoxOf(a.Add(geom.Vec{X: -dir.X * reach, Y: -dir.Y * reach}), a.Add(geom.Vec{X: dir.X * reach, Y: dir.Y * reach}))
	lo, hi := corners(line)
	var out []geom.Nm
	s.rim.Search(lo, hi, func(_, _ [2]float64, e geom.Segment) bool {
		// The outline runs counter-clockwise: one leaves it where it passes from the right of the way out to the left.
		if e.B.Sub(e.A).Cross(dir) >= 0 {
			return true
		}
		ca, cb := dot(e.A, across), dot(e.B, across)
		if ca == cb || (c < ca) == (c < cb) {
			return true
		}
		t := float64(c-ca) / float64(cb-ca)
		da, db := dot(e.A, dir), dot(e.B, dir)
		out = append(out, da+geom.Nm(math.Round(t*float64(db-da))))
		return true
	})
	slices.Sort(out)
	return out
}

// leadGap is kept between a connector's courtyard and the leads of LEDs, fromEdge between it and the board's end.
const (
	leadGap  = 300 * geom.Micrometre
	fromEdge = faceInset - 10*geom.Micrometre
)

func (s *site) berthFits(f footprint.Footprint, at geom.Pt, turn int, box geom.Box) bool {
	return s.toLeads(box, leadGap) >= float64(leadGap) && len(s.inTheWay(box, apartLeast)) == 0 &&
		s.inside(box, fromEdge) && s.offHoles(box) && !s.underLamp(f, at, turn)
}

func (s *site) berthPrice(at geom.Pt, box geom.Box, dir geom.Vec, edge Edge, exit, inset geom.Nm) float64 {
	want, across := edge.way(), geom.Vec{X: -dir.Y, Y: dir.X}
	price := perInset * float64(inset-faceInset)
	mid := s.box.Centre()
	switch dir.Dot(want) {
	case 1:
		// In the middle of its edge or a little below, where hands reach and the trunk stays short.
		price += offMiddle * math.Abs(float64(dot(at, across)-dot(mid, across)))
		// Of several edges that look the same way, the outermost.
		price += inner * float64(max(dot(s.box.Min, dir), dot(s.box.Max, dir))-exit)
	case 0:
		price += nextSide + astray*math.Abs(float64(dot(at, want)-max(dot(s.box.Min, want), dot(s.box.Max, want))))
		if dir.Y > 0 {
			price += topSide
		}
	default:
		price += wrongSide
	}
	const room = 1500 * geom.Micrometre
	price += crowded * (float64(room) - s.toLeads(box, room))
	_, covered := s.crossings(geom.Segment{A: at, B: at}, box, -1)
	price += onWay * float64(covered)
	if s.walled(at, dir, exit) {
		price += walledIn
	}
	return price
}

// walled reports whether wires leaving the board at the exit soon meet it again, as in a notch.
func (s *site) walled(at geom.Pt, dir geom.Vec, exit geom.Nm) bool {
	const free = 12 * geom.Millimetre
	out := exit - dot(at, dir)
	start := at.Add(geom.Vec{X: dir.X * (out + 1000), Y: dir.Y * (out + 1000)})
	ray := geom.Segment{A: start, B: start.Add(geom.Vec{X: dir.X * free, Y: dir.Y * free})}
	lo, hi := corners(ray.Box())
	hit := false
	s.rim.Search(lo, hi, func(_, _ [2]float64, e geom.Segment) bool {
		hit = ray.Crosses(e)
		return !hit
	})
	return hit
}

// apart is the distance that two connectors should keep, so that IN and OUT are not taken for each other and the wires
// have room; apartLeast that they must keep.
const (
	apart      = 15 * geom.Millimetre
	apartLeast = 1 * geom.Millimetre
)

// pairPriceOf is what two berths cost beyond their own prices; +Inf when they cannot be had together.
func pairPriceOf(a, b berth) float64 {
	gap := a.box.Dist(b.box)
	if gap < float64(apartLeast) {
		return math.Inf(1)
	}
	return crowded*max(0, float64(apart)-gap) + bond*octile(a.at, b.at)
}

// bestPair returns the cheapest two berths that go together.
func bestPair(a, b []berth) (berth, berth, bool) {
	best := math.Inf(1)
	var p, q berth
	for _, x := range a {
		if len(b) == 0 || x.cost+b[0].cost >= best {
			break
		}
		for _, y := range b {
			if x.cost+y.cost >= best {
				break
			}
			if c := x.cost + y.cost + pairPriceOf(x, y); c < best {
				best, p, q = c, x, y
			}
		}
	}
	return p, q, !math.IsInf(best, 1)
}
