package read

import (
	"maps"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// merging puts the things of sheets over each other.
type merging struct {
	watch *work.Watch
	*stack
	rank []int // of each leaf: the face comes first
	seen *grid
	kept []kept
}

// kept is a thing that stands for those like it.
type kept struct {
	loop *loop
	leaf int
	role panel.Role
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

// leafOf returns the sheet that a thing with this box on this layer is drawn on, -1 for none.
func (st *stack) leafOf(b dxf.Box, layer string) int {
	m := b.Centre()
	for i := range st.leaves {
		l := &st.leaves[i]
		if (l.layer == "" || l.layer == lowered(layer)) && l.outline.holds(m) {
			return i
		}
	}
	return -1
}

// joined returns the joined curves of a role in the panels' frames; what is the same as a thing seen before is a twin of it.
func (m *merging) joined(j joined, r panel.Role) joined {
	loops := slices.Clone(j.loops)
	at := make([]int, len(loops))
	var byRank []int
	again := m.again(j.twins, loops)
	for i := range loops {
		m.watch.Step()
		if at[i] = m.leafOf(loops[i].box, loops[i].from.Layer); at[i] >= 0 {
			byRank = append(byRank, i)
			if k, ok := again[i]; ok && m.rank[m.leafOf(k.box, k.from.Layer)] < m.rank[at[i]] {
				loops[i].from, at[i] = k.from, m.leafOf(k.box, k.from.Layer)
			}
		}
	}
	slices.SortStableFunc(byRank, func(a, b int) int { return m.rank[at[a]] - m.rank[at[b]] })
	drop := make([]bool, len(loops))
	for _, i := range byRank {
		m.watch.Step()
		leaf := at[i]
		l := loops[i].posed(m.leaves[leaf].pose)
		if l.layer = m.says(&l, leaf); again[i] != nil && m.leaves[leaf].kind != role.NoLeaf {
			l.layer = sharedLayer
		}
		if k := m.same(&l, leaf, r); k >= 0 {
			o := &m.kept[k]
			if o.role == r {
				m.outdone(o, &l, leaf)
			}
			drop[i] = true
			m.twins = append(m.twins, twin{loops[i], k})
			continue
		}
		loops[i] = l
		m.seen.add(l.centre())
		m.kept = append(m.kept, kept{&loops[i], leaf, r})
	}
	j.loops = loops
	j = j.without(drop)
	j.open = slices.Clone(j.open)
	by := make([]pose, len(j.open))
	for i := range j.open {
		m.watch.Step()
		p := &j.open[i]
		if leaf := m.leafOf(p.path.Box(), p.from.Layer); leaf >= 0 && m.leaves[leaf].pose != (pose{}) {
			by[i] = m.leaves[leaf].pose
			p.path, p.pose = by[i].path(p.path), by[i]
		}
	}
	j.ends = slices.Clone(j.ends)
	for i := range j.ends {
		j.ends[i].at = by[j.ends[i].of].point(j.ends[i].at)
	}
	j.nearly = slices.Clone(j.nearly)
	for i := range j.nearly {
		n := &j.nearly[i]
		if leaf := m.leafOf(n.loop.box, n.loop.from.Layer); leaf >= 0 {
			at := m.leaves[leaf].pose
			n.loop = n.loop.posed(at)
			n.gaps = slices.Clone(n.gaps)
			for k := range n.gaps {
				n.gaps[k].a, n.gaps[k].b = at.point(n.gaps[k].a), at.point(n.gaps[k].b)
			}
		}
	}
	j.loops = sortedByArea(m.watch, j.loops)
	return j
}

// again returns, for each loop that is drawn on another sheet too at the very same place, what is drawn there: on the sheet that
// comes first.
func (m *merging) again(twins, loops []loop) map[int]*loop {
	out := map[int]*loop{}
	if len(twins) == 0 || !slices.ContainsFunc(m.leaves, func(l leaf) bool { return l.layer != "" }) {
		return out
	}
	find := newGrid(m.watch, 1, len(loops))
	for i := range loops {
		find.add(loops[i].centre())
	}
	for i := range twins {
		t := &twins[i]
		leaf := m.leafOf(t.box, t.from.Layer)
		if leaf < 0 {
			continue
		}
		find.near(t.centre(), snap, func(k int) {
			l := &loops[k]
			if l.box.Min.Dist(t.box.Min) > snap || l.box.Max.Dist(t.box.Max) > snap || lowered(l.from.Layer) == lowered(t.from.Layer) {
				return
			}
			if o := out[k]; o == nil || m.rank[leaf] < m.rank[m.leafOf(o.box, o.from.Layer)] {
				out[k] = t
			}
		})
	}
	return out
}

// sharedLayer stands for the layer of what is drawn on several sheets: their names say nothing of it.
const sharedLayer = "\x00"

// judgedLayer is the layer that a loop is judged by.
func (l *loop) judgedLayer() string {
	switch l.layer {
	case "":
		return l.from.Layer
	case sharedLayer:
		return ""
	}
	return l.layer
}

// outdone lets what is kept know that another sheet has it too: its layer's name says nothing then. Light comes through a
// front in holes of another size than those of the LEDs behind it, and these count.
func (m *merging) outdone(o *kept, l *loop, leaf int) {
	if m.leaves[leaf].kind == role.LEDSheet && l.round && o.loop.round && ledSize(l.d) && !ledSize(o.loop.d) && o.loop.d < 6 {
		*o.loop = *l
		return
	}
	if m.leaves[o.leaf].kind == role.NoLeaf && m.leaves[leaf].kind == role.NoLeaf && l.area < o.loop.area && l.round == o.loop.round {
		*o.loop = *l // nothing tells which is the front's: what is cut too small can be widened
	}
	if k := m.leaves[o.leaf].kind; k != role.NoLeaf && role.LeafOf(o.loop.from.Layer) == k { // not where words beside the sheet name it
		o.loop.layer = sharedLayer
	}
}

// says returns what layer a thing is judged by: of a sheet over others, the sheet's name says what it is, not what each thing
// on it is, but for what only this sheet has.
func (m *merging) says(l *loop, leaf int) string {
	switch k := m.leaves[leaf].kind; {
	case k == role.LEDSheet && l.round && ledSize(l.d):
		return "LED"
	case k == role.Legend:
		return "print"
	case k != role.NoLeaf && role.LeafOf(l.from.Layer) == k:
		return sharedLayer
	}
	return ""
}

// same returns the thing seen that a loop of another sheet is the same as: at its place and of its size, or about its centre,
// since a sheet behind has its holes a little wider.
func (m *merging) same(l *loop, leaf int, r panel.Role) int {
	best := -1
	c := l.centre()
	m.seen.near(c, leafSame, func(i int) {
		o := &m.kept[i]
		if o.role.Printed() && o.role != r {
			return
		}
		if best >= 0 || o.leaf == leaf || r != "" && r != panel.RoleLettering && o.role != r || m.leaves[o.leaf].of != m.leaves[leaf].of || o.loop.centre().Dist(c) > leafSame {
			return
		}
		engraved := r == panel.RoleLettering || o.role == panel.RoleWindow || m.leaves[leaf].kind == role.Legend || m.leaves[o.leaf].kind == role.Legend
		if dx, dy := math.Abs(l.box.W()-o.loop.box.W()), math.Abs(l.box.H()-o.loop.box.H()); engraved && max(dx, dy) > 2*leafSame {
			return // a ring round a knob
		}
		if big, small := max(l.area, o.loop.area), min(l.area, o.loop.area); small < 0.05*big {
			return
		}
		best = i
	})
	return best
}

// texts returns texts in the panels' frames; those that stand on several sheets are one.
func (m *merging) texts(es []*dxf.Entity) []*dxf.Entity {
	var out []*dxf.Entity
	type word struct {
		text string
		x, y int
	}
	seen := map[word]bool{}
	for _, e := range es {
		m.watch.Step()
		if e.Text == nil {
			out = append(out, e)
			continue
		}
		leaf := -1
		for i := range m.leaves {
			if l := &m.leaves[i]; (l.layer == "" || l.layer == lowered(e.Layer)) && l.outline.hasText(e) {
				leaf = i
				break
			}
		}
		if leaf < 0 {
			out = append(out, e)
			continue
		}
		f := *e
		t := m.leaves[leaf].pose.text(*e.Text)
		f.Text = &t
		k := word{t.Text, int(math.Round(t.At.X)), int(math.Round(t.At.Y))}
		if seen[k] {
			continue
		}
		seen[k] = true
		m.copies[&f] = e
		out = append(out, &f)
	}
	return out
}
