package overlay

import (
	"cmp"
	"fmt"
	"slices"

	"lampblack/export/scene"
	"lampblack/export/scene/typeset"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// place is somewhere on a picture that is drawn once more, larger.
type place struct {
	name string   // A, B ... as it stands beside its ring
	near geom.Box // round what differs
	part geom.Box // what is drawn of the picture
}

const (
	closest  = 4                    // places drawn larger, of one picture
	smallest = 12 * geom.Millimetre // the least that is drawn of a picture: what lies round a change tells where it is
	larger   = 3                    // times at least that a place is drawn larger, else it is seen without
)

// closer returns the places that are too small to be seen on the whole: those with most that differs, named from the top left to the
// bottom right.
func closer(p Pair) []place {
	u, box := p.unit(), p.box()
	type spot struct {
		place
		much float64
	}
	var all []spot
	differs := slices.Concat(p.Gone, p.New)
	for _, b := range places(differs, u) {
		tight, much := geom.EmptyBox(), 0.0
		for _, g := range differs {
			if q := g.Outer.Box(); b.Touches(q) {
				tight, much = tight.Union(q), much+geom.Region{g}.Area()
			}
		}
		side := max(2*max(tight.W(), tight.H()), smallest)
		if larger*side > max(box.W(), box.H()) {
			continue
		}
		c, half := tight.Centre(), side/2
		all = append(all, spot{place{near: b, part: geom.BoxOf(geom.Pt{X: c.X - half, Y: c.Y - half}, geom.Pt{X: c.X + half, Y: c.Y + half})}, much})
	}
	where := func(a, b spot) int {
		return cmp.Or(-cmp.Compare(a.part.Centre().Y, b.part.Centre().Y), cmp.Compare(a.part.Min.X, b.part.Min.X))
	}
	slices.SortFunc(all, func(a, b spot) int { return cmp.Or(-cmp.Compare(a.much, b.much), where(a, b)) })
	all = all[:min(len(all), closest)]
	slices.SortFunc(all, where)
	var out []place
	for i, s := range all {
		s.name = string(rune('A' + i))
		out = append(out, s.place)
	}
	return out
}

// Detail is a place of a picture, larger.
type Detail struct {
	Page scene.Page
	Name string // A, B ... as on the whole
	Says string // what is to be seen, in words
}

// Closer draws the places of a pair that are too small to be seen on the whole, each with its scale.
func Closer(w *work.Watch, set *typeset.Setter, p Pair) []Detail {
	var out []Detail
	for _, c := range closer(p) {
		w.Look()
		window := geom.NewRegion(geom.Rect(c.part).Ring(geom.FlattenTolerance))
		part := Pair{Title: p.Title, Both: p.Both.And(window), Gone: p.Gone.And(window), New: p.New.And(window)}
		u := c.part.W() / 38 // as large as a millimetre where four stand side by side
		page := scene.Page{Title: p.Title + ", " + c.name, Desc: "What both have is grey, what only the old one has hatched, what only the new one has full.",
			Step: geom.Micrometre, W: c.part.W() + 2*u, H: c.part.H() + 7*u}
		f := scene.Frame{Box: c.part, At: geom.Pt{X: u, Y: u}}
		frame := scene.Rect(u, u, c.part.W(), c.part.H())
		d := &page.Body
		inside := &scene.Group{Clip: frame}
		paint(w, inside, f, part, u)
		if len(p.Edge.And(window)) > 0 { // as a line, without the window's own sides
			var shapes []geom.Contour
			for _, r := range p.Edge.Rings() {
				shapes = append(shapes, r.Contour(inArcs))
			}
			inside.Add(&scene.Path{Label: "edge", Shapes: f.Contours(shapes...), Stroke: scene.Line(edge, u/4)})
		}
		d.Add(inside, &scene.Path{Label: "what is shown", Shapes: frame, Stroke: scene.Line(black, u/4)})
		name := set.Glyphs(c.name, geom.Pt{X: u, Y: page.H - u}, 7*u/2)
		name.Fill = scene.Solid(black)
		d.Add(name)
		scale(d, set, c.part.W(), u, page)
		out = append(out, Detail{page, c.name, fmt.Sprintf("%s: %s mm wide", c.name, millimetres(c.part.W()))})
	}
	return out
}

// scale draws a bar of a round length, a quarter of the picture at least.
func scale(d *scene.Group, set *typeset.Setter, wide, u geom.Nm, page scene.Page) {
	long := geom.Millimetre
	for _, l := range []geom.Nm{50, 20, 10, 5, 2, 1} {
		if l*geom.Millimetre <= wide/2 {
			long = l * geom.Millimetre
			break
		}
	}
	words := millimetres(long) + " mm"
	y, right := page.H-2*u, page.W-u-set.Wide(words, 2*u)-u
	bar := []geom.Contour{scene.Through(right-long, y, right, y), scene.Through(right-long, y-u, right-long, y+u), scene.Through(right, y-u, right, y+u)}
	d.Add(&scene.Path{Label: "scale", Open: true, Shapes: bar, Stroke: scene.Line(black, u/4)})
	g := set.Glyphs(words, geom.Pt{X: right + u, Y: page.H - u}, 2*u)
	g.Fill = scene.Solid(black)
	d.Add(g)
}

func millimetres(v geom.Nm) string {
	return fmt.Sprintf("%.3g", v.MM())
}
