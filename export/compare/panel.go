package compare

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"lampblack/export/result"
)

// sheets tells of what the laser cuts.
func (d *Difference) sheets(was, is result.Panel) {
	if was.Stopped != is.Stopped { // one side has none, which is told
		return
	}
	find := func(all []result.Sheet, s result.Sheet) int {
		return slices.IndexFunc(all, func(o result.Sheet) bool { return o.Name == s.Name && o.Of == s.Of })
	}
	for _, a := range was.Sheets {
		k := find(is.Sheets, a)
		if k < 0 {
			d.tell("sheet-gone", was.Name, "", "the %s sheet is gone", sheetNames(a.Name))
			continue
		}
		if b := is.Sheets[k]; a != b {
			var how []string
			say := func(what string, x, y float64, unit string) { how = append(how, now(what, x, y, 3, unit)...) }
			tell := func(code string, how []string) {
				if len(how) > 0 {
					d.tell(code, was.Name, "", "the %s sheet is another: %s", sheetNames(a.Name), strings.Join(how, "; "))
				}
			}
			if a.Material != b.Material {
				how = append(how, a.Material+", now "+b.Material)
			}
			say("thickness", a.Thickness, b.Thickness, "mm")
			say("it comes out as thin as", a.Least, b.Least, "mm")
			say("as thick as", a.Most, b.Most, "mm")
			if a.Measured != b.Measured {
				how = append(how, map[bool]string{true: "somebody measured it", false: "nobody measured it any more"}[b.Measured])
			}
			if a.Behind != b.Behind {
				how = append(how, map[bool]string{true: "its file is drawn from behind now", false: "its file is drawn from the front now"}[b.Behind])
			}
			tell("sheet", how)
			how = nil
			say("width", a.Width, b.Width, "mm")
			say("height", a.Height, b.Height, "mm")
			say("holes", float64(a.Holes), float64(b.Holes), "")
			say("cuts", a.Cut, b.Cut, "mm")
			say("engraved", a.Engraved, b.Engraved, "mm²")
			tell("sheet-cuts", how)
		}
	}
	for _, b := range is.Sheets {
		if find(was.Sheets, b) < 0 {
			d.tell("sheet-added", is.Name, "", "a %s sheet is new: %s, %s mm", sheetNames(b.Name), b.Material, figure(b.Thickness))
		}
	}
}

// sheetNames is how people call a sheet.
func sheetNames(name string) string {
	if name == "led" || name == "led_sheet" {
		return "LED"
	}
	return name
}

// panel tells of one panel that both sides have.
func (d *Difference) panel(was, is result.Panel, old, new result.Console) {
	say := func(code, format string, args ...any) {
		d.tell(code, was.Name, "", format, args...)
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
	if was.Stopped == is.Stopped && !same(thick(was), thick(is)) {
		no("its sheets have another thickness, so that an old board may stand too near or too far: see side.svg")
	}
	for _, of := range []struct {
		code, what string
		was, is    []result.Hole
	}{{"led", "LED", was.Holes.LED, is.Holes.LED}, {"screw", "screw hole", was.Holes.Mount, is.Holes.Mount}} {
		d.holes(was.Name, of.code, of.what, of.was, of.is, dx, dy, no)
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

func same(a, b any) bool { return reflect.DeepEqual(a, b) }

// thick is how thick a panel's sheets are, and of those between board and light how thick they come out.
func thick(p result.Panel) []float64 {
	var out []float64
	for _, s := range p.Sheets {
		if out = append(out, s.Thickness); s.Name != "face" {
			out = append(out, s.Least, s.Most)
		}
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
