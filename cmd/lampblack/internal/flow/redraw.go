package flow

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

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
			if h.At == o.At && h.Kind == o.Kind {
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
	kinds := []string{}
	for _, h := range slices.Concat(old.LEDs, r.Plan.LEDs) {
		if !slices.Contains(kinds, h.Kind) {
			kinds = append(kinds, h.Kind)
		}
	}
	drawn, blocks := make([]circled, len(kinds)), false
	for i, kind := range kinds {
		drawn[i] = ofLEDs(d, ofKind(old.LEDs, kind), at, keep, layerOf(entry.LEDs, kind, layer))
		blocks = blocks || drawn[i].blocks
	}
	why, misread := "", ""
	for _, way := range []struct{ blocks, plain, rings bool }{{blocks: true}, {}, {plain: true}, {rings: true}, {rings: true, plain: true}} {
		if way.blocks && !blocks {
			continue
		}
		out := src
		var err error
		for i, kind := range kinds { // each takes the form of its own LEDs
			c := drawn[i]
			if i > 0 {
				fresh, _ := dxf.Read(ctx, out, r.Path)
				if fresh.Units.MMPerUnit != unit {
					fresh = fresh.Scaled(unit / fresh.Units.MMPerUnit)
				}
				c = ofLEDs(fresh, ofKind(old.LEDs, kind), at, keep, layerOf(entry.LEDs, kind, layer))
			}
			w := dxf.Redraw{Gone: c.circles, Blocks: way.blocks, Plain: way.plain, Unit: unit}
			if way.rings {
				w.Gone = c.rings
			}
			on := c.layer
			if w.Plain && len(kinds) == 1 {
				on = layer
			}
			for _, h := range ofKind(r.Plan.LEDs, kind) {
				if !keep[h.At] {
					w.Add = append(w.Add, dxf.Circle{Layer: on, At: at(h), D: h.D.MM()})
				}
			}
			if out, err = dxf.Redrawn(ctx, out, w); err != nil || ctx.Err() != nil {
				break
			}
		}
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
		if kind := otherKind(now.Panels, old, r.Plan.LEDs); kind != "" {
			misread = kind
		}
	}
	if misread != "" {
		fail("relight-kinds", "by the rules of led an LED in its new place would be of another kind: %s", misread).
			About(diag.PanelKey(old.Name, "led"), "defaults.led").Fix("tell the kinds by layer, colour, block or size, as {rule: layer RED, kind: red-3mm}, not by where the LEDs are")
		return
	}
	fail("relight-drawing", "the drawing written anew would not mean the same: its LEDs are drawn in a way that cannot be replaced%s", why).
		Fix("draw each LED hole as one circle on the layer %s, and try again", layer)
}

// circled is how a drawing has LEDs.
type circled struct {
	layer          string // that the last of them lies on
	blocks         bool   // some are in blocks
	circles, rings []int  // entities that draw those that go: the holes alone, and with what is drawn round them
}

// ofLEDs finds the LEDs in a drawing, scaled to mm as they are; layer is what is told where none is found.
func ofLEDs(d dxf.Drawing, leds []panel.Hole, at func(panel.Hole) dxf.XY, keep map[geom.Pt]bool, layer string) circled {
	out := circled{layer: layer}
	for _, h := range leds {
		c, r := at(h), h.D.MM()/2
		for i := range d.Entities {
			if e := &d.Entities[i]; draws(e, c, r) {
				out.layer, out.blocks = e.Layer, out.blocks || e.Block != ""
			}
		}
		if keep[h.At] {
			continue
		}
		for i := range d.Entities { // rings round it may be its own
			e := &d.Entities[i]
			if e.Layer == out.layer && len(e.Path.Vertices) > 0 {
				if own := e.Path.Vertices[0].Dist(c); own > r/ring && own < r*ring && draws(e, c, own) {
					out.rings = append(out.rings, i)
					if draws(e, c, r) {
						out.circles = append(out.circles, i)
					}
				}
			}
		}
	}
	return out
}

// otherKind tells an LED that another kind is read for than was placed, where all else is as wanted; empty: none.
func otherKind(now []panel.Panel, changed panel.Panel, want []panel.Hole) string {
	name := func(kind string) string { return cmp.Or(kind, "the usual kind") }
	for _, p := range now {
		if p.Name != changed.Name || p.Origin != changed.Origin || len(p.LEDs) != len(want) {
			continue
		}
		for _, h := range want {
			for _, q := range p.LEDs {
				if q.At.Dist(h.At) <= 1000 && !strings.EqualFold(q.Kind, h.Kind) {
					return fmt.Sprintf("at x %.2f, y %.2f mm %s, not %s", h.At.X.MM()+p.Origin.X, h.At.Y.MM()+p.Origin.Y, name(q.Kind), name(h.Kind))
				}
			}
		}
	}
	return ""
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
		if a[i].At.Dist(b[i].At) > 1000 || a[i].D-b[i].D > 1000 || b[i].D-a[i].D > 1000 || !strings.EqualFold(a[i].Kind, b[i].Kind) {
			return false
		}
	}
	old.LEDs, now.LEDs, old.Drawing, now.Drawing, old.BodyDepth = nil, nil, "", "", now.BodyDepth // the last is the project's
	return reflect.DeepEqual(sourceless(old), sourceless(now))
}
