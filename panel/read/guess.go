package read

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
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

// guess sorts a drawing without our layers by shape, and tells every guess.
func (r *reader) guess() {
	var curves []*dxf.Entity
	curves = append(curves, r.other...)
	j := join(curves, r.tol, false)
	if len(j.loops)+len(j.outers) == 0 && len(j.open) > 1 {
		if crossed, ok := r.crossed(curves); ok {
			j = crossed
		}
	}
	r.healed(j, "(any)")
	loops := wholes(j)
	slices.SortStableFunc(loops, byArea)
	if len(loops) == 0 {
		r.openEnds(j, panel.RoleOutline)
		if !r.diags.HasErrors() {
			r.add(diag.Error, "panel-no-outline", nil, "there is no outline: the drawing has none of our layers and nothing in it is a closed line").
				Fix("draw the panel's edge as a closed line, best on layer outline")
		}
		return
	}
	loops = r.withoutFrame(loops)
	var minor []loop
	doubled := false
	for _, l := range loops {
		home := r.round(&l)
		switch {
		case home == nil && r.framed && !r.holdsRound(&l, loops): // a title block
			minor = append(minor, l)
		case home == nil && (len(r.sheets) == 0 || l.area >= minorShare*r.sheets[0].outline.area && min(l.box.W(), l.box.H()) >= minPanel):
			if !r.addSheet(l) {
				return
			}
		case home == nil:
			minor = append(minor, l)
		case double(&l, &home.outline):
			if !doubled {
				r.doubled(&l)
			}
			doubled = true
		default:
			home.openings = append(home.openings, l)
		}
	}
	var sizes []string
	for _, s := range r.sheets {
		sizes = append(sizes, mm(s.outline.box.W())+" x "+mm(s.outline.box.H())+" mm")
	}
	what := "the largest closed line, " + sizes[0] + ", is taken as the outline"
	if len(sizes) > 1 {
		what = fmt.Sprintf("the %d large closed lines beside each other are taken as outlines (%s)", len(sizes), some(sizes, 6))
	}
	r.add(diag.Warning, "panel-guess", r.sheets[0].outline.from, "the drawing has none of our layers, so its shapes decide: %s", what).
		Fix("put things on the layers outline, led, opening, mount, body and lettering, or say in the project file which is which: 'lampblack survey' writes such a block (roles:) to paste")
	r.proposeOutline(loops)
	for _, s := range r.sheets {
		r.guessSheet(s)
	}
	if n := len(minor); n > 0 {
		r.add(diag.Warning, "panel-guess", minor[0].from, "%s outside the outline %s not used", count(n, "closed line"), are(n))
	}
	if n := len(j.open); n > 0 {
		r.add(diag.Warning, "dxf-open-line", j.open[0].from, "%s %s not used: without layers nobody can say what they mean", count(n, "open line"), are(n)).
			Fix("close them if they are openings, or put them on layer lettering if they are to be engraved")
	}
}

func touches(a, b *loop) bool {
	for _, p := range a.flat() {
		if b.distance(p) < snap {
			return true
		}
	}
	return false
}

// guessSheet sorts what lies within one outline.
func (r *reader) guessSheet(s *sheet) {
	inner := s.openings
	s.openings = nil
	// Only what lies right inside the outline; of rings about one centre, the one of an LED's size, else the inner.
	slices.SortStableFunc(inner, func(a, b loop) int { return cmp.Compare(b.area, a.area) })
	inner = r.concentric(inner)
	var holes, rest []loop
	seen := newFinder(nil)
	islands, tiny := 0, 0
	var first, speck *dxf.Entity
	for i, l := range inner {
		nested := false
		for _, k := range seen.near(l.box, 0) {
			nested = nested || l.standingIn(&inner[k]) == within
		}
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
		r.add(diag.Warning, "panel-island", first, "%s within openings %s not used", count(islands, "closed line"), are(islands))
	}
	if tiny > 0 {
		r.add(diag.Warning, "panel-guess", speck, "%s smaller than %g mm %s not used", count(tiny, "closed line"), tooSmall, are(tiny))
	}
	for _, g := range byDiameter(holes) {
		d := g[0].d
		what := "openings"
		switch corner := r.allInCorners(g, &s.outline); {
		case corner && d >= mountMin && d <= mountMax:
			what, s.mounts = "mounts, since they lie in the corners", append(s.mounts, g...)
		case d >= led3Min && d <= led3Max:
			what, s.leds = "holes for 3 mm LEDs", append(s.leds, g...)
		case d >= led5Min && d <= led5Max:
			what, s.leds = "holes for 5 mm LEDs", append(s.leds, g...)
		default:
			rest = append(rest, g...)
		}
		sev, unsure := diag.Note, r.unsure(g, what, &s.outline)
		if unsure != "" && what != "openings" { // there are many of those, and none of them is lit
			sev = diag.Warning
		}
		f := r.add(sev, "panel-guess", g[0].from, "%s of %.4g mm %s taken as %s", count(len(g), "circle"), math.Round(d*1e4)/1e4, are(len(g)), singular(what, len(g)))
		if unsure != "" {
			f.Text += ", but " + unsure
		}
		f.Fix("put them on layer led, mount or opening to say what they are, or write it in the project file (roles:)")
		r.propose(roleFor(what), Rule{Kind: CircleRule, Min: rounded(g), Max: rounded(g)}, len(g), unsure)
	}
	if n := len(rest); n > 0 {
		shapes := 0
		for _, l := range rest {
			if !l.round {
				shapes++
			}
		}
		if shapes > 0 {
			r.add(diag.Note, "panel-guess", rest[0].from, "%s that %s no circle %s taken as %s", count(shapes, "closed line"), are(shapes), are(shapes), opening(shapes))
			r.propose(panel.RoleOpening, Rule{Kind: ShapeRule}, shapes, "")
		}
	}
	s.openings = rest
	texts := 0
	for _, e := range r.writing {
		if r.textIn(e, s) {
			texts++
		}
	}
	if texts > 0 {
		r.add(diag.Note, "panel-guess", nil, "%s within the outline %s taken as lettering", count(texts, "text"), are(texts))
		r.propose(panel.RoleLettering, Rule{Kind: TextRule}, texts, "")
	}
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

// byDiameter groups round holes whose diameters differ by no more than a twentieth of a millimetre, smallest first;
// within a group the order is the drawing's.
func byDiameter(holes []loop) [][]loop {
	hs := slices.Clone(holes)
	slices.SortStableFunc(hs, func(a, b loop) int { return cmp.Compare(a.d, b.d) })
	var out [][]loop
	for _, h := range hs {
		if n := len(out); n > 0 && h.d-out[n-1][0].d <= 0.05 {
			out[n-1] = append(out[n-1], h)
		} else {
			out = append(out, []loop{h})
		}
	}
	return out
}

// allInCorners reports whether at most eight holes, and every one of them, lie in the corners of the outline's box.
func (r *reader) allInCorners(g []loop, outline *loop) bool {
	if len(g) > 8 || len(g) < 2 {
		return false
	}
	b := outline.box
	rx, ry := max(cornerReach, 0), max(cornerReach, 0)
	rx, ry = min(rx, b.W()*cornerShare), min(ry, b.H()*cornerShare)
	for _, h := range g {
		dx := min(h.c.X-b.Min.X, b.Max.X-h.c.X)
		dy := min(h.c.Y-b.Min.Y, b.Max.Y-h.c.Y)
		if dx > max(rx, 2*h.d) || dy > max(ry, 2*h.d) {
			return false
		}
	}
	return true
}

// concentric keeps one of several round holes about one centre, as a hole drawn with its countersink or with both
// edges of a pen: the one nearest an LED's size, else the smallest.
func (r *reader) concentric(ls []loop) []loop {
	var out []loop
	dropped := 0
	var first *dxf.Entity
	grid := map[[2]int64][]int{}
	for _, l := range ls {
		if !l.round {
			out = append(out, l)
			continue
		}
		twin := -1
		x, y := int64(math.Floor(l.c.X)), int64(math.Floor(l.c.Y))
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				for _, i := range grid[[2]int64{x + dx, y + dy}] {
					if out[i].c.Dist(l.c) <= 0.05 && twin < 0 {
						twin = i
					}
				}
			}
		}
		if twin < 0 {
			grid[[2]int64{x, y}] = append(grid[[2]int64{x, y}], len(out))
			out = append(out, l)
			continue
		}
		dropped++
		if first == nil {
			first = l.from
		}
		if a, b := ledSize(l.d), ledSize(out[twin].d); a && !b || a == b && l.d < out[twin].d {
			out[twin] = l
		}
	}
	if dropped > 0 {
		r.add(diag.Note, "panel-concentric", first, "%s drawn round the centre of another; one of each is taken as the hole", count(dropped, "circle")).
			Fix("delete the circle that is not the hole, if the wrong one was taken")
	}
	return out
}

func ledSize(d float64) bool { return d >= led3Min && d <= led3Max || d >= led5Min && d <= led5Max }
