package sheet

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"lampblack/export/scene"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Laid is a sheet on stock: as it lies on the laser, turned about the panel's origin by quarters, counter-clockwise, then moved.
// The stock's lower left corner is the origin.
type Laid struct {
	Sheet    Sheet
	Quarters int
	By       geom.Vec
}

// Nest is one sheet of stock, from which sheets of several panels or consoles are cut.
type Nest struct {
	Title string
	W, H  geom.Nm // of the stock
	Laid  []Laid
}

// Shape returns what is left of the sheet when it is cut, as it lies on the laser, by the middle of the cuts.
func (s Sheet) Shape(ctx context.Context) (g geom.Region) {
	l := Laid{Sheet: s}
	work.Until(ctx, func(w *work.Watch) { g = l.material(w) })
	return g
}

// Of returns the name of the sheet's panel.
func (s Sheet) Of() string { return s.of }

// Outer returns the cuts round the sheet, and Inner those within it, where they come on the stock.
func (l Laid) Outer() []geom.Contour { return l.contours(l.Sheet.cut.outer) }
func (l Laid) Inner() []geom.Contour { return l.contours(l.Sheet.cut.inner) }

// pt is where a point of the panel comes on the stock.
func (l Laid) pt(p geom.Pt) geom.Pt {
	if l.Sheet.mirror {
		p.X = l.Sheet.box.Min.X + l.Sheet.box.Max.X - p.X
	}
	v := geom.Vec(p).Quarter(l.Quarters)
	return geom.Pt(v).Add(l.By)
}

func (l Laid) contours(cs []geom.Contour) []geom.Contour {
	out := make([]geom.Contour, len(cs))
	for i, c := range cs {
		c = whole(c)
		d := make(geom.Contour, len(c))
		for k, v := range c {
			if l.Sheet.mirror && v.Bulge != 0 {
				v.Bulge = -v.Bulge
			}
			d[k] = geom.Vertex{Pt: l.pt(v.Pt), Bulge: v.Bulge}
		}
		out[i] = whole(d.CounterClockwise())
	}
	return out
}

func (l Laid) region(g geom.Region) geom.Region {
	move := func(r geom.Ring) geom.Ring {
		out := make(geom.Ring, len(r))
		for i, p := range r {
			out[i] = l.pt(p)
		}
		if l.Sheet.mirror {
			slices.Reverse(out)
		}
		return out
	}
	out := make(geom.Region, len(g))
	for i, p := range g {
		out[i].Outer = move(p.Outer)
		for _, h := range p.Holes {
			out[i].Holes = append(out[i].Holes, move(h))
		}
	}
	return out
}

// material is what is left of the sheet.
func (l Laid) material(w *work.Watch) geom.Region {
	var outer geom.Region
	for _, c := range l.Outer() {
		outer = append(outer, geom.NewRegion(c.Ring(geom.FlattenTolerance))...)
	}
	var holes []geom.Ring
	for _, c := range l.Inner() {
		holes = append(holes, c.Ring(geom.FlattenTolerance))
	}
	return geom.Knife{Look: w.Look}.Without(outer, holes...)
}

// engraved returns what is engraved on the piece, and on nothing beside it or in its windows, where other pieces may lie.
func (l Laid) engraved(w *work.Watch) []named {
	if len(l.Sheet.engrave) == 0 {
		return nil
	}
	own := l.material(w)
	var edges []geom.Segment
	for _, r := range own.Rings() {
		edges = append(edges, r.Segments()...)
	}
	var out []named
	for _, n := range l.Sheet.engrave {
		w.Look()
		g := l.region(n.area)
		box := g.Box()
		near := slices.ContainsFunc(edges, func(s geom.Segment) bool { return s.Box().Touches(box) })
		if near || own.Locate(box.Min) != geom.Inside {
			g = g.And(own)
		}
		if len(g) > 0 {
			out = append(out, named{g, n.says})
		}
	}
	return out
}

// page is the nest, whatever it is written as. Pieces that lie in a window of another one are cut out before the window is: once it
// is cut, all that it holds lies loose. So such a window is cut among the outer cuts, in its turn.
func (n Nest) page(w *work.Watch) scene.Page {
	out := scene.Page{W: n.W, H: n.H, Title: n.Title, Desc: n.desc()}
	if len(n.Laid) == 0 {
		return out
	}
	f := scene.Frame{Box: geom.Box{Max: geom.Pt{X: n.W, Y: n.H}}}
	laser := n.Laid[0].Sheet.opt.Laser
	var areas []scene.Item
	var inner, outer []geom.Contour
	for _, l := range n.Laid {
		for _, e := range l.engraved(w) {
			areas = append(areas, &scene.Path{Label: e.says, Shapes: f.Region(e.area), Fill: scene.Solid(laser.Engrave)})
		}
		outer = append(outer, l.Outer()...)
	}
	edges := len(outer)
	for _, l := range n.Laid {
		for _, c := range l.Inner() {
			w.Look()
			r := c.Ring(geom.FlattenTolerance)
			if slices.ContainsFunc(outer[:edges], func(o geom.Contour) bool { return r.Locate(o[0].Pt) == geom.Inside }) {
				outer = append(outer, c)
			} else {
				inner = append(inner, c)
			}
		}
	}
	layer(&out.Body, "1-engrave", "Engraving", areas)
	layer(&out.Body, "2-cut-inner", "Inner cuts", lines(f, scene.Line(laser.Inner, laser.Line), inOrder(w, inner, geom.Pt{})))
	layer(&out.Body, "3-cut-outer", "Outer cuts", lines(f, scene.Line(laser.Cut, laser.Line), fromWithin(w, outer)))
	return out
}

// fromWithin returns the cuts so that each comes after all that lie within it, and else in order.
func fromWithin(w *work.Watch, cs []geom.Contour) []geom.Contour {
	deep := make([]int, len(cs)) // how many others are round it
	most := 0
	for i, c := range cs {
		w.Look()
		r, box := c.Ring(geom.FlattenTolerance), c.Box()
		for k, d := range cs {
			if k != i && box.Contains(d[0].Pt) && r.Locate(d[0].Pt) == geom.Inside {
				deep[k]++
				most = max(most, deep[k])
			}
		}
	}
	var out []geom.Contour
	at := geom.Pt{}
	for d := most; d >= 0; d-- {
		var level []geom.Contour
		for i, c := range cs {
			if deep[i] == d {
				level = append(level, c)
			}
		}
		out = append(out, inOrder(w, level, at)...)
		if n := len(out); n > 0 {
			at = out[n-1][0].Pt
		}
	}
	return out
}

// desc says how to work the nest.
func (n Nest) desc() string {
	s := fmt.Sprintf("Stock %s by %s, its lower left corner at that of this page. Millimetres, true size. Work the layers in the order of their numbers, "+
		"outer cuts in the order of the file or those within others first.", n.W, n.H)
	var behind []string
	for _, l := range n.Laid {
		if l.Sheet.mirror {
			behind = append(behind, l.Sheet.of)
		}
	}
	if len(n.Laid) > 0 {
		s += " " + kerfed(n.Laid[0].Sheet.opt.Kerf)
	}
	if slices.Sort(behind); len(behind) > 0 {
		s += " Seen from behind, painted back up: " + strings.Join(slices.Compact(behind), ", ") + "."
	}
	return s
}

// kerfed says how the width of the cut is allowed for.
func kerfed(kerf geom.Nm) string {
	if kerf > 0 {
		return fmt.Sprintf("Lines are moved for a cut %s wide: do not let the machine's program move them again.", kerf)
	}
	return "Lines are as drawn: the width of the cut is not allowed for."
}

// SVG returns the nest as SVG.
func (n Nest) SVG(ctx context.Context) (data []byte) { return asSVG(ctx, n.page) }

// DXF returns the nest as DXF, as a Sheet does.
func (n Nest) DXF(ctx context.Context) ([]byte, error) {
	release := UsualLaser().Release
	if len(n.Laid) > 0 {
		release = n.Laid[0].Sheet.opt.Laser.Release
	}
	return asDXF(ctx, n.page, release)
}
