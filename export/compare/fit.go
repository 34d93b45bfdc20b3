package compare

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/export/result"
	"lampblack/panel/geom"
)

// plugTol is how far a connector may be from where it was and a wire that was cut for it still comes there: what a hand bends aside;
// common practice.
const plugTol = 5.0 // mm

// Rounding is how wide a piece of an image must be on average to be a change. Files round to 0.0001 inch, 2.5 µm, at the coarsest that is
// usual.
const Rounding = 5 * geom.Micrometre

// touch is how far one thing must reach into another to be told: places are rounded, and corners of cuts are not sharp.
const touch = 50 * geom.Micrometre

// areaOf returns what curves enclose, from a place of their drawing; nil where there are none.
func areaOf(from [2]float64, all ...result.Path) geom.Region {
	var rings []geom.Ring
	for _, p := range all {
		if c, ok := p.Contour(from); ok {
			rings = append(rings, c.Ring(geom.FlattenTolerance))
		}
	}
	return geom.NewRegion(rings...)
}

// alike reports whether two curves enclose the same. What one side does not tell is no difference.
func alike(a, b result.Path, at frames) bool {
	if a == b && at.old == at.new || a == "" || b == "" {
		return true
	}
	u, v := areaOf(at.old, a), areaOf(at.new, b)
	return len(u.Minus(v).Opened(touch/2)) == 0 && len(v.Minus(u).Opened(touch/2)) == 0
}

// air is how much nearer than nothing an old board may come to a body: edges of boards are routed to so much; common practice.
const air = 200 * geom.Micrometre

// clash tells where an old board meets what the new panel has, and the new board does not: openings, bodies and room for them, and the
// panel's edge.
func clash(old, new result.Board, is result.Panel, at frames) (why []string) {
	made := areaOf(at.old, append([]result.Path{old.Outline}, old.Cutouts...)...)
	if len(made) == 0 {
		return nil
	}
	apart := made.Minus(areaOf(at.new, append([]result.Path{new.Outline}, new.Cutouts...)...))
	for _, of := range []struct {
		what string
		all  []result.Loop
	}{{"opening", is.Openings}, {"body", is.Bodies}, {"room for parts", rooms(is)}} {
		for _, o := range of.all {
			if cut := made.And(areaOf(at.new, o.Path)).Opened(touch); len(cut) > 0 {
				why = append(why, fmt.Sprintf("it reaches %s mm² into the %s of %s mm at %s", figure(math.Round(cut.Area()*100)/100), of.what, size(o.BBox), middle(o.BBox)))
			} else if of.what != "opening" && len(apart.And(areaOf(at.new, o.Path).Grown(air)).Opened(touch/2)) > 0 {
				why = append(why, fmt.Sprintf("it comes nearer than %s mm to the %s of %s mm at %s", figure(air.MM()), of.what, size(o.BBox), middle(o.BBox)))
			}
		}
	}
	if whole := areaOf(at.new, is.Outline); len(whole) > 0 {
		if out := made.Minus(whole).Opened(touch); len(out) > 0 {
			why = append(why, fmt.Sprintf("%s mm² of it stick out beyond the panel's edge", figure(math.Round(out.Area()*100)/100)))
		}
	}
	return why
}

// connectors tells of connectors that are elsewhere, and why an old board does not fit the wires of the new console.
func (d *Difference) connectors(panel, name string, a, b result.Board, at frames) (why []string) {
	dx, dy := at.new[0]-at.old[0], at.new[1]-at.old[1]
	was, is := byRole(a.Connectors), byRole(b.Connectors)
	if len(a.Connectors) == 0 || len(b.Connectors) == 0 { // of an earlier version, or of a board that has none
		return nil
	}
	for _, role := range []string{"IN", "OUT"} {
		p, had := was[role]
		q, has := is[role]
		switch {
		case !had && !has:
		case !had:
			d.tell("connector-moved", panel, name, "connector %s is new, at %s", role, spot(q.X, q.Y))
			why = append(why, "it has no connector "+role)
		case !has:
			d.tell("connector-moved", panel, name, "connector %s is gone", role)
		default:
			by := math.Hypot(q.X-dx-p.X, q.Y-dy-p.Y)
			var how []string
			if by > placeTol {
				how = append(how, fmt.Sprintf("moved by %s mm, from %s to %s", figure(by), spot(p.X, p.Y), spot(q.X, q.Y)))
			}
			if p.Turn != q.Turn || p.Side != q.Side {
				how = append(how, fmt.Sprintf("is turned: %d degrees on the %s, now %d on the %s", p.Turn, p.Side, q.Turn, q.Side))
			}
			if len(how) > 0 {
				d.tell("connector-moved", panel, name, "connector %s (%s) %s", role, q.Ref, strings.Join(how, ", and "))
			}
			if by > plugTol || p.Side != q.Side {
				why = append(why, fmt.Sprintf("its connector %s is %s mm from where the new wires end: hold the harness against it", role, figure(by)))
			}
		}
	}
	return why
}

// Loaded says of which old boards the copper may be too narrow: that of the new ones is another, and more current passes from board to board
// or to their own LEDs than the old ones were made for.
func (d *Difference) Loaded(was, is result.Console) {
	most := func(c result.Console) map[string]float64 {
		out := map[string]float64{}
		for _, k := range c.Chains {
			for _, l := range k.Links {
				out[l.Panel] = max(out[l.Panel], l.SegmentWorstA)
			}
			if k.Back != nil {
				out[k.Back.Panel] = max(out[k.Back.Panel], k.Back.SegmentWorstA)
			}
		}
		return out
	}
	a, b := most(was), most(called(is, Renamed(was, is)))
	for _, of := range slices.Clone(d.Boards) {
		if x, y := a[of.Board], b[of.Board]; y > 1.01*x && slices.ContainsFunc(d.Changes, func(c Change) bool {
			return c.Panel == of.Panel && (c.Code == "copper" || c.Code == "vias")
		}) {
			d.against(of.Panel, of.Board, fmt.Sprintf("up to %s mA come in where it was made for %s mA, and the new one's copper is another", figure(math.Round(1e4*y)/10), figure(math.Round(1e4*x)/10)))
		}
	}
}

func byRole(all []result.Connector) map[string]result.Connector {
	out := map[string]result.Connector{}
	for _, c := range all {
		out[c.Role] = c
	}
	return out
}
