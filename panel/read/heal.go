package read

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// healed tells what join did to the things of a role.
func (r *reader) healed(j joined, role string) {
	on := "layer " + role
	if r.guessing {
		on = "the drawing's layers"
	}
	r.healedOn(j, on, role == string(panel.RoleLettering))
}

// healedOn does so for things that lie on what is named; branches of lettering are no fault.
func (r *reader) healedOn(j joined, on string, lettering bool) {
	if n := len(j.gaps); n > 0 {
		worst := j.gaps[0]
		for _, g := range j.gaps {
			if g.size > worst.size {
				worst = g
			}
		}
		r.add(diag.Note, "dxf-gaps-closed", worst.from, "%s between ends on %s %s closed, the widest %.3f mm", count(n, "gap"), on, were(n), worst.size).
			At(worst.at.X, worst.at.Y).Fix("draw with snapping to ends; gaps beyond %g mm are errors", r.tol)
	}
	if n := len(j.same); n > 0 {
		r.add(diag.Note, "dxf-duplicates", j.same[0], "%s on %s %s drawn twice on the same spot; one of each is used", count(n, "thing"), on, are(n))
	}
	if n := len(j.none); n > 0 {
		r.add(diag.Note, "dxf-no-size", j.none[0], "%s of no size on %s %s not used", count(n, "thing"), on, are(n))
	}
	if n := len(j.branches); n > 0 && !lettering {
		at := j.branches[0]
		r.add(diag.Warning, "dxf-branch", nil, "lines on %s branch: more than two ends meet at (%.3f, %.3f)", on, at.X, at.Y).
			At(at.X, at.Y).Fix("delete the line that does not belong, so that each edge is one closed line")
	}
}

// maxOpen bounds how many open ends of a role are told one by one.
const maxOpen = 12

// openEnds tells the open pieces of a role whose things must be closed: for each loose end the nearest other one.
func (r *reader) openEnds(j joined, role panel.Role) {
	sev, code, what := diag.Error, "dxf-open-shape", "a line on layer "+string(role)+" is not closed"
	if role == panel.RoleOutline {
		code, what = "dxf-open-outline", "the outline is open"
		if len(r.sheets) > 0 && !r.touchesLED(j) {
			// The panel has its closed outline; something else lies on the layer.
			sev, code, what = diag.Warning, "dxf-open-line", "an open line on the outline layer is not used"
		}
	}
	j = r.withoutMarks(j, role)
	told, done := 0, make([]bool, len(j.ends))
	near := nearestEnds(j.ends)
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
		f := r.add(sev, code, a.from, "%s: an end at (%.3f, %.3f) and the next end at (%.3f, %.3f) are %.3f mm apart", what, a.at.X, a.at.Y, b.at.X, b.at.Y, a.at.Dist(b.at)).
			At(a.at.X, a.at.Y)
		p := r.place(b.from)
		p.At = &diag.Point{X: b.at.X, Y: b.at.Y}
		f.Note(p, "the next end is here")
		f.Fix("draw the missing piece or join the ends in the CAD program; gaps up to %g mm are closed by themselves", r.tol)
	}
	if told > maxOpen {
		r.add(sev, code, j.ends[0].from, "%d more open ends on layer %s", told-maxOpen, role).Fix("'lampblack survey' lists them")
	}
}

// withoutMarks takes off the open pieces that lose nothing: straight strokes within a closed line of the same layer, as
// centre marks, and spurs on closed lines. They are told together.
func (r *reader) withoutMarks(j joined, role panel.Role) joined {
	all := append(slices.Clone(j.loops), j.outers...)
	find := newFinder(all)
	marks := make([]bool, len(j.open))
	n := 0
	var first *dxf.Entity
	for i := range j.open {
		p := &j.open[i]
		mark := p.spur
		if !mark && straight(p.path) && len(p.path.Vertices) == 2 {
			m := p.path.Edges()[0].Mid()
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
		return j
	}
	r.add(diag.Warning, "dxf-open-line", first, "%s on layer %s, perhaps of centre marks, %s not used", count(n, "open line"), role, are(n)).
		Fix("move marks to a layer of their own")
	ends := j.ends
	j.ends = nil
	for _, e := range ends {
		if !marks[e.of] {
			j.ends = append(j.ends, e)
		}
	}
	return j
}

// touchesLED reports whether the open pieces enclose LEDs that no closed outline holds: then they are the edge of a
// panel that would be lost.
func (r *reader) touchesLED(j joined) bool {
	b := dxf.EmptyBox()
	for _, p := range j.open {
		b = b.Union(p.path.Box())
	}
	for _, l := range r.used[panel.RoleLED].loops {
		m := l.middle()
		if b.Contains(m) && !slices.ContainsFunc(r.sheets, func(s *sheet) bool { return s.outline.holds(m) }) {
			return true
		}
	}
	return false
}

// nearestEnds returns, for each loose end, the index of the nearest other one, -1 without any. A piece's own other
// end counts. Sorted by X, the search stops where X alone is farther; cost near n log n for spread ends.
func nearestEnds(ends []loose) []int {
	order := make([]int, len(ends))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(ends[a].at.X, ends[b].at.X), cmp.Compare(a, b)) })
	out := make([]int, len(ends))
	for n, i := range order {
		best := math.Inf(1)
		out[i] = -1
		look := func(k int) bool {
			o := order[k]
			if math.Abs(ends[o].at.X-ends[i].at.X) > best {
				return false
			}
			if d := ends[o].at.Dist(ends[i].at); d < best || d == best && o < out[i] {
				best, out[i] = d, o
			}
			return true
		}
		// Thousands of ends on one vertical line would make this quadratic; then near enough is good enough.
		for k, steps := n+1, 0; k < len(order) && steps < 500 && look(k); k, steps = k+1, steps+1 {
		}
		for k, steps := n-1, 0; k >= 0 && steps < 500 && look(k); k, steps = k-1, steps+1 {
		}
	}
	return out
}

func were(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}
