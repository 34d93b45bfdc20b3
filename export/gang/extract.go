package gang

import (
	"slices"
	"strings"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// What the check of a written array forgives: curves are flattened, and lengths are rounded.
const (
	forgiven   = 50 * geom.Micrometre
	besideEdge = 200 * geom.Micrometre // the strip round a board in which only its tabs may stand
	crumb      = 1e-3                  // mm2
)

// Extract takes board i out of an array's artwork as it was read back: everything within its box, turned and moved back,
// with its own nets and names, but for the profile and the perforation. It undoes Make, so that what was written can be
// compared with the board that was proven.
func (p Plan) Extract(a export.Artwork, i int) export.Artwork {
	b := p.Boards[i]
	undo, number := b.undo(), Number(i)
	out := export.Artwork{Name: p.pieces[b.Piece].Art.Name, Size: p.pieces[b.Piece].Art.Size, Laminate: a.Laminate}
	box := b.Box.Grown(geom.Micrometre)
	for _, l := range a.Layers {
		if l.Function == export.Profile || l.Function == export.Vcut {
			continue
		}
		m := &builder{Layer: export.Layer{Function: l.Function, Negative: l.Negative}}
		apertures := make([]int, len(l.Apertures))
		for k, ap := range l.Apertures {
			apertures[k] = m.aperture(undo.aperture(ap))
		}
		parts := map[*export.Component]*export.Component{}
		for _, o := range l.Objects {
			if !belongs(o, number, box) {
				continue
			}
			o = undo.object(o)
			if o.Op != export.Region {
				o.Aperture = apertures[o.Aperture]
			}
			o.Net = strings.TrimPrefix(o.Net, number+".")
			o.Ref = strings.TrimPrefix(o.Ref, number)
			if o.Part != nil {
				if parts[o.Part] == nil {
					c := *o.Part
					c.Rotation = turned(c.Rotation, undo.Turn)
					parts[o.Part] = &c
				}
				o.Part = parts[o.Part]
			}
			m.Objects = append(m.Objects, o)
		}
		if len(m.Objects) > 0 || slices.ContainsFunc(p.pieces[b.Piece].Art.Layers, func(w export.Layer) bool { return w.Function == l.Function }) {
			out.Layers = append(out.Layers, m.Layer)
		}
	}
	for _, d := range a.Drills {
		e := export.Drill{Plated: d.Plated, Tools: d.Tools}
		for _, h := range d.Hits {
			if box.Contains(h.At) && d.Tools[h.Tool] != breakout() {
				e.Hits = append(e.Hits, export.Hit{Tool: h.Tool, At: undo.pt(h.At)})
			}
		}
		for _, s := range d.Slots {
			if box.Contains(s.Path[0]) {
				e.Slots = append(e.Slots, export.Slot{Tool: s.Tool, Path: undo.line(s.Path)})
			}
		}
		if len(e.Hits)+len(e.Slots) > 0 {
			out.Drills = append(out.Drills, e)
		}
	}
	return out
}

// belongs reports whether an object is the board's: by its part or net, and without them by its place.
func belongs(o export.Object, number string, box geom.Box) bool {
	if o.Ref != "" {
		rest, ok := strings.CutPrefix(o.Ref, number)
		return ok && rest != "" && (rest[0] < '0' || rest[0] > '9')
	}
	if o.Net != "" && o.Net != export.NotConnected {
		return strings.HasPrefix(o.Net, number+".")
	}
	return box.Contains(middle(o))
}

// middle returns a point that is on the board if the object is.
func middle(o export.Object) geom.Pt {
	if o.Op == export.Region {
		return o.Contour.Box().Centre()
	}
	return o.To
}

// Expected returns board i as Extract returns it from an array that is right: its piece, without the profile, and with the
// silkscreen cut at perforation and scored lines.
func (p Plan) Expected(i int) export.Artwork {
	a := p.pieces[p.Boards[i].Piece].Art
	var layers []export.Layer
	for _, l := range a.Layers {
		if l.Function != export.Profile {
			layers = append(layers, p.printed(l, i))
		}
	}
	a.Layers = layers
	return a
}

// inked checks that the silkscreen of board i keeps off perforation and scored lines.
func (p Plan) inked(a export.Artwork, i int, fault func(code, format string, args ...any)) {
	g := p.ground(i)
	for _, l := range a.Layers {
		if !l.Function.Silkscreen() {
			continue
		}
		for _, o := range l.Objects {
			if o.Clear {
				continue
			}
			gap := 0.0
			if o.Op == export.Region {
				gap = g.areaGap(o.Contour.Ring(geom.FlattenTolerance))
			} else {
				gap = g.gap(strokeOf(l, o))
			}
			if gap < float64(g.clear-geom.Micrometre) {
				fault("gang-ink", "silkscreen of board %d, %s, comes too near to the perforation of a tab or to a scored line", i+1, a.Name)
				return
			}
		}
	}
}

// Verify judges an array as it was read back: one outline; what is left of the laminate hangs together; each
// board is whole, and free all round but for its tabs; silkscreen keeps off what is broken.
func (p Plan) Verify(a export.Artwork) diag.List {
	var l diag.List
	fault := func(code, format string, args ...any) {
		l.Add(diag.Error, code, format, args...).About(p.opt.keys("boards")...).Ours()
	}
	all := a.Edges()
	outline, ok := outlineOf(a)
	if !ok {
		fault("gang-no-outline", "the array has no closed edge")
		return l
	}
	for i := range p.Boards {
		p.inked(p.Extract(a, i), i, fault)
	}
	var cuts []geom.Ring
	for _, c := range all {
		if !slices.Equal(c.CounterClockwise(), outline) {
			cuts = append(cuts, c.CounterClockwise().Ring(geom.FlattenTolerance))
		}
	}
	material := geom.NewRegion(outline.Ring(geom.FlattenTolerance)).Minus(geom.UnionOf(cuts...))
	if len(material) != 1 {
		fault("gang-falls-apart", "the array as written falls into %d pieces", len(material))
	}
	free := make([]float64, len(p.Boards)) // widths of its tabs, in mm
	for _, t := range p.Tabs {
		w := (tabWidth + p.opt.Gap).MM()
		free[t.Board] += w
		if t.Other >= 0 {
			free[t.Other] += w
		}
	}
	for i, b := range p.Boards {
		name := p.pieces[b.Piece].Art.Name
		own := geom.NewRegion(p.Outline(i).Ring(geom.FlattenTolerance))
		whole := own.Shrunk(forgiven)
		var inner []geom.Ring
		for _, c := range p.pieces[b.Piece].Art.Edges() {
			if moved := b.contour(c).CounterClockwise(); !slices.Equal(moved, p.Outline(i).CounterClockwise()) {
				inner = append(inner, moved.Ring(geom.FlattenTolerance))
			}
		}
		if lost := whole.Minus(geom.UnionOf(inner...).Grown(forgiven)).Minus(material).Area(); lost > crumb {
			fault("gang-board-cut", "the array as written cuts %.4f mm² off board %d, %s", lost, i+1, name)
		}
		if p.opt.Cut != Tabs {
			continue
		}
		joined := own.Grown(besideEdge).Minus(own.Grown(forgiven)).And(material).Area()
		if most := (free[i] + 1) * (besideEdge - forgiven).MM(); joined > most {
			fault("gang-board-joined", "board %d, %s, stays joined to its frame over more than its tabs: %.3f mm² of %.3f mm²", i+1, name, joined, most)
		}
	}
	return l
}
