package read

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// cast gives every free loop that lies in a sheet its role: by the project's rules, else by the layer that it lies on if
// that has one, else by evidence. It returns the lines with what has a role among those of that role, and the texts that
// are lettering; and it proposes the rules that say the same.
func cast(w *work.Watch, sheets []sheet, c lines, th things, ls layers, opt Options) (lines, []*dxf.Entity, proposal, findings) {
	var said findings
	c.used = maps.Clone(c.used)
	loops := c.free.loops // from the largest to the smallest
	roles := make([]panel.Role, len(loops))
	in := make([]int, len(loops)) // the sheet that each lies in; -1: none
	twice := false
	for i := range loops {
		w.Step()
		l := &loops[i]
		in[i] = holder(sheets, l)
		if in[i] >= 0 && double(l, &sheets[in[i]].outline) {
			if !twice {
				said.join(doubled(l))
			}
			twice = true
			roles[i] = panel.RoleIgnore
		}
	}
	if len(ls.rules) > 0 {
		said.join(ruled(w, loops, roles, c.uses, ls))
	}
	for i := range loops {
		if role, ok := ls.role[lowered(loops[i].from.Layer)]; ok && roles[i] == "" {
			roles[i] = role
		}
	}
	cut := newFinder(w, nil) // what is cut out has nothing in it, whatever the rules leave there
	for i := range loops {
		if roles[i] == panel.RoleOpening {
			cut.add(loops[i].box, i)
		}
	}
	for i := range loops {
		if roles[i] == "" && in[i] >= 0 && slices.ContainsFunc(cut.near(loops[i].box, 0), func(k int) bool { return loops[i].in(&loops[k]) }) {
			roles[i] = noRole
		}
	}
	said.join(unruled(loops, roles, in, ls))
	p := proposal{}
	if len(sheets) > 0 && ls.none {
		p = framedOr(w, sheets, loops)
	}
	of := make([][]int, len(sheets))
	for i := range loops {
		if in[i] >= 0 && roles[i] == "" {
			of[in[i]] = append(of[in[i]], i)
		}
	}
	for k := range sheets {
		more, told := guessedSheet(w, &sheets[k], loops, of[k], roles)
		said.join(told)
		p = p.with(more...)
	}
	got := map[panel.Role][]loop{}
	left := make([]bool, len(loops))
	minor := 0
	var first *dxf.Entity
	for i := range loops {
		if left[i] = roles[i] != "" && roles[i] != noRole; left[i] && roles[i] != panel.RoleIgnore {
			got[roles[i]] = append(got[roles[i]], loops[i])
		}
		if in[i] < 0 && roles[i] == "" {
			if minor++; first == nil {
				first = loops[i].from
			}
		}
	}
	if minor > 0 && (ls.none || len(ls.rules) > 0) && len(sheets) > 0 {
		said.add(diag.Warning, "panel-guess", first, "%s outside the outline %s not used", count(minor, "closed line"), are(minor)).About("roles")
	}
	for _, role := range panel.Roles() {
		if len(got[role]) > 0 {
			j := c.used[role]
			j.loops = append(slices.Clip(j.loops), got[role]...)
			c.used[role] = j
		}
	}
	c.free = c.free.without(left)
	said.join(openLines(w, &c, ls))
	texts := th.byRole[panel.RoleLettering]
	if ls.none {
		texts = th.writing
		n := 0
		for _, e := range texts {
			if slices.ContainsFunc(sheets, func(s sheet) bool { return s.hasText(e) }) {
				n++
			}
		}
		if n > 0 {
			said.add(diag.Note, "panel-guess", nil, "%s within the outline %s taken as lettering", count(n, "text"), are(n)).About("roles")
			p = p.with(Proposed{Rule{Role: panel.RoleLettering, Kind: TextRule}, n, ""})
		}
	}
	if len(ls.rules) > 0 {
		said.join(emptyRules(c.uses, th, ls, opt))
	}
	return c, texts, p.tidied(), said
}

// noRole marks what was looked at and is nothing.
const noRole panel.Role = "-"

// unruled tells what the project's rules leave.
func unruled(loops []loop, roles []panel.Role, in []int, ls layers) findings {
	var said findings
	if len(ls.rules) == 0 {
		return said
	}
	var first *dxf.Entity
	var holes []loop
	shapes := 0
	for i := range loops {
		if roles[i] != "" || in[i] < 0 {
			continue
		}
		if first == nil {
			first = loops[i].from
		}
		if loops[i].round {
			holes = append(holes, loops[i])
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
			About("roles").Fix("name them in roles: as opening: circles 2.5 mm; \"opening: rest\" takes whatever is left, \"ignore: rest\" says that it means nothing")
	}
	return said
}
