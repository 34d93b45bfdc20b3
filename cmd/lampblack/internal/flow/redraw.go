package flow

import (
	"cmp"
	"math"
	"reflect"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// redraw writes the drawing with the LEDs replaced, and reads it back: all but the LEDs must mean the same. An LED that is drawn as
// a block of its own moves as that block; else its circle alone; and where new circles are not taken for LEDs as the old ones
// were, they are drawn on the layer for them.
func (r *Relit) redraw(s *session, old panel.Panel) {
	ctx := s.ctx
	r.DXF = nil
	fail := func(code, format string, args ...any) *diag.Finding {
		return r.Findings.Add(diag.Error, code, format, args...).In(r.Path, 0).Of(old.Name)
	}
	src, err := s.set.load(r.Path)
	if err != nil {
		fail(fileCode(err), "%s", fileText(err, r.Path)).Fix("check that the drawing is still there")
		r.Unreadable = true
		return
	}
	entry := s.project.Panels[r.Entry]
	// The drawing was read by this stage before, and the build after takes from it what the one written anew holds.
	meant := func(src []byte) (out readOut, ok bool) {
		read, fault, ok := reading.run(s, entry.Name, readIn{src, r.Path, Options(s.project, entry)})
		if fault != nil {
			r.Findings = append(r.Findings, *fault.In(r.Path, 0).Of(old.Name))
		}
		return read.Value, ok
	}
	before, ok := meant(src)
	if !ok {
		return
	}
	d, _ := dxf.Read(ctx, src, r.Path)
	if ctx.Err() != nil {
		return
	}
	unit := d.Units.MMPerUnit
	if u, ok := dxf.UnitNamed(entry.Units); ok && entry.Units != "" {
		d = d.Scaled(u.MMPerUnit / unit)
		unit = u.MMPerUnit
	}
	at := func(h panel.Hole) dxf.XY { return dxf.XY{X: h.At.X.MM() + old.Origin.X, Y: h.At.Y.MM() + old.Origin.Y} }
	keep := map[geom.Pt]bool{}
	for _, h := range r.Plan.LEDs {
		for _, o := range old.LEDs {
			if h.At == o.At {
				keep[h.At] = true
			}
		}
	}
	layer := "led"
	for _, l := range entry.Layers {
		if l.Role == string(panel.RoleLED) {
			layer = l.Name
		}
	}
	drawn, blocks := layer, false
	var circles, rings []int
	for _, h := range old.LEDs {
		c, r := at(h), h.D.MM()/2
		for i := range d.Entities {
			if e := &d.Entities[i]; draws(e, c, r) {
				drawn, blocks = e.Layer, blocks || e.Block != ""
			}
		}
		if keep[h.At] {
			continue
		}
		for i := range d.Entities { // rings round it may be its own
			e := &d.Entities[i]
			if e.Layer == drawn && len(e.Path.Vertices) > 0 {
				if own := e.Path.Vertices[0].Dist(c); own > r/ring && own < r*ring && draws(e, c, own) {
					rings = append(rings, i)
					if draws(e, c, r) {
						circles = append(circles, i)
					}
				}
			}
		}
	}
	var ways []dxf.Redraw
	for _, w := range []dxf.Redraw{{Gone: circles, Blocks: true}, {Gone: circles}, {Gone: circles, Plain: true}, {Gone: rings}, {Gone: rings, Plain: true}} {
		if w.Blocks && !blocks {
			continue
		}
		w.Unit = unit
		on := drawn
		if w.Plain {
			on = layer
		}
		for _, h := range r.Plan.LEDs {
			if !keep[h.At] {
				w.Add = append(w.Add, dxf.Circle{Layer: on, At: at(h), D: h.D.MM()})
			}
		}
		ways = append(ways, w)
	}
	why := ""
	for _, w := range ways {
		out, err := dxf.Redrawn(ctx, src, w)
		if ctx.Err() != nil {
			return
		}
		if err != nil {
			why = " (" + err.Error() + ")"
			continue
		}
		now, ok := meant(out)
		if !ok {
			return
		}
		if alike(before.Panels, now.Panels, old, r.Plan.LEDs) {
			r.DXF = out
			return
		}
		if e := now.Findings.Err(); e != nil {
			why = " (" + e.Error() + ")"
		}
	}
	fail("relight-drawing", "the drawing written anew would not mean the same: its LEDs are drawn in a way that cannot be replaced%s", why).
		Fix("draw each LED hole as one circle on the layer %s, and try again", layer)
}

// ring is how many times larger or smaller than an LED's hole a circle round the same middle, on the same layer, belongs to it.
const ring = 2.5

// draws reports whether an entity is a circle, or a piece of one, of radius r round c, mm.
func draws(e *dxf.Entity, c dxf.XY, r float64) bool {
	if e.Text != nil || len(e.Path.Vertices) < 2 {
		return false
	}
	const tolerance = 2e-3
	vs := e.Path.Vertices
	for i, v := range vs {
		if math.Abs(v.Dist(c)-r) > tolerance {
			return false
		}
		// A straight piece may be part of a circle drawn with many corners, but not a line across it.
		next := vs[(i+1)%len(vs)]
		if mid := v.Add(next.XY).Times(0.5); v.Bulge == 0 && (e.Path.Closed || i+1 < len(vs)) && math.Abs(mid.Dist(c)-r) > r/20 {
			return false
		}
	}
	b := e.Path.Box()
	return b.Min.X > c.X-r-tolerance && b.Min.Y > c.Y-r-tolerance && b.Max.X < c.X+r+tolerance && b.Max.Y < c.Y+r+tolerance
}

// alike reports whether two readings of a drawing differ in nothing but the LEDs of one panel, and those are at the places wanted.
func alike(before, now []panel.Panel, changed panel.Panel, want []panel.Hole) bool {
	return slices.EqualFunc(before, now, func(a, b panel.Panel) bool {
		if a.Name == changed.Name && a.Origin == changed.Origin {
			return sameBut(a, b, want)
		}
		return reflect.DeepEqual(sourceless(a), sourceless(b))
	})
}

// sourceless returns a panel without where in its file each thing stands.
func sourceless(p panel.Panel) panel.Panel {
	p.LEDs, p.Mounts, p.Openings = slices.Clone(p.LEDs), slices.Clone(p.Mounts), slices.Clone(p.Openings)
	for _, hs := range [][]panel.Hole{p.LEDs, p.Mounts} {
		for i := range hs {
			hs[i].Source = panel.Source{}
		}
	}
	for i := range p.Openings {
		p.Openings[i].Source = panel.Source{}
	}
	return p
}

// sameBut reports whether two readings of a panel differ in nothing but the LEDs, and those are at the places wanted.
func sameBut(old, now panel.Panel, want []panel.Hole) bool {
	if len(now.LEDs) != len(want) {
		return false
	}
	order := func(hs []panel.Hole) []panel.Hole {
		out := slices.Clone(hs)
		slices.SortFunc(out, func(a, b panel.Hole) int { return cmp.Or(cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y)) })
		return out
	}
	a, b := order(now.LEDs), order(want)
	for i := range a {
		if a[i].At.Dist(b[i].At) > 1000 || a[i].D-b[i].D > 1000 || b[i].D-a[i].D > 1000 {
			return false
		}
	}
	old.LEDs, now.LEDs, old.Drawing, now.Drawing, old.BodyDepth = nil, nil, "", "", now.BodyDepth // the last is the project's
	return reflect.DeepEqual(sourceless(old), sourceless(now))
}
