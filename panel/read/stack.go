package read

import (
	"cmp"
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

// Sheets says whether outlines of one size are the sheets of one panel.
type Sheets string

const (
	SheetsJudged   Sheets = ""         // by what lies on them
	SheetsTogether Sheets = "together" // they are
	SheetsApart    Sheets = "apart"    // each is a panel of its own
)

// leaf is one of the sheets of a panel as it is drawn: face, diffuser, LED sheet, legend.
type leaf struct {
	outline loop
	kind    role.Leaf
	named   string // what tells so: the words beside it, or its layer
	layer   string // over each other: the layer that it is drawn on, in small letters; beside each other: empty
	shift   dxf.XY // what brings it into the panel's frame
	of      int    // the outline that stands for the panel
	tally   tally
}

// stack is which sheets of panels a drawing shows.
type stack struct {
	leaves []leaf
	asked  bool
	twins  []twin                      // what is drawn on several sheets and stands for one thing
	kept   []loopKey                   // what stands for those
	copies map[*dxf.Entity]*dxf.Entity // texts that were brought into a panel's frame, and what they are in the drawing
}

// twin is a closed line of a sheet, where it is drawn, that is the same as one that was kept.
type twin struct {
	loop loop
	as   int // of kept
}

// How far the sheets of one panel may differ, mm: a pen's width in place or size; and sheets behind it may be smaller by
// inset on every side.
const leafFit, leafInset, leafSame = 0.5, 3.0, 0.1

// mostLeaves bounds the things on sheets that are compared.
const mostLeaves = 50_000

// stacked finds the sheets of panels, over each other and side by side, and puts what lies on them into the frame of the one
// that stands for the panel. What is the same on several is one.
func stacked(w *work.Watch, sheets []sheet, c lines, th things, opt Options) ([]sheet, lines, things, stack, findings) {
	var said findings
	var st stack
	if len(sheets) == 0 || opt.Sheets == SheetsApart {
		return sheets, c, th, st, said
	}
	c.used = maps.Clone(c.used)
	said.join(st.layered(w, sheets, &c, th, opt))
	all := withEdges(sheets, c)
	groups := alike(all)
	gone := make([]bool, len(all))
	for _, g := range groups {
		told := st.beside(w, g, all, c, th, opt, gone)
		said.join(told)
	}
	if len(st.leaves) == 0 {
		return sheets, c, th, st, said
	}
	for i := len(sheets); i < len(all); i++ {
		if gone[i] {
			c.drop(&all[i].outline)
		}
	}
	c, th = st.merged(w, c, th)
	kept := make([]sheet, 0, len(sheets))
	for i := range sheets {
		if !gone[i] {
			s := sheets[i]
			s.stacked = slices.ContainsFunc(st.leaves, func(l leaf) bool { return l.of == i })
			kept = append(kept, s)
		}
	}
	said.join(st.told(sheets))
	return kept, c, th, st, said
}

// withEdges returns the sheets and, behind them, what may be the edge of one more on a layer of ours: as large as an outline and
// beside it.
func withEdges(sheets []sheet, c lines) []sheet {
	out := slices.Clip(sheets)
	for _, r := range []panel.Role{panel.RoleLettering, panel.RoleLED, panel.RoleOpening, panel.RoleMount} {
		ls := c.used[r].loops
		for i := range ls {
			l := &ls[i]
			if l.round || len(out) == maxPanels || slices.ContainsFunc(out, func(s sheet) bool { return overlap(l.box, s.outline.box) }) {
				continue
			}
			if slices.ContainsFunc(sheets, func(s sheet) bool { return sameForm(&s.outline, l) }) {
				out = append(out, sheet{outline: *l})
			}
		}
	}
	return out
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

// sameForm reports whether two loops are of one size and form.
func sameForm(a, b *loop) bool {
	if math.Abs(a.box.W()-b.box.W()) > 2*leafFit || math.Abs(a.box.H()-b.box.H()) > 2*leafFit {
		return false
	}
	m := b.moved(a.centre().Sub(b.centre()))
	return !slices.ContainsFunc(m.flat(), func(p dxf.XY) bool { return !a.near(p, leafFit) }) &&
		!slices.ContainsFunc(a.flat(), func(p dxf.XY) bool { return !m.near(p, leafFit) })
}

// alike returns the groups of outlines of one size and form.
func alike(sheets []sheet) [][]int {
	var out [][]int
	taken := make([]bool, len(sheets))
	for i := range sheets {
		if taken[i] {
			continue
		}
		g := []int{i}
		a := &sheets[i].outline
		for k := i + 1; k < len(sheets); k++ {
			b := &sheets[k].outline
			if taken[k] || !sameForm(a, b) {
				continue
			}
			taken[k] = true
			g = append(g, k)
		}
		if len(g) > 1 {
			out = append(out, g)
		}
	}
	return out
}

// centre is the middle of the loop's box.
func (l *loop) centre() dxf.XY { return l.box.Centre() }

// moved returns the loop elsewhere.
func (l *loop) moved(by dxf.XY) loop {
	out := *l
	out.path = l.path.Moved(by)
	out.box = l.box.Moved(by)
	out.c, out.edge, out.shift = l.c.Add(by), nil, l.shift.Add(by)
	return out
}

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
	for _, e := range slices.Concat(th.writing, th.byRole[panel.RoleLettering]) {
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
		Choices: []diag.Choice{{Role: string(SheetsTogether), Words: "sheets of one panel", YAML: "sheets: together"}}}
	for _, name := range whole {
		q.Choices = append(q.Choices, diag.Choice{Role: string(panel.RoleIgnore), Words: "a variant, and " + short(name) + " is not built", YAML: fmt.Sprintf("roles: {%s: %s}", panel.RoleIgnore, yamlOf("layer "+name))})
	}
	st.asked = true
	said.add(diag.Warning, "panel-question", ls[0].outline.from, "the layers %s have an edge, holes of an LED's size and lettering each: are they sheets of one panel, or variants of which one is built? They are taken as one panel with all of it", some(whole, 8)).
		About("sheets").At(m.X, m.Y).Asks(q).
		Fix("for sheets of one panel write in the project file: %s; to leave a variant out: %s", q.Choices[0].YAML, q.Choices[1].YAML)
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

// beside judges outlines of one size that stand beside each other, and marks those that are sheets of another as gone.
func (st *stack) beside(w *work.Watch, g []int, sheets []sheet, c lines, th things, opt Options, gone []bool) findings {
	var said findings
	ls := make([]leaf, len(g))
	named := captionsOf(sheets, g, th)
	for n, i := range g {
		ls[n] = leaf{outline: sheets[i].outline, named: named[n], kind: role.LeafOf(named[n])}
	}
	if !tallied(w, ls, c, th) {
		return said
	}
	together, doubt, why, against := verdict(ls, opt)
	q := diag.Question{Things: fmt.Sprintf("%d outlines of %s", len(g), sizeOf(&ls[0].outline)), Assumed: string(SheetsApart), Choices: []diag.Choice{
		{Role: string(SheetsApart), Words: "panels of their own", YAML: "sheets: apart"},
		{Role: string(SheetsTogether), Words: "sheets of one panel", YAML: "sheets: together"}}}
	if together {
		q.Assumed = string(SheetsTogether)
		slices.Reverse(q.Choices)
	}
	for i := range ls {
		m := ls[i].outline.centre()
		q.At = append(q.At, diag.Point{X: m.X, Y: m.Y})
	}
	if doubt && opt.Sheets == SheetsJudged {
		st.asked = true
		m := ls[0].outline.centre()
		said.add(diag.Warning, "panel-question", ls[0].outline.from, "%s: are they %s or %s? They are taken as %s%s; but %s", q.Things, q.Choices[0].Words, q.Choices[1].Words, q.Choices[0].Words, since(why), but(against, "nothing else tells")).
			About("sheets").At(m.X, m.Y).Asks(q).
			Fix("write which in the project file: %s, or %s", q.Choices[0].YAML, q.Choices[1].YAML)
	}
	if !together {
		return said
	}
	best := 0
	for i := range ls {
		if ls[i].compare(&ls[best]) < 0 {
			best = i
		}
	}
	for n, i := range g {
		ls[n].of, ls[n].shift = g[best], ls[best].outline.centre().Sub(ls[n].outline.centre())
		gone[i] = n != best
	}
	st.leaves = append(st.leaves, ls...)
	return said
}

// compare orders sheets by which rather stands for the panel: the face, else where most is cut.
func (l *leaf) compare(o *leaf) int {
	if face := l.kind == role.Face; face != (o.kind == role.Face) {
		if face {
			return -1
		}
		return 1
	}
	return cmp.Or(cmp.Compare(o.tally.cuts+o.tally.shared, l.tally.cuts+l.tally.shared),
		compareXY(l.outline.box.Min, o.outline.box.Min))
}

// captionsOf returns what tells the sheets' names: the words beside each, else the layer that all its edge is on where these
// differ.
func captionsOf(sheets []sheet, g []int, th things) []string {
	var these []sheet
	for _, i := range g {
		these = append(these, sheets[i])
	}
	raw := map[string]string{}
	texts := slices.Concat(th.writing, th.byRole[panel.RoleLettering])
	for _, e := range texts {
		if e.Text != nil {
			raw[slug(e.Text.Text)] = e.Text.Text
		}
	}
	out := captions(these, texts)
	layers := map[string]bool{}
	for i := range these {
		layers[lowered(these[i].outline.from.Layer)] = true
	}
	for i := range out {
		if out[i] != "" {
			out[i] = raw[out[i]]
		} else if len(layers) == len(these) {
			out[i] = these[i].outline.from.Layer
		}
	}
	return out
}

// told says which sheets make which panel.
func (st *stack) told(sheets []sheet) findings {
	var said findings
	for i := range sheets {
		var what []string
		var from *dxf.Entity
		over := false
		for k := range st.leaves {
			l := &st.leaves[k]
			if l.of != i {
				continue
			}
			name := l.kind.String()
			if l.named != "" {
				name += " (" + short(l.named) + ")"
			}
			if from == nil {
				from = l.outline.from
			}
			over = over || l.layer != ""
			what = append(what, fmt.Sprintf("%s at (%s, %s)", name, mm(l.outline.box.Min.X), mm(l.outline.box.Min.Y)))
		}
		if len(what) == 0 {
			continue
		}
		how := "side by side"
		if over {
			how = "over each other on layers"
		}
		f := said.add(diag.Note, "panel-sheets", from, "%d sheets of one panel are drawn %s: %s", len(what), how, some(what, 8)).About("sheets")
		f.Fix("what lies on all of them is one panel, told at its place on the first sheet; if each is a panel, write in the project file: sheets: apart")
		if over {
			f.Fix("if a layer belongs to no sheet of this panel, write in the project file: roles: {ignore: layer NAME}")
		}
	}
	return said
}

// at returns a place in the frame of the panel on one of whose sheets it lies.
func (st *stack) at(p *dxf.XY) *dxf.XY {
	if p == nil {
		return nil
	}
	for i := range st.leaves {
		if st.leaves[i].outline.holds(*p) {
			q := p.Add(st.leaves[i].shift)
			return &q
		}
	}
	return p
}

// merged puts what lies on sheets into their panels' frames, and makes one of what is the same.
func (st *stack) merged(w *work.Watch, c lines, th things) (lines, things) {
	st.copies = map[*dxf.Entity]*dxf.Entity{}
	order := make([]int, len(st.leaves)) // the face first
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return st.leaves[a].compare(&st.leaves[b]) })
	n := len(c.free.loops)
	for _, j := range c.used {
		n += len(j.loops)
	}
	m := merging{watch: w, stack: st, seen: newGrid(w, 1, n), rank: make([]int, len(order))}
	for n, i := range order {
		m.rank[i] = n
	}
	for _, r := range panel.Roles() {
		if j, ok := c.used[r]; ok && r != panel.RoleOutline && r != panel.RoleLettering {
			c.used[r] = m.joined(j, r)
		}
	}
	c.free = m.joined(c.free, "")
	if j, ok := c.used[panel.RoleLettering]; ok { // last: what is cut on another sheet is no lettering
		c.used[panel.RoleLettering] = m.joined(j, panel.RoleLettering)
	}
	for i := range m.kept {
		st.kept = append(st.kept, m.kept[i].loop.key())
	}
	th.byRole = maps.Clone(th.byRole)
	for r, es := range th.byRole {
		th.byRole[r] = m.texts(es)
	}
	th.writing = m.texts(th.writing)
	return c, th
}
