package read

import (
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// windows returns the windows of a sheet, by the even-odd rule: a line within one is its inside, as that of a ring, and an opening
// in it is no part of it.
func (f frame) windows(w *work.Watch, s *sheet, ls []loop, p panel.Panel, opt Options) ([]panel.Symbol, findings) {
	var said findings
	order := largestFirst(w, ls)
	depth, at := make([]int, len(ls)), make([]int, len(ls))
	find := newFinder(w, nil)
	var out []panel.Symbol
	var from []*loop
	for _, i := range order {
		w.Step()
		l := &ls[i]
		in := innermost(find, ls, depth, i)
		if in >= 0 {
			depth[i] = depth[in] + 1
		}
		find.add(l.box, i)
		shape := f.shape(*l)
		if len(shape) < 2 || shape.Area() == 0 {
			continue
		}
		if depth[i]%2 == 1 {
			at[i] = at[in]
			out[at[i]].Holes = append(out[at[i]].Holes, shape)
			continue
		}
		at[i] = len(out)
		out, from = append(out, panel.Symbol{Closed: true, Window: true, Filled: true, Shape: shape}), append(from, l)
	}
	for k := range out {
		g := out[k].Area()
		for _, o := range p.Openings {
			w.Step()
			ring := o.Ring(geom.FlattenTolerance)
			if len(ring) > 2 && inRegion(g, ring) {
				out[k].Holes = append(out[k].Holes, o.Contour)
			}
		}
		if !opt.tellWindows() {
			said.join(asked(s, &out[k], from[k]))
		}
	}
	return out, said
}

// tellWindows reports whether the project itself says what windows are.
func (o Options) tellWindows() bool {
	return o.Layers[panel.RoleWindow] != "" || slices.ContainsFunc(o.Rules, func(r Rule) bool { return r.Role == panel.RoleWindow })
}

// inRegion reports whether all of a line lies in a region.
func inRegion(g geom.Region, r geom.Ring) bool {
	return !slices.ContainsFunc(r, func(q geom.Pt) bool { return g.Locate(q) != geom.Inside })
}

// displays is the lesser side, mm, from which on a window may as well be one that is cut out, for a display or a meter: the smallest
// of these are as wide, and lit rings and legends narrower.
const displays = 14.0

// asked asks of a large window whether it is to be cut out: to many a draughtsman a window is an opening. What has an opening in it, or
// LEDs drawn behind it, is none.
func asked(s *sheet, k *panel.Symbol, l *loop) findings {
	var said findings
	if min(l.box.W(), l.box.H()) < displays || len(k.Holes) > 0 || slices.ContainsFunc(s.leds, func(h loop) bool { return l.holds(h.c) }) {
		return said
	}
	m := l.middle()
	rule := Rule{}
	if l.round {
		rule.Kind, rule.Min, rule.Max = CircleRule, hundredths(l.d), hundredths(l.d)
	} else {
		a, b := min(l.box.W(), l.box.H()), max(l.box.W(), l.box.H())
		rule.ofShapes(b, b, a, a)
	}
	rule.Layer = l.from.Layer
	q := diag.Question{Things: k.Said(), Assumed: string(panel.RoleWindow), At: []diag.Point{{X: m.X, Y: m.Y}}}
	for _, r := range []panel.Role{panel.RoleWindow, panel.RoleOpening} {
		rule.Role = r
		q.Choices = append(q.Choices, diag.Choice{Role: string(r), Words: takenAs(r, 0, 1), Says: rolesAre(rule)})
	}
	f := said.to(s.name).add(diag.Warning, "panel-question", l.from,
		"%s: is it lit, or cut out? It is taken as %s, since it lies on layer %s; but no LED is drawn behind it, and displays have such windows", k.Said(), takenAs(panel.RoleWindow, 0, 1), l.from.Layer).
		About("roles").At(m.X, m.Y).Of(s.name).Asks(q)
	f.Fix("write which in the project file: %s, or %s", q.Choices[0].YAML(), q.Choices[1].YAML())
	return said
}
