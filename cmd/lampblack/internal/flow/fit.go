package flow

import (
	"slices"
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Play of an LED in its hole: a little tighter than nominal is drilled every day, and half a millimetre more holds no
// LED straight (common practice).
const (
	tightest = 50 * geom.Micrometre
	loosest  = 500 * geom.Micrometre
)

// fit tells LED holes that are drawn for another LED than the one chosen, one finding for each kind and diameter, in the
// panel's frame.
func fit(p panel.Panel, w led.Wiring) diag.List {
	type pair struct {
		kind string
		d    geom.Nm
	}
	count := map[pair]int{}
	for _, x := range w.LEDs {
		count[pair{x.Kind.Name, p.LEDs[x.Hole].D}]++
	}
	var l diag.List
	for _, x := range w.LEDs {
		h := p.LEDs[x.Hole]
		k := pair{x.Kind.Name, h.D}
		n, want := count[k], geom.MM(x.Kind.HoleMM)
		if n == 0 || want == 0 {
			continue
		}
		delete(count, k) // told once, at its first hole
		holes := "LED holes of " + h.D.String() + " are"
		if n == 1 {
			holes = "LED hole of " + h.D.String() + " is"
		}
		var f *diag.Finding
		switch {
		case h.D < want-tightest:
			f = l.Add(diag.Warning, "led-hole-small", "%d %s too small for %s, which wants %v", n, holes, x.Kind.Name, want)
		case h.D > want+loosest && strings.HasPrefix(x.Kind.Package, "radial"):
			f = l.Add(diag.Warning, "led-hole-large", "%d %s too large to hold %s, which wants %v", n, holes, x.Kind.Name, want)
		default:
			continue
		}
		f.Of(p.Name).About(diag.PanelKey(p.Name, "led"), "defaults.led").At(h.At.X.MM(), h.At.Y.MM()).
			Fix("draw the holes of the LED you use, or choose the kind that fits: led: in %s", project.FileName)
		f.Place.Handle = h.Handle
	}
	return l
}

// bare tells openings with no body round them, one finding a panel, in the panel's frame: the board comes as near to the
// hole as the rules allow, and what sits in the hole is mostly wider behind the panel. A board whose edge is drawn, or a
// slot for a screw, is as its drawer wants it.
func bare(p panel.Panel, r board.Rules) diag.List {
	if len(p.Board) > 0 {
		return nil
	}
	var first *panel.Opening
	n := 0
	for i := range p.Openings {
		o := &p.Openings[i]
		if o.Mount || slices.ContainsFunc(p.Bodies, func(c geom.Contour) bool { return overlap(o.Contour, c) }) {
			continue
		}
		if n++; first == nil {
			first = o
		}
	}
	if first == nil {
		return nil
	}
	what := "an opening has no body round it: its"
	if n > 1 {
		what = strconv.Itoa(n) + " openings have no body round them: a"
	}
	var l diag.List
	c := first.Box().Centre()
	f := l.Add(diag.Note, "shape-no-body", "%s switch or display needs room behind the panel, and the board comes to within %v of the hole", what, r.BodyClearance).
		Of(p.Name).At(c.X.MM(), c.Y.MM()).
		Fix("draw what it takes up behind the panel as a closed line on layer body; leave it where nothing is behind the hole")
	f.Place.Handle = first.Handle
	return l
}

// overlap reports whether two closed lines share area.
func overlap(a, b geom.Contour) bool {
	p, q := a.Box(), b.Box()
	if p.Min.X >= q.Max.X || q.Min.X >= p.Max.X || p.Min.Y >= q.Max.Y || q.Min.Y >= p.Max.Y {
		return false
	}
	return len(geom.NewRegion(a.Ring(geom.FlattenTolerance)).And(geom.NewRegion(b.Ring(geom.FlattenTolerance)))) > 0
}

// lineOf returns the line of the drawing's file that a place in a panel's frame is about: that of the LED, the mount or the
// opening it names or stands on; 0 when it is about none of them.
func lineOf(p panel.Panel, at diag.Place) int {
	here := func(handle string, q geom.Pt) bool {
		if at.Handle != "" && handle != "" {
			return at.Handle == handle
		}
		return at.At != nil && at.At.X == q.X.MM() && at.At.Y == q.Y.MM()
	}
	for _, holes := range [][]panel.Hole{p.LEDs, p.Mounts} {
		for _, h := range holes {
			if here(h.Handle, h.At) {
				return h.Line
			}
		}
	}
	for _, o := range p.Openings {
		if here(o.Handle, o.Box().Centre()) {
			return o.Line
		}
	}
	return 0
}
