package read

import (
	"fmt"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// layered finds sheets over each other: layers each of which has the panel's edge, or one a little smaller, round things of
// its own. Their edges are no openings.
func (st *stack) layered(w *work.Watch, sheets []sheet, c *lines, th things, opt Options) findings {
	var said findings
	edge := make([]bool, len(c.free.loops))
	for i := range sheets {
		o := &sheets[i].outline
		first := lowered(o.from.Layer)
		ls := []leaf{{outline: *o, layer: first, named: o.from.Layer, kind: role.LeafOf(o.from.Layer), of: i}}
		add := func(l *loop) bool {
			if !edgeOf(l, o) {
				return false
			}
			name := lowered(l.from.Layer)
			kind := role.LeafOf(l.from.Layer)
			// A line engraved a little within the edge is an ornament.
			if name == first || kind == role.Legend && !sameForm(o, l) {
				return false
			}
			if !slices.ContainsFunc(ls, func(x leaf) bool { return x.layer == name }) {
				ls = append(ls, leaf{outline: *l, layer: name, named: l.from.Layer, kind: kind, of: i})
			}
			return true
		}
		for k := range c.free.twins {
			add(&c.free.twins[k])
		}
		for k := range c.free.loops {
			w.Step()
			edge[k] = add(&c.free.loops[k]) || edge[k]
		}
		for _, r := range []panel.Role{panel.RoleLettering, panel.RoleLED, panel.RoleOpening, panel.RoleMount} {
			j := c.used[r]
			for k := range j.loops {
				if l := &j.loops[k]; sameForm(o, l) && add(l) {
					c.drop(l)
					break
				}
			}
		}
		if len(ls) > 1 {
			st.leaves = append(st.leaves, ls...)
			if opt.Sheets == SheetsJudged {
				said.join(st.variants(w, ls, *c, th))
			}
		}
	}
	if slices.Contains(edge, true) {
		c.free = c.free.without(edge)
	}
	return said
}

// variants asks where several sheets over each other are complete in themselves, with LEDs and lettering: then they may be
// variants of a panel of which one is built, and together they would make a board that nobody wants.
func (st *stack) variants(w *work.Watch, ls []leaf, c lines, th things) findings {
	var said findings
	lamps, words := map[string]bool{}, map[string]bool{}
	for i := range c.free.loops {
		w.Step()
		if l := &c.free.loops[i]; l.round && ledSize(l.d) && ls[0].outline.holds(l.centre()) {
			lamps[lowered(l.from.Layer)] = true
		}
	}
	for _, e := range th.texts() {
		w.Step()
		if e.Text != nil && ls[0].outline.holds(e.Text.At) {
			words[lowered(e.Layer)] = true
		}
	}
	var whole []string
	for i := range ls {
		if lamps[ls[i].layer] && words[ls[i].layer] {
			whole = append(whole, ls[i].named)
		}
	}
	if len(whole) < 2 {
		return said
	}
	m := ls[0].outline.centre()
	q := diag.Question{Things: fmt.Sprintf("%d layers with an edge, LEDs and lettering each", len(whole)), Assumed: string(SheetsTogether), At: []diag.Point{{X: m.X, Y: m.Y}},
		Choices: []diag.Choice{{Role: string(SheetsTogether), Words: "sheets of one panel", Says: sheetsAre(SheetsTogether)}}}
	for _, name := range whole {
		q.Choices = append(q.Choices, diag.Choice{Role: string(panel.RoleIgnore), Words: "a variant, and " + short(name) + " is not built", Says: rolesAre(Rule{Role: panel.RoleIgnore, Kind: ByLayer, Layer: name})})
	}
	st.asked = true
	said.add(diag.Warning, "panel-question", ls[0].outline.from, "the layers %s have an edge, holes of an LED's size and lettering each: are they sheets of one panel, or variants of which one is built? They are taken as one panel with all of it", some(whole, 8)).
		About("sheets").At(m.X, m.Y).Asks(q).
		Fix("for sheets of one panel write in the project file: %s; to leave a variant out: %s", q.Choices[0].YAML(), q.Choices[1].YAML())
	return said
}

// edgeOf reports whether a loop is the edge of a sheet of a panel: as large, or a little smaller on all sides alike.
func edgeOf(l, o *loop) bool {
	in := [4]float64{l.box.Min.X - o.box.Min.X, l.box.Min.Y - o.box.Min.Y, o.box.Max.X - l.box.Max.X, o.box.Max.Y - l.box.Max.Y}
	low, high := slices.Min(in[:]), slices.Max(in[:])
	if low < -leafFit || high > leafInset || high-low > 2*leafFit || l.area < 0.8*(o.area-high*o.path.Perimeter()) {
		return false
	}
	return !slices.ContainsFunc(l.flat(), func(p dxf.XY) bool { return !o.near(p, leafInset*math.Sqrt2+leafFit) })
}

// drop takes a loop from those that have a role.
func (c *lines) drop(l *loop) {
	for r, j := range c.used {
		if k := slices.IndexFunc(j.loops, func(o loop) bool { return o.key() == l.key() }); k >= 0 {
			j.loops = slices.Delete(slices.Clone(j.loops), k, k+1)
			c.used[r] = j
		}
	}
}
