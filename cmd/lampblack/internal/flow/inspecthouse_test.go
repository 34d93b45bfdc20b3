package flow

import (
	"crypto/md5"
	"encoding/hex"
	"maps"
	"regexp"
	"slices"
	"strings"

	"lampblack/export"
	"lampblack/panel/geom"
)

// houseFaults are what a board house's own staff would hold an order for: files that are well formed, with digests that fit, but
// not this board, or not a board.
func houseFaults() []packFault {
	text := func(what, code, file, pattern, with string) packFault {
		return packFault{what, code, func(h *harmed) bool { return h.sealed(file, replaced(pattern, with)) }}
	}
	every := func(what, code, file, pattern, with string) packFault {
		return packFault{what, code, func(h *harmed) bool {
			return h.sealed(file, func(s string) string { return regexp.MustCompile(pattern).ReplaceAllString(s, with) })
		}}
	}
	mirrored := func(what, code string, f export.Function) packFault {
		return packFault{what, code, func(h *harmed) bool {
			l := h.layer(f)
			if l == nil {
				return false
			}
			turn := func(p geom.Pt) geom.Pt { return geom.Pt{X: h.Size.Min.X + h.Size.Max.X - p.X, Y: p.Y} }
			for i := range l.Objects {
				o := &l.Objects[i]
				o.From, o.To, o.Bulge = turn(o.From), turn(o.To), -o.Bulge
				c := slices.Clone(o.Contour)
				for k := range c {
					c[k].Pt, c[k].Bulge = turn(c[k].Pt), -c[k].Bulge
				}
				o.Contour = c
			}
			return true
		}}
	}
	return append(listFaults(text), []packFault{
		{"sizes of unplated tools exchanged", "inspect-netlist-drill", func(h *harmed) bool {
			d := h.drill(false)
			if d == nil || len(d.Tools) < 2 || d.Tools[0].D == d.Tools[len(d.Tools)-1].D {
				return false
			}
			n := len(d.Tools) - 1
			d.Tools[0].D, d.Tools[n].D = d.Tools[n].D, d.Tools[0].D
			return true
		}},
		text("a point of the netlist half a millimetre off", "readback-netlist-point", ".ipc", `(?m)^(317.{38}X.)(\d)`, "${1}9"),
		{"every plated hole drilled twice", "inspect-drilled-twice", func(h *harmed) bool {
			d := h.drill(true)
			d.Hits = append(d.Hits, d.Hits...)
			return true
		}},
		{"an unplated hole drilled once more, wider", "inspect-drilled-twice", func(h *harmed) bool {
			d := h.drill(false)
			if d == nil {
				return false
			}
			d.Tools = append(d.Tools, export.Tool{D: mm(3.9), Function: "MechanicalDrill"})
			i := slices.IndexFunc(d.Hits, func(x export.Hit) bool { return d.Tools[x.Tool].D == mm(3.2) })
			if i < 0 {
				return false
			}
			d.Hits = append(d.Hits, export.Hit{Tool: len(d.Tools) - 1, At: d.Hits[i].At})
			return true
		}},
		{"a hole plated and unplated", "inspect-drilled-twice", func(h *harmed) bool {
			a, b := h.drill(true), h.drill(false)
			if b == nil {
				return false
			}
			b.Tools = append(b.Tools, export.Tool{D: a.Tools[a.Hits[0].Tool].D, Function: "MechanicalDrill"})
			b.Hits = append(b.Hits, export.Hit{Tool: len(b.Tools) - 1, At: a.Hits[0].At})
			return true
		}},
		text("tracks of an aperture of no size", "inspect-odd-object", "copper-bottom", `(Conductor\*%\n%ADD\d+C,)[0-9.]+`, "${1}0.0"),
		text("openings of an aperture of no size", "check-mask-covers-pad", "soldermask-bottom", `(?m)^(%ADD\d+C,)[0-9.]+\*%`, "${1}0.0*%"),
		text("a copper layer with a digit less in its format", "readback-outside-profile", "copper-top", `46Y46`, "45Y45"),
		text("a mask with a digit less in its format", "check-mask-covers-pad", "soldermask-top", `46Y46`, "45Y45"),
		text("a profile with a digit less in its format", "inspect-job-size", "profile", `46Y46`, "45Y45"),
		text("silkscreen in inches that are millimetres", "check-legend-off-board", "silkscreen-top", `%MOMM\*%`, "%MOIN*%"),
		text("drills in inches that are millimetres", "readback-outside-profile", "drill-plated", `METRIC`, "INCH"),
		text("a netlist in inches that are millimetres", "readback-netlist-point", ".ipc", `(UNITS CUST )1`, "${1}0"),
		{"an outline drawn twice", "inspect-edge-not-told", func(h *harmed) bool {
			l := h.layer(export.Profile)
			l.Objects = append(l.Objects, l.Objects...)
			return true
		}},
		text("an outline open by 0.05 mm", "readback-open-profile", "profile", `(?s)(.*)X(-?\d+)(\d{5})(Y-?\d+D01\*)`, "${1}X${2}49999${4}"),
		every("arcs of the outline bent the other way", "inspect-edge-not-told", "profile", `(?m)^G03\*`, "G02*"),
		mirrored("the top's silkscreen mirrored", "check-legend-on-pad", export.SilkscreenTop),
		mirrored("the bottom's copper mirrored", "readback-netlist-point", export.CopperBottom),
		mirrored("the bottom's component layer mirrored", "inspect-pin-place", export.ComponentBottom),
		every("a mask that takes openings away", "inspect-mask-covers-pad", "soldermask-top", `%LPD\*%`, "%LPC*%"),
		text("a mask that says it is positive", "readback-polarity", "soldermask-bottom", `FilePolarity,Negative`, "FilePolarity,Positive"),
		text("silkscreen that says it is negative", "readback-polarity", "silkscreen-bottom", `FilePolarity,Positive`, "FilePolarity,Negative"),
		text("plated holes that say they are blind", "inspect-span", "drill-plated", `Plated,1,2,PTH`, "Plated,1,2,Blind"),
		text("plated holes that say they end at layer 4", "inspect-span", "drill-plated", `Plated,1,2,PTH`, "Plated,1,4,PTH"),
		text("unplated holes of one layer", "inspect-span", "drill-unplated", `NonPlated,1,2,NPTH`, "NonPlated,1,1,NPTH"),
		text("copper that says it lies inside", "readback-missing-layer", "copper-bottom", `Copper,L2,Bot`, "Copper,L3,Inr"),
		text("copper that says it is layer 4", "inspect-job-function", "copper-bottom", `Copper,L2,Bot`, "Copper,L4,Bot"),
		text("a layer of another frame of coordinates", "readback-coordinates-differ", "soldermask-top", `(SameCoordinates,)[0-9a-f]`, "${1}x"),
		text("a drill file without an end", "readback-no-end", "drill-plated", `M30\n`, ""),
		text("a netlist tested from the wrong side", "readback-netlist-point", ".ipc", `(?m)^(327.*A0)2`, "${1}1"),
		every("holes of areas filled", "check-short", "copper-bottom", `%LPC\*%`, "%LPD*%"),
		{"a hole 0.05 mm off", "inspect-netlist-hole", func(h *harmed) bool { h.drill(true).Hits[0].At.X += mm(0.05); return true }},
		{"a land of a via that says it is a lead's", "inspect-pad-unnamed", func(h *harmed) bool {
			l := h.layer(export.CopperTop)
			i := find(l, func(o export.Object) bool {
				return l.Apertures[max(0, min(o.Aperture, len(l.Apertures)-1))].Function == "ViaPad" && o.Op == export.Flash
			})
			if i < 0 {
				return false
			}
			aperture(l, i, func(a *export.Aperture) { a.Function = "ComponentPad" })
			return true
		}},
	}...)
}

// sealed changes a file and renews its digest (The Gerber Layer Format Specification 2021.02, 5.6.9: all before the command,
// without line breaks).
func (h *harmed) sealed(part string, f func(string) string) bool {
	if !h.text(part, f) {
		return false
	}
	for _, name := range slices.Sorted(maps.Keys(h.files)) {
		s := string(h.files[name])
		if at := strings.Index(s, "%TF.MD5,"); strings.Contains(name, part) && at > 0 {
			sum := md5.Sum([]byte(strings.NewReplacer("\r", "", "\n", "").Replace(s[:at])))
			end := at + strings.Index(s[at:], "*")
			h.files[name] = []byte(s[:at] + "%TF.MD5," + hex.EncodeToString(sum[:]) + s[end:])
			break
		}
	}
	return true
}

// listFaults are contradictions between what the papers ask for and what the files hold, and marks and paste that serve nobody.
func listFaults(text func(what, code, file, pattern, with string) packFault) []packFault {
	return []packFault{
		text("the page asks for another colour of soldermask", "inspect-readme", "README", `WHITE, both`, "BLACK, both"),
		text("the job file asks for another colour of soldermask", "inspect-readme", ".gbrjob", `"Color": "White"`, `"Color": "Green"`),
		text("the page is of another revision", "inspect-readme", "README", `(Revision +)\S+`, "${1}Q"),
		text("the page calls pin 1 minus", "inspect-readme", "README", `1 is \+, 2 is -`, "1 is -, 2 is +"),
		text("the page exchanges the connectors", "inspect-readme", "README", `J1 is IN, `, "J1 is OUT, "),
		text("the page counts other boards", "inspect-readme", "README", `(Boards +)2`, "${1}3"),
		text("the job file states a wider gap for pads", "inspect-job-gap", ".gbrjob", `("PadToPad": )[0-9.]+`, "${1}1.5"),
		text("a part without a value", "inspect-part-value", "component-top", `%TO\.CVal,[^*]*\*%\n`, ""),
		text("a resistor of another value in the list of parts", "inspect-parts-list", "parts.csv", `(resistor,)[0-9kR]+`, "${1}51R"),
		{"a pin called minus on the supply", "inspect-poles", func(h *harmed) bool {
			for i := range h.Layers {
				for k := range h.Layers[i].Objects {
					if o := &h.Layers[i].Objects[k]; o.PinFn == "+" {
						o.PinFn = "-"
					} else if o.PinFn == "-" {
						o.PinFn = "+"
					}
				}
			}
			return true
		}},
		{"paste of a tenth of the pads", "inspect-paste-little", func(h *harmed) bool {
			l := h.layer(export.PasteBottom)
			if l == nil {
				return false
			}
			for i := range l.Apertures {
				l.Apertures[i].W, l.Apertures[i].H = l.Apertures[i].W/3, l.Apertures[i].H/3
			}
			return len(l.Objects) > 0
		}},
		{"silkscreen of 0.03", "check-legend-width", func(h *harmed) bool {
			l := h.layer(export.SilkscreenBottom)
			for i := range l.Apertures {
				l.Apertures[i].W, l.Apertures[i].H = geom.MM(0.03), geom.MM(0.03)
			}
			return true
		}},
		{"a fiducial gone", "inspect-fiducials", func(h *harmed) bool {
			l := h.layer(export.CopperTop)
			k := find(l, func(o export.Object) bool { return strings.HasPrefix(l.Apertures[o.Aperture].Function, "FiducialPad") })
			if k < 0 {
				return false
			}
			l.Objects = slices.Delete(l.Objects, k, k+1)
			return true
		}},
		{"a fiducial covered", "inspect-fiducial-covered", func(h *harmed) bool {
			l, m := h.layer(export.CopperTop), h.layer(export.SoldermaskTop)
			k := find(l, func(o export.Object) bool { return strings.HasPrefix(l.Apertures[o.Aperture].Function, "FiducialPad") })
			return k >= 0 && drop(m, func(o export.Object) bool { return o.To == l.Objects[k].To })
		}},
	}
}
