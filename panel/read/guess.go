package read

import (
	"fmt"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// Sizes by which a drawing without our layers is sorted, in mm.
const (
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
	if framed {
		free.framed = notAmong(free.loops, loops)
	}
	sheets, free.loops, told = guessedSheets(w, loops, framed, &left)
	said.join(told)
	if told.has("panel-too-many") || len(sheets) == 0 {
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
	const fix = "put things on the layers outline, led, opening, mount, body and lettering, or "
	which := diag.Deed{Typed: "say in the project file which is which: 'lampblack survey' writes such a block (roles:) to paste", Clicked: "choose things under Drawing and say what they are"}
	from := sheets[0].outline.from
	if ls.none {
		said.add(diag.Warning, "panel-guess", from, "the drawing has none of our layers, so its shapes decide: %s", what).About("roles").Fix(fix+"%s", which)
	} else {
		said.add(diag.Warning, "panel-outline-guessed", from, "nothing closed lies on layer outline; %s", what).About("layers.outline", "roles").
			Fix("put the panel's edge on layer outline, or name its layer in the project file (layers: {outline: %s})", from.Layer)
	}
	return sheets, free, said
}

// guessedSheets takes the large closed lines beside each other as outlines; rest is all but these.
func guessedSheets(w *work.Watch, loops []loop, framed bool, left *looks) (sheets []sheet, rest []loop, said findings) {
	twice := false
	rest = make([]loop, 0, len(loops))
	for i := range loops {
		l := &loops[i]
		w.Step()
		home := holder(sheets, l)
		switch {
		case home < 0 && framed && !holdsThings(l, loops, left): // a title block
			rest = append(rest, *l)
		case home < 0 && (!l.thin() || l.crossesItself(w)) && (len(sheets) == 0 || l.area >= minorShare*sheets[0].outline.area && min(l.box.W(), l.box.H()) >= minPanel):
			if len(sheets) == maxPanels {
				said.join(tooMany(l))
				return sheets, rest, said
			}
			sheets = append(sheets, sheet{outline: *l, framed: framed, guessed: true})
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

// notAmong returns the loops that are not among some of them, which are in the same order.
func notAmong(ls, some []loop) []loop {
	var out []loop
	for i := range ls {
		if len(some) > 0 && ls[i].key() == some[0].key() {
			some = some[1:]
		} else {
			out = append(out, ls[i])
		}
	}
	return out
}

func touches(a, b *loop) bool {
	for _, p := range a.flat() {
		if b.distance(p, snap) < snap {
			return true
		}
	}
	return false
}
