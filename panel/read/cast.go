package read

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// cast gives every free loop that lies in a sheet its role: by the project's rules, else by the layer that it lies on if
// that has one, else by evidence (package role). It returns the lines with what has a role among those of that role, and
// the texts that are lettering; and what is needed to say the same by rules.
func cast(w *work.Watch, sheets []sheet, c lines, th things, ls layers, opt Options) (lines, []*dxf.Entity, lesson, findings) {
	var said findings
	c.used = maps.Clone(c.used)
	s, told := scenes(w, sheets, &c, ls)
	said.join(told)
	if len(ls.rules) > 0 {
		said.join(ruled(w, s, c.uses, ls))
	}
	for i := range s.loops {
		if r, ok := ls.role[lowered(s.loops[i].from.Layer)]; ok && s.roles[i] == "" && s.in[i] >= 0 {
			s.roles[i] = r
		}
	}
	bare := slices.Clone(s.roles)
	told = s.judged(w, sheets, opt.LEDs)
	said.join(s.unruled(bare, ls))
	said.join(told)
	got, n := map[panel.Role][]loop{}, map[panel.Role]int{}
	for _, r := range s.roles {
		n[r]++
	}
	for r, k := range n {
		got[r] = make([]loop, 0, k)
	}
	done := make([]bool, len(s.loops))
	minor := 0
	var first *dxf.Entity
	for i := range s.loops {
		r := s.roles[i]
		if done[i] = r != "" && r != panel.RoleIgnore; done[i] {
			got[r] = append(got[r], s.loops[i])
		}
		if s.in[i] < 0 {
			if minor++; first == nil {
				first = s.loops[i].from
			}
		}
	}
	if minor > 0 && (ls.none || len(ls.rules) > 0) && len(sheets) > 0 {
		said.add(diag.Warning, "panel-guess", first, "%s outside the outline %s not used", count(minor, "closed line"), are(minor)).About("roles").
			Fix("nothing to do if they are remarks, a detail or a title block; else draw them within the panel")
	}
	for _, r := range panel.Roles() {
		if len(got[r]) > 0 {
			j := c.used[r]
			j.loops = append(slices.Clip(j.loops), got[r]...)
			c.used[r] = j
		}
	}
	c.free.loops = s.loops
	c.free = c.free.without(done)
	engraved, told := openLines(w, &c, sheets, th, ls, s.seen.Strokes)
	said.join(told)
	texts, written, told := textsOf(sheets, th, ls, &s.seen)
	said.join(told)
	if len(ls.rules) > 0 {
		said.join(emptyRules(c.uses, sheets, th, ls, opt))
	}
	return c, texts, lessonOf(w, s, sheets, ls, written, engraved), said
}

// scene is the free loops and all that is seen of them.
type scene struct {
	loops  []loop // from the largest to the smallest
	roles  []panel.Role
	in     []int // the sheet that each lies in; -1: none
	all    role.Drawing
	thing  []int // of all, by the number of the loop; -1: none
	seen   role.Looked
	groups []role.Group
	back   []int // the loop's number by that of the thing; -1: given by a layer of ours
}

// scenes looks at the free loops, and leaves out those that say the same again: an outline drawn twice, and both edges of
// a pen.
func scenes(w *work.Watch, sheets []sheet, c *lines, ls layers) (*scene, findings) {
	var said findings
	s := &scene{loops: make([]loop, 0, len(c.free.loops)), in: make([]int, 0, len(c.free.loops))}
	twice := false
	for i := range c.free.loops {
		w.Step()
		l := c.free.loops[i]
		at := holder(sheets, &l)
		if at >= 0 && double(&l, &sheets[at].outline) {
			if !twice {
				said.join(doubled(&l))
			}
			twice = true
			continue
		}
		s.loops, s.in = append(s.loops, l), append(s.in, at)
	}
	s.look(w, sheets, c)
	if drop, n := s.penned(w); n > 0 {
		said.add(diag.Note, "panel-concentric", s.loops[slices.Index(drop, true)].from, "%s drawn round another like it, a pen's width apart; one of each is taken", count(n, "closed line")).
			Fix("delete the line that is not the edge, if the wrong one was taken")
		var loops []loop
		var in []int
		for i := range s.loops {
			if !drop[i] {
				loops, in = append(loops, s.loops[i]), append(in, s.in[i])
			}
		}
		s.loops, s.in = loops, in
		s.look(w, sheets, c)
	}
	s.roles = make([]panel.Role, len(s.loops))
	return s, said
}

// mostLooked bounds how often loops are compared for what lies in what.
const mostLooked = 2_000_000

// look tells package role of the loops in sheets, and of what layers of ours say beside them.
func (s *scene) look(w *work.Watch, sheets []sheet, c *lines) {
	s.all = role.Drawing{}
	s.thing, s.back = make([]int, len(s.loops)), nil
	for i := range s.thing {
		s.thing[i] = -1
	}
	s.seen = role.Looked{Strokes: make([]bool, len(c.free.open))}
	if len(sheets) == 0 || len(c.free.open) == 0 && !slices.ContainsFunc(s.in, func(at int) bool { return at >= 0 }) {
		return
	}
	for i := range sheets {
		o := &sheets[i].outline
		layer := o.from.Layer
		if sheets[i].stacked && role.LeafOf(layer) != role.NoLeaf {
			layer = "" // it names the sheet, not what is on it
		}
		s.all.Sheets = append(s.all.Sheets, role.Sheet{Box: o.box, Layer: layer, Colour: o.from.Colour})
	}
	var all []*loop
	var at, from []int
	var given []panel.Role
	add := func(l *loop, sheet, no int, r panel.Role) {
		all, at, from, given = append(all, l), append(at, sheet), append(from, no), append(given, r)
	}
	for _, r := range []panel.Role{panel.RoleLED, panel.RoleOpening, panel.RoleMount, panel.RoleBody} {
		ls := c.used[r].loops
		for i := range ls {
			w.Step()
			if k := sheetAt(sheets, ls[i].middle()); k >= 0 && len(all) < 20_000 {
				add(&ls[i], k, -1, r)
			}
		}
	}
	for i := range s.loops {
		if s.in[i] >= 0 {
			add(&s.loops[i], s.in[i], i, "")
		}
	}
	s.all.Things = make([]role.Thing, 0, len(all))
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		w.Step()
		return byArea(all[a], all[b])
	})
	holders := newFinder(w, nil)
	looks := mostLooked
	number := make([]int, len(all))
	for n, k := range order {
		w.Step()
		l := all[k]
		number[k] = n
		t := thingOf(l)
		t.Sheet, t.Given = at[k], given[k]
		t.Edge = sheets[at[k]].outline.distance(t.At, 60)
		if looks > 0 {
			near := holders.near(l.box, 0)
			looks -= len(near)
			for i := len(near) - 1; i >= 0 && i >= len(near)-30; i-- { // the smallest first
				if o := all[order[near[i]]]; o.area > l.area && l.in(o) {
					t.In = near[i]
					break
				}
			}
		}
		if l.box.W()*l.box.H() > 0.3 && (!l.round || l.d > 1) {
			holders.add(l.box, n)
		}
		s.all.Things = append(s.all.Things, t)
		s.back = append(s.back, from[k])
		if from[k] >= 0 {
			s.thing[from[k]] = n
		}
	}
	for i := range c.free.open {
		s.all.Strokes = append(s.all.Strokes, strokeOf(&c.free.open[i], sheets))
	}
	s.seen = role.Look(w, s.all)
	for i := range s.loops {
		k := s.thing[i]
		if k < 0 {
			continue
		}
		l := &s.loops[i]
		l.height = s.seen.Heights[k]
		l.places, l.letter, l.within = s.seen.Places[k], s.seen.Letters[k], dxf.Box{}
		if in := s.all.Things[k].In; in >= 0 {
			l.within = s.all.Things[in].Box
		}
	}
}

// penned marks the closed lines round another one of the same shape, a pen's width apart, that are no letters.
func (s *scene) penned(w *work.Watch) (drop []bool, n int) {
	drop = make([]bool, len(s.loops))
	for i := range s.loops {
		w.Step()
		l, k := &s.loops[i], s.thing[i]
		if k < 0 || l.round || l.letter || s.all.Things[k].In < 0 || max(l.box.W(), l.box.H()) < 4 {
			continue
		}
		o := s.back[s.all.Things[k].In]
		if o >= 0 && !s.loops[o].letter && !drop[o] && max(s.loops[o].box.W()-l.box.W(), s.loops[o].box.H()-l.box.H()) <= 2*penWidth && double(l, &s.loops[o]) {
			drop[o] = true
			n++
		}
	}
	return drop, n
}

// textsOf returns the texts that are lettering: those of its layer or of rules, and where neither says anything all within
// an outline but notes.
func textsOf(sheets []sheet, th things, ls layers, seen *role.Looked) ([]*dxf.Entity, []Proposed, findings) {
	var said findings
	texts := th.byRole[panel.RoleLettering]
	if len(ls.rules) > 0 {
		return texts, nil, unruledTexts(sheets, th, ls, seen)
	}
	if len(texts) > 0 {
		return texts, nil, said
	}
	var out []*dxf.Entity
	notes := map[string]int{}
	var order []string
	n := 0
	for _, e := range th.writing {
		switch {
		case textAt(sheets, e) < 0:
			if ls.none {
				out = append(out, e) // told as outside
			}
		case seen.Sense(e.Layer) == role.NoteSense:
			if notes[e.Layer]++; notes[e.Layer] == 1 {
				order = append(order, e.Layer)
			}
		default:
			out = append(out, e)
			n++
		}
	}
	var p []Proposed
	if n > 0 {
		said.guess(nil, "%s within the outline %s taken as lettering", count(n, "text"), are(n))
		p = append(p, Proposed{Rule{Role: panel.RoleLettering, Kind: TextRule}, n, ""})
	}
	for _, layer := range order {
		said.guess(nil, "%s on layer %s %s taken as notes and not engraved, since it is named so", count(notes[layer], "text"), layer, are(notes[layer]))
		p = append(p, Proposed{Rule{Role: panel.RoleIgnore, Kind: TextRule, Layer: layer}, notes[layer], ""})
	}
	return out, p, said
}

// unruledTexts tells texts within an outline that the project's rules leave, where none of them is for texts: those on layers
// without a meaning, notes apart.
func unruledTexts(sheets []sheet, th things, ls layers, seen *role.Looked) findings {
	var said findings
	if slices.ContainsFunc(ls.rules, func(x Rule) bool { return x.Kind == TextRule }) {
		return said
	}
	var left []*dxf.Entity
	for _, e := range th.writing {
		if _, own := ls.role[lowered(e.Layer)]; !own && textAt(sheets, e) >= 0 && seen.Sense(e.Layer) != role.NoteSense {
			left = append(left, e)
		}
	}
	if n := len(left); n > 0 {
		said.add(diag.Warning, "panel-text-unused", left[0], "%s within the panel, as %q, %s not engraved: no role takes texts", count(n, "text"), short(left[0].Text.Text), are(n)).
			At(left[0].Text.At.X, left[0].Text.At.Y).About("roles.lettering", "roles").Fix("add texts to the rules of lettering, as lettering: [lines, texts]; \"ignore: texts\" says that they mean nothing").
			By("engrave them", diag.Add, "roles.lettering", "texts").By("they mean nothing", diag.Add, "roles.ignore", "texts")
	}
	return said
}

// unruled tells what the project's rules leave, of which bare has no role, but for what is asked about.
func (s *scene) unruled(bare []panel.Role, ls layers) findings {
	var said findings
	if len(ls.rules) == 0 {
		return said
	}
	var first *dxf.Entity
	var holes []loop
	shapes := 0
	for i := range s.loops {
		if bare[i] != "" || s.in[i] < 0 || s.open(i) {
			continue
		}
		if first == nil {
			first = s.loops[i].from
		}
		if s.loops[i].round {
			holes = append(holes, s.loops[i])
		} else {
			shapes++
		}
	}
	var what []string
	for _, g := range byDiameter(nil, holes) {
		what = append(what, fmt.Sprintf("%s of %.4g mm", count(len(g), "circle"), math.Round(middling(g)*1e3)/1e3))
	}
	if shapes > 0 {
		what = append(what, count(shapes, "other closed line"))
	}
	if len(what) > 0 {
		said.add(diag.Warning, "panel-no-role", first, "no role takes %s; what they are is guessed", some(what, 12)).
			About("roles").Fix("name them in roles: as opening: circles 2.5 mm; \"opening: rest\" takes whatever is left, \"ignore: rest\" says that it means nothing").
			By("all that no role takes is an opening", diag.Add, "roles.opening", "rest").By("all that no role takes means nothing", diag.Add, "roles.ignore", "rest")
	}
	return said
}

// strokeOf tells package role of an open line.
func strokeOf(p *piece, sheets []sheet) role.Stroke {
	return role.Stroke{
		Box: p.path.Box(), From: p.end(false), To: p.end(true), Length: p.path.Perimeter(), Spur: p.spur,
		Straight: len(p.path.Vertices) == 2 && straight(p.path), Sheet: sheetAt(sheets, p.middle()),
		Layer: p.from.Layer, Style: p.from.Style,
	}
}
