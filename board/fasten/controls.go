package fasten

import (
	"slices"

	"lampblack/board"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// near is how near metal may come to a board's face before it counts as lying on it: half of what sheets of acrylic and spacers differ.
const near = 500 * geom.Micrometre

// Controls tells nuts and washers of a panel's controls that come onto a board, with the copper that lies under them.
func Controls(p panel.Panel, boards []board.Board, s Stack) diag.List {
	var l diag.List
	for _, b := range boards {
		front := s.Face + s.Diffuser + s.Gap + s.Sheet + RiseOf(b, s).Distance
		back := front + b.Laminate.Thickness
		own := geom.NewRegion(b.Outline.Ring(geom.FlattenTolerance))
		for _, c := range b.Cutouts {
			own = own.Minus(geom.NewRegion(c.Ring(geom.FlattenTolerance)))
		}
		for _, c := range p.Controls {
			for _, q := range seat.Pieces(p, c) {
				metal := q.What == seat.Nut || q.What == seat.Washer || q.What == seat.LockWasher
				if !metal || q.To <= front-near || q.From >= back+near {
					continue
				}
				lies := geom.NewRegion(q.Shape.Ring(geom.FlattenTolerance)).And(own)
				if lies.Area() < 0.01 {
					continue
				}
				what := "the board has no copper there, but it is in the way"
				if copper(b, lies) {
					what = "copper lies under it, and a scratch through the mask joins it to the control's metal"
				}
				l.Add(diag.Warning, "fasten-control-board", "the %s of a %s, %v across, comes onto the board %s: %s", q.What, c.Kind.Name, q.Shape.Box().W(), b.Name, what).
					Together("nuts or washers of %d controls come onto the board").Of(b.Name).About(diag.PanelKey(p.Name, "controls"), "defaults.controls").At(c.At.X.MM(), c.At.Y.MM()).
					Fix("draw its body as wide as nut and washer, and the board keeps out of there; or bring the board farther back (sheet_distance)")
				break
			}
		}
	}
	return l
}

// copper reports whether the board has copper in an area, on either side.
func copper(b board.Board, g geom.Region) bool {
	meets := func(r geom.Ring) bool { return len(geom.NewRegion(r).And(g)) > 0 }
	for _, a := range b.Areas {
		if a.Fill.Outer.Box().Touches(g.Box()) && len(geom.Region{a.Fill}.And(g)) > 0 {
			return true
		}
	}
	for _, part := range b.Parts {
		for _, pad := range part.Pads {
			if meets(pad.Contour(0).Ring(geom.FlattenTolerance)) {
				return true
			}
		}
	}
	for _, t := range b.Tracks {
		for i := 1; i < len(t.Path); i++ {
			e := geom.Segment{A: t.Path[i-1], B: t.Path[i]}
			if g.Locate(e.A) != geom.Outside || slices.ContainsFunc(g.Rings(), func(r geom.Ring) bool { return slices.ContainsFunc(r.Segments(), e.Crosses) }) {
				return true
			}
		}
	}
	return false
}
