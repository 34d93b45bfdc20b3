// Package bare sets bare pads on a routed board: test points for a meter's tip, and fiducials for a machine's camera.
//
// TestPoints and Fiducials take a board with parts and tracks, and no areas yet, and return it with Spots added, and with a short
// track from each test point to the copper of its net. Nothing else moves. Lengths are geom.Nm in the panel frame. Method: places
// about the net's copper, the nearest to what is measured first, each tried against everything that is on that side, its name's place
// included; of those with room the best by the length of its track and the air about it. Where there is no room there is no spot: a
// board without is as good in all else, as every point to touch is a soldered pad too.
package bare

import (
	"cmp"
	"context"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Measures of a test point (common practice: 1 to 2 mm for a tip held by hand), and of a fiducial: 1 mm of copper in 2 mm of open
// mask, middle 5 mm or more from the edge, where the machine's rails hold the board (IPC-7351B has 1 mm and twice that, from memory).
const (
	pointD    = 1500 * geom.Micrometre
	fiducialD = geom.Millimetre
	rail      = 5 * geom.Millimetre
)

// TestPoints sets test points at the probes on the wiring side, as many as have room.
func TestPoints(ctx context.Context, b board.Board, probes []led.Probe) (out board.Board) {
	work.Until(ctx, func(watch *work.Watch) { out = testPoints(watch, b, probes) })
	return out
}

func testPoints(watch *work.Watch, b board.Board, probes []led.Probe) board.Board {
	b.Spots, b.Tracks = slices.Clone(b.Spots), slices.Clone(b.Tracks)
	l := newLand(b, geom.Bottom)
	for _, p := range probes {
		if int(p.Net) <= 0 || int(p.Net) >= len(b.Nets) {
			continue
		}
		watch.Look()
		s, stub, ok := l.point(watch, p)
		if !ok {
			continue
		}
		b.Spots = append(b.Spots, s)
		if stub.len() > 0 {
			b.Tracks = append(b.Tracks, board.Track{Net: p.Net, On: s.On, Width: l.stub, Path: geom.Polyline{stub.from, stub.to}})
		}
		l.takes(s, stub)
	}
	return b
}

// way is from the copper of a net to a spot.
type way struct{ from, to geom.Pt }

func (w way) len() float64          { return w.from.Dist(w.to) }
func (w way) segment() geom.Segment { return geom.Segment{A: w.from, B: w.to} }

// mostAnchors bounds how many places of a net's copper are looked at, the nearest to what is measured first.
const mostAnchors = 120

// point looks for the best place of a test point.
func (l *land) point(watch *work.Watch, p led.Probe) (board.Spot, way, bool) {
	near := nearest(l.b, p)
	anchors := anchorsOf(l.b, p.Net)
	slices.SortStableFunc(anchors, func(p, q geom.Pt) int { return cmp.Compare(p.Dist(near), q.Dist(near)) })
	anchors = anchors[:min(len(anchors), mostAnchors)]
	best, least := board.Spot{}, math.Inf(1)
	var stub way
	for _, a := range anchors {
		watch.Step()
		if a.Dist(near)/4 >= least {
			break // all that follow are farther
		}
		for _, off := range around() {
			s := board.Spot{Use: board.TestPoint, Ref: p.Ref, Net: p.Net, At: a.Add(off), On: l.side, D: pointD, Mask: l.b.Rules.MaskMargin}
			cost := a.Dist(s.At) + a.Dist(near)/4
			if cost >= least {
				continue
			}
			free, ok := l.room(s)
			if cost += 2 * (float64(air) - free); !ok || cost >= least || !l.passes(way{a, s.At}, p.Net) {
				continue
			}
			if _, ok := l.named(s); ok {
				best, least, stub = s, cost, way{a, s.At}
			}
		}
	}
	return best, stub, !math.IsInf(least, 1)
}

// around are the ways from the copper of a net at which a point is tried, the short ones first.
func around() []geom.Vec {
	out := []geom.Vec{{}}
	for _, d := range []geom.Nm{1500, 2000, 2500, 3000, 4000, 5000} {
		d *= geom.Micrometre
		h := d * 7 / 10
		out = append(out, geom.Vec{X: d}, geom.Vec{Y: d}, geom.Vec{X: -d}, geom.Vec{Y: -d},
			geom.Vec{X: h, Y: h}, geom.Vec{X: -h, Y: h}, geom.Vec{X: -h, Y: -h}, geom.Vec{X: h, Y: -h})
	}
	return out
}

// nearest returns where a point is wanted.
func nearest(b board.Board, p led.Probe) geom.Pt {
	for _, q := range b.Parts {
		if q.Ref == p.Near {
			return q.At
		}
	}
	return b.Outline.Box().Centre()
}

// anchorsOf returns places of the net's copper on the bottom: along tracks, of through pads and of vias.
func anchorsOf(b board.Board, net led.NetID) []geom.Pt {
	const step = 500 * geom.Micrometre
	var out []geom.Pt
	for _, t := range b.Tracks {
		if t.Net != net || t.On != geom.Bottom {
			continue
		}
		for _, s := range t.Path.Segments() {
			n := max(1, int(s.Len()/float64(step)))
			for i := range n {
				out = append(out, geom.Pt{X: s.A.X + (s.B.X-s.A.X)*geom.Nm(i)/geom.Nm(n), Y: s.A.Y + (s.B.Y-s.A.Y)*geom.Nm(i)/geom.Nm(n)})
			}
			out = append(out, s.B)
		}
	}
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.Net == net && p.OnSide(geom.Bottom) {
			out = append(out, p.At)
		}
		return true
	})
	for _, v := range b.Vias {
		if v.Net == net {
			out = append(out, v.At)
		}
	}
	return out
}

// Fiducials sets three fiducials on each side that a machine puts parts on, or on both where none is: near three corners, so that a
// board turned round is told. It tells where fewer have room.
func Fiducials(ctx context.Context, b board.Board) (out board.Board, l diag.List) {
	work.Until(ctx, func(watch *work.Watch) { out, l = fiducials(watch, b) })
	return out, l
}

func fiducials(watch *work.Watch, b board.Board) (board.Board, diag.List) {
	var l diag.List
	b.Spots = slices.Clone(b.Spots)
	for _, side := range machined(b) {
		land, box, set := newLand(b, side), b.Outline.Box(), 0
		for _, corner := range []geom.Pt{box.Min, {X: box.Max.X, Y: box.Min.Y}, {X: box.Min.X, Y: box.Max.Y}} {
			if s, ok := land.corner(watch, corner); ok {
				b.Spots = append(b.Spots, s)
				land.takes(s, way{s.At, s.At})
				set++
			}
		}
		if set < 3 {
			l.Add(diag.Warning, "bare-fiducials", "%d of 3 fiducials have room on the %v side", set, side).Of(b.Name).About("fiducials").
				Fix("a machine can do with two, less exactly; order the board in an array, whose frame has three, or leave more room in its corners")
		}
	}
	return b, l
}

// machined are the sides with parts on the surface, or both.
func machined(b board.Board) []geom.Side {
	var has [2]bool
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.Paste {
			has[p.On] = true
		}
		return true
	})
	both := geom.BothSides()
	return slices.DeleteFunc(both[:], func(s geom.Side) bool { return (has[0] || has[1]) && !has[s] })
}

// corner looks for the place of a fiducial that is nearest to a corner of the board's box and nearer to no other.
func (l *land) corner(watch *work.Watch, corner geom.Pt) (board.Spot, bool) {
	const step = geom.Millimetre
	best, least := board.Spot{}, math.Inf(1)
	half := l.b.Outline.Box().Centre().Sub(corner)
	across, up := geom.Nm(half.X.Sign())*step, geom.Nm(half.Y.Sign())*step
	for y := range half.Y.Abs() / step {
		watch.Step()
		for x := range half.X.Abs() / step {
			at := corner.Add(geom.Vec{X: x * across, Y: y * up})
			d := at.Dist(corner)
			if d >= least {
				continue
			}
			s := board.Spot{Use: board.Fiducial, At: at, On: l.side, D: fiducialD, Mask: fiducialD / 2}
			if _, ok := l.room(s); ok {
				best, least = s, d
			}
		}
	}
	return best, !math.IsInf(least, 1)
}
