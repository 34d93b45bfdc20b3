package shape

import (
	"math"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// lamp is the room that an LED needs on the board.
type lamp struct {
	pads  []board.Pad // at turn 0 about the hole's centre
	half  geom.Nm     // half its courtyard's shorter side
	slant geom.Nm     // half its courtyard's extent along X+Y, in nm of X+Y
	body  geom.Nm     // half its body's longer side
}

// lampsOf returns the room of each LED of the panel: of its kind where the wiring tells it, else that of a lamp with leads
// that goes into such a hole.
func lampsOf(p panel.Panel, w led.Wiring) []lamp {
	named := map[string]lamp{}
	of := func(pkg string) (lamp, bool) {
		s, ok := named[pkg]
		if !ok {
			fp, known := footprint.Lookup(pkg)
			if !known {
				return lamp{}, false
			}
			yard, body := fp.Courtyard.Box(), fp.Body.Box()
			s = lamp{pads: fp.Pads, half: min(yard.W(), yard.H()) / 2, body: max(body.W(), body.H()) / 2}
			for _, q := range fp.Courtyard {
				s.slant = max(s.slant, q.X+q.Y)
			}
			named[pkg] = s
		}
		return s, true
	}
	out := make([]lamp, len(p.LEDs))
	for i, h := range p.LEDs {
		pkg := "radial-3mm"
		if h.D > 4*geom.Millimetre {
			pkg = "radial-5mm"
		}
		out[i], _ = of(pkg)
	}
	for _, d := range w.LEDs {
		if d.Hole >= 0 && d.Hole < len(out) {
			if s, ok := of(d.Kind.Package); ok {
				out[d.Hole] = s
			}
		}
	}
	return out
}

// reach returns how far the copper reaches from the centre, at most.
func (s lamp) reach() float64 {
	far := 0.0
	for _, p := range s.pads {
		if p.Shape == board.Round {
			far = max(far, p.At.Dist(geom.Pt{})+float64(p.W)/2)
			continue
		}
		for _, x := range []geom.Nm{-p.W / 2, p.W / 2} {
			for _, y := range []geom.Nm{-p.H / 2, p.H / 2} {
				far = max(far, p.At.Add(geom.Vec{X: x, Y: y}).Dist(geom.Pt{}))
			}
		}
	}
	return far
}

// ring returns the least width of copper round the holes of the pads: how much farther from an edge they are than the copper, at least;
// none for pads without holes.
func (s lamp) ring() (geom.Nm, bool) {
	ring, any := geom.Nm(math.MaxInt64), false
	for _, p := range s.pads {
		if p.Through {
			ring, any = min(ring, (min(p.W, p.H)-p.Drill)/2), true
		}
	}
	return ring, any
}

// room returns the smallest gap between the pads of the LED at a turn and the edge of the area, below 0 beyond it. A gap of more than
// roomLook counts as any.
func (s lamp) room(area geom.Region, at geom.Pt, turn int) float64 {
	box := geom.BoxOf(at).Grown(geom.Nm(s.reach()) + roomLook)
	var edges []geom.Segment
	for _, r := range area.Rings() {
		for _, e := range r.Segments() {
			if e.Box().Touches(box) {
				edges = append(edges, e)
			}
		}
	}
	gap := math.Inf(1)
	off := func(q geom.Pt) {
		if area.Locate(q) == geom.Inside {
			return
		}
		gap = min(gap, 0)
		for _, e := range edges {
			gap = min(gap, -e.DistTo(q))
		}
	}
	for _, p := range s.pads {
		q := p.Turned(turn)
		q.At = at.Add(geom.Vec(p.At).Turned(turn))
		if q.Shape == board.Round {
			d := math.Inf(1)
			for _, e := range edges {
				d = min(d, e.DistTo(q.At))
			}
			if area.Locate(q.At) != geom.Inside {
				d = -d
			}
			gap = min(gap, d-float64(q.W)/2)
			continue
		}
		ring := q.Contour(0).Ring(geom.FlattenTolerance)
		for _, side := range ring.Segments() {
			off(side.A)
			for _, e := range edges {
				if gap > 0 {
					gap = min(gap, side.Dist(e))
				}
			}
		}
	}
	return gap
}

// roomLook is how far room looks: farther than any copper stays from an edge.
const roomLook = 2 * geom.Millimetre
