package solid

import (
	"lampblack/board"
	"lampblack/board/height"
	"lampblack/export"
	"lampblack/export/scene"
	"lampblack/led"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// What lies on the laminate is told apart by height: soldermask and ink over copper, as thick as they usually are (common practice).
const (
	maskOver = 20 * geom.Micrometre
	inkOver  = 15 * geom.Micrometre // over the mask
)

// Board returns a board that is built in, with its parts: laminate, copper by nets, soldermask of that colour, silkscreen, and each
// part. Its frame is the panel's, with Z = 0 at the front of its copper.
func Board(w *work.Watch, in height.In, b board.Board, maskWord string, lamps Lamps) Node {
	before, behind := in.Span(b)
	coat := scene.CoatOf(maskWord)
	root := Node{Name: b.Name, Told: Told{Kind: "board", Span: span(before, behind)}}
	add := func(name, kind string, side geom.Side, sided bool, m Mesh) {
		w.Look()
		if len(m.Faces) == 0 {
			return
		}
		told := Told{Kind: kind}
		if sided {
			told.Side = side.String()
		}
		root.Children = append(root.Children, Node{Name: name, Shape: &Shape{m}, Told: told})
	}
	edge := geom.NewRegion(b.Outline.Ring(etched))
	drilled := drills(b)
	knife := geom.Knife{Look: w.Look}
	sheet := prism(knife.Without(edge, append(rings(b.Cutouts, etched), drilled...)...), -b.Laminate.Thickness+b.Laminate.Copper, -b.Laminate.Copper, both)
	sheet.Material = laminate()
	add("laminate", "laminate", 0, false, sheet)
	for _, side := range geom.BothSides() {
		metal, covered := copperOf(w, b, side, drilled, coat)
		root.Children = append(root.Children, metal)
		up, ground := geom.Nm(1), geom.Nm(0) // outward, and where the copper's outer face is
		if side == geom.Bottom {
			up, ground = -1, -b.Laminate.Thickness
		}
		// The mask lies on the laminate and, as the same shapes once more, on the copper.
		m := film(knife.Without(edge, append(rings(b.Cutouts, etched), openings(b, side)...)...), ground-up*b.Laminate.Copper, facing(side))
		m.Material = mask(coat.Mask)
		shape := append(Shape{m}, covered...)
		name := "soldermask " + side.String()
		root.Children = append(root.Children, Node{Name: name, At: Point{Z: up * maskOver}, Shape: &shape, Told: Told{Kind: "soldermask", Side: side.String()}})
		m = printed(b, side, ground+up*(maskOver+inkOver))
		m.Material = legend(coat)
		add("silkscreen "+side.String(), "silkscreen", side, true, m)
	}
	s := bench{in: in, board: b, front: before, back: behind, lamps: lamps, made: map[likeness]*Shape{}}
	for _, q := range b.Parts {
		w.Look()
		root.Children = append(root.Children, s.node(q))
	}
	return root
}

// called is what people call a kind of part.
func called(k board.Kind) string { return [...]string{"LED", "resistor", "connector"}[k] }

// facing is from where a film on a side is seen.
func facing(s geom.Side) caps {
	if s == geom.Top {
		return front
	}
	return back
}

// drills are all holes of a board.
func drills(b board.Board) []geom.Ring {
	var out []geom.Ring
	hole := func(at geom.Pt, d geom.Nm) {
		if d > 0 {
			out = append(out, geom.Circle(at, d).Ring(etched))
		}
	}
	for _, h := range b.Holes {
		hole(h.At, h.D)
	}
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.Through {
			hole(p.At, p.Drill)
		}
		return true
	})
	for _, v := range b.Vias {
		hole(v.At, v.Drill)
	}
	return out
}

// openings is where the soldermask of a side is open, as the artwork has it (export.Lower).
func openings(b board.Board, side geom.Side) []geom.Ring {
	var out []geom.Ring
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.OnSide(side) {
			out = append(out, p.Contour(p.Mask).Ring(etched))
		}
		return true
	})
	for _, q := range b.Spots {
		if q.On == side {
			out = append(out, q.Pad().Contour(q.Mask).Ring(etched))
		}
	}
	for _, h := range b.Holes {
		if h.D > 0 {
			out = append(out, geom.Circle(h.At, h.D+2*b.Rules.MaskMargin).Ring(etched))
		}
	}
	return out
}

// copperOf is the copper of a side, a node for each net, as thick as it is and with its holes; covered is the soldermask on what of it
// is no pad: the same shapes.
func copperOf(w *work.Watch, b board.Board, side geom.Side, drilled []geom.Ring, coat scene.Coat) (out Node, covered Shape) {
	out = Node{Name: "copper " + side.String(), Told: Told{Kind: "copper", Side: side.String()}}
	none := len(b.Nets) // what is of no net comes last
	of := func(n led.NetID) int {
		if n <= led.NoNet || int(n) >= none {
			return none
		}
		return int(n)
	}
	lines, pads, areas := make([][]geom.Ring, none+1), make([][]geom.Ring, none+1), make([]geom.Region, none+1)
	for _, t := range b.Tracks {
		if t.On == side {
			for _, s := range t.Path.Segments() {
				lines[of(t.Net)] = append(lines[of(t.Net)], geom.Stadium(s, t.Width/2).Ring(etched))
			}
		}
	}
	for _, v := range b.Vias {
		lines[of(v.Net)] = append(lines[of(v.Net)], geom.Circle(v.At, v.D).Ring(etched))
	}
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.OnSide(side) {
			pads[of(p.Net)] = append(pads[of(p.Net)], p.Contour(0).Ring(etched))
		}
		return true
	})
	for _, q := range b.Spots {
		if q.On == side {
			pads[of(q.Net)] = append(pads[of(q.Net)], q.Pad().Contour(0).Ring(etched))
		}
	}
	for _, a := range b.Areas {
		if a.On == side {
			areas[of(a.Net)] = append(areas[of(a.Net)], coarse(a.Fill, etched))
		}
	}
	low, high := -b.Laminate.Copper, geom.Nm(0)
	if side == geom.Bottom {
		low, high = -b.Laminate.Thickness, -b.Laminate.Thickness+b.Laminate.Copper
	}
	knife := geom.Knife{Look: w.Look}
	for i := range areas {
		w.Look()
		var shape Shape
		add := func(g geom.Region, but ...geom.Ring) {
			if len(g) == 0 {
				return
			}
			m := prism(thinnedRegion(knife.Without(g, near(g.Box(), append(but, drilled...))...), etched), low, high, facing(side)) // nobody sees where it lies on the laminate
			m.Material = copper()
			shape = append(shape, m)
		}
		add(knife.With(areas[i], lines[i]...), pads[i]...)
		for _, m := range shape {
			if m.Material = mask(coat.Track); len(areas[i]) > 0 {
				m.Material = mask(coat.Area)
			}
			covered = append(covered, m)
		}
		if len(pads[i]) > 0 {
			add(geom.UnionOf(pads[i]...))
		}
		if len(shape) == 0 {
			continue
		}
		name := export.NotConnected
		if i < none {
			name = b.Nets[i].Name
		}
		out.Children = append(out.Children, Node{Name: name, Shape: &shape, Told: Told{Kind: "copper", Side: side.String(), Net: name}})
	}
	return out, covered
}

// near returns the rings that may meet a box.
func near(box geom.Box, all []geom.Ring) []geom.Ring {
	var out []geom.Ring
	for _, r := range all {
		if box.Touches(r.Box()) {
			out = append(out, r)
		}
	}
	return out
}

// coarse flattens an area's curves anew.
func coarse(p geom.Polygon, tol geom.Nm) geom.Polygon {
	again := func(r geom.Ring) geom.Ring {
		if c := r.Contour(geom.FlattenTolerance).Ring(tol); len(c) > 2 {
			return c
		}
		return r
	}
	out := geom.Polygon{Outer: again(p.Outer)}
	for _, h := range p.Holes {
		out.Holes = append(out.Holes, again(h))
	}
	return out
}

// printed is the silkscreen of a side: areas, and lines as ribbons.
func printed(b board.Board, side geom.Side, z geom.Nm) Mesh {
	var m Mesh
	var areas geom.Region
	for _, i := range b.Ink {
		if i.On == side {
			areas = append(areas, coarse(i.Fill, etched))
		}
	}
	m.add(film(areas, z, facing(side)))
	line := func(s board.Stroke) {
		if s.On == side {
			m.add(ribbon(thinned(s.Path, etched/2), s.Width/2, z, facing(side)))
		}
	}
	for _, q := range b.Parts {
		for _, s := range q.Marks {
			line(s)
		}
	}
	for _, s := range b.Legend {
		line(s)
	}
	return m
}
