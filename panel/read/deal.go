package read

import (
	"math"
	"slices"
	"unicode/utf8"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// deal gives every thing with a role to the sheet in which it lies, and tells what lies outside or is of no use.
func (r *reader) deal() {
	if len(r.sheets) == 0 {
		return
	}
	if r.guessing {
		r.dealTexts(r.writing)
		return
	}
	r.dealLEDs()
	r.dealMounts()
	for _, k := range []struct {
		role panel.Role
		name string
		put  func(*sheet, loop)
	}{
		{panel.RoleOpening, "opening", func(s *sheet, l loop) { s.openings = append(s.openings, l) }},
		{panel.RoleBody, "body", func(s *sheet, l loop) { s.bodies = append(s.bodies, l) }},
		{panel.RoleBoard, "board edge", func(s *sheet, l loop) { s.boards = append(s.boards, l) }},
	} {
		j := r.used[k.role]
		r.openEnds(j, k.role)
		if k.role == panel.RoleOpening {
			j.loops = r.withoutIslands(j.loops)
		}
		for i := range j.loops {
			l := &j.loops[i]
			s, st := r.home(l)
			switch {
			case s == nil:
				r.outside(l, k.name)
				continue
			case st == crossing && k.role == panel.RoleOpening:
				r.add(diag.Warning, "panel-opening-edge", l.from, "an opening runs over the edge of the panel").Of(s.name).
					Fix("if it is meant as a notch, draw it as part of the outline")
			case st == crossing && k.role == panel.RoleBoard:
				r.add(diag.Warning, "panel-board-edge", l.from, "the board drawn runs over the edge of the panel").Of(s.name)
			}
			k.put(s, *l)
		}
	}
	r.dealTexts(r.byRole[panel.RoleLettering])
	j := r.used[panel.RoleLettering]
	lost := 0
	var first *dxf.Entity
	lose := func(e *dxf.Entity) {
		if lost++; first == nil {
			first = e
		}
	}
	for i := range j.loops {
		if s, _ := r.home(&j.loops[i]); s != nil {
			s.closed = append(s.closed, j.loops[i])
		} else {
			lose(j.loops[i].from)
		}
	}
	for _, p := range j.open {
		s := r.sheetAt(p.path.Edges()[0].Mid())
		if s == nil {
			s = r.sheetAt(p.path.Vertices[0].XY)
		}
		if s == nil {
			lose(p.from)
			continue
		}
		s.lines = append(s.lines, p)
	}
	if lost > 0 {
		r.add(diag.Warning, "panel-lettering-outside", first, "%s of the lettering outside the panel %s not engraved", count(lost, "piece"), are(lost))
	}
}

// withoutIslands takes off the closed lines within openings, which would be pieces that fall out.
func (r *reader) withoutIslands(ls []loop) []loop {
	order := make([]int, len(ls))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return byArea(ls[a], ls[b]) })
	island := make([]bool, len(ls))
	n := 0
	var first *dxf.Entity
	seen := newFinder(nil)
	for _, i := range order {
		for _, k := range seen.near(ls[i].box, 0) {
			if ls[i].standingIn(&ls[k]) == within {
				island[i] = true
				break
			}
		}
		if !island[i] {
			seen.add(ls[i].box, i)
			continue
		}
		if n++; first == nil {
			first = ls[i].from
		}
	}
	if n == 0 {
		return ls
	}
	r.add(diag.Warning, "panel-island", first, "%s within openings %s not used: what is cut out there falls out", count(n, "closed line"), are(n)).
		Fix("delete them, or draw them as lettering if they are to be engraved")
	var out []loop
	for i := range ls {
		if !island[i] {
			out = append(out, ls[i])
		}
	}
	return out
}

// sheetAt returns the sheet round the point.
func (r *reader) sheetAt(p dxf.XY) *sheet {
	for _, s := range r.sheets {
		if s.outline.holds(p) {
			return s
		}
	}
	return nil
}

// home returns the sheet that a loop lies in, or crosses the edge of.
func (r *reader) home(l *loop) (*sheet, standing) {
	var cross *sheet
	for _, s := range r.sheets {
		switch l.standingIn(&s.outline) {
		case within:
			return s, within
		case crossing:
			if cross == nil {
				cross = s
			}
		case apart:
			// A body or a board edge larger than the panel lies round it.
			if cross == nil && s.outline.standingIn(l) == within {
				cross = s
			}
		}
	}
	return cross, crossing
}

func (r *reader) outside(l *loop, what string) {
	m := l.middle()
	r.add(diag.Warning, "panel-outside", l.from, "%s of %.4g x %.4g mm lies outside every outline and is not used", article(what), l.box.W(), l.box.H()).
		At(m.X, m.Y).Fix("move it into the panel, or to a layer without a meaning if it is a remark")
}

func article(s string) string {
	switch s[0] {
	case 'a', 'e', 'i', 'o', 'u', 'L': // LED is spoken "ell-ee-dee"
		return "an " + s
	}
	return "a " + s
}

// dealLEDs takes the round things on the LED layer as holes; anything else there is told.
func (r *reader) dealLEDs() {
	j := r.used[panel.RoleLED]
	var holes []loop
	for _, l := range j.loops {
		if !l.round {
			m := l.middle()
			r.add(diag.Error, "panel-led-not-round", l.from, "a shape of %.4g x %.4g mm on the LED layer is not round", l.box.W(), l.box.H()).
				At(m.X, m.Y).Of(r.nameAt(m)).Fix("draw the LED's hole as a circle, or move the shape to another layer")
			continue
		}
		holes = append(holes, l)
	}
	lines, arcs := 0, 0
	var first *dxf.Entity
	for _, p := range j.open {
		if first == nil {
			first = p.from
		}
		if straight(p.path) {
			lines++
		} else {
			arcs++
			m := p.path.Vertices[0]
			r.add(diag.Error, "panel-led-not-round", p.from, "an arc on the LED layer is not closed to a circle").At(m.X, m.Y).Of(r.nameAt(m.XY)).
				Fix("draw the LED's hole as a full circle")
		}
	}
	if lines > 0 {
		r.add(diag.Warning, "panel-led-lines", first, "%s on the LED layer, perhaps of centre marks, %s not used", count(lines, "line"), are(lines)).
			Fix("only circles on the LED layer are holes for LEDs")
	}
	for _, l := range r.concentric(holes) {
		s := r.sheetAt(l.c)
		if s == nil {
			near := r.nearest(l.c)
			r.add(diag.Error, "panel-led-outside", l.from, "an LED hole at (%.3f, %.3f) lies outside the outline", l.c.X, l.c.Y).Of(near).
				Fix("move it into the panel, or delete it")
			continue
		}
		s.leds = append(s.leds, l)
	}
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
func (r *reader) nameAt(p dxf.XY) string {
	if s := r.sheetAt(p); s != nil {
		return s.name
	}
	return ""
}

// nearest returns the name of the panel whose edge is nearest.
func (r *reader) nearest(p dxf.XY) string {
	best, name := math.Inf(1), ""
	for _, s := range r.sheets {
		if d := s.outline.distance(p); d < best {
			best, name = d, s.name
		}
	}
	return name
}

// dealMounts takes round things on the mount layer as screw holes and other closed ones as slots.
func (r *reader) dealMounts() {
	j := r.used[panel.RoleMount]
	r.openEnds(j, panel.RoleMount)
	var holes []loop
	for i := range j.loops {
		l := &j.loops[i]
		if l.round {
			holes = append(holes, *l)
			continue
		}
		s, _ := r.home(l)
		if s == nil {
			r.outside(l, "mount")
			continue
		}
		s.slots = append(s.slots, *l)
		m := l.middle()
		r.add(diag.Note, "panel-mount-slot", l.from, "a mount of %.4g x %.4g mm is not round: it is cut as a slot", l.box.W(), l.box.H()).At(m.X, m.Y).Of(s.name)
	}
	for _, l := range r.concentric(holes) {
		if s := r.sheetAt(l.c); s != nil {
			s.mounts = append(s.mounts, l)
		} else {
			r.outside(&l, "mount")
		}
	}
}

// dealTexts gives texts to the sheets in which they stand.
func (r *reader) dealTexts(es []*dxf.Entity) {
	lost := 0
	var first *dxf.Entity
	for _, e := range es {
		if e.Text == nil {
			continue
		}
		var home *sheet
		for _, s := range r.sheets {
			if r.textIn(e, s) {
				home = s
				break
			}
		}
		if home != nil {
			home.texts = append(home.texts, e)
			continue
		}
		if lost++; first == nil {
			first = e
		}
	}
	if lost > 0 {
		r.add(diag.Note, "panel-text-outside", first, "%s outside the panel %s not engraved, the first is %q", count(lost, "text"), are(lost), short(first.Text.Text)).
			Fix("move them into the panel if they belong on it")
	}
}

// textIn reports whether a text stands in the sheet: its anchor, or about its middle.
func (r *reader) textIn(e *dxf.Entity, s *sheet) bool {
	if s.outline.holds(e.Text.At) {
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
	sin, cos := math.Sincos(t.Angle)
	return s.outline.holds(t.At.Add(dxf.XY{X: float64(x*cos) - float64(y*sin), Y: float64(x*sin) + float64(y*cos)}))
}

func short(s string) string {
	if utf8.RuneCountInString(s) <= 40 {
		return s
	}
	return string([]rune(s)[:40]) + "…"
}
