package read

import (
	"maps"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// cast is the drawing's lines, joined, by what they are for.
type cast struct {
	used map[panel.Role]joined
	left joined // of what rules sort by shape, what no rule takes
	rest joined // in a drawing without roles: all of it
}

// named joins the things of each layer that has a role; what rules are to sort by shape joins them by role.
func named(w *work.Watch, th things, ls layers, opt Options) (cast, findings) {
	c := cast{used: map[panel.Role]joined{}}
	var said findings
	for _, role := range panel.Roles() {
		lettering := role == panel.RoleLettering
		j := join(w, th.curves(role), opt.tolerance(), lettering)
		c.used[role] = j
		said.join(healed(j, "layer "+string(role), opt.tolerance(), lettering))
	}
	if len(ls.rules) > 0 {
		told := ruled(w, &c, th, ls, opt)
		said.join(told)
	}
	return c, said
}

// outlines makes a sheet of every outermost loop of the outline layer; loops in it are openings, which are told. Where
// nothing closes, sides that were drawn too long are cut, which changes the cast; and where that closes nothing either,
// the largest closed line round the LEDs is taken.
func outlines(w *work.Watch, c cast, th things, ls layers, opt Options) ([]sheet, cast, findings) {
	var said findings
	tol := opt.tolerance()
	j := c.used[panel.RoleOutline]
	if cut, ok, told := crossed(w, j, th.curves(panel.RoleOutline), tol); ok {
		said.join(told)
		j = cut
		c.used = maps.Clone(c.used)
		c.used[panel.RoleOutline] = j
	}
	loops := j.loops
	if len(j.outers) > 0 {
		// Where lines branch, the outermost way round is the outline and the faces are what it is divided into.
		loops = append(notIn(w, j.loops, j.outers, func(l, outer *loop) bool { return l.area < outer.area*(1+1e-9) }), j.outers...)
	}
	sheets, told := sheetsOf(w, loops, "on the outline layer")
	said.join(told)
	leds := c.used[panel.RoleLED].loops
	said.join(openEnds(w, j, panel.RoleOutline, tol, len(sheets) > 0 && !enclose(w, j, leds, sheets)))
	if len(sheets) == 0 {
		sheets, told = roundLEDs(w, leds, th, ls, opt, ls.missing || said.has("dxf-open-outline"))
		said.join(told)
	}
	return sheets, c, said
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

// roundLEDs takes the largest closed line round the LEDs that has no role as the outline, or gives up; told says that
// the reason is known already.
func roundLEDs(w *work.Watch, leds []loop, th things, ls layers, opt Options, told bool) ([]sheet, findings) {
	var said findings
	j := join(w, th.other, opt.tolerance(), false)
	loops := slices.Concat(j.loops, j.outers)
	best := -1
	for i := range loops {
		if (best < 0 || loops[i].area > loops[best].area) && holdsAll(w, &loops[i], leds) {
			best = i
		}
	}
	if best >= 0 {
		l := loops[best]
		if opt.Layers[panel.RoleOutline] != "" && ls.missing {
			return []sheet{{outline: l}}, said // that the layer named is missing is told, and a guess beside it would contradict that
		}
		said.add(diag.Warning, "panel-outline-guessed", l.from, "nothing closed lies on layer outline; the largest closed line round the LEDs, on layer %s, is taken", l.from.Layer).
			About("layers.outline").Fix("put the panel's edge on layer outline, or name its layer in the project file (layers: {outline: %s})", l.from.Layer)
		return []sheet{{outline: l}}, said
	}
	if told {
		return nil, said
	}
	f := said.add(diag.Error, "panel-no-outline", nil, "there is no outline: no closed line on layer outline").About("layers.outline")
	if len(ls.rules) > 0 {
		f.About("roles").Text = "there is no outline: no closed line is what the project's roles say of it"
	}
	f.Fix("draw the panel's edge as a closed line on layer outline, or name its layer in the project file (layers: {outline: NAME}); the drawing's layers are %s", some(ls.names, 20))
	return nil, said
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
