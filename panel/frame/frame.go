// Package frame makes the walls that keep light where it belongs: a sheet as thick as the gap between LED sheet and diffuser, which
// fills that gap round openings, along the rim, round mounts and between groups of LEDs.
//
// A panel.Panel goes in and a geom.Region comes out, in the panel frame: where the sheet is. What passes the gap, the LEDs and the screws
// are cut out of it; what is thinner than least is left out, since it breaks.
package frame

import (
	"context"
	"slices"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Usual is the width of walls when nobody says it. Walls narrower than half of what sheets are thick break when they are cut (common
// practice), and gaps are 5 to 10 mm.
const Usual = 4 * geom.Millimetre

const (
	tolerance = geom.FlattenTolerance // so that arcs come out as arcs
	flange    = geom.Millimetre       // by which the hole for an LED is wider than the LED sheet's
	least     = geom.Millimetre       // of what is left of a wall
	speck     = 25                    // mm²: a smaller piece holds nothing
	pinhole   = 1                     // mm²: a smaller window, as between a round wall and a corner, is left closed
)

// Of returns the frame of a panel, with walls of that width. group is the group of each of the panel's LEDs; nil where there are none.
// Once ctx is done what it returns means nothing.
func Of(ctx context.Context, p panel.Panel, wall geom.Nm, group []int) (out geom.Region) {
	work.Until(ctx, func(w *work.Watch) { out = walls(w, p, wall, group) })
	return out
}

func walls(w *work.Watch, p panel.Panel, wall geom.Nm, group []int) (out geom.Region) {
	knife := geom.Knife{Look: w.Look}
	var open, round, holes []geom.Ring
	for _, cuts := range [][]geom.Contour{p.Cuts(panel.DiffuserSheet), p.Cuts(panel.LEDSheet), p.InGap()} {
		for _, c := range cuts {
			open = append(open, c.Ring(tolerance))
		}
	}
	for _, m := range p.Mounts {
		round = append(round, geom.Circle(m.At, m.D+2*wall).Ring(tolerance))
		holes = append(holes, geom.Circle(m.At, m.D).Ring(tolerance))
	}
	for _, s := range between(w, p, group) {
		round = append(round, geom.Stadium(s, wall/2).Ring(tolerance))
	}
	for _, h := range p.LEDs {
		holes = append(holes, geom.Circle(h.At, h.D+flange).Ring(tolerance))
	}
	whole := geom.NewRegion(p.Outline.Ring(tolerance))
	clear := knife.With(nil, open...)
	all := knife.Or(knife.Minus(whole, knife.Shrunk(whole, wall)), knife.Grown(clear, wall))
	all = knife.And(knife.With(all, round...), whole)
	all = knife.Without(knife.Minus(all, clear), holes...)
	for _, piece := range knife.Grown(knife.Shrunk(all, least/2), least/2) {
		piece.Holes = slices.DeleteFunc(slices.Clone(piece.Holes), func(h geom.Ring) bool { return h.Area() < pinhole })
		if one := (geom.Region{piece}); one.Area() >= speck {
			out = append(out, piece)
		}
	}
	return out
}
