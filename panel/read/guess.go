package read

import (
	"fmt"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// Sizes by which a drawing without our layers is sorted, in mm.
const (
	// Common practice: a 3 mm LED goes into a hole of 3.0 to 3.2 mm, a 5 mm LED into one of 5.0 to 5.2 mm; a tenth
	// more for kerf and fitted chords.
	led3Min, led3Max = 2.8, 3.3
	led5Min, led5Max = 4.8, 5.3
	// Clearance holes of ISO 273 from M2 (2.2 fine) to M5 (5.8 coarse): what boards and panels are screwed with.
	mountMin, mountMax = 2.0, 5.85
	// A mount sits in a corner: no farther from it, along both edges, than a fifth of the edge or 15 mm.
	cornerShare, cornerReach = 0.2, 15.0
	// Outermost closed lines of less than a tenth of the largest one's area are remarks, not panels.
	minorShare = 0.1
	minPanel   = 10.0
	// A laser's cut is 0.1 to 0.2 mm wide: what is smaller than this can't be cut out.
	tooSmall = 0.5
)

// guessedOutlines takes the large free loops beside each other as outlines; rest is what is left.
func guessedOutlines(w *work.Watch, free joined, ls layers, d *dxf.Drawing) (sheets []sheet, rest joined, said findings) {
	if len(free.loops) == 0 {
		return nil, free, said
	}
	left := looks(mostLooks)
	loops, framed, told := withoutFrame(free.loops, d, &left)
	said.join(told)
	sheets, free.loops, told = guessedSheets(w, loops, framed, &left)
	said.join(told)
	if told.has("panel-too-many") {
		return sheets, free, said
	}
	var sizes []string
	for i := range sheets {
		b := sheets[i].outline.box
		sizes = append(sizes, mm(b.W())+" x "+mm(b.H())+" mm")
	}
	what := "the largest closed line, " + sizes[0] + ", is taken as the outline"
	if len(sizes) > 1 {
		what = fmt.Sprintf("the %d large closed lines beside each other are taken as outlines (%s)", len(sizes), some(sizes, 6))
	}
	const fix = "put things on the layers outline, led, opening, mount, body and lettering, or say in the project file which is which: 'lampblack survey' writes such a block (roles:) to paste"
	from := sheets[0].outline.from
	if ls.none {
		said.add(diag.Warning, "panel-guess", from, "the drawing has none of our layers, so its shapes decide: %s", what).About("roles").Fix(fix)
	} else {
		said.add(diag.Warning, "panel-outline-guessed", from, "nothing closed lies on layer outline; %s", what).About("layers.outline", "roles").
			Fix("put the panel's edge on layer outline, or name its layer in the project file (layers: {outline: %s})", from.Layer)
	}
	return sheets, free, said
}

// guessedSheets takes the large closed lines beside each other as outlines; rest is all but these.
func guessedSheets(w *work.Watch, loops []loop, framed bool, left *looks) (sheets []sheet, rest []loop, said findings) {
	twice := false
	for i := range loops {
		l := &loops[i]
		w.Step()
		home := holder(sheets, l)
		switch {
		case home < 0 && framed && !holdsRound(l, loops, left): // a title block
			rest = append(rest, *l)
		case home < 0 && (len(sheets) == 0 || l.area >= minorShare*sheets[0].outline.area && min(l.box.W(), l.box.H()) >= minPanel):
			if len(sheets) == maxPanels {
				said.join(tooMany(l))
				return sheets, rest, said
			}
			sheets = append(sheets, sheet{outline: *l, framed: framed})
		case home >= 0 && double(l, &sheets[home].outline):
			if !twice {
				said.join(doubled(l))
			}
			twice = true
		default:
			rest = append(rest, *l)
		}
	}
	return sheets, rest, said
}

func touches(a, b *loop) bool {
	for _, p := range a.flat() {
		if b.distance(p, snap) < snap {
			return true
		}
	}
	return false
}

// guessedSheet gives roles to those of the loops that lie within one outline and have none.
func guessedSheet(w *work.Watch, s *sheet, loops []loop, mine []int, roles []panel.Role) (proposal, findings) {
	var p proposal
	all := make([]loop, len(mine))
	back := map[loopKey]int{}
	for k, i := range mine {
		all[k] = loops[i]
		back[loops[i].key()] = i
		roles[i] = noRole
	}
	give := func(role panel.Role, ls ...loop) {
		for i := range ls {
			roles[back[ls[i].key()]] = role
		}
	}
	// Only what lies right inside the outline; of rings about one centre, the one of an LED's size, else the inner.
	inner, said := concentric(w, all)
	var holes, rest []loop
	seen := newFinder(w, nil)
	islands, tiny := 0, 0
	var first, speck *dxf.Entity
	for i, l := range inner {
		nested := slices.ContainsFunc(seen.near(l.box, 0), func(k int) bool { return l.in(&inner[k]) })
		if !nested {
			seen.add(l.box, i)
		}
		switch {
		case max(l.box.W(), l.box.H()) < tooSmall:
			if tiny++; tiny == 1 {
				speck = l.from
			}
		case nested:
			if islands++; islands == 1 {
				first = l.from
			}
		case l.round:
			holes = append(holes, l)
		default:
			rest = append(rest, l)
		}
	}
	if islands > 0 {
		said.add(diag.Warning, "panel-island", first, "%s within openings %s not used", count(islands, "closed line"), are(islands))
	}
	if tiny > 0 {
		said.add(diag.Warning, "panel-guess", speck, "%s smaller than %g mm %s not used", count(tiny, "closed line"), tooSmall, are(tiny)).About("roles")
	}
	for _, g := range byDiameter(w, holes) {
		d := g[0].d
		what := "openings"
		switch corner := allInCorners(g, &s.outline); {
		case corner && d >= mountMin && d <= mountMax:
			what = "mounts, since they lie in the corners"
			give(panel.RoleMount, g...)
		case d >= led3Min && d <= led3Max:
			what = "holes for 3 mm LEDs"
			give(panel.RoleLED, g...)
		case d >= led5Min && d <= led5Max:
			what = "holes for 5 mm LEDs"
			give(panel.RoleLED, g...)
		default:
			rest = append(rest, g...)
		}
		sev, unsure := diag.Note, doubt(g, what, &s.outline)
		if unsure != "" && what != "openings" { // there are many of those, and none of them is lit
			sev = diag.Warning
		}
		f := said.add(sev, "panel-guess", g[0].from, "%s of %.4g mm %s taken as %s", count(len(g), "circle"), math.Round(d*1e4)/1e4, are(len(g)), singular(what, len(g))).About("roles")
		if unsure != "" {
			f.Text += ", but " + unsure
		}
		f.Fix("put them on layer led, mount or opening to say what they are, or write it in the project file (roles:)")
		p = p.with(Proposed{Rule{Role: roleFor(what), Kind: CircleRule, Min: rounded(g), Max: rounded(g)}, len(g), unsure})
	}
	if n := len(rest); n > 0 {
		shapes := 0
		for _, l := range rest {
			if !l.round {
				shapes++
			}
		}
		if shapes > 0 {
			said.add(diag.Note, "panel-guess", rest[0].from, "%s that %s no circle %s taken as %s", count(shapes, "closed line"), are(shapes), are(shapes), opening(shapes)).About("roles")
			p = p.with(Proposed{Rule{Role: panel.RoleOpening, Kind: ShapeRule}, shapes, ""})
		}
	}
	give(panel.RoleOpening, rest...)
	return p, said
}

func opening(n int) string {
	if n == 1 {
		return "an opening"
	}
	return "openings"
}

// singular takes what a group is taken as for one of them.
func singular(what string, n int) string {
	if n > 1 {
		return what
	}
	switch what {
	case "openings":
		return "an opening"
	case "holes for 3 mm LEDs":
		return "the hole of a 3 mm LED"
	case "holes for 5 mm LEDs":
		return "the hole of a 5 mm LED"
	}
	return what
}

// allInCorners reports whether at most eight holes, and every one of them, lie in the corners of the outline's box.
func allInCorners(g []loop, outline *loop) bool {
	if len(g) > 8 || len(g) < 2 {
		return false
	}
	b := outline.box
	rx, ry := min(cornerReach, b.W()*cornerShare), min(cornerReach, b.H()*cornerShare)
	for _, h := range g {
		dx := min(h.c.X-b.Min.X, b.Max.X-h.c.X)
		dy := min(h.c.Y-b.Min.Y, b.Max.Y-h.c.Y)
		if dx > max(rx, 2*h.d) || dy > max(ry, 2*h.d) {
			return false
		}
	}
	return true
}
