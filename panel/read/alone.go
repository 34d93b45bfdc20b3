package read

import (
	"fmt"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// Closed lines beside each other that hold nothing are openings of a panel whose edge is not drawn, unless they are larger
// than openings are: no display or meter that people build into a desk is longer than 150 mm.
const openingMost = 150.0

// edgeless tells that the sheets are no panels but the openings of one without an edge: at least three of them, or round ones,
// none with anything in it, of the size of openings.
func edgeless(w *work.Watch, sheets []sheet, c lines, th things) (bool, findings) {
	var said findings
	if open, told := openEdge(w, sheets, c, th); open {
		return true, told
	}
	if windows, told := windows(w, sheets, c, th); windows {
		return true, told
	}
	if len(sheets) < 2 {
		return false, said
	}
	round := true
	all := dxf.EmptyBox()
	var loops []loop
	for i := range sheets {
		o := &sheets[i].outline
		if max(o.box.W(), o.box.H()) > openingMost || len(sheets[i].openings) > 0 {
			return false, said
		}
		round = round && o.round
		all = all.Union(o.box)
		loops = append(loops, *o)
	}
	if len(sheets) < 3 && !round || holdAnything(w, sheets, c, th) {
		return false, said
	}
	what := "closed lines"
	if round {
		what = "circles"
		if g := byDiameter(w, loops); len(g) == 1 {
			what = fmt.Sprintf("circles of %.4g mm", middling(g[0]))
		}
	}
	said.add(diag.Error, "panel-no-outline", loops[0].from, "the drawing has no outline: its %d %s stand beside each other and hold nothing, as the openings of a panel do whose edge is not drawn", len(sheets), what).
		About("layers.outline", "roles").
		Fix("draw the panel's edge as one closed line round them, best on layer outline: they reach from (%s, %s) to (%s, %s)", mm(all.Min.X), mm(all.Min.Y), mm(all.Max.X), mm(all.Max.Y))
	return true, said
}

// openEdge tells that the sheets are no panels but lie in one whose edge is open: nothing lies in them, and an open line runs
// round all of them.
func openEdge(w *work.Watch, sheets []sheet, c lines, th things) (bool, findings) {
	var said findings
	if len(sheets) == 0 {
		return false, said
	}
	all := dxf.EmptyBox()
	for i := range sheets {
		all = all.Union(sheets[i].outline.box)
		if max(sheets[i].outline.box.W(), sheets[i].outline.box.H()) > openingMost {
			return false, said
		}
	}
	var edge *piece
	for i := range c.free.open {
		w.Step()
		p := &c.free.open[i]
		b := p.path.Box()
		if !p.spur && len(p.path.Vertices) > 2 && b.Contains(all.Min) && b.Contains(all.Max) && min(b.W(), b.H()) >= minPanel && (edge == nil || b.W()*b.H() > edge.path.Box().W()*edge.path.Box().H()) {
			edge = p
		}
	}
	if edge == nil || holdAnything(w, sheets, lines{used: c.used, free: joined{loops: c.free.loops}}, th) {
		return false, said
	}
	b, from, to := edge.path.Box(), edge.end(false), edge.end(true)
	m := from.Add(to).Times(0.5)
	said.add(diag.Error, "panel-no-outline", edge.from, "the drawing has no outline: the line round %s x %s mm, in which its holes lie, is open; %s mm lack between (%.3f, %.3f) and (%.3f, %.3f)",
		mm(b.W()), mm(b.H()), mm(from.Dist(to)), from.X, from.Y, to.X, to.Y).
		About("layers.outline", "roles").At(m.X, m.Y).Fix("%s", strings.Replace(joinAdvice(from.Dist(to)), "an opening", "the panel's edge", 1))
	return true, said
}

// windows tells that the sheets are no panels but openings of one without an edge: they hold nothing, and beside them lie holes
// or the edge of a board, or their layer is named for openings.
func windows(w *work.Watch, sheets []sheet, c lines, th things) (bool, findings) {
	var said findings
	if len(sheets) == 0 || holdAnything(w, sheets, c, th) {
		return false, said
	}
	const leastHole, leastBeside = 1.7, 2 // mm: what is smaller takes no screw and no LED
	beside := 0
	all := dxf.EmptyBox()
	for _, j := range [...]joined{c.free, c.used[panel.RoleLED], c.used[panel.RoleMount], c.used[panel.RoleOpening]} {
		for i := range j.loops {
			w.Step()
			if l := &j.loops[i]; l.round && l.d >= leastHole && holder(sheets, l) < 0 {
				beside++
				all = all.Union(l.box)
			}
		}
	}
	o := &sheets[0].outline
	why := ""
	switch boards := c.used[panel.RoleBoard].loops; {
	case beside >= leastBeside:
		why = count(beside, "round hole") + " lie beside it, as round a window of a panel"
	case len(boards) > 0 && holder(sheets, &boards[0]) < 0:
		why = "the board's edge lies beside it"
		all = all.Union(boards[0].box)
	case len(sheets) == 1 && aperture(role.SenseOf(o.from.Layer)):
		why = fmt.Sprintf("its layer %s is named for holes", short(o.from.Layer))
	default:
		return false, said
	}
	for i := range sheets {
		all = all.Union(sheets[i].outline.box)
	}
	said.add(diag.Error, "panel-no-outline", o.from, "the drawing has no outline: its largest closed line, %s, holds nothing, and %s", sizeOf(o), why).
		About("layers.outline", "roles").At(o.centre().X, o.centre().Y).
		Fix("draw the panel's edge as one closed line round all, best on layer outline: what is drawn reaches from (%s, %s) to (%s, %s); if that line is the panel's edge, write in the project file: roles: {outline: largest}",
			mm(all.Min.X), mm(all.Min.Y), mm(all.Max.X), mm(all.Max.Y))
	return true, said
}

// aperture reports whether a layer's name says that what is on it is cut within a panel.
func aperture(s role.Sense) bool {
	return s == role.OpeningSense || s == role.HoleSense || s == role.LEDSense || s == role.ScrewSense
}

// holdAnything reports whether a loop, an open line or a text lies in one of the sheets.
func holdAnything(w *work.Watch, sheets []sheet, c lines, th things) bool {
	for _, j := range joins(c) {
		for i := range j.loops {
			w.Step()
			if at := holder(sheets, &j.loops[i]); at >= 0 && j.loops[i].key() != sheets[at].outline.key() && !double(&j.loops[i], &sheets[at].outline) {
				return true
			}
		}
		for i := range j.open {
			w.Step()
			if p := &j.open[i]; sheetAt(sheets, p.middle()) >= 0 && !cross(p, j.open) {
				return true
			}
		}
	}
	for _, e := range th.texts() {
		w.Step()
		if e.Text != nil && textAt(sheets, e) >= 0 {
			return true
		}
	}
	return false
}

// cross reports whether an open piece is one stroke of a centre mark: straight, with another right across its middle.
func cross(p *piece, open []piece) bool {
	if len(p.path.Vertices) != 2 || p.path.Vertices[0].Bulge != 0 || len(open) > maxSplits {
		return false
	}
	m := p.middle()
	for i := range open {
		q := &open[i]
		if q.from != p.from && len(q.path.Vertices) == 2 && q.path.Vertices[0].Bulge == 0 && q.middle().Dist(m) < 10*snap {
			return true
		}
	}
	return false
}

// overlapping tells outlines that run across each other: no sheet is cut so.
func overlapping(sheets []sheet) findings {
	var said findings
	for i := range sheets {
		for k := range sheets[:i] {
			a, b := &sheets[k], &sheets[i]
			if a.name == elsewhere || b.name == elsewhere || a.outline.standingIn(&b.outline) != crossing {
				continue
			}
			at := crossAt(&a.outline, &b.outline)
			for _, s := range [2]*sheet{a, b} {
				said.add(diag.Error, "panel-outlines-overlap", s.outline.from, "two outlines run across each other at (%.3f, %.3f): one of %s, one of %s", at.X, at.Y, sizeOf(&a.outline), sizeOf(&b.outline)).
					At(at.X, at.Y).Of(s.name).
					Fix("if they are one panel, draw its edge as one line round both; if they are two, move one beside the other; delete the one that is not cut")
			}
		}
	}
	return said
}

func sizeOf(l *loop) string { return mm(l.box.W()) + " x " + mm(l.box.H()) + " mm" }

// crossAt returns a point that two loops have in common, else one of the first.
func crossAt(a, b *loop) dxf.XY {
	ap, bp := a.flat(), b.flat()
	for i := range ap {
		p, q := ap[i], ap[(i+1)%len(ap)]
		if !overlap(dxf.EmptyBox().With(p).With(q), b.box) {
			continue
		}
		for k := range bp {
			if at, ok := meet(p, q, bp[k], bp[(k+1)%len(bp)]); ok {
				return at
			}
		}
	}
	return ap[0]
}
