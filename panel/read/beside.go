package read

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

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
			if slices.ContainsFunc(sheets, func(s sheet) bool { return sameTurned(&s.outline, l) }) {
				out = append(out, sheet{outline: *l})
			}
		}
	}
	return out
}

func sameSize(a, b *loop) bool {
	return math.Abs(a.box.W()-b.box.W()) <= 2*leafFit && math.Abs(a.box.H()-b.box.H()) <= 2*leafFit
}

// sameTurned reports whether they are of one form when one is turned over, or turned half round.
func sameTurned(a, b *loop) bool {
	return slices.ContainsFunc(turns[:], func(t pose) bool {
		m := b.posed(t)
		return sameForm(a, &m)
	})
}

// sameForm reports whether two loops are of one size and form.
func sameForm(a, b *loop) bool {
	if !sameSize(a, b) {
		return false
	}
	m := b.posed(pose{}.onto(b.centre(), a.centre()))
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
			if taken[k] || !sameSize(a, b) || !sameTurned(a, b) {
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

// beside judges outlines of one size that stand beside each other, and marks those that are sheets of another as gone.
func (st *stack) beside(w *work.Watch, g []int, sheets []sheet, c lines, th things, opt Options, gone []bool) findings {
	var said findings
	ls := make([]leaf, len(g))
	named := captionsOf(sheets, g, th)
	for n, i := range g {
		ls[n] = leaf{outline: sheets[i].outline, named: named[n], kind: role.LeafOf(named[n])}
	}
	all, ok := itemsOn(w, ls, c)
	if !ok {
		return said
	}
	faced(w, ls, all, fullest(ls, all, th), opt)
	if !tallied(w, ls, all, th) {
		return said
	}
	best, front := frontOf(ls)
	together, doubt, why, against := verdict(ls, opt)
	if together && !front {
		doubt, against = true, append(against, "they are mirrored, and nothing tells which is seen from the front")
	}
	said.join(st.askedWhether(ls, together, doubt && opt.Sheets == SheetsJudged, why, against))
	if !together {
		return said
	}
	if opt.Sheets == SheetsJudged {
		said.join(st.askedFacing(ls))
	}
	back := ls[best].pose.back()
	for n, i := range g {
		ls[n].of, ls[n].pose = g[best], ls[n].pose.then(back)
		gone[i] = n != best
	}
	st.leaves = append(st.leaves, ls...)
	return said
}

// fullest returns the sheet by which others are laid: the face, else that with lettering, else that with most on it.
func fullest(ls []leaf, all []item, th things) int {
	n := make([][3]int, len(ls))
	for i := range all {
		k := n[all[i].leaf][:]
		if k[2]++; all[i].letter {
			k[1] = 1
		}
	}
	for _, e := range th.texts() {
		if k := slices.IndexFunc(ls, func(x leaf) bool { return e.Text != nil && x.outline.hasText(e) }); k >= 0 {
			n[k][1] = 1
		}
	}
	best := 0
	for i := range ls {
		if ls[i].kind == role.Face {
			n[i][0] = 1
		}
		if slices.Compare(n[i][:], n[best][:]) > 0 {
			best = i
		}
	}
	return best
}

// askedWhether asks whether outlines are sheets of one panel.
func (st *stack) askedWhether(ls []leaf, together, doubt bool, why, against []string) findings {
	var said findings
	if !doubt {
		return said
	}
	as := SheetsTogether
	if slices.ContainsFunc(ls, func(l leaf) bool { return l.unsure && l.pose.mirrors() }) {
		as = SheetsMirrored
	}
	size := sizeOf(&ls[0].outline)
	if last := &ls[len(ls)-1].outline; !sameSize(&ls[0].outline, last) {
		size += " and " + sizeOf(last)
	}
	q := diag.Question{Things: fmt.Sprintf("%d outlines of %s", len(ls), size), Assumed: string(SheetsApart), Choices: []diag.Choice{
		{Role: string(SheetsApart), Words: "panels of their own", Says: sheetsAre(SheetsApart)},
		{Role: string(as), Words: "sheets of one panel", Says: sheetsAre(as)}}}
	if together {
		q.Assumed = string(as)
		slices.Reverse(q.Choices)
	}
	for i := range ls {
		m := ls[i].outline.centre()
		q.At = append(q.At, diag.Point{X: m.X, Y: m.Y})
	}
	st.asked = true
	m := ls[0].outline.centre()
	said.add(diag.Warning, "panel-question", ls[0].outline.from, "%s: are they %s or %s? They are taken as %s%s; but %s", q.Things, q.Choices[0].Words, q.Choices[1].Words, q.Choices[0].Words, since(why), but(against, "nothing else tells")).
		About("sheets").At(m.X, m.Y).Asks(q).
		Fix("write which in the project file: %s, or %s", q.Choices[0].YAML(), q.Choices[1].YAML())
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
	texts := th.texts()
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
