package sheet

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// thinnest is the narrowest line that engraves cleanly: 0.2 mm (engravers' common practice).
const thinnest = 200 * geom.Micrometre

// Check tells what will not come out of the sheets as it was drawn. Positions are in the panel frame.
func Check(ctx context.Context, p panel.Panel, e *lettering.Engraving, opt Options) (l diag.List) {
	work.Until(ctx, func(w *work.Watch) { l = checked(w, p, e.Or(w, p), opt) })
	return l
}

func checked(w *work.Watch, p panel.Panel, e *lettering.Engraving, opt Options) diag.List {
	var l diag.List
	checkLettering(w, &l, p, e)
	// The LED sheet has every hole of the other two. That a body lies round its opening is how it is.
	j := cuts(w, p, opt, ledCuts(p)...)
	for _, c := range j.swallowed {
		at := c.Box().Centre()
		l.Add(diag.Warning, "sheet-hole-narrower-than-cut",
			"%s is too narrow for the laser's cut of %s and is left out of the sheets", narrow(c, opt.Kerf), opt.Kerf).
			Together("%d holes are too narrow for the laser's cut and are left out of the sheets").About("kerf").At(at.X.MM(), at.Y.MM()).Fix("widen it, drill it by hand, or correct the width of the cut")
	}
	if j.merged {
		l.Add(diag.Note, "sheet-cuts-overlap",
			"some openings, holes or the edge overlap; they are cut as the one shape they form together").
			Of(p.Name).Fix("look at the sheets; move them apart if they should be separate")
	}
	if len(j.outer) > 1 {
		l.Add(diag.Warning, "sheet-falls-apart", "the openings cut the sheet into %d pieces", len(j.outer)).
			Of(p.Name).Fix("keep some material between the openings and the edge")
	} else if len(p.Wider(panel.LEDSheet))+len(p.Wider(panel.DiffuserSheet)) > 0 {
		checkBodies(w, &l, p, opt)
	}
	return l
}

// CheckPlate tells what will not come out of a plate.
func CheckPlate(panel string, s Sheet) diag.List {
	var l diag.List
	if n := len(s.cut.outer); n > 1 {
		l.Add(diag.Warning, "sheet-falls-apart", "the holes for controls, bodies and LEDs part the plate into %d pieces", n).
			Of(panel).About("stack.plate", "stack").Fix("keep some material between bodies and the edge, or hold the controls otherwise (clamps)")
	}
	return l
}

// checkBodies tells what the cut-outs for bodies do to the sheets behind the face.
func checkBodies(w *work.Watch, l *diag.List, p panel.Panel, opt Options) {
	wide := p.Wider(panel.LEDSheet)
	which := "LED sheet"
	if more := p.Wider(panel.DiffuserSheet); len(more) > 0 {
		which, wide = "diffuser and the LED sheet", append(more, wide...)
	}
	key := diag.PanelKey(p.Name, "bodies_from")
	if j := cuts(w, p, opt, append(ledCuts(p), wide)...); len(j.outer) != 1 {
		l.Add(diag.Warning, "sheet-falls-apart", "the cut-outs for bodies part the %s into %d pieces", which, len(j.outer)).
			Of(p.Name).About(key, "defaults.bodies_from").Fix("keep some material between bodies and the edge, or let bodies begin behind the LED sheet: bodies_from: led-sheet")
	}
	for _, h := range p.Mounts {
		for _, c := range wide {
			if r := c.Ring(geom.FlattenTolerance); r.Locate(h.At) != geom.Outside || r.DistTo(h.At) < float64(h.D/2) {
				l.Add(diag.Warning, "sheet-body-at-mount", "the cut-out for a body takes the %s from the screw of a mount", which).
					Together("cut-outs for bodies take the sheets from the screws of %d mounts").
					About(key, "defaults.bodies_from").At(h.At.X.MM(), h.At.Y.MM()).Fix("move the mount, or draw the body smaller")
				break
			}
		}
	}
}

func checkLettering(w *work.Watch, l *diag.List, p panel.Panel, e *lettering.Engraving) {
	edge := geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance))
	var gaps geom.Region
	for _, c := range openings(p) {
		gaps = append(gaps, geom.NewRegion(c.Ring(geom.FlattenTolerance))...)
	}
	screws := len(gaps) // from there on
	for _, c := range p.MountCuts(panel.FaceSheet) {
		gaps = append(gaps, geom.NewRegion(c.Ring(geom.FlattenTolerance))...)
	}
	solid := func(g geom.Region, at geom.Pt, what string) {
		if len(g) == 0 {
			return
		}
		w.Look()
		area, box := g.Area(), g.Box()
		if g.And(edge).Area() < 0.999*area {
			l.Add(diag.Warning, "sheet-lettering-off-panel", "%s reaches beyond the panel's edge", what).
				Together("%d pieces of lettering reach beyond the panel's edge").At(at.X.MM(), at.Y.MM()).Fix("move it in, or make it smaller")
		}
		for i, hole := range gaps {
			if hole.Outer.Box().Touches(box) && g.And(geom.Region{hole}).Area() > 0.001*area {
				into, all, off := "an opening", "openings", "the opening"
				if i >= screws {
					into, all, off = "a screw's hole", "screws' holes", "the screw"
				}
				l.Add(diag.Warning, "sheet-lettering-cut-away", "%s runs into %s and is partly cut away", what, into).
					Together("%d pieces of lettering run into "+all+" and are partly cut away").At(at.X.MM(), at.Y.MM()).Fix("move it off %s", off)
				break
			}
		}
	}
	for i, t := range p.Lettering {
		if none := e.Lacking[i]; len(none) > 0 {
			var letters, words []string
			for _, m := range none {
				letters = append(letters, strconv.Quote(string(m.Rune)))
				if word := strconv.Quote(m.Word); !slices.Contains(words, word) {
					words = append(words, word)
				}
			}
			l.Add(diag.Warning, "sheet-letter-unknown", "the face %s lacks %s of %s; %s is left",
				none[0].Face, strings.Join(letters, ", "), strings.Join(words, ", "), map[bool]string{true: "a gap", false: "gaps"}[len(none) == 1]).
				Together("%d texts have letters that their faces lack").At(t.At.X.MM(), t.At.Y.MM()).Fix("write it with other letters, take a face that has them (font), or draw the sign as a closed shape")
		}
		if stem := e.Stems[i]; stem > 0 && stem < thinnest {
			l.Add(diag.Warning, "sheet-thin-letters", "the lettering %s is %s high; its strokes are about %.2f mm and may not engrave cleanly",
				strconv.Quote(t.Text), t.Height, stem.MM()).
				Together("the strokes of %d texts may be too thin to engrave cleanly").At(t.At.X.MM(), t.At.Y.MM()).Fix("make it at least %.1f mm high", math.Ceil(float64(thinnest)*float64(t.Height)/float64(stem)/1e5)/10)
		}
		solid(e.Texts[i], t.At, "the lettering "+strconv.Quote(t.Text))
	}
	for i, s := range p.Symbols {
		if len(s.Shape) > 0 {
			if s.Width > 0 && s.Width < thinnest && !s.Filled {
				at := e.Symbols[i].Box().Centre()
				l.Add(diag.Warning, "sheet-thin-line", "%s is drawn %.2g mm wide, narrower than the laser's spot of %.1f mm, and may not engrave cleanly", s.Said(), s.Width.MM(), thinnest.MM()).
					Together("%d lines are drawn narrower than the laser's spot and may not engrave cleanly").At(at.X.MM(), at.Y.MM()).
					Fix("give it a line width of at least %.1f mm, or none, and engraving.width holds", thinnest.MM())
			}
			solid(e.Symbols[i], e.Symbols[i].Box().Centre(), s.Said())
		}
	}
	checkClosing(w, l, p, e)
	checkHidden(w, l, p, e)
}

// checkHidden tells texts that lie in a filled area, in which nothing of them is seen.
func checkHidden(w *work.Watch, l *diag.List, p panel.Panel, e *lettering.Engraving) {
	for i, t := range p.Lettering {
		box := e.Texts[i].Box()
		for k, s := range p.Symbols {
			w.Step()
			if !s.Filled || len(s.Shape) == 0 || len(e.Texts[i]) == 0 || !s.Shape.Box().Touches(box) {
				continue
			}
			w.Look()
			if e.Texts[i].And(e.Symbols[k]).Area() > 0.5*e.Texts[i].Area() {
				l.Add(diag.Warning, "sheet-lettering-hidden", "the lettering %s lies in a filled area and is lost in it", strconv.Quote(t.Text)).
					Together("%d texts lie in filled areas and are lost in them").At(t.At.X.MM(), t.At.Y.MM()).
					Fix("draw the area's edge alone, as a closed line, or leave the letters out of the filling")
				break
			}
		}
	}
}

// narrow names a hole that a cut swallows by what makes it too narrow: its size, or where it is larger than the cut, as a letter or a
// bent slot, the width of its stroke: the lesser side of the rectangle that has its area and its way round.
func narrow(c geom.Contour, kerf geom.Nm) string {
	w, h := c.Box().W(), c.Box().H()
	if least := min(w, h); least <= kerf {
		return fmt.Sprintf("a hole %.2f mm across", least.MM())
	}
	half := c.Perimeter() / 2
	stroke := (half - math.Sqrt(max(0, float64(half*half)-4*c.Area()))) / 2
	return fmt.Sprintf("a cut-out of %.2f x %.2f mm, whose stroke is %.2f mm wide,", w.MM(), h.MM(), stroke)
}
