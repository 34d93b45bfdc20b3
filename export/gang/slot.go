package gang

import (
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// thin is the narrowest piece of waste that stays: a thinner one would shake loose under the router.
const thin = 2 * geom.Millimetre

// slots returns what the router takes out: a slot of the gap's width round every board, less the tabs, and the waste that
// would hang on nothing or be too thin. Boards keep their exact edges.
func (p *Plan) slots(w *work.Watch) ([]geom.Contour, diag.List) {
	var l diag.List
	rect := geom.Rect(p.Art.Size).Ring(1)
	whole := geom.NewRegion(rect)
	big := geom.NewRegion(geom.Rect(p.Art.Size.Grown(4 * thin)).Ring(1))
	var rings, grown []geom.Ring
	for i := range p.Boards {
		w.Look()
		r := p.Outline(i).Ring(geom.FlattenTolerance)
		rings = append(rings, r)
		grown = append(grown, geom.NewRegion(r).Grown(p.opt.Gap).Rings()...)
	}
	boards := geom.UnionOf(rings...)
	waste := p.held(big.Minus(geom.UnionOf(grown...)).Opened(thin / 2).And(whole))
	cut := whole.Minus(waste).Minus(boards)

	p.tabs(w, rings, waste)
	var strips []geom.Ring
	for _, t := range p.Tabs {
		w.Look()
		strips = append(strips, t.strip(p.opt.Gap)...)
	}
	cut = cut.Minus(geom.UnionOf(strips...))
	// What is left between two tabs side by side may be too small to enter with the router.
	var kept geom.Region
	for _, g := range cut {
		if b := g.Outer.Box(); max(b.W(), b.H()) >= p.opt.Gap {
			kept = append(kept, g)
		}
	}
	cut = kept
	counts := make([]int, len(p.Boards))
	for _, t := range p.Tabs {
		counts[t.Board]++
		if t.Other >= 0 {
			counts[t.Other]++
		}
	}
	for i, n := range counts {
		if n < 2 {
			b := p.Boards[i].Box.Centre()
			l.Add(diag.Error, "gang-no-tabs", "the board %s finds room for %d tabs round its edge, it needs two", p.pieces[p.Boards[i].Piece].Art.Name, n).
				About(p.opt.keys("slot")...).At(b.X.MM(), b.Y.MM()).Fix("make the order's slot smaller, or straighten the board's edge for 7 mm in two places")
		}
	}
	if pieces := len(whole.Minus(cut)); pieces != 1 && !l.HasErrors() {
		l.Add(diag.Error, "gang-falls-apart", "the array would fall into %d pieces", pieces).
			About(p.opt.keys("frame", "slot", "boards")...).
			Fix("make the order's frame wider or its slot smaller, or order fewer boards; if that does not help, please report it")
	}
	var out []geom.Contour
	for _, g := range cut {
		for _, r := range g.Rings() {
			out = append(out, r.Contour(2*geom.Micrometre))
		}
	}
	return out, l
}

// held keeps the waste that reaches the array's edge, where the frame holds it.
func (p *Plan) held(waste geom.Region) geom.Region {
	var out geom.Region
	for _, g := range waste {
		b := g.Outer.Box()
		s := p.Art.Size
		if b.Min.X == s.Min.X || b.Min.Y == s.Min.Y || b.Max.X == s.Max.X || b.Max.Y == s.Max.Y {
			out = append(out, g)
		}
	}
	return out
}
