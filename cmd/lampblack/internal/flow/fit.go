package flow

import (
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/led/part"
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

// fits reports whether an LED of the kind goes into a hole, and is held by it if it has leads.
func fits(k part.LED, d geom.Nm) bool {
	want := geom.MM(k.HoleMM)
	return want > 0 && d >= want-tightest && (d <= want+loosest || !held(k))
}

// held reports whether it is the hole that holds an LED straight.
func held(k part.LED) bool { return strings.HasPrefix(k.Package, "radial") }

// fit tells LED holes that are drawn for another LED than the one chosen, one finding for each kind and diameter, in the
// panel's frame. Kinds are those there are to choose from.
func fit(p panel.Panel, w led.Wiring, kinds []part.LED) diag.List {
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
		case fits(x.Kind, h.D):
			continue
		case h.D < want:
			f = l.Add(diag.Warning, "led-hole-small", "%d %s too small for %s, which wants %v", n, holes, x.Kind.Name, want)
		default:
			f = l.Add(diag.Warning, "led-hole-large", "%d %s too large to hold %s, which wants %v", n, holes, x.Kind.Name, want)
		}
		f.Of(p.Name).About(diag.PanelKey(p.Name, "led"), "defaults.led").At(h.At.X.MM(), h.At.Y.MM()).
			Fix("draw the holes of the LED you use, %v; or %s in %s", want, choose(x.Kind, h.D, kinds), project.FileName)
		f.Place.Handle = h.Handle
	}
	return l
}

// choose says which kind to write for holes of that diameter: one of the colour if there is one.
func choose(now part.LED, d geom.Nm, kinds []part.LED) string {
	var others []string
	for _, k := range kinds {
		switch {
		case !fits(k, d):
		case k.Colour == now.Colour:
			return "choose a kind that fits: led: " + k.Name
		default:
			others = append(others, k.Name)
		}
	}
	if len(others) > 0 {
		return "choose a kind that fits: led: " + others[0]
	}
	return "as no kind that is known goes with " + d.String() + ", describe yours: leds: [{name: mine, hole: " + d.String() + ", ...}]"
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
