// Package stencil judges whether solder paste comes out of a stencil's openings, from a pack's paste layers as they were read back.
package stencil

import (
	"fmt"
	"math"
	"strings"

	"lampblack/board"
	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// What an opening needs so that paste leaves it. Source: IPC-7525: the opening's area over that of its walls is 0.66 or more, its width over
// the stencil's thickness 1.5 or more.
const (
	LeastArea   = 0.66
	LeastAspect = 1.5
)

// Usual is how thick stencils are: common practice for parts of the size that hands place.
const Usual = 120 * geom.Micrometre

// opening is one of a stencil, in mm.
type opening struct {
	area, around, width float64
	words               string
}

// openingOf returns what an aperture opens; ok is false for shapes that no pad has.
func openingOf(a export.Aperture) (o opening, ok bool) {
	w, h := a.W.MM(), a.H.MM()
	long, wide := max(w, h), min(w, h)
	switch a.Shape {
	case export.Circle:
		return opening{math.Pi / 4 * w * w, math.Pi * w, w, fmt.Sprintf("%.4g mm across", w)}, true
	case export.Rectangle:
		return opening{w * h, 2 * (w + h), wide, fmt.Sprintf("%.4g x %.4g mm", long, wide)}, true
	case export.Obround:
		ends, sides := float64(math.Pi/4*wide*wide), float64(wide*(long-wide))
		return opening{ends + sides, float64(math.Pi*wide) + float64(2*(long-wide)), wide, fmt.Sprintf("%.4g x %.4g mm", long, wide)}, true
	}
	return opening{}, false
}

// ratios returns area ratio and aspect ratio in a stencil.
func (o opening) ratios(thick geom.Nm) (area, aspect float64) {
	return o.area / (o.around * thick.MM()), o.width / thick.MM()
}

// thickest is the thickest stencil that it can have, in whole hundredths of a millimetre.
func (o opening) thickest() geom.Nm {
	most := min(o.area/(o.around*LeastArea), o.width/LeastAspect)
	return geom.Nm(math.Floor(100*most+1e-9)) * (geom.Millimetre / 100)
}

// enough allows for the last digit of a quotient.
func enough(ratio, least float64) bool { return ratio > least-1e-9 }

// Figures tells of the paste of a board.
type Figures struct {
	Thickness    geom.Nm
	Openings     int
	Area, Aspect float64 // the least of all openings
	Of           string  // the part that has the least area ratio
	Thickest     geom.Nm // that all openings can have
}

// Judge tells of openings that keep their paste. art is a pack that was read back and b the board raised from it, which knows whose
// they are. Without paste there are no figures.
func Judge(art export.Artwork, b board.Board, thick geom.Nm) (Figures, diag.List) {
	type pin struct {
		at geom.Pt
		on geom.Side
	}
	parts := map[pin]int{}
	b.Pads(func(i, j int) bool {
		p := b.Parts[i].Pads[j]
		parts[pin{p.At, p.On}] = i
		return true
	})
	type kept struct {
		opening
		at   geom.Pt
		part int // -1: nobody's
	}
	f := Figures{Thickness: thick, Thickest: geom.MaxCoord}
	worst := map[int]int{} // of each part, index into bad
	var bad []kept
	for _, side := range geom.BothSides() {
		l, _ := art.Layer(export.PasteTop + export.Function(side))
		for _, o := range l.Objects {
			var open opening
			known := o.Op == export.Flash && !o.Clear
			if known {
				open, known = openingOf(l.Apertures[o.Aperture])
			}
			if !known {
				continue // a board's paste is flashed in its pads' shapes: anything else is told by who compares with what was meant
			}
			k := kept{open, o.To, -1}
			if i, ok := parts[pin{o.To, side}]; ok {
				k.part = i
			}
			area, aspect := k.ratios(thick)
			if f.Openings == 0 || area < f.Area {
				f.Area, f.Of = area, ""
				if k.part >= 0 {
					f.Of = b.Parts[k.part].Ref
				}
			}
			if f.Openings == 0 || aspect < f.Aspect {
				f.Aspect = aspect
			}
			f.Openings++
			f.Thickest = min(f.Thickest, k.thickest())
			if enough(area, LeastArea) && enough(aspect, LeastAspect) {
				continue
			}
			if i, ok := worst[k.part]; ok && k.part >= 0 {
				if was, _ := bad[i].ratios(thick); area < was {
					bad[i] = k
				}
				continue
			}
			worst[k.part] = len(bad)
			bad = append(bad, k)
		}
	}
	if f.Openings == 0 {
		return Figures{}, nil
	}
	var l diag.List
	for _, k := range bad {
		var why []string
		area, aspect := k.ratios(thick)
		if !enough(area, LeastArea) {
			why = append(why, fmt.Sprintf("the area ratio is %.2f, and %g is needed", down(area), LeastArea))
		}
		if !enough(aspect, LeastAspect) {
			why = append(why, fmt.Sprintf("the aspect ratio is %.2f, and %g is needed", down(aspect), LeastAspect))
		}
		of, keys := "an opening", []string{"stencil"}
		if k.part >= 0 {
			of = b.Parts[k.part].Ref
			if b.Parts[k.part].Kind == board.Resistor {
				keys = append(keys, "defaults.resistor")
			} else {
				keys = append(keys, diag.PanelKey(b.Name, "led"), "defaults.led")
			}
		}
		one := l.Add(diag.Warning, "stencil-thick", "the paste of %s stays in a stencil %v thick: of its opening, %s, %s (IPC-7525)", of, thick, k.words, strings.Join(why, "; ")).
			Together("the paste of %d parts stays in the stencil").About(keys...).At(k.at.X.MM(), k.at.Y.MM())
		if k.part >= 0 {
			one.OfPart(of)
		}
		if f.Thickest >= Usual {
			one.Fix("have the stencil made at most %v thick (%v is usual), or choose a larger package", k.thickest(), Usual).
				By(fmt.Sprintf("make the stencil %v thick", Usual), diag.Set, "stencil", Usual.String())
		} else {
			one.Fix("have the stencil made at most %v thick, or choose a larger package", k.thickest()).
				By(fmt.Sprintf("make the stencil %v thick", f.Thickest), diag.Set, "stencil", f.Thickest.String())
		}
	}
	return f, l
}

// down rounds down to hundredths, so that what fails is not told as what passes.
func down(ratio float64) float64 { return math.Floor(100*ratio) / 100 }
