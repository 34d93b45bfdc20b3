package flow

import (
	"slices"

	"lampblack/export"
	"lampblack/panel/geom"
)

// arrayFaults are what only an array can have wrong: its lists, its page, and what is broken.
func arrayFaults() []packFault {
	line := func(file, pattern, with, code, what string) packFault {
		return packFault{what, code, func(h *harmed) bool { return h.text(file, replaced(pattern, with)) }}
	}
	torn := func(h *harmed) (geom.Pt, bool) {
		d := h.drill(false)
		if !h.Array || d == nil {
			return geom.Pt{}, false
		}
		for _, hit := range d.Hits {
			if d.Tools[hit.Tool].Function == "MechanicalDrill,Breakout" {
				return hit.At, true
			}
		}
		return geom.Pt{}, false
	}
	const row = `(?m)^(2D1,)(-?[0-9.]+),(-?[0-9.]+),(\d+),(top|bottom),([^,]*),`
	return []packFault{
		line("placement.csv", row, "${1}7.000,${3},${4},${5},${6},", "inspect-placement", "a list of places with a part elsewhere"),
		line("placement.csv", row, "${1}${2},${3},45,${5},${6},", "inspect-placement", "a list of places with a part turned"),
		line("placement.csv", row, "${1}${2},${3},${4},left,${6},", "inspect-placement", "a list of places with a part on another side"),
		line("placement.csv", row, "${1}${2},${3},${4},${5},blue-9mm,", "inspect-placement", "a list of places with a part of another value"),
		line("placement.csv", `(?m)^2D1,.*\n`, "", "inspect-placement", "a list of places without a part"),
		line("placement.csv", `(?m)^(2D1,.*\n)`, "${1}${1}", "inspect-placement", "a list of places with a part twice"),
		line("placement.csv", `(?m)^2D1,`, "3D1,", "inspect-placement", "a list of places with a part of a board that there is not"),
		line("placement.csv", `(?m)^2D1,[^,]*,`, "2D1,", "inspect-list", "a list of places with a column too few"),
		line("placement.csv", `\z`, "9\"D1,5,5,0,top,,\n", "inspect-list", "a list of places with a stray quote at its end"),
		line("parts.csv", `(?m)^(\d+),LED`, "1,LED", "inspect-parts-list", "a list of parts with too few"),
		line("parts.csv", `(?m)^(.*)radial-3mm`, "${1}radial-9mm", "inspect-parts-list", "a list of parts with another package"),
		line("README.txt", `along \d+ rows`, "along 99 rows", "inspect-readme", "README.txt with more rows of holes"),
		{"silkscreen over the perforation", "inspect-ink-broken", func(h *harmed) bool {
			q, ok := torn(h)
			if !ok {
				return false
			}
			l := h.layer(export.SilkscreenTop)
			o := l.Objects[0]
			o.From, o.To = q.Add(geom.Vec{X: -mm(0.4)}), q.Add(geom.Vec{X: mm(0.4)})
			l.Objects = append(l.Objects, o)
			return true
		}},
		{"copper at the perforation", "inspect-copper-broken", func(h *harmed) bool {
			q, ok := torn(h)
			return ok && draw(h.layer(export.CopperBottom), "1.V+", mm(0.3), q.Add(geom.Vec{X: mm(0.1)}), q.Add(geom.Vec{X: mm(0.6)}))
		}},
		{"a hole of the perforation gone", "inspect-netlist-hole", func(h *harmed) bool {
			q, ok := torn(h)
			if !ok {
				return false
			}
			d := h.drill(false)
			d.Hits = slices.DeleteFunc(d.Hits, func(x export.Hit) bool { return x.At == q })
			return true
		}},
		{"perforation away from every slot", "inspect-stray-perforation", func(h *harmed) bool {
			q, ok := torn(h)
			if !ok {
				return false
			}
			d := h.drill(false)
			for i := range d.Hits {
				if d.Hits[i].At == q {
					d.Hits[i].At = geom.Pt{X: h.Size.Min.X + mm(1), Y: h.Size.Centre().Y}
				}
			}
			return true
		}},
	}
}
