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

// ruledOutlines takes the outlines that the project's rules name out of the free loops: what a rule with a size says is
// one, then the largest, then what other rules say. What a rule with a size says is something else is none.
func ruledOutlines(w *work.Watch, c *lines, th things, ls layers, opt Options) findings {
	var said findings
	loops := c.free.loops
	taken, other := make([]bool, len(loops)), make([]bool, len(loops))
	var outs []loop
	take := func(rank int) {
		for i := range loops {
			w.Step()
			if taken[i] || other[i] {
				continue
			}
			k, told := ruleFor(&loops[i], ls.rules, rank, ls)
			switch {
			case k >= 0 && ls.rules[k].Role == panel.RoleOutline:
				said.join(told)
				if rank > 0 && doubleOfAny(&loops[i], outs) {
					continue
				}
				taken[i] = true
				c.uses[k]++
				outs = append(outs, loops[i])
			case k >= 0:
				other[i] = true
			}
		}
	}
	take(0)
	named := len(outs)+len(th.byRole[panel.RoleOutline]) > 0
	more, told := largest(w, loops, taken, other, ls, opt, named, c.uses)
	said.join(told)
	outs = append(outs, more...)
	take(2)
	take(3)
	for i := range loops { // on the outline's own layer, it has what no rule takes
		if ls.role[lowered(loops[i].from.Layer)] == panel.RoleOutline && !taken[i] && !other[i] {
			taken[i] = true
			outs = append(outs, loops[i])
		}
	}
	j := c.used[panel.RoleOutline]
	j.loops = append(slices.Clip(j.loops), outs...)
	c.used[panel.RoleOutline] = j
	c.free = c.free.without(taken)
	return said
}

// ruled gives the roles that the project's rules tell to what lies in sheets.
func ruled(w *work.Watch, s *scene, uses []int, ls layers) findings {
	var said findings
	grounds := make([]*ground, len(ls.rules))
	for _, rank := range [...]int{0, 2, 3} {
		for i := range s.loops {
			w.Step()
			if s.roles[i] != "" || s.in[i] < 0 {
				continue
			}
			k, told := ruleFor(&s.loops[i], ls.rules, rank, ls)
			said.join(told)
			if k >= 0 {
				if uses[k]++; grounds[k] == nil {
					grounds[k] = ruledBy(&ls.rules[k])
				}
				s.roles[i], s.loops[i].ground = ls.rules[k].Role, grounds[k]
			}
		}
	}
	return said
}

// emptyRules tells rules that take nothing.
func emptyRules(uses []int, sheets []sheet, th things, ls layers, opt Options) findings {
	var said findings
	for k, rule := range ls.rules {
		switch {
		case uses[k] > 0 || rule.Kind == RestRule || rule.Kind == LargestRule || len(sheets) == 0 && rule.Role != panel.RoleOutline:
		case (rule.Kind == TextRule || rule.Kind == FillRule) && takes(th, rule):
		default:
			near := ""
			if rule.Layer != "" && !slices.ContainsFunc(ls.names, func(n string) bool { return lowered(n) == lowered(rule.Layer) }) {
				near = meant(rule.Layer, ls.names)
			}
			said.add(diag.Warning, "panel-rule-empty", nil, "nothing in the drawing is %s, which the project names for %s", rule, rule.Role).
				About(opt.keysOf(rule)...).Fix("%s%s shows what there is; take the rule away or correct it", near, shows()).
				By("take the rule away", diag.Remove, opt.keysOf(rule)[0], nil)
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
// are told.
func ruleFor(l *loop, rules []Rule, rank int, ls layers) (int, findings) {
	var said findings
	best, clash := fitting(l, rules, rank, ls, func(a, b int) bool { return rules[a].Role != rules[b].Role })
	if clash >= 0 {
		m := l.middle()
		said.add(diag.Warning, "panel-rule-clash", l.from, "%s is %s by one rule (%s) and %s by another (%s); the first is followed", l.said(), rules[best].Role, rules[best], rules[clash].Role, rules[clash]).
			About("roles").At(m.X, m.Y).Fix("make the rules differ: by a size, a place as \"in corners\", or \"on layer NAME\"")
	}
	return best, said
}

// fitting returns the rule that says most closely what it means, of sizes the nearest; and another one that fits as well and
// says what differs, if that is asked for.
func fitting(l *loop, rules []Rule, rank int, ls layers, differ func(a, b int) bool) (best, clash int) {
	miss, close := 0.0, 0
	best, clash = -1, -1
	_, owned := ls.role[lowered(l.from.Layer)]
	for k := range rules {
		rule := &rules[k]
		// On a layer with a role of its own, only what names the layer counts.
		if rule.rank() != rank || owned && rule.Layer == "" {
			continue
		}
		m, ok := rule.takes(l)
		if !ok {
			continue
		}
		c := rule.closeness()
		switch {
		case best >= 0 && (c < close || c == close && m > miss+0.005):
		case best >= 0 && c == close && math.Abs(m-miss) <= 0.005:
			if clash < 0 && differ != nil && differ(best, k) {
				clash = k
			}
		default:
			best, miss, close, clash = k, m, c, -1
		}
	}
	return best, clash
}

// taking returns the rule that takes a closed line, that of the least rank, as fitting has it; -1 for none.
func taking(l *loop, rules []Rule, ls layers, differ func(a, b int) bool) (best, clash int) {
	for _, rank := range [...]int{0, 2, 3} { // not 1: the largest is found among all
		if best, clash = fitting(l, rules, rank, ls, differ); best >= 0 {
			return best, clash
		}
	}
	return -1, -1
}

// said names a closed line in words.
func (l *loop) said() string {
	if l.round {
		return fmt.Sprintf("a circle of %.4g mm", math.Round(l.d*1e3)/1e3)
	}
	return fmt.Sprintf("a closed line of %.4g x %.4g mm", l.box.W(), l.box.H())
}

// largest takes the outermost large closed lines as outlines where a rule says so, or where nothing else has named one.
func largest(w *work.Watch, loops []loop, taken, other []bool, ls layers, opt Options, named bool, uses []int) ([]loop, findings) {
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
		if taken[i] || other[i] || rule.Layer != "" && !strings.EqualFold(rule.Layer, l.from.Layer) {
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
			About("roles").Fix("say so: roles: {outline: largest}").By("it is the panel's edge", diag.Add, "roles.outline", "largest")
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

// openLines gives open lines to the lettering where a rule says so, or where no rule says anything and they look like it (by
// the number of the line); to the role of their layer where none does, and tells the others where no layer means anything.
func openLines(w *work.Watch, c *lines, sheets []sheet, th things, ls layers, strokes []bool) (engraved int, said findings) {
	var first *dxf.Entity
	used := map[panel.Role]*joined{}
	of := func(role panel.Role) *joined {
		if used[role] == nil {
			j := c.used[role]
			j.open, j.ends = slices.Clip(j.open), slices.Clip(j.ends)
			used[role] = &j
		}
		return used[role]
	}
	var left []piece
	for i, p := range c.free.open {
		w.Step()
		k := -1
		if strokes[i] {
			k = closestFor(ls.rules, StrokeRule, p.from)
		}
		if k < 0 {
			k = closestFor(ls.rules, LineRule, p.from)
		}
		role, own := ls.role[lowered(p.from.Layer)]
		switch {
		case k >= 0:
			if c.uses[k]++; ls.rules[k].Role.Drawn() {
				j := of(ls.rules[k].Role)
				j.open = append(j.open, p) // lettering may end where it likes
			}
		case own:
			j := of(role)
			j.open = append(j.open, p)
			j.ends = append(j.ends, endsOf(j.open, len(j.open)-1)...)
		case strokes[i] && len(ls.rules) == 0:
			if engraved++; first == nil {
				first = p.from
			}
			j := of(panel.RoleLettering)
			j.open = append(j.open, p)
		default:
			left = append(left, p)
		}
	}
	if engraved > 0 {
		said.add(diag.Note, "panel-guess", first, "%s %s taken as lettering, since they form words or stand as the ticks of a dial or a scale", count(engraved, "open line"), are(engraved)).
			About("roles").Fix("if that is wrong, write roles: {ignore: strokes} in the project file, or put them on a layer of their own").
			By("they mean nothing", diag.Add, "roles.ignore", "strokes")
	}
	for role, j := range used {
		c.used[role] = *j
	}
	c.free.open, c.free.ends = left, endsOf(left, 0)
	if ls.none || len(ls.rules) > 0 {
		near, _ := nearlyIn(*c, sheets)
		told := fromsOf(near) // later, as such
		said.join(unusedLines(slices.DeleteFunc(slices.Clone(left), func(p piece) bool { return told[p.from] }), sheets, th, ls))
	}
	return engraved, said
}

// unusedLines tells of open lines that nobody has a use for: as a warning where they lie in a panel, or where there is none.
func unusedLines(left []piece, sheets []sheet, th things, ls layers) findings {
	var said findings
	var in, out []*dxf.Entity
	for i := range left {
		if p := &left[i]; len(sheets) == 0 || sheetAt(sheets, p.middle()) >= 0 {
			in = append(in, p.from)
		} else {
			out = append(out, p.from)
		}
	}
	if n := len(in); n > 0 {
		where := " within the panel"
		if len(sheets) == 0 {
			where = ""
		}
		if ls.none {
			why := "they do not close, so they are no openings, and nothing says that they are lettering"
			rule := "lines"
			if len(th.writing) > 0 { // which are lettering only as long as no rule says what is
				rule = "[lines, texts]"
			}
			if n == 1 {
				why = "it does not close, so it is no opening, and nothing says that it is lettering"
			}
			said.add(diag.Warning, "dxf-open-line", in[0], "%s%s %s neither cut nor engraved: %s", count(n, "open line"), where, are(n), why).
				About("roles").Fix("close them if they are openings; if they are to be engraved, put them on layer lettering or write roles: {lettering: %s} in the project file; \"ignore: lines\" says that they mean nothing", rule).
				By("engrave them", diag.Add, "roles.lettering", "lines").By("they mean nothing", diag.Add, "roles.ignore", "lines")
		} else {
			said.add(diag.Warning, "dxf-open-line", in[0], "%s%s %s not used: no role takes open lines", count(n, "open line"), where, are(n)).
				About("roles").Fix("close them if they are openings; \"lettering: lines\" engraves them, \"ignore: lines\" says that they mean nothing").
				By("engrave them", diag.Add, "roles.lettering", "lines").By("they mean nothing", diag.Add, "roles.ignore", "lines")
		}
	}
	if n := len(out); n > 0 {
		said.add(diag.Note, "dxf-open-line", out[0], "%s outside every panel %s not used, which changes nothing in the panels", count(n, "open line"), are(n)).About("roles")
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
