package check

import (
	"context"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Figures are what was measured on a finished board. A smallest length is 0 where the board has nothing to measure.
type Figures struct {
	Nets        int // that have two pads or more
	Connections int // joints the nets need: pads less one, over all nets
	Unrouted    int // of these, how many copper does not make
	TrackLen    geom.Nm
	Vias        int

	MinClearance geom.Nm // smallest gap between copper of two nets; 0 also for a short
	MinTrack     geom.Nm // narrowest track
	MinRing      geom.Nm // smallest annular ring
	MinDrill     geom.Nm // smallest finished hole
	MinEdge      geom.Nm // smallest gap between copper and the board's edge

	Tightest Limit // the limit that the board comes nearest to, by Found/Required
}

// Limit is one limit and what the board uses of it.
type Limit struct {
	Name            string // in a builder's words: "copper gap"
	Found, Required geom.Nm
}

// look is how far Measure looks for neighbours; gaps beyond it are told as this.
const look = 2 * geom.Millimetre

// Measure measures b. A board that Audit calls malformed has no figures. When ctx is done it returns at once, and what it
// returns means nothing.
func Measure(ctx context.Context, b board.Board) (f Figures) {
	if !malformed(b, led.Wiring{}).HasErrors() {
		work.Until(ctx, func(w *work.Watch) {
			m := newModel(w, b, led.Wiring{})
			f = m.measured(m.trueNets(m.clusters()))
		})
	}
	return f
}

func (m *model) measured(net []netNo) Figures {
	b := m.b
	f := Figures{Vias: len(b.Vias)}
	for _, groups := range m.pieces() {
		pads := 0
		for _, g := range groups {
			pads += len(g)
		}
		if pads > 1 {
			f.Nets++
			f.Connections += pads - 1
			f.Unrouted += len(groups) - 1
		}
	}
	length := 0.0
	f.MinTrack = m.narrowestTrack()
	for _, t := range b.Tracks {
		length += t.Path.Len()
	}
	f.TrackLen = geom.Nm(math.Round(length))
	f.MinClearance = m.smallestGap(net)
	var edge Limit
	f.MinEdge, edge = m.smallestEdge()
	f.MinRing, f.MinDrill = m.smallestHoles()
	f.Tightest = tightest([]Limit{
		{"copper gap", f.MinClearance, b.Rules.Clearance},
		{"track", f.MinTrack, b.Rules.Track},
		{"annular ring", f.MinRing, b.Rules.AnnularRing},
		{"hole", f.MinDrill, b.Rules.Drill},
		edge,
	})
	return f
}

func tightest(ls []Limit) Limit {
	ls = slices.DeleteFunc(ls, func(l Limit) bool { return l.Found <= 0 || l.Required <= 0 })
	if len(ls) == 0 {
		return Limit{}
	}
	return slices.MinFunc(ls, func(a, b Limit) int {
		// a.Found/a.Required against b.Found/b.Required; lengths below 2^30 keep the products exact.
		x, y := int64(a.Found)*int64(b.Required), int64(b.Found)*int64(a.Required)
		switch {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
}

func (m *model) narrowestTrack() geom.Nm {
	var w geom.Nm
	for _, t := range m.b.Tracks {
		if w == 0 || t.Width < w {
			w = t.Width
		}
	}
	return w
}

// smallestGap widens the search until it finds a neighbour, so that the usual case looks at near copper only.
func (m *model) smallestGap(net []netNo) geom.Nm {
	for reach := max(m.b.Rules.Clearance, geom.Millimetre/20) + geom.Micrometre; ; reach *= 3 {
		reach = min(reach, look)
		best := math.Inf(1)
		m.gaps(net, reach, func(_, _ int, _ geom.Side, at meeting) { best = min(best, max(at.gap, 0)) })
		if !math.IsInf(best, 1) {
			return geom.Nm(math.Floor(best))
		}
		if reach == look {
			return 0
		}
	}
}

// smallestEdge returns the smallest gap to the edge, and the one that comes nearest to what its copper must keep.
func (m *model) smallestEdge() (geom.Nm, Limit) {
	best := math.Inf(1)
	var limits []Limit // for each limit that copper has, the smallest gap
	for _, on := range geom.BothSides() {
		for i, s := range m.side[on].shapes {
			gap, required := math.Inf(1), m.edgeLimit(m.side[on].nodes[i])
			m.edge.near(s, look, all, func(_ int, at meeting) { gap = min(gap, max(at.gap, 0)) })
			if math.IsInf(gap, 1) {
				continue
			}
			best = min(best, gap)
			found := geom.Nm(math.Floor(gap))
			if k := slices.IndexFunc(limits, func(l Limit) bool { return l.Required == required }); k >= 0 {
				limits[k].Found = min(limits[k].Found, found)
			} else {
				limits = append(limits, Limit{"copper to edge", found, required})
			}
		}
	}
	if math.IsInf(best, 1) {
		return 0, Limit{}
	}
	return geom.Nm(math.Floor(best)), tightest(limits)
}

func (m *model) smallestHoles() (ring, drill geom.Nm) {
	best := math.Inf(1)
	for _, h := range m.holes {
		if drill == 0 || h.d < drill {
			drill = h.d
		}
		if r, ok := m.ring(h); ok {
			best = min(best, r)
		}
	}
	if math.IsInf(best, 1) {
		return 0, drill
	}
	return geom.Nm(max(best, 0)), drill
}
