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
	edge := region(b.Outline)
	drilled := drills(b)
	knife := geom.Knife{Look: w.Look}
	sheet := prism(knife.Without(edge, append(rings(b.Cutouts), drilled...)...), -b.Laminate.Thickness+b.Laminate.Copper, -b.Laminate.Copper, both)
	sheet.Material = laminate()
	add("laminate", "laminate", 0, false, sheet)
	for _, side := range geom.BothSides() {
		root.Children = append(root.Children, copperOf(w, b, side, drilled))
		at, ink := geom.Nm(maskOver), geom.Nm(maskOver+inkOver)
		if side == geom.Bottom {
			at, ink = -b.Laminate.Thickness-at, -b.Laminate.Thickness-ink
		}
		m := film(knife.Without(edge, append(rings(b.Cutouts), openings(b, side)...)...), at, facing(side))
		m.Material = mask(coat)
		add("soldermask "+side.String(), "soldermask", side, true, m)
		m = printed(b, side, ink)
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
			out = append(out, ring(geom.Circle(at, d)))
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
			out = append(out, ring(p.Contour(p.Mask)))
		}
		return true
	})
	for _, h := range b.Holes {
		if h.D > 0 {
			out = append(out, ring(geom.Circle(h.At, h.D+2*b.Rules.MaskMargin)))
		}
	}
	return out
}

// copperOf is the copper of a side, a node for each net, as thick as it is, with its holes.
func copperOf(w *work.Watch, b board.Board, side geom.Side, drilled []geom.Ring) Node {
	out := Node{Name: "copper " + side.String(), Told: Told{Kind: "copper", Side: side.String()}}
	nets := make([][]geom.Ring, len(b.Nets)+1) // the last: of no net
	of := func(n led.NetID) *[]geom.Ring {
		if n <= led.NoNet || int(n) >= len(b.Nets) {
			return &nets[len(b.Nets)]
		}
		return &nets[n]
	}
	for _, t := range b.Tracks {
		if t.On == side {
			l := of(t.Net)
			for _, s := range t.Path.Segments() {
				*l = append(*l, ring(geom.Stadium(s, t.Width/2)))
			}
		}
	}
	for _, v := range b.Vias {
		*of(v.Net) = append(*of(v.Net), ring(geom.Circle(v.At, v.D)))
	}
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.OnSide(side) {
			*of(p.Net) = append(*of(p.Net), ring(p.Contour(0)))
		}
		return true
	})
	areas := make([]geom.Region, len(nets))
	for _, a := range b.Areas {
		if a.On == side {
			k := len(b.Nets)
			if a.Net > led.NoNet && int(a.Net) < len(b.Nets) {
				k = int(a.Net)
			}
			areas[k] = append(areas[k], coarse(a.Fill))
		}
	}
	low, high := -b.Laminate.Copper, geom.Nm(0)
	if side == geom.Bottom {
		low, high = -b.Laminate.Thickness, -b.Laminate.Thickness+b.Laminate.Copper
	}
	knife := geom.Knife{Look: w.Look}
	for i := range nets {
		w.Look()
		g := knife.With(areas[i], nets[i]...)
		if len(g) == 0 {
			continue
		}
		box := g.Box()
		var within []geom.Ring
		for _, d := range drilled {
			if box.Touches(d.Box()) {
				within = append(within, d)
			}
		}
		m := prism(knife.Without(g, within...), low, high, facing(side)) // what lies on the laminate is seen by nobody
		m.Material = copper()
		name := export.NotConnected
		if i < len(b.Nets) {
			name = b.Nets[i].Name
		}
		out.Children = append(out.Children, Node{Name: name, Shape: &Shape{m}, Told: Told{Kind: "copper", Side: side.String(), Net: name}})
	}
	return out
}

// coarse flattens an area's curves anew, as everything here is flattened.
func coarse(p geom.Polygon) geom.Polygon {
	again := func(r geom.Ring) geom.Ring {
		if c := ring(r.Contour(geom.FlattenTolerance)); len(c) > 2 {
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

// printed is the silkscreen of a side: areas, and lines as bands whose ends are a little pointed.
func printed(b board.Board, side geom.Side, z geom.Nm) Mesh {
	var m Mesh
	var areas geom.Region
	for _, i := range b.Ink {
		if i.On == side {
			areas = append(areas, i.Fill)
		}
	}
	m.add(film(areas, z, facing(side)))
	line := func(s board.Stroke) {
		if s.On != side {
			return
		}
		for _, one := range s.Path.Segments() {
			m.add(band(one, s.Width/2, z, facing(side)))
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

// band is a line with ends that are pointed where they would be round.
func band(s geom.Segment, r, z geom.Nm, seen caps) Mesh {
	d := s.B.Sub(s.A)
	if d == (geom.Vec{}) {
		d = geom.Vec{X: 1}
	}
	k := float64(r) / d.Len()
	u := geom.Vec{X: scaled(d.X, k), Y: scaled(d.Y, k)}
	v := u.Quarter(1)
	corners := [6]geom.Pt{s.A.Add(u.Neg()), s.A.Add(v.Neg()), s.B.Add(v.Neg()), s.B.Add(u), s.B.Add(v), s.A.Add(v)}
	var m Mesh
	for _, q := range corners {
		m.Points = append(m.Points, Point{q.X, q.Y, z})
	}
	m.Faces = [][3]int32{{0, 1, 5}, {1, 2, 5}, {2, 4, 5}, {2, 3, 4}}
	if seen == back {
		for i, f := range m.Faces {
			m.Faces[i] = [3]int32{f[0], f[2], f[1]}
		}
	}
	return m
}
