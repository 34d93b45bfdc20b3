package read

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// ruled gives the roles that the project's rules tell by shape. It runs after the layers have given theirs: what it
// finds joins the cast, as if it had lain on the role's layer.
func ruled(w *work.Watch, c *cast, th things, ls layers, opt Options) findings {
	var said findings
	var loops []loop
	var open []piece
	for _, p := range th.pools {
		j := join(w, p.things, opt.tolerance(), false)
		what := "layer " + p.layer
		if p.layer == "" {
			what = "the drawing's layers"
		}
		said.join(healed(j, what, opt.tolerance(), false))
		loops = append(loops, wholes(w, j)...)
		open = append(open, j.open...)
	}
	loops = sortedByArea(w, loops)

	taken := make([]bool, len(loops))
	got := map[panel.Role][]loop{}
	uses := make([]int, len(ls.rules))
	for rank := range 4 {
		if rank == 1 {
			named := len(got[panel.RoleOutline])+len(th.byRole[panel.RoleOutline]) > 0
			outs, told := largest(w, loops, taken, ls, opt, named, uses)
			said.join(told)
			got[panel.RoleOutline] = append(got[panel.RoleOutline], outs...)
			continue
		}
		for i := range loops {
			w.Step()
			if taken[i] {
				continue
			}
			k, told := ruleFor(&loops[i], ls.rules, rank)
			said.join(told)
			if k >= 0 {
				if rank > 0 && doubleOfAny(&loops[i], got[panel.RoleOutline]) {
					continue
				}
				taken[i] = true
				uses[k]++
				role := ls.rules[k].Role
				got[role] = append(got[role], loops[i])
			}
		}
	}
	for i := range loops { // on a layer with a role of its own, that role has what no rule takes
		if role, ok := ls.role[lowered(loops[i].from.Layer)]; ok && !taken[i] {
			taken[i] = true
			got[role] = append(got[role], loops[i])
		}
	}
	var told findings
	got[panel.RoleOpening], told = concentric(w, got[panel.RoleOpening])
	said.join(told)
	for _, role := range panel.Roles() {
		j := c.used[role]
		j.loops = append(slices.Clip(j.loops), got[role]...)
		c.used[role] = j
	}
	c.left.loops, told = leftover(w, loops, taken, got)
	said.join(told)
	said.join(ruledLines(w, c, open, ls, uses))
	for k, rule := range ls.rules {
		switch {
		case uses[k] > 0 || rule.Kind == RestRule || rule.Kind == LargestRule:
		case (rule.Kind == TextRule || rule.Kind == FillRule) && takes(th, rule):
		default:
			near := ""
			if rule.Layer != "" && !slices.ContainsFunc(ls.names, func(n string) bool { return lowered(n) == lowered(rule.Layer) }) {
				near = meant(rule.Layer, ls.names)
			}
			said.add(diag.Warning, "panel-rule-empty", nil, "nothing in the drawing is %s, which the project names for %s", rule, rule.Role).
				About(opt.keysOf(rule)...).Fix("%s'lampblack survey' shows what there is; take the rule away or correct it", near)
		}
	}
	return said
}

// byArea orders loops from the largest to the smallest.
func byArea(a, b *loop) int {
	return cmp.Or(compare(b.area, a.area), compareXY(a.box.Min, b.box.Min))
}

// sortedByArea returns the loops from the largest to the smallest. Loops are large: their numbers are sorted.
func sortedByArea(w *work.Watch, ls []loop) []loop {
	order := make([]int, len(ls))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		w.Step()
		return byArea(&ls[a], &ls[b])
	})
	out := make([]loop, len(ls))
	for i, k := range order {
		out[i] = ls[k]
	}
	return out
}

// wholes returns the loops; where lines branch, the way round all of it counts and not what it is divided into.
func wholes(w *work.Watch, j joined) []loop {
	if len(j.outers) == 0 {
		return slices.Clone(j.loops)
	}
	return append(notIn(w, j.loops, j.outers, func(l, o *loop) bool { return l.area < o.area*(1-1e-9) && touches(l, o) }), j.outers...)
}

// ruleFor returns the rule of that rank for the closed line, -1 for none. Rules of several roles that fit equally well
// are told; of sizes the nearest counts.
func ruleFor(l *loop, rules []Rule, rank int) (int, findings) {
	var said findings
	best, miss, clash := -1, math.Inf(1), -1
	for k, rule := range rules {
		if rule.rank() != rank {
			continue
		}
		m, ok := rule.takes(l)
		if !ok {
			continue
		}
		// Named with its layer, a rule is meant more closely than without.
		if rule.Layer == "" {
			m += 1e3
		}
		switch {
		case best >= 0 && math.Abs(m-miss) <= 0.005:
			if rules[best].Role != rule.Role && clash < 0 {
				clash = k
			}
		case m < miss:
			best, miss, clash = k, m, -1
		}
	}
	if clash >= 0 {
		m := l.middle()
		said.add(diag.Warning, "panel-rule-clash", l.from, "%s is %s by one rule (%s) and %s by another (%s); the first is followed", l.said(), rules[best].Role, rules[best], rules[clash].Role, rules[clash]).
			About("roles").At(m.X, m.Y).Fix("make the rules differ: by a size, or by \"on layer NAME\"")
	}
	return best, said
}

// said names a closed line in words.
func (l *loop) said() string {
	if l.round {
		return fmt.Sprintf("a circle of %.4g mm", math.Round(l.d*1e3)/1e3)
	}
	return fmt.Sprintf("a closed line of %.4g x %.4g mm", l.box.W(), l.box.H())
}

// largest takes the outermost large closed lines as outlines where a rule says so, or where nothing else has named one.
func largest(w *work.Watch, loops []loop, taken []bool, ls layers, opt Options, named bool, uses []int) ([]loop, findings) {
	var said findings
	rule, told := Rule{Role: panel.RoleOutline, Kind: LargestRule}, false
	for k, x := range ls.rules {
		if x.Kind == LargestRule {
			rule, told = x, true
			uses[k]++
		}
	}
	_, mapped := opt.Layers[panel.RoleOutline]
	if !told && (mapped || named || slices.ContainsFunc(opt.Rules, func(x Rule) bool { return x.Role == panel.RoleOutline })) {
		return nil, said
	}
	var outs []loop
	for i := range loops {
		w.Step()
		l := &loops[i]
		if taken[i] || rule.Layer != "" && !strings.EqualFold(rule.Layer, l.from.Layer) {
			continue
		}
		small := len(outs) > 0 && (l.area < minorShare*outs[0].area || min(l.box.W(), l.box.H()) < minPanel)
		if small || inAny(l, outs) {
			continue
		}
		if outs = append(outs, *l); len(outs) > maxPanels {
			break
		}
		taken[i] = true
	}
	if !told && len(outs) > 0 {
		said.add(diag.Warning, "panel-outline-guessed", outs[0].from, "the project's roles name no outline; the largest closed line, %.4g x %.4g mm, is taken", outs[0].box.W(), outs[0].box.H()).
			About("roles").Fix("say so: roles: {outline: largest}")
	}
	return outs, said
}

func doubleOfAny(l *loop, outlines []loop) bool {
	for i := range outlines {
		if double(l, &outlines[i]) {
			return true
		}
	}
	return false
}

func inAny(l *loop, outer []loop) bool {
	for i := range outer {
		if l.in(&outer[i]) {
			return true
		}
	}
	return false
}

// leftover returns and tells the closed lines that no rule takes.
func leftover(w *work.Watch, loops []loop, taken []bool, got map[panel.Role][]loop) ([]loop, findings) {
	var said findings
	var left []loop
	var holes []loop
	shapes, rings := 0, 0
	var first, ring *dxf.Entity
	centres := newFinder(w, nil)
	var held []loop
	for _, role := range []panel.Role{panel.RoleLED, panel.RoleMount, panel.RoleOpening} {
		for _, l := range got[role] {
			if l.round {
				centres.add(l.box, len(held))
				held = append(held, l)
			}
		}
	}
	for i := range loops {
		w.Step()
		l := loops[i]
		switch {
		case taken[i]:
			continue
		case doubleOfAny(&l, got[panel.RoleOutline]):
			said.join(doubled(&l))
		case l.round && slices.ContainsFunc(centres.near(l.box, 0), func(k int) bool { return held[k].c.Dist(l.c) <= 0.05 }):
			if rings++; ring == nil {
				ring = l.from
			}
		case l.round:
			holes = append(holes, l)
		default:
			if shapes++; first == nil {
				first = l.from
			}
		}
		left = append(left, l)
	}
	if rings > 0 {
		said.add(diag.Note, "panel-concentric", ring, "%s drawn round the centre of another; the one that the roles name is taken as the hole", count(rings, "circle"))
	}
	var what []string
	for _, g := range byDiameter(w, holes) {
		if first == nil {
			first = g[0].from
		}
		what = append(what, fmt.Sprintf("%s of %.4g mm", count(len(g), "circle"), math.Round(middling(g)*1e3)/1e3))
	}
	if shapes > 0 {
		what = append(what, count(shapes, "other closed line"))
	}
	if len(what) > 0 {
		said.add(diag.Warning, "panel-no-role", first, "no role takes %s; they are not used", some(what, 12)).
			About("roles").Fix("name them in roles: as opening: circles 2.5 mm; \"opening: rest\" takes whatever is left, \"ignore: rest\" says that it means nothing")
	}
	return left, said
}

func doubled(l *loop) findings {
	var said findings
	said.add(diag.Warning, "panel-double-outline", l.from, "the outline is drawn twice, with a narrow gap; the outer one is taken").
		Fix("delete the one that is not the edge of the sheet")
	return said
}

// middling returns the diameter halfway between the least and the greatest of a group.
func middling(g []loop) float64 {
	lo, hi := g[0].d, g[0].d
	for _, l := range g {
		lo, hi = min(lo, l.d), max(hi, l.d)
	}
	return (lo + hi) / 2
}

// ruledLines gives open lines to the lettering where a rule says so, to the role of their layer where none does, and
// tells the others.
func ruledLines(w *work.Watch, c *cast, open []piece, ls layers, uses []int) findings {
	var said findings
	used := map[panel.Role]*joined{}
	of := func(role panel.Role) *joined {
		if used[role] == nil {
			j := c.used[role]
			j.open, j.ends = slices.Clip(j.open), slices.Clip(j.ends)
			used[role] = &j
		}
		return used[role]
	}
	for _, p := range open {
		w.Step()
		k := slices.IndexFunc(ls.rules, func(x Rule) bool { return x.forThing(LineRule, p.from) })
		role, own := ls.role[lowered(p.from.Layer)]
		switch {
		case k >= 0:
			if uses[k]++; ls.rules[k].Role == panel.RoleLettering {
				j := of(panel.RoleLettering)
				j.open = append(j.open, p) // lettering may end where it likes
			}
		case own:
			j := of(role)
			j.open = append(j.open, p)
			j.ends = append(j.ends, endsOf(j.open, len(j.open)-1)...)
		default:
			c.left.open = append(c.left.open, p)
		}
	}
	for role, j := range used {
		c.used[role] = *j
	}
	c.left.ends = endsOf(c.left.open, 0)
	if n := len(c.left.open); n > 0 {
		said.add(diag.Warning, "dxf-open-line", c.left.open[0].from, "%s %s not used: no role takes open lines", count(n, "open line"), are(n)).
			About("roles").Fix("close them if they are openings; \"lettering: lines\" engraves them, \"ignore: lines\" says that they mean nothing")
	}
	return said
}

// takes reports whether a rule for texts or fills finds anything.
func takes(th things, rule Rule) bool {
	hit := func(e *dxf.Entity) bool {
		return (e.Text != nil && rule.Kind == TextRule || e.Fill && rule.Kind == FillRule) && rule.forThing(rule.Kind, e)
	}
	for _, role := range RuleRoles() {
		if slices.ContainsFunc(th.byRole[role], hit) {
			return true
		}
	}
	return slices.ContainsFunc(th.fills, hit) || slices.ContainsFunc(th.writing, hit)
}
