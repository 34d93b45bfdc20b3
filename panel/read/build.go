package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/room"
	"lampblack/panel/seat"
	"lampblack/panel/work"
)

// frame moves the drawing's frame to a panel's: the outline's lower left corner becomes the origin and millimetres
// whole nanometres, rounded once.
type frame struct{ o dxf.XY }

func (f frame) pt(p dxf.XY) geom.Pt {
	return geom.Pt{X: geom.MM(p.X - f.o.X), Y: geom.MM(p.Y - f.o.Y)}
}

// contour returns the path as a contour; edges that shrink to nothing in the rounding are dropped.
func (f frame) contour(p dxf.Path) geom.Contour {
	out := make(geom.Contour, 0, len(p.Vertices))
	for i, v := range p.Vertices {
		q := geom.Vertex{Pt: f.pt(v.XY), Bulge: v.Bulge}
		// A sagitta under half a nanometre is straight.
		next := p.Vertices[(i+1)%len(p.Vertices)]
		if math.Abs(v.Bulge)*v.Dist(next.XY) < 1e-6 {
			q.Bulge = 0
		}
		if p.Closed && q.Pt == f.pt(next.XY) || !p.Closed && i+1 < len(p.Vertices) && q.Pt == f.pt(next.XY) {
			continue
		}
		out = append(out, q)
	}
	return out
}

// fits reports whether the box, moved into the frame, lies within geom.MaxCoord with room for offsets.
func (f frame) fits(b dxf.Box) bool {
	const limit = widest // geom.MaxCoord is 1073 mm
	return b.Min.X-f.o.X >= -limit && b.Min.Y-f.o.Y >= -limit && b.Max.X-f.o.X <= limit && b.Max.Y-f.o.Y <= limit
}

// built makes the panel of a sheet, and tells what can't be right in it. Not ok when there is none to be made. With
// guessed, what the things of the sheet are is only a guess; opt has what the project tells of openings and LEDs.
func built(w *work.Watch, s *sheet, d *dxf.Drawing, guessed bool, opt Options) (p panel.Panel, ok bool, said findings) {
	if ok, said = sized(s, d.Units); !ok {
		return p, false, said
	}
	f := frame{s.outline.box.Min}
	crossed, told := crossings(w, s, guessed)
	said.join(told)
	p = panel.Panel{Name: s.name, Drawing: d.Name, Origin: panel.Origin{X: f.o.X, Y: f.o.Y}}
	p.Outline = f.shape(s.outline)
	if len(p.Outline) < 2 || p.Outline.Area() == 0 {
		if !crossed {
			said.add(diag.Error, "panel-no-outline", s.outline.from, "the outline encloses nothing").Of(s.name).
				Fix("draw the panel's edge as one closed line round its area")
		}
		return panel.Panel{}, false, said
	}
	keep := func(ls []loop, what string) []loop {
		kept := make([]loop, 0, len(ls))
		for i := range ls {
			w.Step()
			if f.fits(ls[i].box) {
				kept = append(kept, ls[i])
				continue
			}
			said.add(diag.Warning, "panel-outside", ls[i].from, "%s reaches too far beyond the panel and is not used", article(what)).Of(s.name).
				Fix("draw it within the panel's edge, or move it to a layer without a meaning if it is a remark")
		}
		return kept
	}
	openings := keep(s.openings, "opening")
	for _, l := range openings {
		p.Openings = append(p.Openings, panel.Opening{Contour: f.shape(l), Source: sourceOf(l.from)})
	}
	for _, l := range keep(s.slots, "mount") {
		p.Openings = append(p.Openings, panel.Opening{Contour: f.shape(l), Mount: true, Source: sourceOf(l.from)})
	}
	said.join(fallsApart(w, s, &p))
	for _, l := range keep(s.bodies, "body") {
		p.Bodies = append(p.Bodies, f.shape(l))
	}
	behind, told := roomsTold(openings, opt.Room, s.name)
	said.join(told)
	sit, told := sitsTold(openings, opt.Sits.Rules, s.name)
	said.join(told)
	p = seat.In(p, sit, opt.Sits.Wish)
	p.Room = room.Of(p, behind)
	for i := range s.unclosed {
		if f.fits(s.unclosed[i].box) {
			p.Unclosed = append(p.Unclosed, f.shape(s.unclosed[i]))
		}
	}
	p.Boards, told = f.boards(keep(s.boards, "board edge"), s.name)
	said.join(told)
	for i := range s.mounts {
		p.Mounts = append(p.Mounts, f.hole(&s.mounts[i]))
	}
	said.join(faults(w, s))
	kinds, told := kindsTold(s.leds, opt.LEDs, s.name)
	said.join(told)
	p.LEDs = slices.Grow(p.LEDs, len(s.leds))
	for i := range s.leds {
		w.Step()
		h := f.hole(&s.leds[i])
		h.Kind = kinds[i]
		p.LEDs = append(p.LEDs, h)
	}
	p.Lettering = f.texts(s.texts)
	p.Symbols, told = f.inked(w, s, inked{s.texts, keep(s.closed, "shape of the lettering"), s.lines}, opt)
	said.join(told)
	windows, told := f.windows(w, s, keep(s.windows, "window"), p, opt)
	said.join(told)
	p.Symbols = append(p.Symbols, windows...)
	if len(windows) > 0 {
		p = p.Assigned()
	}
	for side, k := range s.print {
		k.closed = keep(k.closed, "printed shape")
		p.Print[side].Texts = f.texts(k.texts)
		p.Print[side].Symbols, told = f.inked(w, s, k, opt)
		said.join(told)
	}
	if len(p.LEDs) == 0 {
		m := s.outline.middle()
		said.add(diag.Warning, "panel-no-leds", s.outline.from, "no LED holes are drawn on the panel").At(m.X, m.Y).Of(s.name).
			Fix("nothing to do if a build is to place them, as place: {even: 0.7} or place: {count: 24} says in the project file; else draw a circle of the LED's hole, as 3 mm, on layer led for each LED")
	}
	return p, true, said
}

// texts returns the texts that fit in the frame.
func (f frame) texts(es []*dxf.Entity) []panel.Text {
	var out []panel.Text
	for _, e := range es {
		if t := e.Text; f.fits(dxf.EmptyBox().With(t.At)) && t.Height < 1000 {
			out = append(out, panel.Text{
				Text: strings.Clone(t.Text), At: f.pt(t.At), Height: geom.MM(t.Height), Angle: t.Angle, Width: t.Width,
				Span: geom.MM(t.Span), Anchor: panel.Anchor{H: panel.HAlign(t.H), V: panel.VAlign(t.V)}, Mirror: t.Mirror,
				Slant: t.Slant, Font: t.Font, Block: t.Block,
			})
		}
	}
	return out
}

// inked returns closed and open lines as symbols.
func (f frame) inked(w *work.Watch, s *sheet, k inked, opt Options) ([]panel.Symbol, findings) {
	out, said := f.symbols(w, s, k, opt)
	return append(out, f.strokes(w, k.lines)...), said
}

// shape returns a closed loop as a contour, a round one as a true circle.
func (f frame) shape(l loop) geom.Contour {
	if l.round {
		return geom.Circle(f.pt(l.c), geom.MM(l.d))
	}
	return f.contour(l.path)
}

func (f frame) hole(l *loop) panel.Hole {
	return panel.Hole{At: f.pt(l.c), D: geom.MM(l.d), Source: sourceOf(l.from)}
}

// sourceOf tells where a thing comes from; the handle is cloned, lest it keep the whole file in memory.
func sourceOf(e *dxf.Entity) panel.Source {
	return panel.Source{Handle: strings.Clone(e.Handle), Line: e.Line}
}

// boards returns the board edges that the user drew: each outermost loop, with the loops in it as its holes, from the largest
// on. Edges that cross are told.
func (f frame) boards(ls []loop, name string) ([]panel.Edge, findings) {
	var said findings
	order := make([]int, len(ls))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return byArea(&ls[a], &ls[b]) })
	var out []panel.Edge
	var edges []int
	inside := func(i int) int {
		return slices.IndexFunc(edges, func(e int) bool { return e != i && ls[i].in(&ls[e]) })
	}
	for _, i := range order {
		if inside(i) >= 0 {
			continue
		}
		if slices.ContainsFunc(edges, func(e int) bool { return crosses(f.shape(ls[i]), f.shape(ls[e])) }) {
			said.add(diag.Error, "panel-boards-overlap", ls[i].from, "two boards are drawn over each other").Of(name).
				Fix("draw their edges apart, or join them to one")
		}
		if len(edges) == panel.MostBoards {
			said.add(diag.Error, "panel-many-boards", ls[i].from, "more than %d boards are drawn in the panel", panel.MostBoards).Of(name).
				Fix("is what lies on the board's layer meant as boards?")
			break
		}
		out, edges = append(out, panel.Edge{f.shape(ls[i])}), append(edges, i)
	}
	for i := range ls {
		if k := inside(i); k >= 0 && !slices.Contains(edges, i) {
			out[k] = append(out[k], f.shape(ls[i]))
		}
	}
	return out, said
}

// crosses reports whether two closed lines share area.
func crosses(a, b geom.Contour) bool {
	if !a.Box().Touches(b.Box()) {
		return false
	}
	return geom.NewRegion(a.Ring(geom.FlattenTolerance)).And(geom.NewRegion(b.Ring(geom.FlattenTolerance))).Area() > 0.01
}

// What no panel can be stops a build, but not a survey.
const panelTooLarge, panelTooSmall = "panel-too-large", "panel-too-small"

// Panels up to longest can be built, up to widest be shown, mm. What is larger than absurd is drawn in another unit, if one
// makes it a panel.
const longest, widest, absurd = 1000.0, 1050.0, 2000.0

// sized tells a panel that is not of a size that panels have, with the unit that would make sense; and reports whether it can
// be shown.
func sized(s *sheet, u dxf.Units) (ok bool, said findings) {
	w, h := s.outline.box.W(), s.outline.box.H()
	big, small := max(w, h), min(w, h)
	if big <= longest && big >= 10 && small >= 5 {
		return true, said
	}
	code := panelTooSmall
	if big > longest {
		code = panelTooLarge
	}
	f := said.add(diag.Error, code, s.outline.from, "the panel is %s x %s mm in the drawing's unit (%s), which no panel is", mm(w), mm(h), u.Name).
		At(s.outline.box.Min.X, s.outline.box.Min.Y).Of(s.name).About("units")
	ok = big > longest && big <= widest
	if ok {
		f.Text = fmt.Sprintf("the panel is %s x %s mm, larger than the 1 m that can be built", mm(w), mm(h))
		f.Fix("draw it as two panels, each with its own outline")
		return ok, said
	}
	if name, k := otherUnit(big, u); name != "" {
		f.Fix("if the drawing is in %s, the panel is %.4g x %.4g mm: set \"units: %s\" for it in the project file, or correct the unit in the CAD program", plural(name), w*k, h*k, name).
			By("it is drawn in "+plural(name), diag.Set, "units", name)
		return ok, said
	}
	f.Fix("panels of 10 mm to 1 m can be built: look at the drawing's scale")
	return ok, said
}

// otherUnit returns the unit in which a length, in mm, would be that of a panel, and how much longer it is then; "" for none.
func otherUnit(big float64, u dxf.Units) (name string, k float64) {
	if u.MMPerUnit <= 0 {
		return "", 1
	}
	for _, name := range []string{"mm", "inch", "cm", "m", "mil"} {
		v, _ := dxf.UnitNamed(name)
		if k := v.MMPerUnit / u.MMPerUnit; v.Name != u.Name && big*k >= 25 && big*k <= 800 {
			return name, k
		}
	}
	return "", 1
}

// unitLies reports whether the unit that the file names makes of a panel what nobody could carry.
func (s *sheet) unitLies(u dxf.Units) bool {
	big := max(s.outline.box.W(), s.outline.box.H())
	name, _ := otherUnit(big, u)
	return big > absurd && name != ""
}
