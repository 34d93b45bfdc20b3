package dxf

import "math"

// hatch reads HATCH and MPOLYGON for their boundaries: each becomes a closed path of its own, of type HATCH (DXF
// Reference, HATCH and "Boundary path data"). 91 counts the boundaries; each has 92 (bit 2: a polyline), then either
// 72 has bulge, 73 closed, 93 count and 10, 20, 42 for each vertex, or 93 edges of kind 72: 1 line (10, 20, 11, 21),
// 2 circular arc (10, 20, 40 radius, 50, 51, 73 counter-clockwise), 3 ellipse (11, 21 the major axis, 40 ratio, 50, 51,
// 73), 4 spline (94 degree, 95 knots, 96 control points, 40, 10, 20, 42 weight). Counts are not believed: the groups
// that follow decide.
func (p *parser) hatch(it *item, gs []group) {
	i := 0
	for i < len(gs) && gs[i].code != 91 { // before it, 10 to 30 is the elevation
		i++
	}
	gs = gs[min(i, len(gs)):]
	for i := range gs { // 75 and 76 begin the pattern, which has lines of its own
		if gs[i].code == 75 {
			gs = gs[:i]
			break
		}
	}
	for len(gs) > 0 {
		for len(gs) > 0 && gs[0].code != 92 {
			gs = gs[1:]
		}
		if len(gs) == 0 {
			break
		}
		end := 1
		for end < len(gs) && gs[end].code != 92 && gs[end].code != 97 {
			end++
		}
		// 97 counts fit points of a spline edge or the things that the boundary came from; the latter stand last.
		for end < len(gs) && gs[end].code == 97 && end+1 < len(gs) && (gs[end+1].code == 72 || gs[end+1].code == 11 || gs[end+1].code == 12 || gs[end+1].code == 97) {
			end++
			for end < len(gs) && gs[end].code != 92 && gs[end].code != 97 {
				end++
			}
		}
		var path Path
		ok := false
		if gs[0].int()&2 != 0 {
			path, ok = p.hatchPolyline(gs[1:end])
		} else {
			path, ok = p.hatchEdges(it, gs[1:end])
		}
		if ok {
			it.parts = append(it.parts, path)
		}
		gs = gs[end:]
	}
	if len(it.parts) == 0 {
		it.spoil(unused, "a filling without a boundary")
	}
}

func (p *parser) hatchPolyline(gs []group) (Path, bool) {
	var vs []Vertex
	for i := range gs {
		g := &gs[i]
		v, ok := g.real()
		switch g.code {
		case 10:
			vs = append(vs, Vertex{XY: XY{X: v}})
		case 20:
			if len(vs) > 0 {
				vs[len(vs)-1].Y = v
			}
		case 42:
			if len(vs) > 0 {
				vs[len(vs)-1].Bulge = v
			}
		default:
			continue
		}
		if !ok {
			return Path{}, false
		}
	}
	if n := len(vs); n > 2 && vs[0].XY == vs[n-1].XY {
		vs = vs[:n-1]
	}
	return Path{vs, true}, len(vs) >= 2
}

// hatchEdges strings the edges together; arcs that run clockwise have their angles counted the other way (DXF
// Reference: "is counterclockwise flag"; as all programs write it, the angles are then mirrored at the X axis).
func (p *parser) hatchEdges(it *item, gs []group) (Path, bool) {
	var out Path
	for len(gs) > 0 {
		for len(gs) > 0 && gs[0].code != 72 {
			gs = gs[1:]
		}
		if len(gs) == 0 {
			break
		}
		end := 1
		for end < len(gs) && gs[end].code != 72 {
			end++
		}
		part, ok := hatchEdge(gs[0].int(), gs[1:end])
		if !ok {
			return Path{}, false
		}
		gs = gs[end:]
		if part.Closed {
			return part, true
		}
		if n := len(part.Vertices); n > 1 {
			// Edges should follow each other; some writers turn one round.
			if m := len(out.Vertices); m > 0 && out.Vertices[m-1].Dist(part.Vertices[n-1].XY) < out.Vertices[m-1].Dist(part.Vertices[0].XY) {
				part = part.Reversed()
			}
			if m := len(out.Vertices); m > 0 {
				out.Vertices = out.Vertices[:m-1]
			}
			out.Vertices = append(out.Vertices, part.Vertices...)
		}
		if len(out.Vertices) > maxCurve {
			return Path{}, false
		}
	}
	n := len(out.Vertices)
	if n < 3 {
		return Path{}, false
	}
	out.Vertices, out.Closed = out.Vertices[:n-1], true
	return out, true
}

// hatchEdge reads one edge, in the hatch's own coordinates.
func hatchEdge(kind int, gs []group) (Path, bool) {
	var at, to, major XY
	var r, from, until float64
	ccw := true
	s := spline{}
	rational := false
	for i := range gs {
		g := &gs[i]
		if g.code == 97 { // fit points follow
			break
		}
		v, ok := g.real()
		switch g.code {
		case 10:
			at.X = v
			s.control = append(s.control, XY{X: v})
		case 20:
			at.Y = v
			if n := len(s.control); n > 0 {
				s.control[n-1].Y = v
			}
		case 11:
			to.X, major.X = v, v
		case 21:
			to.Y, major.Y = v, v
		case 40:
			r = v
			s.knots = append(s.knots, v)
		case 42:
			s.weights = append(s.weights, v)
		case 50:
			from = v
		case 51:
			until = v
		case 73:
			ccw, rational = g.int() != 0, g.int() != 0
		case 94:
			s.degree = g.int()
		default:
			continue
		}
		if !ok {
			return Path{}, false
		}
	}
	switch kind {
	case 1:
		return Path{Vertices: []Vertex{{XY: at}, {XY: to}}}, true
	case 2, 3:
		e := ellipse{c: at, u: XY{X: r, Y: 0}, v: XY{X: 0, Y: r}}
		if kind == 3 {
			e.u, e.v = major, XY{X: -major.Y, Y: major.X}.Times(r)
		}
		if e.u.Len() == 0 || e.v.Len() == 0 || !(r > 0) {
			return Path{}, false
		}
		from, until = math.Mod(from, 360), math.Mod(until, 360)
		if until-from <= 1e-9 {
			until += 360
		}
		if !ccw {
			e.v = e.v.Times(-1)
		}
		e.t0, e.t1 = from*deg, min(until, from+360)*deg
		if kind == 3 { // the angles are those of the points, not parameters
			e.t0, e.t1 = parameter(e.t0, r), parameter(e.t1, r)
		}
		return e.path(CurveTolerance), true
	case 4:
		if !rational {
			s.weights = nil
		}
		if s.check() != "" {
			return Path{}, false
		}
		return s.path(CurveTolerance), true
	}
	return Path{}, false
}

// parameter returns the ellipse's parameter for the direction a as seen from its centre, in the same turn.
func parameter(a, ratio float64) float64 {
	turn := 2 * math.Pi * math.Floor(a/(2*math.Pi)+0.5)
	s, c := math.Sincos(a - turn)
	return turn + math.Atan2(s/ratio, c)
}
