package read

import (
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// named takes the things by the roles of their layers.
func (r *reader) named() {
	for _, role := range panel.Roles() {
		var curves []*dxf.Entity
		for _, e := range r.byRole[role] {
			if e.Text == nil {
				curves = append(curves, e)
			}
		}
		j := join(curves, r.tol, role == panel.RoleLettering)
		r.used[role] = j
		r.healed(j, string(role))
	}
	if len(r.shaped) > 0 {
		r.ruled()
	}
	r.outlines()
	if len(r.sheets) == 0 {
		r.noOutline()
	}
}

// outlines makes a sheet of every outermost loop of the outline layer; loops in it are openings, which are told.
func (r *reader) outlines() {
	j := r.used[panel.RoleOutline]
	if len(j.loops)+len(j.outers) == 0 && len(j.open) > 1 {
		if crossed, ok := r.crossed(r.byRole[panel.RoleOutline]); ok {
			j = crossed
			r.used[panel.RoleOutline] = j
		}
	}
	loops := j.loops
	if len(j.outers) > 0 {
		// Where lines branch, the outermost way round is the outline and the faces are what it is divided into.
		var whole []loop
		for _, l := range j.loops {
			inside := false
			for i := range j.outers {
				inside = inside || l.standingIn(&j.outers[i]) == within && l.area < j.outers[i].area*(1+1e-9)
			}
			if !inside {
				whole = append(whole, l)
			}
		}
		loops = append(whole, j.outers...)
	}
	r.sheetsOf(loops, "on the outline layer")
	r.openEnds(j, panel.RoleOutline)
}

// crossed joins an outline anew whose sides were drawn too long, cut where they cross. ok is false when that closes
// nothing either.
func (r *reader) crossed(es []*dxf.Entity) (j joined, ok bool) {
	var curves []*dxf.Entity
	for _, e := range es {
		if e.Text == nil {
			curves = append(curves, e)
		}
	}
	j = joinOf(curves, r.tol, false, true)
	if len(j.loops)+len(j.outers) == 0 {
		return j, false
	}
	l := append(slices.Clone(j.outers), j.loops...)[0]
	f := r.add(diag.Warning, "dxf-crossing-lines", l.from, "the outline's sides run past each other; they are cut where they cross").
		Fix("trim them in the CAD program, if another way round is meant")
	if len(j.branches) > 0 {
		f.At(j.branches[0].X, j.branches[0].Y)
	}
	return j, true
}

// sheetsOf makes sheets of the outermost loops and openings of the loops right inside them.
func (r *reader) sheetsOf(loops []loop, origin string) {
	slices.SortStableFunc(loops, func(a, b loop) int {
		switch {
		case a.area > b.area:
			return -1
		case a.area < b.area:
			return 1
		}
		return compareXY(a.box.Min, b.box.Min)
	})
	inner := map[*sheet]*finder{}
	for _, l := range loops {
		home := r.round(&l)
		if home == nil {
			if !r.addSheet(l) {
				return
			}
			continue
		}
		if double(&l, &home.outline) {
			r.doubled(&l)
			continue
		}
		island := false
		if inner[home] == nil {
			inner[home] = newFinder(nil)
		}
		for _, i := range inner[home].near(l.box, 0) {
			island = island || l.standingIn(&home.openings[i]) == within
		}
		if island {
			r.add(diag.Warning, "panel-island", l.from, "a closed line within an opening would be a piece that falls out; it is not used").
				Fix("draw it as a panel of its own beside this one, or delete it")
			continue
		}
		inner[home].add(l.box, len(home.openings))
		home.openings = append(home.openings, l)
		r.add(diag.Note, "panel-inner-outline", l.from, "a closed line %s within the outline is taken as an opening", origin).
			Fix("put it on layer opening to say so")
	}
}

// round returns the sheet that the loop lies in.
func (r *reader) round(l *loop) *sheet {
	for _, s := range r.sheets {
		if l.standingIn(&s.outline) == within {
			return s
		}
	}
	return nil
}

// addSheet adds a sheet; false when there are too many.
func (r *reader) addSheet(outline loop) bool {
	if len(r.sheets) < maxPanels {
		r.sheets = append(r.sheets, &sheet{outline: outline})
		return true
	}
	r.add(diag.Error, "panel-too-many", outline.from, "the drawing holds more than %d outlines", maxPanels).
		Fix("give each panel, or each console, a drawing of its own; or is the outline drawn in pieces that close by themselves?")
	return false
}

// double reports whether two loops are one edge drawn with both sides of a pen: nowhere more than half a millimetre
// apart, which no web of a panel is.
func double(in, out *loop) bool {
	if out.area-in.area > 0.5*out.path.Perimeter() {
		return false
	}
	for _, p := range in.flat() {
		if out.distance(p) > 0.5 {
			return false
		}
	}
	return true
}

// noOutline takes the largest closed line round the LEDs that has no role, or gives up.
func (r *reader) noOutline() {
	j := join(r.other, r.tol, false)
	loops := append(slices.Clone(j.loops), j.outers...)
	best := -1
	for i := range loops {
		if (best < 0 || loops[i].area > loops[best].area) && r.holdsLED(&loops[i]) {
			best = i
		}
	}
	if best >= 0 {
		l := loops[best]
		r.sheets = append(r.sheets, &sheet{outline: l})
		if r.opt.Layers[panel.RoleOutline] != "" && slices.ContainsFunc(r.diags, func(f diag.Finding) bool { return f.Code == "panel-layer-missing" }) {
			return // that the layer named is missing is told, and a guess beside it would contradict that
		}
		r.add(diag.Warning, "panel-outline-guessed", l.from, "nothing closed lies on layer outline; the largest closed line round the LEDs, on layer %s, is taken", l.from.Layer).
			Fix("put the panel's edge on layer outline, or name its layer in the project file (layers: {outline: %s})", l.from.Layer)
		return
	}
	if slices.ContainsFunc(r.diags, func(f diag.Finding) bool { return f.Code == "dxf-open-outline" || f.Code == "panel-layer-missing" }) {
		return // told already
	}
	f := r.add(diag.Error, "panel-no-outline", nil, "there is no outline: no closed line on layer outline")
	if len(r.shaped) > 0 {
		f.Text = "there is no outline: no closed line is what the project's roles say of it"
	}
	f.Fix("draw the panel's edge as a closed line on layer outline, or name its layer in the project file (layers: {outline: NAME}); the drawing's layers are %s", some(r.layerNames(), 20))
}

func (r *reader) holdsLED(l *loop) bool {
	leds := r.used[panel.RoleLED].loops
	for i := range leds {
		if !l.holds(leds[i].middle()) {
			return false
		}
	}
	return len(leds) > 0
}
