package flow

import (
	"slices"
	"strings"

	"lampblack/export"
	"lampblack/panel/geom"
)

func copperFaults() []packFault {
	both := func(h *harmed, f func(l *export.Layer) bool) bool {
		return f(h.layer(export.CopperTop)) && f(h.layer(export.CopperBottom))
	}
	lamp := func(l *export.Layer) int { return find(l, lampPad) }
	return []packFault{
		{"two nets joined by a track", "check-short", func(h *harmed) bool {
			l := h.layer(lampSide)
			a, b := twoPads(l)
			return draw(l, a.Net, mm(0.3), a.To, b.To)
		}},
		{"two nets joined by an area", "check-short", func(h *harmed) bool {
			l := h.layer(lampSide)
			a, b := twoPads(l)
			box := geom.BoxOf(a.To, b.To).Grown(mm(0.2))
			l.Objects = append(l.Objects, export.Object{Op: export.Region, Contour: geom.Rect(box), Function: "Conductor", Net: a.Net, HasNet: true})
			return true
		}},
		{"two nets joined by a track that no net names", "check-short", func(h *harmed) bool {
			l := h.layer(lampSide)
			a, b := twoPads(l)
			return draw(l, "", mm(0.2), a.To, b.To)
		}},
		{"the tracks of a net are gone", "check-open", func(h *harmed) bool {
			net := ""
			for _, f := range []export.Function{export.CopperTop, export.CopperBottom} {
				l := h.layer(f)
				if i := find(l, func(o export.Object) bool { return o.Op == export.Draw && strings.Contains(o.Net, "S1.1") }); i >= 0 && net == "" {
					net = l.Objects[i].Net
				}
			}
			return net != "" && both(h, func(l *export.Layer) bool {
				l.Objects = slices.DeleteFunc(l.Objects, func(o export.Object) bool { return o.Op == export.Draw && o.Net == net })
				return true
			})
		}},
		{"a track of 0.08", "inspect-job-width", func(h *harmed) bool {
			l := h.layer(export.CopperBottom)
			i := find(l, func(o export.Object) bool { return o.Op == export.Draw })
			aperture(l, i, func(a *export.Aperture) { a.W, a.H = mm(0.08), mm(0.08) })
			return true
		}},
		{"a track of 0.08, limits", "check-thin-track", func(h *harmed) bool {
			l := h.layer(export.CopperBottom)
			i := find(l, func(o export.Object) bool { return o.Op == export.Draw })
			aperture(l, i, func(a *export.Aperture) { a.W, a.H = mm(0.08), mm(0.08) })
			return true
		}},
		{"a ring of 0.025", "check-annular-ring", func(h *harmed) bool {
			return both(h, func(l *export.Layer) bool {
				i := find(l, func(o export.Object) bool { return isPad(o) && strings.HasSuffix(o.Ref, "J1") })
				aperture(l, i, func(a *export.Aperture) { d := mm(1.25); a.W, a.H = min(a.W, d), min(a.H, d) })
				return true
			})
		}},
		{"a pad of another size", "inspect-pad-shape", func(h *harmed) bool {
			l := h.layer(lampSide)
			aperture(l, lamp(l), func(a *export.Aperture) { a.W -= mm(0.1); a.H -= mm(0.1) })
			return true
		}},
		{"a pad moved by 0.3", "inspect-pin-place", func(h *harmed) bool {
			return both(h, func(l *export.Layer) bool {
				for i, o := range l.Objects {
					if isPad(o) && strings.HasSuffix(o.Ref, "D1") && o.Pin == "2" {
						l.Objects[i].To.X += mm(0.3)
					}
				}
				return true
			})
		}},
		{"pads of another net", "readback-netlist-net", func(h *harmed) bool {
			return both(h, func(l *export.Layer) bool {
				for i, o := range l.Objects {
					if isPad(o) && strings.HasSuffix(o.Ref, "R1") {
						l.Objects[i].Net = "S9.9"
					}
				}
				return true
			})
		}},
		{"copper 0.05 from another net's", "check-copper-gap", func(h *harmed) bool {
			l := h.layer(lampSide)
			a, b := twoPads(l)
			d := b.To.Sub(a.To)
			// From a, towards b, ending 0.05 before b's copper.
			w := max(l.Apertures[b.Aperture].W, l.Apertures[b.Aperture].H)
			n := a.To.Dist(b.To)
			if d.X != 0 && d.Y != 0 {
				w = min(l.Apertures[b.Aperture].W, l.Apertures[b.Aperture].H)
			}
			if d.Y == 0 {
				w = l.Apertures[b.Aperture].W
			} else if d.X == 0 && l.Apertures[b.Aperture].H > 0 {
				w = l.Apertures[b.Aperture].H
			}
			stop := (n - float64(w/2+mm(0.15)+mm(0.05))) / n
			return draw(l, a.Net, mm(0.3), a.To, a.To.Add(geom.Vec{X: geom.Nm(float64(d.X) * stop), Y: geom.Nm(float64(d.Y) * stop)}))
		}},
		{"a track over the board's edge", "readback-outside-profile", func(h *harmed) bool {
			l := h.layer(lampSide)
			a := l.Objects[lamp(l)]
			return draw(l, a.Net, mm(0.4), a.To, geom.Pt{X: h.Size.Min.X - mm(3), Y: a.To.Y})
		}},
		{"copper layers exchanged", "readback-netlist-point", func(h *harmed) bool {
			return exchanged(h.layer(export.CopperTop), h.layer(export.CopperBottom))
		}},
		{"a copper layer shifted by 1 mm", "readback-netlist-point", func(h *harmed) bool {
			return shifted(h.layer(export.CopperBottom), geom.Vec{X: mm(1)})
		}},
		{"a copper layer shifted by 0.2 mm", "inspect-pin-place", func(h *harmed) bool {
			return shifted(h.layer(export.CopperBottom), geom.Vec{Y: mm(0.2)}) && shifted(h.layer(export.CopperTop), geom.Vec{Y: mm(0.2)})
		}},
		{"copper that belongs to nothing", "check-island", func(h *harmed) bool {
			l := h.layer(lampSide)
			at := geom.Pt{X: h.Size.Min.X + mm(3), Y: h.Size.Centre().Y}
			l.Objects = slices.DeleteFunc(l.Objects, func(o export.Object) bool { return o.Op == export.Region })
			return draw(l, "V+", mm(0.5), at, at.Add(geom.Vec{Y: mm(0.3)}))
		}},
		{"anode and cathode called one the other", "inspect-pin-function", func(h *harmed) bool {
			return both(h, func(l *export.Layer) bool {
				for i, o := range l.Objects {
					if isPad(o) && strings.HasSuffix(o.Ref, "D1") {
						l.Objects[i].PinFn = map[string]string{"A": "K", "K": "A"}[o.PinFn]
					}
				}
				return true
			})
		}},
		{"a pad gone on one side", "readback-half-pad", func(h *harmed) bool {
			return drop(h.layer(export.CopperTop), func(o export.Object) bool { return isPad(o) && strings.HasSuffix(o.Ref, "J1") })
		}},
		{"a surface pad gone", "readback-netlist-point", func(h *harmed) bool {
			return drop(h.layer(export.CopperBottom), func(o export.Object) bool { return isPad(o) && strings.HasSuffix(o.Ref, "R1") })
		}},
		{"a via gone on one side", "readback-half-via", func(h *harmed) bool {
			l := h.layer(export.CopperTop)
			return drop(l, func(o export.Object) bool {
				return o.Op == export.Flash && l.Apertures[o.Aperture].Function == "ViaPad"
			})
		}},
		{"a copper layer missing", "readback-missing-layer", func(h *harmed) bool { return h.remove("copper-bottom") }},
		{"a copper layer twice", "readback-layer-twice", func(h *harmed) bool {
			h.files["copy.gbr"] = h.files[export.FileName(h.Name, export.CopperTop)]
			return true
		}},
		{"a cut-out gone", "inspect-edge-gone", func(h *harmed) bool {
			loops := h.Edges()
			return len(loops) > 1 && dropLoop(h.layer(export.Profile), loops[1])
		}},
		{"a cut-out moved by 1 mm", "inspect-edge-not-told", func(h *harmed) bool {
			loops := h.Edges()
			if len(loops) < 2 {
				return false
			}
			l := h.layer(export.Profile)
			for i := range l.Objects {
				if o := &l.Objects[i]; onLoop(loops[1], *o) {
					o.From.X, o.To.X = o.From.X+mm(1), o.To.X+mm(1)
				}
			}
			return true
		}},
		{"a cut-out more, over copper", "inspect-edge-not-told", func(h *harmed) bool {
			l := h.layer(export.Profile)
			c := h.layer(lampSide)
			box := geom.BoxOf(c.Objects[lamp(c)].To).Grown(mm(2))
			for _, e := range geom.Rect(box).Edges() {
				l.Objects = append(l.Objects, export.Object{Op: export.Draw, From: e.From, To: e.To, Bulge: e.Bulge})
			}
			return true
		}},
		{"a smaller outline", "inspect-job-size", func(h *harmed) bool {
			l := h.layer(export.Profile)
			for i := range l.Objects {
				for _, q := range []*geom.Pt{&l.Objects[i].From, &l.Objects[i].To} {
					if q.X == h.Size.Max.X {
						q.X -= mm(0.2)
					}
				}
			}
			return true
		}},
		{"an open outline", "readback-open-profile", func(h *harmed) bool {
			return drop(h.layer(export.Profile), func(export.Object) bool { return true })
		}},
		{"the profile missing", "readback-missing-layer", func(h *harmed) bool { return h.remove("profile") }},
	}
}

// onLoop reports whether a draw is an edge of a closed curve.
func onLoop(c geom.Contour, o export.Object) bool {
	return slices.ContainsFunc(c.Edges(), func(e geom.Arc) bool { return e.From == o.From && e.To == o.To })
}

func dropLoop(l *export.Layer, c geom.Contour) bool {
	l.Objects = slices.DeleteFunc(l.Objects, func(o export.Object) bool { return onLoop(c, o) })
	return true
}

func maskFaults() []packFault {
	const top, bottom = export.SoldermaskTop, export.SoldermaskBottom
	over := func(h *harmed, l *export.Layer, f func(export.Object) bool) int {
		c := h.layer(export.CopperBottom)
		return find(l, func(o export.Object) bool {
			return slices.ContainsFunc(c.Objects, func(q export.Object) bool { return f(q) && q.To == o.To })
		})
	}
	chip := func(o export.Object) bool { return isPad(o) && strings.Contains(o.Ref, "R") }
	paste := func(h *harmed) *export.Layer { return h.layer(export.PasteBottom) }
	return []packFault{
		{"an opening missing", "check-mask-covers-pad", func(h *harmed) bool {
			l := h.layer(bottom)
			i := over(h, l, chip)
			l.Objects = slices.Delete(l.Objects, i, i+1)
			return true
		}},
		{"masks exchanged", "check-mask-covers-pad", func(h *harmed) bool { return exchanged(h.layer(top), h.layer(bottom)) }},
		{"a mask shifted by 0.5 mm", "check-mask-covers-pad", func(h *harmed) bool { return shifted(h.layer(bottom), geom.Vec{X: mm(0.5)}) }},
		{"a mask shifted by 0.5 mm, what is under it", "inspect-opening-over-nothing", func(h *harmed) bool { return shifted(h.layer(top), geom.Vec{Y: mm(0.5)}) }},
		{"a mask missing", "inspect-file-missing", func(h *harmed) bool { return h.remove("soldermask-top") }},
		{"both masks missing", "inspect-mask-missing", func(h *harmed) bool { return h.remove("soldermask-top") && h.remove("soldermask-bottom") }},
		{"an opening far too large", "check-mask-exposes", func(h *harmed) bool {
			l := h.layer(bottom)
			aperture(l, over(h, l, chip), func(a *export.Aperture) { a.W, a.H = a.W+mm(6), a.H+mm(6) })
			return true
		}},
		{"an opening too small", "check-mask-covers-pad", func(h *harmed) bool {
			l := h.layer(bottom)
			aperture(l, over(h, l, chip), func(a *export.Aperture) { a.W, a.H = a.W-mm(0.4), a.H-mm(0.4) })
			return true
		}},
		{"an opening of another shape", "inspect-odd-object", func(h *harmed) bool {
			l := h.layer(bottom)
			aperture(l, over(h, l, chip), func(a *export.Aperture) { a.Shape, a.W = export.Circle, a.H })
			return true
		}},
		{"an opening where nothing is", "inspect-opening-over-nothing", func(h *harmed) bool {
			l := h.layer(top)
			o := l.Objects[0]
			o.To = geom.Pt{X: h.Size.Min.X + mm(2.5), Y: h.Size.Centre().Y}
			l.Objects = append(l.Objects, o)
			return true
		}},
		{"a mask that is positive", "readback-polarity", func(h *harmed) bool { h.layer(top).Negative = false; return true }},
		{"mask over a mount hole", "inspect-mask-over-hole", func(h *harmed) bool {
			d := h.drill(false)
			at := d.Hits[0].At
			for _, hit := range d.Hits {
				if d.Tools[hit.Tool].D > mm(2) {
					at = hit.At
				}
			}
			return drop(h.layer(top), func(o export.Object) bool { return o.To == at })
		}},
		{"paste shifted", "inspect-paste-stray", func(h *harmed) bool { return shifted(paste(h), geom.Vec{X: mm(0.8)}) }},
		{"paste missing on a pad", "inspect-paste-missing", func(h *harmed) bool { return drop(paste(h), func(export.Object) bool { return true }) }},
		{"too much paste", "inspect-paste-stray", func(h *harmed) bool {
			l := paste(h)
			if l == nil {
				return false
			}
			aperture(l, 0, func(a *export.Aperture) { a.W += mm(0.5) })
			return true
		}},
		{"the paste missing", "inspect-file-missing", func(h *harmed) bool { return h.remove("paste-bottom") }},
		{"paste on a drilled pad", "inspect-paste-stray", func(h *harmed) bool {
			l, c := paste(h), h.layer(export.CopperBottom)
			if l == nil {
				return false
			}
			l.Objects = append(l.Objects, export.Object{Op: export.Flash, To: c.Objects[find(c, func(o export.Object) bool { return isPad(o) && strings.HasSuffix(o.Ref, "J1") })].To})
			return true
		}},
	}
}

func drillFaults() []packFault {
	// tool moves hit i to a tool of its own.
	tool := func(d *export.Drill, i int, f func(*export.Tool)) bool {
		t := d.Tools[d.Hits[i].Tool]
		f(&t)
		d.Tools = append(d.Tools, t)
		d.Hits[i].Tool = len(d.Tools) - 1
		return true
	}
	mount := func(d *export.Drill) int {
		if d == nil {
			return -1
		}
		return slices.IndexFunc(d.Hits, func(h export.Hit) bool { return d.Tools[h.Tool].D == mm(3.2) })
	}
	lead := func(h *harmed) (*export.Drill, int) {
		d := h.drill(true)
		return d, slices.IndexFunc(d.Hits, func(q export.Hit) bool { return d.Tools[q.Tool].Function == "ComponentDrill" })
	}
	return []packFault{
		{"a hole of 0.3 for a lead", "inspect-lead-hole", func(h *harmed) bool {
			d, i := lead(h)
			return tool(d, i, func(t *export.Tool) { t.D = mm(0.3) })
		}},
		{"a hole as wide as its pad", "check-annular-ring", func(h *harmed) bool {
			d, i := lead(h)
			return tool(d, i, func(t *export.Tool) { t.D *= 2 })
		}},
		{"a hole 0.1 too wide", "inspect-netlist-drill", func(h *harmed) bool {
			d, i := lead(h)
			return tool(d, i, func(t *export.Tool) { t.D += mm(0.1) })
		}},
		{"screw holes gone", "inspect-opening-over-nothing", func(h *harmed) bool {
			d := h.drill(false)
			d.Hits = slices.DeleteFunc(d.Hits, func(q export.Hit) bool { return d.Tools[q.Tool].D == mm(3.2) })
			return true
		}},
		{"the plated holes' file missing", "inspect-file-missing", func(h *harmed) bool { return h.remove("drill-plated") }},
		{"the plated holes' file missing, its lands", "inspect-no-hole", func(h *harmed) bool { return h.remove("drill-plated") }},
		{"the unplated holes' file missing", "inspect-file-missing", func(h *harmed) bool { return h.remove("drill-unplated") }},
		{"plated and unplated exchanged", "inspect-not-plated", func(h *harmed) bool {
			a, b := h.drill(true), h.drill(false)
			a.Tools, b.Tools, a.Hits, b.Hits = b.Tools, a.Tools, b.Hits, a.Hits
			return true
		}},
		{"all holes shifted by 1 mm", "inspect-no-hole", func(h *harmed) bool {
			for i := range h.Drills {
				for k := range h.Drills[i].Hits {
					h.Drills[i].Hits[k].At.X += mm(1)
				}
			}
			return true
		}},
		{"a hole of a lead missing", "readback-undrilled-pad", func(h *harmed) bool {
			d, i := lead(h)
			d.Hits = slices.Delete(d.Hits, i, i+1)
			return true
		}},
		{"a via's hole missing", "inspect-no-hole", func(h *harmed) bool {
			d := h.drill(true)
			i := slices.IndexFunc(d.Hits, func(q export.Hit) bool { return d.Tools[q.Tool].Function == "ViaDrill" })
			if i < 0 {
				return false
			}
			d.Hits = slices.Delete(d.Hits, i, i+1)
			return true
		}},
		{"a hole too many", "inspect-netlist-no-hole", func(h *harmed) bool {
			d := h.drill(false)
			d.Hits = append(d.Hits, export.Hit{Tool: d.Hits[mount(d)].Tool, At: d.Hits[mount(d)].At.Add(geom.Vec{X: mm(6)})})
			return true
		}},
		{"a hole in copper", "check-copper-to-hole", func(h *harmed) bool {
			d, c := h.drill(false), h.layer(export.CopperBottom)
			i := find(c, func(o export.Object) bool { return o.Op == export.Draw })
			d.Hits = append(d.Hits, export.Hit{Tool: d.Hits[mount(d)].Tool, At: c.Objects[i].From})
			return true
		}},
		{"a narrower screw hole", "inspect-netlist-drill", func(h *harmed) bool {
			d := h.drill(false)
			return tool(d, mount(d), func(t *export.Tool) { t.D = mm(2) })
		}},
		{"a wider screw hole", "inspect-mask-over-hole", func(h *harmed) bool {
			d := h.drill(false)
			return tool(d, mount(d), func(t *export.Tool) { t.D = mm(4) })
		}},
		{"a screw hole moved", "inspect-netlist-hole", func(h *harmed) bool {
			d := h.drill(false)
			if h.Array {
				return false // an array's netlist tells of its tabs too
			}
			d.Hits[mount(d)].At.Y += mm(1.5)
			return true
		}},
		{"a hole off the board", "readback-outside-profile", func(h *harmed) bool {
			d := h.drill(false)
			d.Hits = append(d.Hits, export.Hit{Tool: 0, At: geom.Pt{X: h.Size.Min.X - mm(4), Y: h.Size.Min.Y}})
			return true
		}},
		{"a hole over the edge", "check-hole-to-edge", func(h *harmed) bool {
			d := h.drill(false)
			d.Hits = append(d.Hits, export.Hit{Tool: d.Hits[mount(d)].Tool, At: geom.Pt{X: h.Size.Min.X + mm(1), Y: h.Size.Centre().Y}})
			return true
		}},
		{"a hole beside another", "check-between-holes", func(h *harmed) bool {
			d := h.drill(false)
			k := mount(d)
			d.Hits = append(d.Hits, export.Hit{Tool: d.Hits[k].Tool, At: d.Hits[k].At.Add(geom.Vec{X: mm(3.3)})})
			return true
		}},
		{"drills in the wrong unit", "readback-outside-profile", func(h *harmed) bool {
			return h.text("drill-plated", func(s string) string { return strings.Replace(s, "METRIC", "INCH", 1) })
		}},
		{"a plated tool among the unplated", "inspect-drill-use", func(h *harmed) bool {
			d := h.drill(false)
			return tool(d, mount(d), func(t *export.Tool) { t.Function = "ComponentDrill" })
		}},
		{"perforation away from the tabs", "inspect-stray-perforation", func(h *harmed) bool {
			d := h.drill(false)
			for i, q := range d.Hits {
				if d.Tools[q.Tool].Function == "MechanicalDrill,Breakout" {
					d.Hits[i].At = geom.Pt{X: h.Size.Centre().X / 2, Y: h.Size.Centre().Y}
					return true
				}
			}
			return false
		}},
		{"no perforation", "inspect-no-perforation", func(h *harmed) bool {
			d := h.drill(false)
			n := len(d.Hits)
			d.Hits = slices.DeleteFunc(d.Hits, func(q export.Hit) bool { return d.Tools[q.Tool].Function == "MechanicalDrill,Breakout" })
			return len(d.Hits) < n
		}},
	}
}

func paperFaults() []packFault {
	line := func(part, pattern, with, code, what string) packFault {
		return packFault{what, code, func(h *harmed) bool { return h.text(part, replaced(pattern, with)) }}
	}
	value := func(key string, v float64, code, what string) packFault {
		return packFault{what, code, func(h *harmed) bool { return h.text(".gbrjob", number(key, v)) }}
	}
	return []packFault{
		{"the netlist missing", "inspect-no-netlist", func(h *harmed) bool { return h.remove(".ipc") }},
		{"the netlist of another board", "readback-netlist-point", func(h *harmed) bool {
			return h.text(".ipc", func(string) string { return string(h.other) })
		}},
		line(".ipc", `(?m)^3170V   `, "3170W   ", "readback-netlist-net", "a netlist's point on another net"),
		line(".ipc", `(?m)^3170V.*\n`, "", "readback-netlist-misses", "a netlist's point missing"),
		line(".ipc", `(?m)^(317.*D)[0-9]{4}P`, "${1}0500P", "inspect-netlist-drill", "a netlist's hole of another width"),
		line(".ipc", `(?m)^(317.*D[0-9]{4})P`, "${1}U", "inspect-netlist-plating", "a netlist's hole that is not plated"),
		line(".ipc", `(?m)^(3.7.*X)1[0-9]{3}Y`, "${1}0700Y", "inspect-netlist-land", "a netlist's land of another size"),
		line(".ipc", `(?m)^(3.7.*A0.X.0)(\d)`, "${1}1${2}", "readback-bad-column", "a netlist's record with a digit too many"),
		line(".ipc", `(?m)^367(.*D)3200`, "367${1}2500", "inspect-netlist-drill", "a netlist's screw hole of another width"),
		value("X", 12, "inspect-job-size", "a job file of another size"),
		value("LayerNumber", 4, "inspect-job-layers", "a job file of four layers"),
		value("BoardThickness", 0.8, "inspect-job-thickness", "a job file of another thickness"),
		value("PadToPad", 0.9, "check-copper-gap", "a job file with a wider gap, stated for all").all("PadToPad", "PadToTrack", "TrackToTrack", "TrackToRegion", "RegionToRegion"),
		value("MinLineWidth", 1.5, "inspect-job-width", "a job file with wider tracks"),
		line(".gbrjob", `"Copper,L1,Top"`, `"Copper,L2,Bot"`, "inspect-job-function", "a job file with another layer for a file"),
		line(".gbrjob", `"FilePolarity": "Negative"`, `"FilePolarity": "Positive"`, "inspect-job-polarity", "a job file with another polarity"),
		line(".gbrjob", `(?s)    \{\s*"Path": "[^"]*silkscreen-top[^}]*\},\n`, "", "inspect-file-unlisted", "a job file that leaves a file out"),
		line(".gbrjob", `silkscreen-top\.gbr`, "silkscreen-upper.gbr", "inspect-file-missing", "a job file that lists another file"),
		line(".gbrjob", `(?s)    \{\s*"Type": "SolderMask"[^}]*\},\n`, "", "inspect-job-stack", "a job file's stack without a mask"),
		line(".gbrjob", `"GUID": "[0-9a-f]`, `"GUID": "z`, "inspect-job-project", "the job file of another run"),
		line(".gbrjob", `\{`, "", "inspect-no-job", "a job file that is no JSON"),
		{"the job file missing", "inspect-no-job", func(h *harmed) bool { return h.remove(".gbrjob") }},
		{"README.txt missing", "inspect-no-readme", func(h *harmed) bool { return h.remove("README.txt") }},
		line("README.txt", `Size( +)\d`, "Size${1}9", "inspect-readme", "README.txt with another size"),
		line("README.txt", `Holes( +)\d`, "Holes${1}9", "inspect-readme", "README.txt with more holes"),
		line("README.txt", `smallest \d`, "smallest 7", "inspect-readme", "README.txt with another smallest hole"),
		line("README.txt", `FR-4, [0-9.]+`, "FR-4, 0.8", "inspect-readme", "README.txt with another thickness"),
		line("README.txt", `both sides`, "bottom only", "inspect-readme", "README.txt with other silkscreen").onlyRow("Silkscreen"),
		line("README.txt", `Layers( +)2`, "Layers${1}4", "inspect-readme", "README.txt with four layers"),
		line("README.txt", `-profile\.gbr`, "-outline.gbr", "inspect-readme", "README.txt with another file"),
		line("README.txt", `at least \d`, "at least 7", "inspect-readme", "README.txt with wider tracks"),
		line("README.txt", `^(Lighting boards? [^\n]*)`, "${1}-b", "inspect-readme", "README.txt of another board"),
	}
}

// all makes the fault in each of the keys.
func (f packFault) all(keys ...string) packFault {
	f.harm = func(h *harmed) bool {
		ok := true
		for _, k := range keys {
			ok = h.text(".gbrjob", number(k, 0.9)) && ok
		}
		return ok
	}
	return f
}

// onlyRow makes the fault in one row of README.txt.
func (f packFault) onlyRow(row string) packFault {
	f.harm = func(h *harmed) bool {
		return h.text("README.txt", replaced(row+`( +)black, both sides`, row+"${1}black, bottom only"))
	}
	return f
}

func partFaults() []packFault {
	const top, bottom = export.ComponentTop, export.ComponentBottom
	// of changes all objects of the first part of a layer that has more than a middle.
	of := func(h *harmed, f export.Function, change func(o *export.Object)) bool {
		l := h.layer(f)
		if l == nil {
			return false
		}
		ref := l.Objects[find(l, isPad)].Ref
		for i := range l.Objects {
			if o := &l.Objects[i]; o.Ref == ref {
				if o.Part != nil {
					c := *o.Part
					o.Part = &c
				}
				change(o)
			}
		}
		return true
	}
	return []packFault{
		{"a part turned by half a turn", "inspect-part-turned", func(h *harmed) bool {
			return of(h, top, func(o *export.Object) {
				if o.Part != nil {
					if o.Part.Rotation += 180; o.Part.Rotation >= 360 {
						o.Part.Rotation -= 360
					}
				}
			})
		}},
		{"a part turned by a quarter", "inspect-part-turned", func(h *harmed) bool {
			return of(h, bottom, func(o *export.Object) {
				if o.Part != nil {
					if o.Part.Rotation += 90; o.Part.Rotation >= 360 {
						o.Part.Rotation -= 360
					}
				}
			})
		}},
		{"a part's pins exchanged", "inspect-pin-place", func(h *harmed) bool {
			return of(h, top, func(o *export.Object) {
				if o.Pin != "" {
					o.Pin = map[string]string{"1": "2", "2": "1"}[o.Pin]
				}
			})
		}},
		{"a part's pins of other meaning", "inspect-pin-function", func(h *harmed) bool {
			return of(h, top, func(o *export.Object) {
				if o.Pin != "" {
					o.PinFn = map[string]string{"A": "K", "K": "A"}[o.PinFn]
				}
			})
		}},
		{"a part's middle elsewhere", "inspect-part-turned", func(h *harmed) bool {
			return of(h, top, func(o *export.Object) {
				if o.Op == export.Flash && o.Pin == "" {
					o.To.X += mm(1)
				}
			})
		}},
		{"a part elsewhere", "inspect-pin-place", func(h *harmed) bool {
			return of(h, bottom, func(o *export.Object) { o.From.X, o.To.X = o.From.X+mm(1), o.To.X+mm(1) })
		}},
		{"a part missing", "inspect-part-missing", func(h *harmed) bool {
			l := h.layer(top)
			ref := l.Objects[find(l, isPad)].Ref
			l.Objects = slices.DeleteFunc(l.Objects, func(o export.Object) bool { return o.Ref == ref })
			return true
		}},
		{"a part of another net", "inspect-pin-net", func(h *harmed) bool {
			return of(h, bottom, func(o *export.Object) {
				if o.Pin != "" {
					o.Net = "S9.9"
				}
			})
		}},
		{"a part of another name", "inspect-pin-without-pad", func(h *harmed) bool {
			return of(h, bottom, func(o *export.Object) { o.Ref += "9" })
		}},
		{"a part of another footprint", "inspect-part-turned", func(h *harmed) bool {
			return of(h, bottom, func(o *export.Object) {
				if o.Part != nil {
					o.Part.Footprint = "axial-10.16"
				}
			})
		}},
		{"a part of another height", "inspect-part-height", func(h *harmed) bool {
			return of(h, top, func(o *export.Object) {
				if o.Part != nil {
					o.Part.Height += mm(3)
				}
			})
		}},
		{"the component layers exchanged", "inspect-pin-side", func(h *harmed) bool { return exchanged(h.layer(top), h.layer(bottom)) }},
		{"a component layer missing", "inspect-file-missing", func(h *harmed) bool { return h.remove("component-top") }},
		{"both component layers missing", "inspect-no-parts", func(h *harmed) bool { return h.remove("component-top") && h.remove("component-bottom") }},
		{"silkscreens exchanged", "inspect-ink-missing", func(h *harmed) bool {
			return exchanged(h.layer(export.SilkscreenTop), h.layer(export.SilkscreenBottom))
		}},
		{"silkscreen shifted by 2 mm", "check-legend-on-pad", func(h *harmed) bool {
			return shifted(h.layer(export.SilkscreenTop), geom.Vec{X: mm(1.4), Y: mm(1.4)})
		}},
		{"silkscreen missing", "inspect-file-missing", func(h *harmed) bool { return h.remove("silkscreen-top") }},
		{"silkscreen that shows an LED turned round", "inspect-ink-turned", func(h *harmed) bool {
			l, c := h.layer(export.SilkscreenTop), h.layer(top)
			o := c.Objects[find(c, func(o export.Object) bool {
				return o.Op == export.Flash && o.Pin == "" && strings.HasSuffix(o.Ref, "D1")
			})]
			box := geom.BoxOf(o.To).Grown(mm(2.9))
			turn := func(p geom.Pt) geom.Pt { return geom.Pt{X: 2*o.To.X - p.X, Y: 2*o.To.Y - p.Y} }
			for i := range l.Objects {
				if q := &l.Objects[i]; box.Contains(q.From) && box.Contains(q.To) {
					q.From, q.To = turn(q.From), turn(q.To)
				}
			}
			return true
		}},
		{"silkscreen over a pad", "check-legend-on-pad", func(h *harmed) bool {
			l, c := h.layer(export.SilkscreenTop), h.layer(export.CopperTop)
			o := l.Objects[0]
			o.From = c.Objects[find(c, isPad)].To
			o.To = o.From.Add(geom.Vec{X: mm(1)})
			l.Objects = append(l.Objects, o)
			return true
		}},
	}
}
