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
)

// ruled gives the roles that the project's rules tell by shape. It runs after the layers have given theirs: what it
// finds joins r.used and r.byRole, as if it had lain on the role's layer.
func (r *reader) ruled() {
	var loops []loop
	var open []piece
	for _, name := range r.poolOrder {
		j := join(r.pool[name], r.tol, false)
		what := "layer " + name
		if name == "" {
			what = "the drawing's layers"
		}
		r.healedOn(j, what, false)
		loops = append(loops, wholes(j)...)
		open = append(open, j.open...)
	}
	slices.SortStableFunc(loops, byArea)

	taken := make([]bool, len(loops))
	got := map[panel.Role][]loop{}
	uses := make([]int, len(r.shaped))
	for rank := range 4 {
		if rank == 1 {
			r.largest(loops, taken, got, uses)
			continue
		}
		for i := range loops {
			if taken[i] {
				continue
			}
			if k := r.ruleFor(&loops[i], rank); k >= 0 {
				if rank > 0 && doubleOfAny(&loops[i], got[panel.RoleOutline]) {
					continue
				}
				taken[i] = true
				uses[k]++
				role := r.shaped[k].Role
				got[role] = append(got[role], loops[i])
			}
		}
	}
	for i := range loops { // on a layer with a role of its own, that role has what no rule takes
		if role, ok := r.role[lowered(loops[i].from.Layer)]; ok && !taken[i] {
			taken[i] = true
			got[role] = append(got[role], loops[i])
		}
	}
	got[panel.RoleOpening] = r.concentric(got[panel.RoleOpening])
	for _, role := range panel.Roles() {
		j := r.used[role]
		j.loops = append(slices.Clip(j.loops), got[role]...)
		r.used[role] = j
	}
	r.leftover(loops, taken, got)
	r.ruledLines(open, uses)
	for k, rule := range r.shaped {
		switch {
		case uses[k] > 0 || rule.Kind == RestRule || rule.Kind == LargestRule:
		case rule.Kind == TextRule && r.takenTexts(rule), rule.Kind == FillRule && r.takenFills(rule):
		default:
			r.add(diag.Warning, "panel-rule-empty", nil, "nothing in the drawing is %s, which the project names for %s", rule, rule.Role).
				Fix("'lampblack survey' shows what there is; take the rule away or correct it")
		}
	}
}

// byArea orders loops from the largest to the smallest.
func byArea(a, b loop) int {
	return cmp.Or(cmp.Compare(b.area, a.area), compareXY(a.box.Min, b.box.Min))
}

// wholes returns the loops; where lines branch, the way round all of it counts and not what it is divided into.
func wholes(j joined) []loop {
	loops := j.loops
	for i := range j.outers {
		o := &j.outers[i]
		loops = slices.DeleteFunc(slices.Clone(loops), func(l loop) bool { return l.area < o.area*(1-1e-9) && l.standingIn(o) == within && touches(&l, o) })
	}
	return append(slices.Clone(loops), j.outers...)
}

// ruleFor returns the rule of that rank for the closed line, -1 for none. Rules of several roles that fit equally well
// are told; of sizes the nearest counts.
func (r *reader) ruleFor(l *loop, rank int) int {
	best, miss, clash := -1, math.Inf(1), -1
	for k, rule := range r.shaped {
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
			if r.shaped[best].Role != rule.Role && clash < 0 {
				clash = k
			}
		case m < miss:
			best, miss, clash = k, m, -1
		}
	}
	if clash >= 0 {
		m := l.middle()
		r.add(diag.Warning, "panel-rule-clash", l.from, "%s is %s by one rule (%s) and %s by another (%s); the first is followed", l.said(), r.shaped[best].Role, r.shaped[best], r.shaped[clash].Role, r.shaped[clash]).
			At(m.X, m.Y).Fix("make the rules differ: by a size, or by \"on layer NAME\"")
	}
	return best
}

// said names a closed line in words.
func (l *loop) said() string {
	if l.round {
		return fmt.Sprintf("a circle of %.4g mm", math.Round(l.d*1e3)/1e3)
	}
	return fmt.Sprintf("a closed line of %.4g x %.4g mm", l.box.W(), l.box.H())
}

// largest takes the outermost large closed lines as outlines where a rule says so, or where nothing else names one.
func (r *reader) largest(loops []loop, taken []bool, got map[panel.Role][]loop, uses []int) {
	rule, told := Rule{Role: panel.RoleOutline, Kind: LargestRule}, false
	for k, x := range r.shaped {
		if x.Kind == LargestRule {
			rule, told = x, true
			uses[k]++
		}
	}
	_, mapped := r.opt.Layers[panel.RoleOutline]
	if !told && (mapped || len(got[panel.RoleOutline]) > 0 || len(r.byRole[panel.RoleOutline]) > 0 || slices.ContainsFunc(r.opt.Rules, func(x Rule) bool { return x.Role == panel.RoleOutline })) {
		return
	}
	var outs []loop
	for i := range loops {
		l := &loops[i]
		if taken[i] || rule.Layer != "" && !strings.EqualFold(rule.Layer, l.from.Layer) {
			continue
		}
		inside := slices.ContainsFunc(outs, func(o loop) bool { return l.standingIn(&o) == within })
		if inside || len(outs) > 0 && (l.area < minorShare*outs[0].area || min(l.box.W(), l.box.H()) < minPanel) {
			continue
		}
		if outs = append(outs, *l); len(outs) > maxPanels {
			break
		}
		taken[i] = true
	}
	if !told && len(outs) > 0 {
		r.add(diag.Warning, "panel-outline-guessed", outs[0].from, "the project's roles name no outline; the largest closed line, %.4g x %.4g mm, is taken", outs[0].box.W(), outs[0].box.H()).
			Fix("say so: roles: {outline: largest}")
	}
	got[panel.RoleOutline] = append(got[panel.RoleOutline], outs...)
}

func doubleOfAny(l *loop, outlines []loop) bool {
	return slices.ContainsFunc(outlines, func(o loop) bool { return double(l, &o) })
}

// leftover tells the closed lines that no rule takes.
func (r *reader) leftover(loops []loop, taken []bool, got map[panel.Role][]loop) {
	var holes []loop
	shapes, rings := 0, 0
	var first, ring *dxf.Entity
	centres := newFinder(nil)
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
		l := loops[i]
		switch {
		case taken[i]:
			continue
		case doubleOfAny(&l, got[panel.RoleOutline]):
			r.doubled(&l)
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
		r.left.loops = append(r.left.loops, l)
	}
	if rings > 0 {
		r.add(diag.Note, "panel-concentric", ring, "%s drawn round the centre of another; the one that the roles name is taken as the hole", count(rings, "circle"))
	}
	var what []string
	for _, g := range byDiameter(holes) {
		if first == nil {
			first = g[0].from
		}
		what = append(what, fmt.Sprintf("%s of %.4g mm", count(len(g), "circle"), math.Round(middling(g)*1e3)/1e3))
	}
	if shapes > 0 {
		what = append(what, count(shapes, "other closed line"))
	}
	if len(what) > 0 {
		r.add(diag.Warning, "panel-no-role", first, "no role takes %s; they are not used", some(what, 12)).
			Fix("name them in roles: as opening: circles 2.5 mm; \"opening: rest\" takes whatever is left, \"ignore: rest\" says that it means nothing")
	}
}

func (r *reader) doubled(l *loop) {
	r.add(diag.Warning, "panel-double-outline", l.from, "the outline is drawn twice, with a narrow gap; the outer one is taken").
		Fix("delete the one that is not the edge of the sheet")
}

// middling returns the diameter halfway between the least and the greatest of a group.
func middling(g []loop) float64 {
	lo, hi := g[0].d, g[0].d
	for _, l := range g {
		lo, hi = min(lo, l.d), max(hi, l.d)
	}
	return (lo + hi) / 2
}

// ruledLines gives open lines to the lettering where a rule says so, and tells the others.
func (r *reader) ruledLines(open []piece, uses []int) {
	j := r.used[panel.RoleLettering]
	j.open = slices.Clip(j.open)
	var lost []piece
	for _, p := range open {
		k := slices.IndexFunc(r.shaped, func(x Rule) bool { return x.forThing(LineRule, p.from) })
		role, own := r.role[lowered(p.from.Layer)]
		switch {
		case k < 0 && own:
			o := r.used[role]
			o.ends = append(slices.Clip(o.ends), loose{p.end(false), p.from, len(o.open)}, loose{p.end(true), p.lastFrom(), len(o.open)})
			o.open = append(slices.Clip(o.open), p)
			r.used[role] = o
			if role == panel.RoleLettering {
				j = o
			}
		case k < 0:
			lost = append(lost, p)
		case r.shaped[k].Role == panel.RoleLettering:
			j.open = append(j.open, p)
		}
		if k >= 0 {
			uses[k]++
		}
	}
	r.used[panel.RoleLettering] = j
	r.left.open = lost
	for i := range lost {
		p := &lost[i]
		r.left.ends = append(r.left.ends, loose{p.end(false), p.from, i}, loose{p.end(true), p.lastFrom(), i})
	}
	if n := len(lost); n > 0 {
		r.add(diag.Warning, "dxf-open-line", lost[0].from, "%s %s not used: no role takes open lines", count(n, "open line"), are(n)).
			Fix("close them if they are openings; \"lettering: lines\" engraves them, \"ignore: lines\" says that they mean nothing")
	}
}

// takenTexts and takenFills report whether a rule found anything.
func (r *reader) takenTexts(rule Rule) bool {
	for i := range r.d.Entities {
		if e := &r.d.Entities[i]; e.Text != nil && rule.forThing(TextRule, e) {
			return true
		}
	}
	return false
}

func (r *reader) takenFills(rule Rule) bool {
	for i := range r.d.Entities {
		if e := &r.d.Entities[i]; e.Fill && rule.forThing(FillRule, e) {
			return true
		}
	}
	return false
}
