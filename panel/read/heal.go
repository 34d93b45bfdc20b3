package read

import (
	"fmt"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// healed tells what join did to things that lie on what is named; branches of lettering are no fault.
func healed(j joined, on string, tol float64, lettering bool) findings {
	var said findings
	if n := len(j.gaps); n > 0 {
		worst := j.gaps[0]
		for _, g := range j.gaps {
			if g.size > worst.size {
				worst = g
			}
		}
		said.add(diag.Note, "dxf-gaps-closed", worst.from, "%s between ends on %s %s closed, the widest %.3f mm", count(n, "gap"), on, were(n), worst.size).
			About("join").At(worst.at.X, worst.at.Y).Fix("draw with snapping to ends; gaps beyond %g mm are errors", tol)
	}
	said.join(toldMeant(j, on))
	if n := len(j.same); n > 0 {
		said.add(diag.Note, "dxf-duplicates", j.same[0], "%s on %s %s drawn twice on the same spot; one of each is used", count(n, "thing"), on, are(n))
	}
	if n := len(j.none); n > 0 {
		said.add(diag.Note, "dxf-no-size", j.none[0], "%s of no size on %s %s not used", count(n, "thing"), on, are(n))
	}
	if len(j.branches) > 0 && !lettering {
		said.join(branched(j.branches[0], on))
	}
	return said
}

// branched tells that more than two ends meet.
func branched(at dxf.XY, on string) findings {
	var said findings
	said.add(diag.Warning, "dxf-branch", nil, "lines on %s branch: more than two ends meet at (%.3f, %.3f), so which way the edge goes is a guess", on, at.X, at.Y).
		At(at.X, at.Y).Fix("delete the line that does not belong, so that each edge is one closed line")
	return said
}

// branches tells of lines without a role of their own that branch, where that matters: at an edge that is cut, or where there
// is no panel. In a title block or a dial's scale lines may meet as they like.
func branches(c lines, sheets []sheet) findings {
	const most = 1000
	var cut []*loop
	for _, role := range panel.Roles() {
		for i := range c.used[role].loops {
			if l := &c.used[role].loops[i]; !role.Drawn() {
				cut = append(cut, l)
			}
		}
	}
	for i, at := range c.free.branches {
		if i == most {
			break
		}
		if len(sheets) == 0 || slices.ContainsFunc(cut, func(l *loop) bool {
			b := l.box
			return at.X > b.Min.X-snap && at.Y > b.Min.Y-snap && at.X < b.Max.X+snap && at.Y < b.Max.Y+snap && l.distance(at, 2*snap) <= snap
		}) {
			return branched(at, "the drawing's layers")
		}
	}
	return findings{}
}

// maxOpen bounds how many open ends of a role are told one by one.
const maxOpen = 12

// openEnds tells the open pieces of a role whose things must be closed: for each loose end the nearest other one. With
// spare, on the outline's layer, the panels have their outlines without them.
func openEnds(w *work.Watch, j joined, role panel.Role, tol float64, spare bool) findings {
	var said findings
	sev, code, what := diag.Error, "dxf-open-shape", "a line on layer "+string(role)+" is not closed"
	if role == panel.RoleOutline {
		code, what = "dxf-open-outline", "the outline is open"
		if spare {
			sev, code, what = diag.Warning, "dxf-open-line", "an open line on the outline layer is not used"
		}
	}
	j, said = withoutMarks(w, j, role)
	told, done := 0, make([]bool, len(j.ends))
	at := make([]dxf.XY, len(j.ends))
	for i, e := range j.ends {
		at[i] = e.at
	}
	near, _ := twoNearest(w, at) // a piece's own other end counts
	for i := range j.ends {
		k := near[i]
		if done[i] || k < 0 {
			continue
		}
		done[i] = true
		if near[k] == i {
			done[k] = true
		}
		if told++; told > maxOpen {
			continue
		}
		a, b := j.ends[i], j.ends[k]
		f := said.add(sev, code, a.from, "%s: an end at (%.3f, %.3f) and the next end at (%.3f, %.3f) are %.3f mm apart", what, a.at.X, a.at.Y, b.at.X, b.at.Y, a.at.Dist(b.at)).
			About("join").At(a.at.X, a.at.Y)
		p := about(b.from)
		p.At = &diag.Point{X: b.at.X, Y: b.at.Y}
		f.Note(p, "the next end is here")
		if need := a.at.Dist(b.at); need > tol && need < MaxJoin.MM() {
			f.Fix("draw the missing piece or join the ends in the CAD program; or write join: %.1f mm in the project file, up to which gaps are closed", math.Floor(need*10+1)/10).
				By(fmt.Sprintf("close gaps up to %.1f mm", math.Floor(need*10+1)/10), diag.Set, "join", fmt.Sprintf("%.1f mm", math.Floor(need*10+1)/10))
			continue
		}
		f.Fix("draw the missing piece or join the ends in the CAD program; gaps up to %g mm are closed by themselves", tol)
	}
	if told > maxOpen {
		said.add(sev, code, j.ends[0].from, "%d more open ends on layer %s", told-maxOpen, role).Fix("%s", diag.Deed{Typed: "'lampblack survey' lists them", Clicked: "the view Drawing shows them"})
	}
	return said
}

// withoutMarks takes off the open pieces that lose nothing: straight strokes within a closed line of the same layer, as
// centre marks, and spurs on closed lines. They are told together.
func withoutMarks(w *work.Watch, j joined, role panel.Role) (joined, findings) {
	var said findings
	all := append(slices.Clone(j.loops), j.outers...)
	find := newFinder(w, all)
	marks := make([]bool, len(j.open))
	n := 0
	var first *dxf.Entity
	for i := range j.open {
		p := &j.open[i]
		mark := p.spur
		if !mark && straight(p.path) && len(p.path.Vertices) == 2 {
			m := p.middle()
			for _, k := range find.near(dxf.EmptyBox().With(m), 0) {
				if all[k].holds(m) && (role != panel.RoleOutline || all[k].round) {
					mark = true
					break
				}
			}
		}
		if marks[i] = mark; mark {
			if n++; first == nil {
				first = p.from
			}
		}
	}
	if n == 0 {
		return j, said
	}
	said.add(diag.Warning, "dxf-open-line", first, "%s on layer %s, perhaps of centre marks, %s not used", count(n, "open line"), role, are(n)).
		Fix("move marks to a layer of their own")
	ends := j.ends
	j.ends = nil
	for _, e := range ends {
		if !marks[e.of] {
			j.ends = append(j.ends, e)
		}
	}
	return j, said
}

// enclose reports whether open pieces enclose LEDs that no closed outline holds: then they are the edge of a panel that
// would be lost.
func enclose(w *work.Watch, j joined, leds []loop, sheets []sheet) bool {
	b := dxf.EmptyBox()
	for _, p := range j.open {
		b = b.Union(p.path.Box())
	}
	for _, l := range leds {
		w.Step()
		m := l.middle()
		if b.Contains(m) && sheetAt(sheets, m) < 0 {
			return true
		}
	}
	return false
}
