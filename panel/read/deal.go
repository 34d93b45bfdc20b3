package read

import (
	"math"
	"slices"
	"unicode/utf8"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// sheet is one outline and what lies in it, in the drawing's frame.
type sheet struct {
	name     string
	outline  loop
	guessed  bool // neither a layer nor a rule says that it is one
	framed   bool // a larger line round it was taken for the drawing's frame
	stacked  bool // it is one of several sheets of its panel
	leds     []loop
	mounts   []loop
	slots    []loop
	openings []loop
	bodies   []loop
	windows  []loop
	boards   []loop
	unclosed []loop // what may be meant closed
	texts    []*dxf.Entity
	closed   []loop  // lettering drawn as closed shapes
	lines    []piece // and as open lines
	print    [2]inked
}

// inked is what comes out as it is drawn.
type inked struct {
	texts  []*dxf.Entity
	closed []loop
	lines  []piece
}

// dealt returns the sheets with every thing that has a role in that in which it lies, and tells what lies outside or is
// of no use.
func dealt(w *work.Watch, sheets []sheet, c lines, texts []*dxf.Entity, th things, tol float64) ([]sheet, findings) {
	var said findings
	if len(sheets) == 0 {
		return nil, said
	}
	out := slices.Clone(sheets)
	for i := range out {
		out[i].openings = slices.Clip(out[i].openings)
	}
	said.join(dealLEDs(w, out, c.used[panel.RoleLED]))
	said.join(dealMounts(w, out, c.used[panel.RoleMount], tol))
	said.join(dealAreas(w, out, c, tol))
	said.join(dealTexts(w, out, texts))
	said.join(dealLettering(w, out, c.used[panel.RoleLettering]))
	for side, role := range panel.PrintRoles() {
		said.join(dealPrint(w, out, c.used[role], th.byRole[role], side))
	}
	return out, said
}

// dealAreas deals out openings, bodies, windows and board edges.
func dealAreas(w *work.Watch, sheets []sheet, c lines, tol float64) findings {
	var said findings
	for _, k := range []struct {
		role panel.Role
		name string
		list func(*sheet) *[]loop
	}{
		{panel.RoleOpening, "opening", func(s *sheet) *[]loop { return &s.openings }},
		{panel.RoleBody, "body", func(s *sheet) *[]loop { return &s.bodies }},
		{panel.RoleWindow, "window", func(s *sheet) *[]loop { return &s.windows }},
		{panel.RoleBoard, "board edge", func(s *sheet) *[]loop { return &s.boards }},
	} {
		j := c.used[k.role]
		said.join(openEnds(w, j, k.role, tol, false))
		if k.role == panel.RoleOpening {
			var told findings
			j.loops, told = withoutIslands(w, j.loops)
			said.join(told)
		}
		for i := range j.loops {
			w.Step()
			l := &j.loops[i]
			at, st := home(sheets, l)
			if at < 0 {
				said.join(outside(l, k.name))
				continue
			}
			s := &sheets[at]
			switch {
			case st == crossing && k.role == panel.RoleOpening:
				said.to(s.name).add(diag.Warning, "panel-opening-edge", l.from, "an opening runs over the edge of the panel").Of(s.name).
					Fix("if it is meant as a notch, draw it as part of the outline")
			case st == crossing && k.role == panel.RoleWindow:
				said.to(s.name).add(diag.Warning, "panel-window-edge", l.from, "a window runs over the edge of the panel").Of(s.name).
					Fix("draw it within the panel")
			case st == crossing && k.role == panel.RoleBoard:
				said.to(s.name).add(diag.Warning, "panel-board-edge", l.from, "the board drawn runs over the edge of the panel: it would stick out there").Of(s.name).
					Fix("draw the board's edge within the panel's, 1 mm from it as usual")
			}
			list := k.list(s)
			*list = append(*list, *l)
		}
	}
	return said
}

// dealLettering deals out what is drawn rather than written.
func dealLettering(w *work.Watch, sheets []sheet, j joined) findings {
	var said findings
	lost := dealDrawn(w, sheets, j, func(at int, l loop) { sheets[at].closed = append(sheets[at].closed, l) },
		func(at int, p piece) { sheets[at].lines = append(sheets[at].lines, p) })
	if n := len(lost); n > 0 {
		said.add(diag.Warning, "panel-lettering-outside", lost[0], "%s of the lettering outside the panel %s not engraved", count(n, "piece"), are(n)).
			Fix("move it into the panel if it belongs there; a remark may stay, best on a layer of its own")
	}
	return said
}

// dealDrawn gives drawn things to the sheets in which they lie, and returns what lies in none.
func dealDrawn(w *work.Watch, sheets []sheet, j joined, closed func(at int, l loop), line func(at int, p piece)) (lost []*dxf.Entity) {
	for i := range j.loops {
		w.Step()
		if at, _ := home(sheets, &j.loops[i]); at >= 0 {
			closed(at, j.loops[i])
		} else {
			lost = append(lost, j.loops[i].from)
		}
	}
	for _, p := range j.open {
		w.Step()
		at := sheetAt(sheets, p.middle())
		if at < 0 {
			at = sheetAt(sheets, p.path.Vertices[0].XY)
		}
		if at < 0 {
			lost = append(lost, p.from)
			continue
		}
		line(at, p)
	}
	return lost
}

// dealPrint deals out what is printed on one side of the boards.
func dealPrint(w *work.Watch, sheets []sheet, j joined, es []*dxf.Entity, side int) findings {
	var said findings
	lost := dealDrawn(w, sheets, j, func(at int, l loop) { sheets[at].print[side].closed = append(sheets[at].print[side].closed, l) },
		func(at int, p piece) { sheets[at].print[side].lines = append(sheets[at].print[side].lines, p) })
	for _, e := range es {
		if e.Text == nil {
			continue
		}
		w.Step()
		if at := textAt(sheets, e); at >= 0 {
			sheets[at].print[side].texts = append(sheets[at].print[side].texts, e)
		} else {
			lost = append(lost, e)
		}
	}
	if n := len(lost); n > 0 {
		said.add(diag.Warning, "panel-print-outside", lost[0], "%s on layer %s outside the panel %s not printed", count(n, "thing"), panel.PrintRoles()[side], are(n)).
			Fix("move it into the panel if it belongs on its board; a remark may stay, best on a layer of its own")
	}
	return said
}

// withoutIslands takes off the closed lines within openings, which would be pieces that fall out.
func withoutIslands(w *work.Watch, ls []loop) ([]loop, findings) {
	var said findings
	order := make([]int, len(ls))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		w.Step()
		return byArea(&ls[a], &ls[b])
	})
	island := make([]bool, len(ls))
	n := 0
	var first *dxf.Entity
	seen := newFinder(w, nil)
	for _, i := range order {
		if !slices.ContainsFunc(seen.near(ls[i].box, 0), func(k int) bool { return ls[i].in(&ls[k]) }) {
			seen.add(ls[i].box, i)
			continue
		}
		island[i] = true
		if n++; first == nil {
			first = ls[i].from
		}
	}
	if n == 0 {
		return ls, said
	}
	said.add(diag.Warning, "panel-island", first, "%s within openings %s not used: what is cut out there falls out", count(n, "closed line"), are(n)).
		Fix("delete them, or draw them as lettering if they are to be engraved")
	var out []loop
	for i := range ls {
		if !island[i] {
			out = append(out, ls[i])
		}
	}
	return out, said
}

// sheetAt returns the sheet round the point, -1 for none.
func sheetAt(sheets []sheet, p dxf.XY) int {
	for i := range sheets {
		if sheets[i].outline.holds(p) {
			return i
		}
	}
	return -1
}

// home returns the sheet that a loop lies in, or crosses the edge of; -1 for none.
func home(sheets []sheet, l *loop) (int, standing) {
	cross := -1
	for i := range sheets {
		o := &sheets[i].outline
		switch l.standingIn(o) {
		case within:
			return i, within
		case crossing:
			if cross < 0 {
				cross = i
			}
		case apart:
			// A body or a board edge larger than the panel lies round it.
			if cross < 0 && o.in(l) {
				cross = i
			}
		}
	}
	return cross, crossing
}

func outside(l *loop, what string) findings {
	var said findings
	m := l.middle()
	said.add(diag.Warning, "panel-outside", l.from, "%s of %.4g x %.4g mm lies outside every outline and is not used", article(what), l.box.W(), l.box.H()).
		At(m.X, m.Y).Fix("move it into the panel, or to a layer without a meaning if it is a remark")
	return said
}

// dealLEDs takes the round things on the LED layer as holes; anything else there is told.
func dealLEDs(w *work.Watch, sheets []sheet, j joined) findings {
	var said findings
	holes := make([]loop, 0, len(j.loops))
	for i := range j.loops {
		l := &j.loops[i]
		if l.round {
			holes = append(holes, *l)
			continue
		}
		m := l.middle()
		name := nameAt(sheets, m)
		said.to(name).add(diag.Error, "panel-led-not-round", l.from, "a shape of %.4g x %.4g mm on the LED layer is not round", l.box.W(), l.box.H()).
			At(m.X, m.Y).Of(name).Fix("draw the LED's hole as a circle, or move the shape to another layer")
	}
	lines := 0
	var first *dxf.Entity
	for _, p := range j.open {
		w.Step()
		if first == nil {
			first = p.from
		}
		if straight(p.path) {
			lines++
			continue
		}
		m := p.path.Vertices[0].XY
		name := nameAt(sheets, m)
		said.to(name).add(diag.Error, "panel-led-not-round", p.from, "an arc on the LED layer is not closed to a circle").At(m.X, m.Y).Of(name).
			Fix("draw the LED's hole as a full circle")
	}
	if lines > 0 {
		said.add(diag.Warning, "panel-led-lines", first, "%s on the LED layer, perhaps of centre marks, %s not used", count(lines, "line"), are(lines)).
			Fix("only circles on the LED layer are holes for LEDs")
	}
	holes, told := concentric(w, holes, betterLED)
	said.join(told)
	in := make([]int, len(holes))
	n := make([]int, len(sheets))
	for i := range holes {
		w.Step()
		if in[i] = sheetAt(sheets, holes[i].c); in[i] >= 0 {
			n[in[i]]++
		}
	}
	for i := range sheets {
		sheets[i].leds = slices.Grow(slices.Clip(sheets[i].leds), n[i])
	}
	for i := range holes {
		l := &holes[i]
		if at := in[i]; at >= 0 {
			sheets[at].leds = append(sheets[at].leds, *l)
			continue
		}
		w.Step()
		near := nearestSheet(sheets, l.c)
		said.to(near).add(diag.Error, "panel-led-outside", l.from, "an LED hole at (%.3f, %.3f) lies outside the outline", l.c.X, l.c.Y).Of(near).
			Fix("move it into the panel, or delete it")
	}
	return said
}

func straight(p dxf.Path) bool {
	for _, e := range p.Edges() {
		if e.Bulge != 0 {
			return false
		}
	}
	return true
}

// nameAt returns the name of the panel round the point, empty outside.
func nameAt(sheets []sheet, p dxf.XY) string {
	if at := sheetAt(sheets, p); at >= 0 {
		return sheets[at].name
	}
	return ""
}

// nearestSheet returns the name of the panel whose edge is nearest.
func nearestSheet(sheets []sheet, p dxf.XY) string {
	best, name := math.Inf(1), ""
	for i := range sheets {
		if d := sheets[i].outline.distance(p, best); d < best {
			best, name = d, sheets[i].name
		}
	}
	return name
}

// dealMounts takes round things on the mount layer as screw holes and other closed ones as slots.
func dealMounts(w *work.Watch, sheets []sheet, j joined, tol float64) findings {
	said := openEnds(w, j, panel.RoleMount, tol, false)
	var holes []loop
	for i := range j.loops {
		l := &j.loops[i]
		if l.round {
			holes = append(holes, *l)
			continue
		}
		at, _ := home(sheets, l)
		if at < 0 {
			said.join(outside(l, "mount"))
			continue
		}
		s := &sheets[at]
		s.slots = append(s.slots, *l)
		m := l.middle()
		said.to(s.name).add(diag.Note, "panel-mount-slot", l.from, "a mount of %.4g x %.4g mm is not round: it is cut as a slot", l.box.W(), l.box.H()).At(m.X, m.Y).Of(s.name).
			Fix("nothing to do if a slot is meant; else draw the screw's hole as a circle")
	}
	holes, told := concentric(w, holes, betterDrill)
	said.join(told)
	for i := range holes {
		w.Step()
		if at := sheetAt(sheets, holes[i].c); at >= 0 {
			sheets[at].mounts = append(sheets[at].mounts, holes[i])
		} else {
			said.join(outside(&holes[i], "mount"))
		}
	}
	return said
}

// dealTexts gives texts to the sheets in which they stand.
func dealTexts(w *work.Watch, sheets []sheet, es []*dxf.Entity) findings {
	var said findings
	lost := 0
	var first *dxf.Entity
	for _, e := range es {
		if e.Text == nil {
			continue
		}
		w.Step()
		if at := textAt(sheets, e); at >= 0 {
			sheets[at].texts = append(sheets[at].texts, e)
			continue
		}
		if lost++; first == nil {
			first = e
		}
	}
	if lost > 0 {
		said.add(diag.Note, "panel-text-outside", first, "%s outside the panel %s not engraved, the first is %q", count(lost, "text"), are(lost), short(first.Text.Text)).
			Fix("move them into the panel if they belong on it")
	}
	return said
}

// textAt returns the first sheet in which a text stands; -1: none.
func textAt(sheets []sheet, e *dxf.Entity) int {
	for i := range sheets {
		if sheets[i].outline.hasText(e) {
			return i
		}
	}
	return -1
}

// hasText reports whether a text stands in the loop: its anchor, or about its middle.
func (l *loop) hasText(e *dxf.Entity) bool {
	if l.holds(e.Text.At) {
		return true
	}
	t := e.Text
	// Letters are about 0.7 of their height wide; the middle need not be exact.
	w := 0.7 * t.Height * t.Width * float64(min(utf8.RuneCountInString(t.Text), 1000))
	x := w * (0.5 - float64(t.H)/2)
	y := t.Height * [...]float64{0.5, 0.5, 0, -0.5}[t.V]
	if t.Mirror {
		x = -x
	}
	sin, cos := geom.Sincos(t.Angle)
	return l.holds(t.At.Add(dxf.XY{X: float64(x*cos) - float64(y*sin), Y: float64(x*sin) + float64(y*cos)}))
}
