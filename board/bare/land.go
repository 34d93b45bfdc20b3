package bare

import (
	"math"

	"github.com/tidwall/rtree"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

const (
	slack = 10 * geom.Micrometre // above every limit: what flattening and rounding may take
	air   = 2 * geom.Millimetre  // more than that about a point is worth nothing
	apart = 300 * geom.Micrometre
)

// thing is what a spot, its name and its track keep from: a line with half a width, or a ring.
type thing struct {
	net   led.NetID
	line  geom.Segment
	half  float64
	ring  geom.Ring
	box   geom.Box
	spot  float64 // from a spot's copper to it, besides what its mask's opening needs
	open  float64 // from a spot's opening
	track float64 // from a track of another net; negative: none is asked
	own   bool    // a spot of its own net may lie on it
	inked bool    // a name may lie on it
}

func (t thing) gap(s geom.Segment) float64 {
	if t.ring == nil {
		return t.line.Dist(s) - t.half
	}
	if t.ring.Locate(s.A) == geom.Inside || t.ring.Locate(s.B) == geom.Inside {
		return 0
	}
	least := math.Inf(1)
	for _, e := range t.ring.Segments() {
		if e.Crosses(s) {
			return 0
		}
		least = min(least, e.Dist(s))
	}
	return least
}

// land is one side of a board, with everything on it.
type land struct {
	b      board.Board
	side   geom.Side
	ground geom.Region
	find   rtree.RTreeG[int]
	all    []thing
	stub   geom.Nm // width of a track to a test point
	reach  geom.Nm
}

func newLand(b board.Board, side geom.Side) *land {
	r := b.Rules
	l := &land{b: b, side: side, ground: b.Material(), stub: max(r.Signal, r.Track)}
	clear, web := float64(r.Clearance+slack), float64(max(r.MaskWeb, apart)+slack)
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.OnSide(side) {
			t := thing{net: p.Net, line: geom.Segment{A: p.At, B: p.At}, half: float64(p.W/2 + max(p.Mask, 0)), open: web, spot: clear, track: clear}
			if p.Shape != board.Round {
				t.ring = p.Contour(max(p.Mask, 0)).Ring(geom.FlattenTolerance)
			}
			l.add(t)
		}
		return true
	})
	for _, t := range b.Tracks {
		if t.On != side {
			continue
		}
		for _, s := range t.Path.Segments() {
			l.add(thing{net: t.Net, line: s, half: float64(t.Width) / 2, spot: clear, open: float64(r.MaskMargin + slack), track: clear, own: true, inked: true})
		}
	}
	for _, v := range b.Vias {
		l.add(thing{net: v.Net, line: geom.Segment{A: v.At, B: v.At}, half: float64(v.D) / 2, spot: clear, open: float64(apart), track: clear})
	}
	for _, h := range b.Holes {
		away := float64(b.HoleClear(h) + slack)
		l.add(thing{line: geom.Segment{A: h.At, B: h.At}, half: float64(h.D) / 2, spot: away, open: float64(apart), track: away})
	}
	for _, g := range l.ground.Rings() {
		for _, e := range g.Segments() {
			away := float64(r.CopperToEdge + slack)
			l.add(thing{line: e, spot: away + float64(apart), open: float64(apart), track: away})
		}
	}
	for _, k := range b.Keepout {
		l.add(thing{ring: k.Ring(geom.FlattenTolerance), spot: float64(apart), open: float64(apart), track: float64(apart)})
	}
	for _, p := range b.Parts {
		if p.On == side && len(p.Courtyard) > 2 {
			l.add(thing{ring: p.Courtyard, spot: float64(apart), open: float64(apart), track: -1})
			if p.Kind == board.Connector {
				l.add(thing{ring: ringOf(p.Courtyard.Box().Grown(signs(b, p))), track: -1})
			}
		}
	}
	for _, s := range b.Spots {
		if s.On == side {
			l.takes(s, way{s.At, s.At})
		}
	}
	return l
}

// signs is how far about a connector the words IN and OUT and the signs of its pins stand, which mean more than any test point:
// where pins are of groups, their names too.
func signs(b board.Board, p board.Part) geom.Nm {
	if b.Grouped(p) {
		return 10 * geom.Millimetre
	}
	return 3 * geom.Millimetre
}

func ringOf(b geom.Box) geom.Ring { return geom.Rect(b).Ring(geom.FlattenTolerance) }

func (l *land) add(t thing) {
	if t.ring != nil {
		t.box = t.ring.Box()
	} else {
		t.box = geom.BoxOf(t.line.A, t.line.B).Grown(geom.Nm(t.half) + 1)
	}
	l.reach = max(l.reach, geom.Nm(max(t.spot, t.open, t.track))+1)
	l.find.Insert([2]float64{float64(t.box.Min.X), float64(t.box.Min.Y)}, [2]float64{float64(t.box.Max.X), float64(t.box.Max.Y)}, len(l.all))
	l.all = append(l.all, t)
}

// near calls f with what may lie within reach of the box, until f returns false.
func (l *land) near(b geom.Box, f func(thing) bool) {
	b = b.Grown(l.reach)
	l.find.Search([2]float64{float64(b.Min.X), float64(b.Min.Y)}, [2]float64{float64(b.Max.X), float64(b.Max.Y)},
		func(_, _ [2]float64, i int) bool { return f(l.all[i]) })
}

// takes puts a spot, its name and its track among what is there.
func (l *land) takes(s board.Spot, w way) {
	clear := float64(l.b.Rules.Clearance + slack)
	at := geom.Segment{A: s.At, B: s.At}
	l.add(thing{net: s.Net, line: at, half: float64(s.D/2 + s.Mask), spot: max(clear, float64(l.b.Rules.MaskMargin)), open: float64(max(l.b.Rules.MaskWeb, air)), track: clear})
	if w.len() > 0 {
		l.add(thing{net: s.Net, line: w.segment(), half: float64(l.stub) / 2, spot: clear, open: float64(l.b.Rules.MaskMargin + slack), track: clear, own: true, inked: true})
	}
	if box, ok := l.named(s); ok {
		l.add(thing{ring: ringOf(box), open: float64(l.b.Rules.LegendClear), track: -1})
	}
}

// room reports whether a spot has room, and how much air is about its opening, at most air.
func (l *land) room(s board.Spot) (free float64, ok bool) {
	at := geom.Segment{A: s.At, B: s.At}
	if l.ground.Locate(s.At) != geom.Inside || s.Use == board.Fiducial && l.ground.DistTo(s.At) < float64(rail) {
		return 0, false
	}
	copper, opening := float64(s.D)/2, float64(s.D/2+s.Mask)
	free, ok = float64(air), true
	l.near(geom.BoxOf(s.At).Grown(s.D/2+s.Mask+air), func(t thing) bool {
		if t.own && t.net == s.Net && s.Net != led.NoNet {
			return true
		}
		gap := t.gap(at)
		ok = gap-copper >= t.spot && gap-opening >= t.open
		free = min(free, gap-opening)
		return ok
	})
	return free, ok
}

// passes reports whether the track of a net may run there.
func (l *land) passes(w way, net led.NetID) bool {
	s, half := w.segment(), float64(l.stub)/2
	if w.len() == 0 {
		return true
	}
	ok := true
	l.near(s.Box().Grown(l.stub), func(t thing) bool {
		ok = t.track < 0 || t.net == net && net != led.NoNet || t.gap(s)-half >= t.track
		return ok
	})
	return ok
}

// named returns a place for a spot's name beside it; a fiducial has none, which always has its place.
func (l *land) named(s board.Spot) (geom.Box, bool) {
	if s.Use == board.Fiducial {
		return geom.EmptyBox(), false
	}
	// A letter with its gap is about as wide as it is high.
	h := l.b.Rules.LegendText + 2*l.b.Rules.LegendWidth
	w := geom.Nm(len(s.Ref)) * l.b.Rules.LegendText
	away := s.D/2 + s.Mask + l.b.Rules.LegendClear + slack
	for _, d := range [4]geom.Vec{{Y: 1}, {Y: -1}, {X: 1}, {X: -1}} {
		c := s.At.Add(geom.Vec{X: d.X * (away + w/2), Y: d.Y * (away + h/2)})
		box := geom.Box{Min: geom.Pt{X: c.X - w/2, Y: c.Y - h/2}, Max: geom.Pt{X: c.X + w/2, Y: c.Y + h/2}}
		mid := geom.Segment{A: geom.Pt{X: box.Min.X, Y: c.Y}, B: geom.Pt{X: box.Max.X, Y: c.Y}}
		if l.ground.Locate(mid.A) != geom.Inside || l.ground.Locate(mid.B) != geom.Inside {
			continue
		}
		ok := true
		l.near(box, func(t thing) bool {
			ok = t.inked || t.gap(mid)-float64(h/2) >= float64(l.b.Rules.LegendClear)
			return ok
		})
		if ok {
			return box, true
		}
	}
	return geom.Box{}, false
}
