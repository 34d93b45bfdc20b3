package seat

import (
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/room"
)

// Room that parts have in a hole that is not theirs, all round, and by how much a hole may be wider than a bush wants it before it
// is another hole: common practice.
const (
	roomRound = geom.Millimetre / 2
	wider     = geom.Millimetre / 2
	hardly    = 50 * geom.Micrometre // by which a hole may be narrower, as lasers cut to a tenth of a millimetre (two cutting services)
)

// cut fills in what the sheets are cut for the control. shared says that another control is cut for the same body.
func cut(p panel.Panel, c *panel.Control, s Stack, shared bool) {
	opening := p.Openings[c.Opening].Contour
	drawn := geom.NewRegion(opening.Ring(geom.FlattenTolerance))
	pieces := Pieces(p, *c)
	for sheet := range panel.Sheets {
		from, to := s.Span(sheet)
		switch {
		case to <= from || sheet == panel.FaceSheet:
			continue // the face has what is drawn
		case c.Clamps.Clamped(sheet):
			if h := bushHole(*c); len(h) > 0 && !does(opening, drawn, h) {
				c.Cuts[sheet] = append(c.Cuts[sheet], h)
			}
			if t := TabHole(*c); len(t) > 0 && sheet > panel.DiffuserSheet {
				c.Cuts[sheet] = append(c.Cuts[sheet], t)
				if len(c.Cuts[sheet]) == 1 {
					c.Cuts[sheet] = append([]geom.Contour{opening}, t)
				}
			}
			c.Cuts[sheet] = joined(c.Cuts[sheet])
		default:
			var shapes []geom.Contour
			if from < c.From {
				shapes = append(shapes, opening) // in front of what is clamped, a lever moves in it
			}
			for _, q := range pieces {
				if q.From >= to || q.To <= from || shared && (q.What == Body || q.What == Terminals) || q.What == Handle || c.Kind.Held == control.Screws && q.What == Shaft {
					continue // knobs come on last; what is screwed on has its way in the opening
				}
				shapes = append(shapes, around(q, *c, sheet))
			}
			if shapes = joined(shapes); !within(shapes, drawn) {
				c.Cuts[sheet] = shapes
			}
		}
	}
	gapFrom, gapTo := s.Face+s.Diffuser, s.Face+s.Diffuser+s.Gap
	for _, q := range pieces {
		// What fills half of the gap and more is a wall; a nut is none.
		in := min(q.To, gapTo) - max(q.From, gapFrom)
		if q.What == Body && 2*in >= s.Gap && in > 0 && !shared && !within([]geom.Contour{q.Shape}, drawn) {
			c.InGap = append(c.InGap, q.Shape)
		}
	}
}

// around returns what a sheet is cut for a part that reaches there without being clamped.
func around(q Piece, c panel.Control, sheet panel.Sheet) geom.Contour {
	switch q.What {
	case Nut, Washer, LockWasher:
		d := c.Kind.NutRoom()
		if sheet > panel.DiffuserSheet {
			d = c.Kind.Spanner()
		}
		return geom.Circle(c.At, d+2*roomRound)
	case Bush, Shaft, Handle:
		if at, d, ok := q.Shape.Circular(); ok {
			return geom.Circle(at, d+2*roomRound)
		}
	case Body, Terminals:
		if !c.Brought {
			return q.Shape // as drawn
		}
	}
	return room.Round(q.Shape, roomRound)
}

// bushHole is the hole that the control wants where it is clamped.
func bushHole(c panel.Control) geom.Contour {
	k := c.Kind
	switch {
	case k.Hole.W == 0:
		return nil
	case !k.Hole.Round():
		w, h := k.Hole.W, k.Hole.H
		if c.Quarters%2 == 1 {
			w, h = h, w
		}
		min := geom.Pt{X: c.At.X - w/2, Y: c.At.Y - h/2}
		return geom.Rect(geom.Box{Min: min, Max: geom.Pt{X: min.X + w, Y: min.Y + h}})
	}
	return bore(c, k.Hole.W)
}

// bore is the hole so wide that a control's bush has room in all round: a circle, or flat where the bush is.
func bore(c panel.Control, d geom.Nm) geom.Contour {
	if c.Kind.Flat == 0 {
		return geom.Circle(c.At, d)
	}
	return flattened(c.At, d, c.Kind.Flat+d-c.Kind.Bush).Turned(c.At, geom.QuarterDegrees*c.Quarters)
}

// flattened is a circle that is flat at its top, across to there.
func flattened(at geom.Pt, d, across geom.Nm) geom.Contour {
	box := geom.Box{Min: geom.Pt{X: at.X - d, Y: at.Y - d}, Max: geom.Pt{X: at.X + d, Y: at.Y - d/2 + across}}
	g := geom.NewRegion(geom.Circle(at, d).Ring(geom.FlattenTolerance)).And(geom.NewRegion(geom.Rect(box).Ring(geom.FlattenTolerance)))
	return g[0].Outer.Contour(3 * geom.Micrometre).CounterClockwise()
}

// TabHole is the hole that the control's key or tab wants; nil for one that has none.
func TabHole(c panel.Control) geom.Contour {
	if c.Kind.Tab == 0 {
		return nil
	}
	v := geom.Vec{Y: c.Kind.TabAt}.Quarter(c.Quarters)
	return geom.Circle(c.At.Add(v), c.Kind.Tab)
}

// does reports whether the opening as drawn holds a bush that wants such a hole: it passes, and is not much wider.
func does(opening geom.Contour, drawn geom.Region, hole geom.Contour) bool {
	if _, d, ok := opening.Circular(); ok {
		if _, want, round := hole.Circular(); round {
			return d >= want-hardly && d <= want+wider
		}
	}
	if !within([]geom.Contour{hole}, drawn) {
		return false
	}
	o, h := opening.Box(), hole.Box()
	return o.W() <= h.W()+wider && o.H() <= h.H()+wider
}

// within reports whether shapes lie in a region, but for a rounding.
func within(shapes []geom.Contour, g geom.Region) bool {
	for _, c := range shapes {
		if geom.NewRegion(c.Ring(geom.FlattenTolerance)).Minus(g).Area() > 0.01 {
			return false
		}
	}
	return true
}

// joined returns the shapes with those that overlap made one; a single one stays as it is, and so does one that holds all others.
func joined(shapes []geom.Contour) []geom.Contour {
	for i, c := range shapes {
		if within(append(append([]geom.Contour(nil), shapes[:i]...), shapes[i+1:]...), geom.NewRegion(c.Ring(geom.FlattenTolerance))) {
			return []geom.Contour{c}
		}
	}
	var rings []geom.Ring
	for _, c := range shapes {
		rings = append(rings, c.Ring(geom.FlattenTolerance))
	}
	var out []geom.Contour
	for _, q := range geom.UnionOf(rings...) {
		out = append(out, q.Outer.Contour(3*geom.Micrometre).CounterClockwise())
	}
	return out
}
