package read

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// lines is the drawing's lines, joined, by what they are for.
type lines struct {
	used map[panel.Role]joined // what has a role
	free joined                // what has none, or none yet
	uses []int                 // how many things each rule took
}

// joinedUp joins the things of each layer that has a role, and those of the others.
func joinedUp(w *work.Watch, th things, ls layers, opt Options) (lines, findings) {
	c := lines{used: map[panel.Role]joined{}, uses: make([]int, len(ls.rules))}
	var said, told findings
	for _, role := range panel.Roles() {
		lettering := role.Drawn()
		j := join(w, th.curves(role), opt.tolerance(), lettering)
		if !lettering {
			j = closedNearly(w, j, opt.Join != 0)
		}
		c.used[role] = j
		said.join(healed(j, "layer "+string(role), opt.tolerance(), lettering))
	}
	c.free = closedNearly(w, layered(w, th.free, ls, opt.tolerance()), opt.Join != 0)
	if cut, ok, more := crossed(w, c.free, th.free, opt.tolerance()); ok && (ls.none || len(ls.rules) > 0) {
		said.join(more)
		cut.loops, cut.outers = wholes(w, cut), nil
		c.free = cut
	}
	said.join(healed(c.free, "the drawing's layers", opt.tolerance(), true)) // branches are told once roles are known
	c.free.loops, told = penned(w, sortedByArea(w, c.free.loops))
	said.join(told)
	return c, said
}

// outlines makes a sheet of every outermost loop of the outline layer, or of what rules name so; loops of that layer in
// them are openings, which are told. Where nothing closes there, sides that were drawn too long are cut; and where that
// closes nothing either, or nothing says what the outline is, the largest closed lines of the drawing are taken. What is
// taken is no longer free. With failed, errors were told before.
func outlines(w *work.Watch, c lines, th things, ls layers, d *dxf.Drawing, opt Options, failed bool) ([]sheet, lines, findings) {
	var said findings
	tol := opt.tolerance()
	c.used = maps.Clone(c.used)
	if len(ls.rules) > 0 {
		said.join(ruledOutlines(w, &c, th, ls, opt))
	}
	j := c.used[panel.RoleOutline]
	if cut, ok, told := crossed(w, j, th.curves(panel.RoleOutline), tol); ok {
		said.join(told)
		j = cut
		c.used[panel.RoleOutline] = j
	}
	loops := j.loops
	if len(j.outers) > 0 {
		// Where lines branch, the outermost way round is the outline and the faces are what it is divided into.
		loops = append(notIn(w, j.loops, j.outers, func(l, outer *loop) bool { return l.face && l.area < outer.area*(1+1e-9) }), j.outers...)
	}
	sheets, told := sheetsOf(w, loops, "on the outline layer")
	said.join(told)
	leds := c.used[panel.RoleLED].loops
	said.join(openEnds(w, j, panel.RoleOutline, tol, len(sheets) > 0 && !enclose(w, j, leds, sheets)))
	if len(sheets) == 0 {
		sheets, c, told = freeOutlines(w, c, th, ls, d, opt, failed, ls.missing || said.has("dxf-open-outline"))
		said.join(told)
	}
	return sheets, c, said
}

// outlines adds the outlines of sheets to what has that role.
func (c *lines) outlines(sheets []sheet) {
	j := c.used[panel.RoleOutline]
	j.loops = slices.Clip(j.loops)
	for i := range sheets {
		j.loops = append(j.loops, sheets[i].outline)
	}
	c.used[panel.RoleOutline] = j
}

// freeOutlines takes the outlines of the free loops where nothing on their layer or by the rules is one: the largest
// ones beside each other, or, where these do not hold the LEDs that are drawn, the largest one round those. With told,
// the reason why there are none is known already.
func freeOutlines(w *work.Watch, c lines, th things, ls layers, d *dxf.Drawing, opt Options, failed, told bool) ([]sheet, lines, findings) {
	var said findings
	leds := c.used[panel.RoleLED].loops
	ruled := slices.ContainsFunc(opt.Rules, func(x Rule) bool { return x.Role == panel.RoleOutline })
	if opt.Layers[panel.RoleOutline] == "" && !told && !ruled {
		sheets, rest, more := guessedOutlines(w, c.free, ls, d)
		all := true
		for i := range leds {
			all = all && sheetAt(sheets, leds[i].middle()) >= 0
		}
		if bare, why := edgeless(w, sheets, c, th); all && bare {
			said.join(why)
			return nil, c, said
		}
		if all && len(sheets) > 0 {
			c.free = rest
			c.outlines(sheets)
			return sheets, c, more
		}
	}
	best := -1
	for i := range c.free.loops {
		l := &c.free.loops[i]
		if !ruled && (best < 0 || l.area > c.free.loops[best].area) && holdsAll(w, l, leds) {
			best = i
		}
	}
	if best >= 0 {
		l := c.free.loops[best]
		taken := make([]bool, len(c.free.loops))
		taken[best] = true
		c.free = c.free.without(taken)
		sheets := []sheet{{outline: l, guessed: true}}
		c.outlines(sheets)
		if opt.Layers[panel.RoleOutline] != "" && ls.missing {
			return sheets, c, said // that the layer named is missing is told, and a guess beside it would contradict that
		}
		said.add(diag.Warning, "panel-outline-guessed", l.from, "nothing closed lies on layer outline; the largest closed line round the LEDs, on layer %s, is taken", l.from.Layer).
			About("layers.outline").Fix("put the panel's edge on layer outline, or name its layer in the project file (layers: {outline: %s})", l.from.Layer)
		return sheets, c, said
	}
	if ls.none {
		said.join(openEnds(w, c.free, panel.RoleOutline, opt.tolerance(), false))
		if !failed && !said.list.HasErrors() {
			said.add(diag.Error, "panel-no-outline", nil, "there is no outline: the drawing has none of our layers and nothing in it is a closed line%s", butSlivers(c.free.loops)).
				About("layers.outline", "roles").Fix("draw the panel's edge as a closed line, best on layer outline")
		}
		return nil, c, said
	}
	if told {
		return nil, c, said
	}
	if len(ls.rules) > 0 {
		said.join(noneByRule(c, ls))
		return nil, c, said
	}
	f := said.add(diag.Error, "panel-no-outline", nil, "there is no outline: no closed line on layer outline%s", butSlivers(c.used[panel.RoleOutline].loops)).About("layers.outline")
	f.Fix("draw the panel's edge as a closed line on layer outline, or name its layer in the project file (layers: {outline: NAME}); the drawing's layers are %s", some(ls.names, 20))
	return nil, c, said
}

// crossed joins things that close nothing anew, their sides, drawn too long, cut where they cross. ok is false when they
// do close, or that closes nothing either.
func crossed(w *work.Watch, j joined, es []*dxf.Entity, tol float64) (out joined, ok bool, said findings) {
	if len(j.loops)+len(j.outers) > 0 || len(j.open) < 2 {
		return j, false, said
	}
	out = joinOf(w, es, tol, false, true)
	if len(out.loops)+len(out.outers) == 0 {
		return j, false, said
	}
	l := slices.Concat(out.outers, out.loops)[0]
	f := said.add(diag.Warning, "dxf-crossing-lines", l.from, "the outline's sides run past each other; they are cut where they cross").
		Fix("trim them in the CAD program, if another way round is meant")
	if len(out.branches) > 0 {
		f.At(out.branches[0].X, out.branches[0].Y)
	}
	return out, true, said
}

// butSlivers adds to "nothing is a closed line" what is one, if too thin for a panel.
func butSlivers(loops []loop) string {
	if len(loops) == 0 {
		return ""
	}
	l := &loops[0]
	return fmt.Sprintf(" round a panel: the largest, %.4g x %.4g mm, is too thin", l.box.W(), l.box.H())
}

// notIn returns the loops but those that lie in one of the outer ones for which drop says so.
func notIn(w *work.Watch, loops, outers []loop, drop func(l, outer *loop) bool) []loop {
	find := newFinder(w, outers)
	var out []loop
	for i := range loops {
		l := &loops[i]
		if !slices.ContainsFunc(find.near(l.box, 0), func(k int) bool { return drop(l, &outers[k]) && l.in(&outers[k]) }) {
			out = append(out, *l)
		}
	}
	return out
}

// sheetsOf makes sheets of the outermost loops and openings of the loops right inside them.
func sheetsOf(w *work.Watch, loops []loop, origin string) ([]sheet, findings) {
	var said findings
	var sheets []sheet
	var inner []*finder // the openings of each sheet
	for _, l := range sortedByArea(w, loops) {
		w.Step()
		at := holder(sheets, &l)
		// Where the largest is no strip, and still as thin as that, the drawing is in another unit.
		strip := l.thin() && (l.sliver() || len(sheets) > 0 && !sheets[0].outline.thin())
		if at < 0 && strip && !l.crossesItself(w) {
			said.add(diag.Warning, "panel-outline-sliver", l.from, "a closed strip of %.4g x %.4g mm %s is too thin for a panel and is not used", l.box.W(), l.box.H(), origin).
				At(l.middle().X, l.middle().Y).Fix("delete it, if it is what is left between two lines that were drawn for one")
			continue
		}
		if at < 0 {
			if len(sheets) == maxPanels {
				said.join(tooMany(&l))
				break
			}
			sheets, inner = append(sheets, sheet{outline: l}), append(inner, newFinder(w, nil))
			continue
		}
		home := &sheets[at]
		if double(&l, &home.outline) {
			said.join(doubled(&l))
			continue
		}
		island := slices.ContainsFunc(inner[at].near(l.box, 0), func(i int) bool { return l.in(&home.openings[i]) })
		if island {
			said.add(diag.Warning, "panel-island", l.from, "a closed line within an opening would be a piece that falls out; it is not used").
				Fix("draw it as a panel of its own beside this one, or delete it")
			continue
		}
		inner[at].add(l.box, len(home.openings))
		home.openings = append(home.openings, l)
		said.add(diag.Note, "panel-inner-outline", l.from, "a closed line %s within the outline is taken as an opening", origin).
			Fix("put it on layer opening to say so")
	}
	return sheets, said
}

// holder returns the sheet that the loop lies in, -1 for none.
func holder(sheets []sheet, l *loop) int {
	for i := range sheets {
		if l.in(&sheets[i].outline) {
			return i
		}
	}
	return -1
}

// maxPanels bounds the outlines of one drawing: a console has a dozen panels.
const maxPanels = 64

func tooMany(outline *loop) findings {
	var said findings
	said.add(diag.Error, "panel-too-many", outline.from, "the drawing holds more than %d outlines", maxPanels).
		Fix("give each panel, or each console, a drawing of its own; or is the outline drawn in pieces that close by themselves?")
	return said
}

// double reports whether two loops are one edge drawn with both sides of a pen: nowhere more than half a millimetre
// apart, which no web of a panel is.
func double(in, out *loop) bool {
	if out.area-in.area > 0.5*out.path.Perimeter() {
		return false
	}
	for _, p := range in.flat() {
		if !out.near(p, 0.5) {
			return false
		}
	}
	return true
}

// holdsAll reports whether every LED hole, and at least one, lies in the closed line.
func holdsAll(w *work.Watch, l *loop, leds []loop) bool {
	for i := range leds {
		w.Step()
		if !l.holds(leds[i].middle()) {
			return false
		}
	}
	return len(leds) > 0
}

// sized names a closed line's kind and size as a rule does.
func (l *loop) sized() string {
	if l.round {
		return "circles " + lengths(hundredths(l.d), hundredths(l.d)) + " mm"
	}
	return "shapes " + lengths(hundredths(l.box.W()), hundredths(l.box.W())) + " x " + lengths(hundredths(l.box.H()), hundredths(l.box.H())) + " mm"
}

// noneByRule tells that no closed line is an outline by the project's rules, what they say it is, and which rule took the
// largest one there is.
func noneByRule(c lines, ls layers) findings {
	var said findings
	var says []string
	for _, r := range ls.rules {
		if r.Role == panel.RoleOutline {
			says = append(says, r.String())
		}
	}
	if len(c.free.loops) == 0 {
		said.add(diag.Error, "panel-no-outline", nil, "there is no outline: nothing in the drawing that the project's roles may take for one is a closed line").About("roles", "layers.outline").
			Fix("draw the panel's edge as a closed line; the drawing's layers are %s", some(ls.names, 20))
		return said
	}
	l := &c.free.loops[0]
	for i := range c.free.loops {
		if c.free.loops[i].area > l.area {
			l = &c.free.loops[i]
		}
	}
	size := l.sized()
	k, _ := taking(l, ls.rules, ls, nil)
	what := "no rule of the project's roles names one"
	if len(says) > 0 {
		what = "no closed line is " + strings.Join(says, " or ") + ", as the project's roles say"
	}
	m := l.middle()
	if k >= 0 && ls.rules[k].Role != panel.RoleOutline {
		r := ls.rules[k]
		said.add(diag.Error, "panel-no-outline", l.from, "there is no outline: %s; the largest, %s, is taken as %s by the rule %q", what, l.said(), r.Role, r.String()).
			About("roles").At(m.X, m.Y).
			Fix("if it is the panel's edge, write outline: largest, or outline: %s, which goes before that rule", size).By("it is the panel's edge", diag.Add, "roles.outline", "largest")
		return said
	}
	said.add(diag.Error, "panel-no-outline", l.from, "there is no outline: %s; the largest is %s", what, l.said()).
		About("roles").At(m.X, m.Y).Fix("if it is the panel's edge, write outline: largest, or outline: %s", size).By("it is the panel's edge", diag.Add, "roles.outline", "largest")
	return said
}
