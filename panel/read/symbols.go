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
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// mostPen is the widest that a line of the lettering is taken to be meant: beyond, an area would be drawn.
const mostPen = 20.0

// penOf returns the width of the pen that an entity is drawn with, 0 where it tells none: a polyline's own, or its line weight.
func penOf(e *dxf.Entity) geom.Nm {
	if e.Width > 0 {
		return geom.MM(math.Round(1e4*min(float64(e.Width), mostPen)) / 1e4) // of a width in single precision, its tenths of a micrometre
	}
	return geom.Nm(e.Weight) * geom.Millimetre / 100
}

// plain reports whether a closed line is drawn through and in one width.
func (l *loop) plain() bool { return l.pens == nil && l.from.Pen == nil }

// strokes returns open lines that are engraved or printed. Those that are not drawn through, and lines in several widths, are as their
// entities have them, since dashes begin and end with these.
func (f frame) strokes(w *work.Watch, lines []piece) []panel.Symbol {
	var out []panel.Symbol
	done := map[*dxf.Entity]bool{}
	for i := range lines {
		w.Step()
		l := &lines[i]
		if l.pens == nil && l.from.Pen == nil {
			if c := f.contour(l.path); len(c) > 1 && f.fits(l.path.Box()) {
				c[len(c)-1].Bulge = 0
				out = append(out, panel.Symbol{Shape: c, Width: penOf(l.from), Flat: l.from.Width > 0})
			}
			continue
		}
		out = append(out, f.drawn(l.from, l.pens, l.pose, done)...)
	}
	return out
}

// drawn returns lines as their entities have them, those that are done already left out.
func (f frame) drawn(from *dxf.Entity, pens []*dxf.Entity, at pose, done map[*dxf.Entity]bool) []panel.Symbol {
	if pens == nil {
		pens = []*dxf.Entity{from}
	}
	var out []panel.Symbol
	for _, e := range pens {
		if done[e] || e.Fill {
			continue
		}
		done[e] = true
		paths := []dxf.Path{e.Path}
		line := panel.Symbol{Width: penOf(e), Flat: e.Width > 0}
		if e.Pen != nil {
			line.Runs = e.Pen.Runs
			for _, d := range e.Pen.Dashes {
				line.Dashes = append(line.Dashes, geom.MM(max(-widest, min(d, widest))))
			}
			if e.Pen.Parted {
				paths = e.Pen.Lines
			}
		}
		for _, q := range paths {
			q = at.path(q)
			c := f.contour(q)
			if len(c) < 2 || !f.fits(q.Box()) {
				continue
			}
			if line.Closed = q.Closed; !q.Closed {
				c[len(c)-1].Bulge = 0
			}
			line.Shape = c
			out = append(out, line)
		}
	}
	return out
}

// symbols returns the closed lines among what is engraved or printed. What is drawn as a filling and what is a letter by its shape is an area, without what lies within
// it, by the even-odd rule; any other closed line is a line, as it is drawn, and so is whatever goes round other lettering. The
// project's rules say otherwise; but that a line is filled which goes round other lettering is an error.
func (f frame) symbols(w *work.Watch, s *sheet, k inked, opt Options) ([]panel.Symbol, findings) {
	ls := k.closed
	order := largestFirst(w, ls)
	filled, said := areas(w, s, k, order, opt)
	depth, parent := make([]int, len(ls)), make([]int, len(ls))
	find := newFinder(w, nil)
	for _, i := range order {
		if parent[i] = -1; !filled[i] {
			continue
		}
		if parent[i] = innermost(find, ls, depth, i); parent[i] >= 0 {
			depth[i] = depth[parent[i]] + 1
		}
		find.add(ls[i].box, i)
	}
	var out []panel.Symbol
	done := map[*dxf.Entity]bool{}
	index := make([]int, len(ls))
	for i := range ls {
		switch l := &ls[i]; {
		case !filled[i] && !l.plain():
			out = append(out, f.drawn(l.from, l.pens, l.pose, done)...)
		case !filled[i]:
			out = append(out, panel.Symbol{Closed: true, Width: penOf(l.from), Flat: l.from.Width > 0, Shape: f.shape(*l)})
		case depth[i]%2 == 0:
			index[i] = len(out)
			out = append(out, panel.Symbol{Closed: true, Filled: true, Shape: f.shape(*l)})
		}
	}
	for i, l := range ls {
		if filled[i] && depth[i]%2 == 1 {
			o := &out[index[parent[i]]]
			o.Holes = append(o.Holes, f.shape(l))
		}
	}
	return out, said
}

// largestFirst returns the order of loops from the largest to the smallest.
func largestFirst(w *work.Watch, ls []loop) []int {
	order := make([]int, len(ls))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		w.Step()
		return byArea(&ls[a], &ls[b])
	})
	return order
}

// innermost returns the deepest of the loops that were found so far round loop i, -1 for none.
func innermost(find *finder, ls []loop, depth []int, i int) int {
	best := -1
	in := find.near(ls[i].box, 0)
	// Thousands round one thing are no writing.
	for _, k := range in[:min(len(in), 200)] {
		if (best < 0 || depth[k] > depth[best]) && ls[i].in(&ls[k]) {
			best = k
		}
	}
	return best
}

// areas returns which of the closed lines of the lettering are areas; order has them from the largest to the smallest.
func areas(w *work.Watch, s *sheet, k inked, order []int, opt Options) ([]bool, findings) {
	ls, written := k.closed, k.texts
	d := role.Drawing{Sheets: []role.Sheet{{Box: s.outline.box}}}
	number, depth := make([]int, len(ls)), make([]int, len(ls))
	find := newFinder(w, nil)
	for n, i := range order {
		w.Step()
		l := &ls[i]
		number[i] = n
		t := thingOf(l)
		if in := innermost(find, ls, depth, i); in >= 0 {
			depth[i], t.In = depth[in]+1, number[in]
		}
		d.Things = append(d.Things, t)
		find.add(l.box, i)
	}
	letters, _, _ := role.Letters(w, d)
	alone := role.Alone(d)
	words := newFinder(w, nil) // what a closed line that is filled would hide
	var at []dxf.XY
	for _, e := range k.texts {
		words.add(dxf.EmptyBox().With(e.Text.At), len(at))
		at = append(at, e.Text.At)
	}
	for i := range ls { // a filling within it is no inside of a letter
		if in := d.Things[number[i]].In; in >= 0 && ls[i].from.Fill {
			alone[in] = false
		}
	}
	out, told := make([]bool, len(ls)), make([]*Rule, len(ls))
	for i := range ls {
		w.Step()
		l, n := &ls[i], number[i]
		round := slices.ContainsFunc(words.near(l.box, 0), func(k int) bool { return l.holds(at[k]) })
		out[i] = l.from.Fill || letters[n] || alone[n] && !round
		if told[i] = opt.inkFor(l); told[i] != nil {
			out[i] = told[i].Ink == Filled
		}
	}
	for _, i := range order { // what lies within a letter that stands alone is its inside
		if in := d.Things[number[i]].In; in >= 0 && alone[in] && !letters[in] && out[order[in]] && told[i] == nil && told[order[in]] == nil {
			out[i] = true
		}
	}
	var said findings
	for i := range ls {
		if told[i] == nil || told[i].Ink != Filled || ls[i].from.Fill {
			continue
		}
		w.Step()
		l := &ls[i]
		lost := ""
		for _, k := range words.near(l.box, 0) {
			if l.holds(at[k]) {
				lost = fmt.Sprintf("the lettering %q", short(written[k].Text.Text))
				break
			}
		}
		if lost == "" && (slices.ContainsFunc(k.lines, func(p piece) bool { return l.holds(p.middle()) }) ||
			slices.ContainsFunc(find.near(l.box, 0), func(k int) bool {
				return k != i && (!out[k] || letters[number[k]] && !letters[number[i]]) && ls[k].in(l)
			})) {
			lost = "other lettering"
		}
		if lost != "" {
			m := l.middle()
			said.add(diag.Error, "panel-fill-hides", l.from, "%s goes round %s, which would be lost in it if it were filled, as the project's rule %q says", l.said(), lost, told[i].String()).
				At(m.X, m.Y).Of(s.name).About(opt.keysOf(*told[i])...).
				Fix("let the rule take less, by a size, a colour or a layer; a closer one as \"outlined %s\" goes before it", l.sized())
		}
	}
	return out, said
}

// inkFor returns the project's rule that says how a closed line of the lettering is engraved, nil for none.
func (o Options) inkFor(l *loop) *Rule {
	if l.ground != nil && l.ground.rule != nil {
		if l.ground.rule.Ink == AsDrawn {
			return nil
		}
		return l.ground.rule
	}
	best := -1
	for k := range o.Rules {
		r := &o.Rules[k]
		is := r.Kind == ByLayer && strings.EqualFold(strings.TrimSpace(r.Layer), l.from.Layer) || r.Kind == FillRule && l.from.Fill && r.drawnSo(l.from)
		if r.Role == panel.RoleLettering && is && (best < 0 || r.closeness() > o.Rules[best].closeness()) {
			best = k
		}
	}
	if best < 0 || o.Rules[best].Ink == AsDrawn {
		return nil
	}
	return &o.Rules[best]
}

// thingOf returns what package role judges a closed line by.
func thingOf(l *loop) role.Thing {
	t := role.Thing{Box: l.box, Round: l.round, At: l.centre(), D: l.d, Area: l.area, Perimeter: l.path.Perimeter(), Corners: len(l.path.Vertices),
		Layer: l.judgedLayer(), Block: l.from.Block, Style: l.from.Style, Colour: l.from.Colour, In: -1}
	if l.round {
		t.At = l.c
	}
	return t
}
