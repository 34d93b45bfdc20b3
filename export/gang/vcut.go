package gang

import (
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// scoredClear is what copper keeps from an edge that is scored and broken: common practice.
const scoredClear = 400 * geom.Micrometre

// grid places boards of one kind edge to edge, for V-cuts, and returns the lines to score: each runs across the whole
// array, as the machine's wheels do.
func (p *Plan) grid() ([]geom.Segment, diag.List) {
	var l diag.List
	if len(p.pieces) != 1 {
		l.Add(diag.Error, "gang-scored-kinds", "V-cuts run straight across the whole panel, so only boards of one kind can be scored; the order has %d", len(p.pieces)).
			About(p.opt.keys("parted_by", "boards")...).Fix("write parted_by: tabs, or order each kind by itself").By("part them by tabs", diag.Set, p.opt.keys("parted_by")[0], "tabs")
		return nil, l
	}
	outline, q := p.edges[0], p.pieces[0]
	if !rectangular(outline) {
		l.Add(diag.Error, "gang-scored-shape", "V-cuts run straight, but the edge of the board %s is no plain rectangle", q.Art.Name).
			About(p.opt.keys("parted_by", "boards")...).Fix("write parted_by: tabs, or draw the board's edge as a rectangle on the layer BOARD").By("part them by tabs", diag.Set, p.opt.keys("parted_by")[0], "tabs")
		return nil, l
	}
	if q.EdgeClear < scoredClear {
		l.Add(diag.Warning, "gang-scored-copper", "copper of the board %s comes within %v of its edge; a scored edge wants %v (common practice)", q.Art.Name, q.EdgeClear, scoredClear).
			About(append([]string{"rules.copper_to_edge"}, p.opt.keys("parted_by")...)...).Fix("set rules: {copper_to_edge: 0.4 mm}, or write parted_by: tabs").
			By("keep copper 0.4 mm from edges", diag.Set, "rules.copper_to_edge", "0.4 mm").By("part them by tabs", diag.Set, p.opt.keys("parted_by")[0], "tabs")
	}
	b := outline.Box()
	frame := 2 * p.opt.Rail
	won, cols := false, 0
	var size geom.Vec
	turned := false
	for _, turn := range [2]bool{false, true} {
		w, h := b.W(), b.H()
		if turn {
			w, h = h, w
		}
		for c := 1; c <= q.Count; c++ {
			rows := (q.Count + c - 1) / c
			s := geom.Vec{X: frame + geom.Nm(c)*w, Y: frame + geom.Nm(rows)*h}
			if s.X > p.opt.Width || s.Y > p.opt.Height {
				continue
			}
			if !won || s.X.MM()*s.Y.MM() < size.X.MM()*size.Y.MM() ||
				s.X.MM()*s.Y.MM() == size.X.MM()*size.Y.MM() && max(s.X, s.Y) < max(size.X, size.Y) {
				won, cols, size, turned = true, c, s, turn
			}
		}
	}
	if !won {
		l.Add(diag.Error, "gang-no-room", "%d boards of %.1f x %.1f mm do not fit side by side on a manufacturing panel of %v x %v", q.Count, b.W().MM(), b.H().MM(), p.opt.Width, p.opt.Height).
			About(p.opt.keys("boards", "width", "height")...).
			Fix("order fewer of them, or make width and height of the order larger, if your board house takes that")
		return nil, l
	}
	w, h := b.W(), b.H()
	if turned {
		w, h = h, w
	}
	for i := range q.Count {
		at := geom.Vec{X: p.opt.Rail + geom.Nm(i%cols)*w, Y: p.opt.Rail + geom.Nm(i/cols)*h}
		p.Boards = append(p.Boards, p.placed(0, turned, at))
	}
	p.Art.Size = geom.Box{Max: geom.Pt(size)}
	p.Method = "rows and columns"
	var lines []geom.Segment
	for x := p.opt.Rail; x <= size.X-p.opt.Rail; x += w {
		lines = append(lines, geom.Segment{A: geom.Pt{X: x}, B: geom.Pt{X: x, Y: size.Y}})
	}
	for y := p.opt.Rail; y <= size.Y-p.opt.Rail; y += h {
		lines = append(lines, geom.Segment{A: geom.Pt{Y: y}, B: geom.Pt{X: size.X, Y: y}})
	}
	return lines, l
}

// rectangular reports whether a curve fills its box.
func rectangular(c geom.Contour) bool {
	b := c.Box()
	for _, v := range c {
		if v.Bulge != 0 || v.X != b.Min.X && v.X != b.Max.X && v.Y != b.Min.Y && v.Y != b.Max.Y {
			return false
		}
	}
	r := c.Ring(geom.FlattenTolerance)
	return r.SignedArea2() == 2*int64(b.W())*int64(b.H())
}
