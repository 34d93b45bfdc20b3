package fill

import (
	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// pockets fills with the other net what the first net of each side left out, where something of the other net is there:
// signals often fence in a piece of the bottom that no supply track reaches but in which cathodes are joined to 0 V. Only
// the surroundings of such pieces are looked at, so that a board without any costs nothing.
func pockets(knife geom.Knife, b board.Board, opt Options, material geom.Region, made []area, bare [2]geom.Region) []area {
	var out []area
	for _, side := range geom.BothSides() {
		net := opt.TopPockets
		if side == geom.Bottom {
			net = opt.BottomPockets
		}
		if net == led.NoNet || len(bare[side]) == 0 {
			continue
		}
		f := filler{knife: knife, b: b, side: side, net: net, opt: opt}
		windows := f.windows(bare[side])
		if len(windows) == 0 {
			continue
		}
		r := b.Rules
		half := r.Neck / 2
		var first geom.Region // copper of the first net that stays
		for _, a := range made {
			if a.side != side || a.contacts == 0 {
				continue
			}
			for _, w := range windows {
				if a.fill.Outer.Box().Touches(w.Box()) {
					first = append(first, a.whole(knife)...)
					break
				}
			}
		}
		look := geom.UnionOf(windows...)
		first = first.And(look)
		edge := r.CopperToEdge + slack
		core := knife.Shrunk(material, edge+half).And(look).Minus(knife.Grown(first, r.Clearance+slack+half))
		free := knife.Shrunk(material, edge).And(look).Minus(knife.Grown(first, r.Clearance+slack))
		kept, _ := f.pieces(core, free)
		for _, a := range kept {
			if a.contacts > 0 && a.fill.Area() >= opt.Least {
				a.pocket = true
				out = append(out, a)
			}
		}
	}
	return out
}

// windows returns rectangles about the pieces that hold, or nearly hold, a contact of the net.
func (f filler) windows(left geom.Region) []geom.Ring {
	var at []geom.Pt
	f.b.Pads(func(i, j int) bool {
		if p := f.b.Parts[i].Pads[j]; p.OnSide(f.side) && p.Net == f.net {
			at = append(at, p.At)
		}
		return true
	})
	for _, v := range f.b.Vias {
		if v.Net == f.net {
			at = append(at, v.At)
		}
	}
	for _, t := range f.b.Tracks {
		if t.On == f.side && t.Net == f.net {
			at = append(at, t.Path...)
		}
	}
	var out []geom.Ring
	for _, p := range left {
		if p.Area() < f.opt.Least {
			continue
		}
		box := p.Outer.Box().Grown(2 * geom.Millimetre)
		for _, q := range at {
			if box.Contains(q) {
				out = append(out, geom.Ring{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}})
				break
			}
		}
	}
	return out
}
