package compare

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"lampblack/export/result"
)

// sheets tells of what the laser cuts.
func (d *Difference) sheets(was, is result.Panel) {
	find := func(all []result.Sheet, s result.Sheet) int {
		return slices.IndexFunc(all, func(o result.Sheet) bool { return o.Name == s.Name && o.Of == s.Of })
	}
	for _, a := range was.Sheets {
		k := find(is.Sheets, a)
		if k < 0 {
			d.add(Change{"sheet-gone", was.Name, "", fmt.Sprintf("the %s sheet is gone", a.Name)})
			continue
		}
		if b := is.Sheets[k]; a != b {
			var how []string
			say := func(what string, x, y float64, unit string) { how = append(how, now(what, x, y, 3, unit)...) }
			if a.Material != b.Material {
				how = append(how, a.Material+", now "+b.Material)
			}
			say("thickness", a.Thickness, b.Thickness, "mm")
			say("width", a.Width, b.Width, "mm")
			say("height", a.Height, b.Height, "mm")
			say("holes", float64(a.Holes), float64(b.Holes), "")
			say("cuts", a.Cut, b.Cut, "mm")
			say("engraved", a.Engraved, b.Engraved, "mm²")
			if len(how) == 0 {
				how = []string{"its limits of thickness or its side"}
			}
			d.add(Change{"sheet", was.Name, "", fmt.Sprintf("the %s sheet is another: %s", a.Name, strings.TrimSpace(strings.Join(how, "; ")))})
		}
	}
	for _, b := range is.Sheets {
		if find(was.Sheets, b) < 0 {
			d.add(Change{"sheet-added", is.Name, "", fmt.Sprintf("a %s sheet is new: %s, %s mm", b.Name, b.Material, figure(b.Thickness))})
		}
	}
}

// panel tells of one panel that both sides have.
func (d *Difference) panel(was, is result.Panel, old, new result.Console) {
	say := func(code, format string, args ...any) {
		d.add(Change{code, was.Name, "", fmt.Sprintf(format, args...)})
	}
	dx, dy := shift(was, is)
	var why []string
	no := func(format string, args ...any) { why = append(why, fmt.Sprintf(format, args...)) }

	for _, p := range [2]result.Panel{was, is} {
		if p.Stopped != "" {
			d.Unknown = append(d.Unknown, fmt.Sprintf("panel %s beyond where its errors stopped it on one side (%s)", p.Name, p.Stopped))
			no("one side of it could not be built")
		}
	}
	if old, new := size(was.BBox), size(is.BBox); old != new {
		say("panel-size", "outline was %s mm, it is %s mm", old, new)
		no("the panel's outline is another: hold an old board against it before you use one")
	} else if !alike(was.Outline, is.Outline, framesOf(was, is)) || differ(was.OutlineArea, is.OutlineArea) {
		say("panel-size", "%s", cmp.Or(strings.Join(now("within the outline", was.OutlineArea, is.OutlineArea, 1, "mm²"), ""), "the outline runs otherwise"))
		no("the panel's outline is another: hold an old board against it before you use one")
	}
	if !same(thick(was), thick(is)) {
		no("its sheets have another thickness, so that an old board may stand too near or too far: see side.svg")
	}
	for _, of := range []struct {
		code, what string
		was, is    []result.Hole
	}{{"led", "LED", was.Holes.LED, is.Holes.LED}, {"screw", "screw hole", was.Holes.Mount, is.Holes.Mount}} {
		m := match(of.was, of.is, dx, dy)
		for _, p := range m.pairs {
			a, b := of.was[p[0]], of.is[p[1]]
			if by := math.Hypot(b.X-dx-a.X, b.Y-dy-a.Y); by > placeTol {
				say(of.code+"-moved", "%s at %s moved by %s mm, to %s", of.what, spot(a.X, a.Y), figure(by), spot(b.X, b.Y))
				if by > holeTol {
					no("%s at %s moved by %s mm", of.what, spot(a.X, a.Y), figure(by))
				}
			}
			if differ(a.D, b.D) || a.Kind != b.Kind {
				say(of.code+"-hole", "%s at %s was %s, it is %s", of.what, spot(a.X, a.Y), strings.TrimSpace(a.Kind+" "+figure(a.D)+" mm"), strings.TrimSpace(b.Kind+" "+figure(b.D)+" mm"))
				no("%s at %s has another size or kind", of.what, spot(a.X, a.Y))
			}
		}
		for _, i := range m.gone {
			say(of.code+"-gone", "%s at %s is gone", of.what, spot(of.was[i].X, of.was[i].Y))
			no("%s at %s is gone", of.what, spot(of.was[i].X, of.was[i].Y))
		}
		for _, i := range m.added {
			say(of.code+"-added", "a new %s at %s", of.what, spot(of.is[i].X, of.is[i].Y))
			no("there is a new %s at %s", of.what, spot(of.is[i].X, of.is[i].Y))
		}
	}
	at := framesOf(was, is)
	d.loops("opening", was.Name, was.Openings, is.Openings, at, no)
	d.loops("body", was.Name, was.Bodies, is.Bodies, at, no)
	d.loops("room", was.Name, rooms(was), rooms(is), at, no)
	d.behind(was, is, dx, dy, no)
	d.texts(was, is, dx, dy)
	d.sheets(was, is)
	d.light(was, is)
	d.boards(was, is, old, new, why)
}

// texts tells of lettering: by its words, place and height.
func (d *Difference) texts(was, is result.Panel, dx, dy float64) {
	key := func(t result.Text, dx, dy float64) string {
		return fmt.Sprintf("%q at %s, %s mm high", t.Text, spot(t.X-dx, t.Y-dy), figure(t.Height))
	}
	count := map[string]int{}
	for _, t := range was.Lettering {
		count[key(t, 0, 0)]++
	}
	for _, t := range is.Lettering {
		k := key(t, dx, dy)
		if count[k]--; count[k] < 0 {
			d.add(Change{"lettering-added", is.Name, "", "new lettering " + k})
		}
	}
	for _, t := range was.Lettering {
		if k := key(t, 0, 0); count[k] > 0 {
			count[k]--
			d.add(Change{"lettering-gone", was.Name, "", "no longer lettering " + k})
		}
	}
}

// loops tells of openings and bodies, each by its box and area.
func (d *Difference) loops(what, panel string, was, is []result.Loop, at frames, no func(string, ...any)) {
	dx, dy := at.new[0]-at.old[0], at.new[1]-at.old[1]
	equal := func(a, b result.Loop) bool {
		return !differ(a.Area, b.Area) && near(a.BBox, [4]float64{b.BBox[0] - dx, b.BBox[1] - dy, b.BBox[2] - dx, b.BBox[3] - dy}) && alike(a.Path, b.Path, at)
	}
	for _, a := range was {
		if !slices.ContainsFunc(is, func(b result.Loop) bool { return equal(a, b) }) {
			d.add(Change{what + "-gone", panel, "", fmt.Sprintf("%s of %s mm at %s is gone", what, size(a.BBox), middle(a.BBox))})
		}
	}
	for _, b := range is {
		if !slices.ContainsFunc(was, func(a result.Loop) bool { return equal(a, b) }) {
			d.add(Change{what + "-added", panel, "", fmt.Sprintf("a new %s of %s mm at %s", what, size(b.BBox), middle(b.BBox))})
			if b.Path == "" { // else it is tried against the board's edge
				no("a new %s of %s mm at %s: what sits there may meet the board", what, size(b.BBox), middle(b.BBox))
			}
		}
	}
}

func same(a, b any) bool { return reflect.DeepEqual(a, b) }

// thick is how thick a panel's sheets are.
func thick(p result.Panel) []float64 {
	var out []float64
	for _, s := range p.Sheets {
		out = append(out, s.Thickness)
	}
	return out
}

func rooms(p result.Panel) []result.Loop {
	var out []result.Loop
	for _, r := range p.Room {
		out = append(out, r.Loop)
	}
	return out
}

// behind tells that what sits in the openings, or screws and spacers, are others, and what follows from stack and parts for depth and for
// what is seen. Their places are those of openings and holes, which are told by themselves: of a panel that was drawn elsewhere nothing
// is told here.
func (d *Difference) behind(was, is result.Panel, dx, dy float64, no func(format string, args ...any)) {
	if dx != 0 || dy != 0 {
		return
	}
	for _, c := range []struct {
		what    string
		was, is any
		matters bool // whether a board that was made may no longer fit
	}{
		{"what sits in the openings", was.Controls, is.Controls, true},
		{"from where bodies begin", was.BodiesFrom, is.BodiesFrom, true},
		{"screws and spacers", was.Screws, is.Screws, false},
		{"how far LEDs come to the diffuser", was.Fit, is.Fit, false},
		{"how deep the panel is", was.Depth, is.Depth, false},
		{"what is lit and no lettering", was.Windows, is.Windows, false},
		{"LEDs that are seen directly", was.Seen, is.Seen, false},
	} {
		if !same(c.was, c.is) {
			d.add(Change{"behind", was.Name, "", c.what + ": not as before"})
			if c.matters {
				no("%s changed: hold an old board against it before you use one", c.what)
			}
		}
	}
}
