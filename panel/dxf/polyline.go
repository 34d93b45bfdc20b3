package dxf

import "slices"

// vertices returns n vertices from a common store: a drawing of a million lines needs a few hundred allocations.
func (p *parser) vertices(n int) []Vertex {
	if n > 1024 {
		return make([]Vertex, n)
	}
	if len(p.store) < n {
		p.store = make([]Vertex, 8192)
	}
	v := p.store[:n:n]
	p.store = p.store[n:]
	return v
}

// lwpolyline reads LWPOLYLINE: 70 bit 1 closed; per vertex 10, 20, 40, 41, 42 (DXF Reference, LWPOLYLINE). The count
// in 90 is not needed and not believed.
func (p *parser) lwpolyline(it *item, gs []group) {
	n := 0
	for i := range gs {
		if gs[i].code == 10 {
			n++
		}
	}
	v := p.vertices(n)
	k := -1
	var pens []pen
	even := 0.0
	wide := func() *pen {
		if pens == nil {
			pens = make([]pen, n)
		}
		return &pens[k]
	}
	for i := range gs {
		g := &gs[i]
		switch g.code {
		case 10:
			k++
			v[k].X, _ = g.real()
		case 20:
			if k >= 0 {
				v[k].Y, _ = g.real()
			}
		case 42:
			if k >= 0 {
				v[k].Bulge, _ = g.real()
			}
		case 43:
			even, _ = g.real()
		case 40:
			if w, _ := g.real(); w > 0 && k >= 0 {
				wide().from = w
			}
		case 41:
			if w, _ := g.real(); w > 0 && k >= 0 {
				wide().to = w
			}
		case 70:
			it.path.Closed, it.runs = g.int()&1 != 0, g.int()&128 != 0
		}
	}
	it.path.Vertices = v
	it.drawnBy(even, pens)
	if n < 2 {
		it.spoil(empty, "of no size")
	}
}

// pen is how wide a polyline is at the beginning and at the end of a piece, in drawing units.
type pen struct{ from, to float64 }

// drawnBy gives a polyline its pen: of the width even, or for each vertex that of the piece behind it. Where the width changes,
// the pieces that have one are areas of their own, flat at their ends; curved ones are taken as what lies between their ends.
func (it *item) drawnBy(even float64, pens []pen) {
	if len(pens) == 0 || even > 0 {
		it.wide = max(0, even)
		return
	}
	v := it.path.Vertices
	last := len(v) - 1
	if it.path.Closed {
		last++
	}
	alike := true
	for _, w := range pens[:max(0, min(last, len(pens)))] {
		alike = alike && w.from == pens[0].from && w.to == pens[0].from
	}
	if alike {
		it.wide = pens[0].from
		return
	}
	for i := range min(last, len(pens)) {
		a, b, w := v[i], v[(i+1)%len(v)], pens[i]
		d := b.XY.Sub(a.XY)
		if d.Len() == 0 {
			continue
		}
		if w.from <= 0 && w.to <= 0 {
			if n := len(it.bare); n > 0 && it.bare[n-1].Vertices[len(it.bare[n-1].Vertices)-1].XY == a.XY {
				line := &it.bare[n-1].Vertices
				(*line)[len(*line)-1].Bulge = a.Bulge
				*line = append(*line, Vertex{b.XY, 0})
			} else {
				it.bare = append(it.bare, Path{[]Vertex{a, {b.XY, 0}}, false})
			}
			continue
		}
		n := XY{X: -d.Y, Y: d.X}.Times(1 / (2 * d.Len()))
		it.taper = append(it.taper, Path{[]Vertex{
			{a.XY.Sub(n.Times(w.from)), a.Bulge}, {b.XY.Sub(n.Times(w.to)), 0}, {b.Add(n.Times(w.to)), -a.Bulge}, {a.Add(n.Times(w.from)), 0},
		}, true})
	}
}

// polyline reads POLYLINE with the VERTEX entities that follow it up to SEQEND (DXF Reference, POLYLINE and VERTEX).
func (p *parser) polyline(gs []group) item {
	f := &p.f
	it := p.common("POLYLINE", gs, f)
	flags := f.flags[0]
	it.path.Closed, it.runs = flags&1 != 0, flags&128 != 0
	usual := pen{max(0, f.r[0]), max(0, f.r[1])}
	if flags&8 != 0 {
		it.plane = upright // 3D polylines are in world coordinates
	}
	if flags&(16|64) != 0 {
		it.spoil(unused, "meshes are not flat")
	}
	var vs []Vertex
	var pens []pen
	z0, z1, frame := 0.0, 0.0, 0
	for p.at(0, "VERTEX") && !p.stopped {
		vgs := p.collect()
		v := p.common("VERTEX", vgs, f)
		if v.fault != "" {
			it.spoil(v.weight, v.fault)
		}
		// A curve-fit polyline (flag 2) is its vertices, those that the fitting put in (1) as well, with bulges. Of a
		// spline-fit one (flag 4) the points on the curve (8) count; 16 marks a corner of the frame that the curve
		// only leans on; 128 without 64 a face of a mesh.
		if f.flags[0]&16 != 0 || f.flags[0]&128 != 0 {
			frame++
			continue
		}
		if len(vs) == 0 {
			z0, z1 = f.z[0], f.z[0]
		}
		z0, z1 = min(z0, f.z[0]), max(z1, f.z[0])
		own := usual
		if f.hasR[0] {
			own.from = max(0, f.r[0])
		}
		if f.hasR[1] {
			own.to = max(0, f.r[1])
		}
		vs, pens = append(vs, Vertex{f.at(0), f.r[2]}), append(pens, own)
	}
	if p.at(0, "SEQEND") {
		p.collect()
	}
	it.path.Vertices = vs
	it.drawnBy(0, pens)
	if flags&8 != 0 && z1-z0 > 1e-3*(1+it.path.Box().W()+it.path.Box().H()) {
		it.plane = tilted
	}
	switch {
	case len(vs) < 2 && frame > 1 && flags&(16|64) == 0:
		it.spoil(doubt, "a fitted curve of which the file has only the frame; fit it anew or explode it")
	case len(vs) < 2:
		it.spoil(empty, "of no size")
	}
	return it
}

// spline reads SPLINE (DXF Reference, SPLINE): world coordinates.
func (p *parser) spline(it *item, gs []group) {
	it.plane = upright
	s := &spline{}
	flags := 0
	var fit []XY
	var start, end *XY
	z0, z1, zs := 0.0, 0.0, 0
	put := func(list *[]XY, g *group) {
		v, _ := g.real()
		*list = append(*list, XY{X: v})
	}
	y := func(list []XY, g *group) {
		if n := len(list); n > 0 {
			list[n-1].Y, _ = g.real()
		}
	}
	for i := range gs {
		g := &gs[i]
		switch g.code {
		case 70:
			flags = g.int()
		case 71:
			s.degree = g.int()
		case 40:
			v, _ := g.real()
			s.knots = append(s.knots, v)
		case 41:
			v, _ := g.real()
			s.weights = append(s.weights, v)
		case 10:
			put(&s.control, g)
		case 20:
			y(s.control, g)
		case 11:
			put(&fit, g)
		case 21:
			y(fit, g)
		case 30, 31:
			v, _ := g.real()
			if zs == 0 {
				z0, z1 = v, v
			}
			zs++
			z0, z1 = min(z0, v), max(z1, v)
		case 12, 13:
			v, _ := g.real()
			d := &XY{X: v}
			if g.code == 12 {
				start = d
			} else {
				end = d
			}
		case 22:
			if start != nil {
				start.Y, _ = g.real()
			}
		case 23:
			if end != nil {
				end.Y, _ = g.real()
			}
		}
	}
	b := EmptyBox()
	for _, c := range s.control {
		b = b.With(c)
	}
	if z1-z0 > 1e-3*(1+b.W()+b.H()) {
		it.plane = tilted
	}
	if len(s.control) == 0 && len(fit) >= 2 {
		// 1 closed, 2 periodic.
		if cs := through(fit, start, end, flags&3 != 0); len(cs) > 0 {
			*s = splineOf(cs)
			p.fitted++
		}
	}
	// Some writers keep weights of 1 only in part; a closed flag adds nothing to the knots.
	if flags&4 == 0 {
		if slices.ContainsFunc(s.weights, func(w float64) bool { return !(w > 0) }) {
			p.weightless++
		}
		s.weights = nil
	}
	if why := s.check(); why != "" {
		it.spoil(broken, "a spline that can't be computed: "+why)
	}
	it.spl = s
}
