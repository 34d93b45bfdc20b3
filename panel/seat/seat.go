// Package seat says how controls sit in the sheets of a panel: what each clamps, what each sheet is cut for it, and what does not go
// together.
//
// In takes a panel as it is drawn with what the project tells of its openings, and returns it with its controls: each with the
// depths of what it clamps, the thread that is left, its body, and its cuts. Pieces gives a control's parts with their depths, for
// whoever draws or measures them. Judge tells faults, once the LEDs have their places.
//
// Depths are from the face's front backward. Of a sheet that a control clamps, the hole is its bush's; of every other one it is as
// wide as what reaches there: nut and washer, with a spanner round them in the LED sheet and the plate; lever or shaft; the body. The
// opening as drawn stays where that does.
package seat

import (
	"math"

	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

// Stack is the thicknesses of the sheets; a Plate of 0: there is none.
type Stack struct {
	Face, Diffuser, Gap, LED, Plate geom.Nm

	Thick material.Sheets // how thick they may come out; those that are not told are as above
}

// held returns what a control's clamp takes, likely, as the sheets come out.
func (s Stack) held(c panel.Clamp) material.Range {
	from, to := clamped(c, s)
	sheets := [...]material.Sheet{panel.FaceSheet: s.Thick.Face, panel.DiffuserSheet: s.Thick.Diffuser, panel.LEDSheet: s.Thick.LED, panel.PlateSheet: s.Thick.Plate}
	var all []material.Range
	for i, one := range sheets {
		if c.Clamped(panel.Sheet(i)) && one.Sold > 0 {
			all = append(all, one.Range)
		}
	}
	_, likely := material.Total(all...)
	return material.Range{Least: to - from - likely.Thin(), Nominal: to - from, Most: to - from + likely.Thick()}
}

// Span returns the depths between which a sheet lies.
func (s Stack) Span(of panel.Sheet) (from, to geom.Nm) {
	led := s.Face + s.Diffuser + s.Gap
	switch of {
	case panel.FaceSheet:
		return 0, s.Face
	case panel.DiffuserSheet:
		return s.Face, s.Face + s.Diffuser
	case panel.LEDSheet:
		return led, led + s.LED
	}
	return led + s.LED, led + s.LED + s.Plate
}

// Told is what the project says of an opening.
type Told struct {
	Set    bool
	Kind   control.Kind
	Clamps panel.Clamp
	Turned bool // by a quarter, where no drawn body tells how it stands
}

// Wish is what holds for all controls of a panel that say nothing themselves.
type Wish struct {
	Stack Stack
	From  panel.Depth // where bodies begin
	Said  bool        // the project says From
}

// In returns the panel with the controls that the project tells: told has an entry for each opening, or none at all. It adds the
// bodies of those that no drawn body tells of.
func In(p panel.Panel, told []Told, w Wish) panel.Panel {
	drawn := len(p.Bodies)
	claimed := map[int]bool{}
	p.Bodies = p.Bodies[:drawn:drawn]
	for i, t := range told {
		if !t.Set {
			continue
		}
		c := panel.Control{Opening: i, At: axis(p.Openings[i].Contour), Kind: t.Kind, Clamps: clampFor(t, w), Body: -1}
		if c.From, c.To = clamped(c.Clamps, w.Stack); c.Clamps == panel.ClampsNothing {
			_, c.To = w.Stack.Span(behind(t, w))
			c.From = c.To
		}
		if c.Kind.Held.Bushed() {
			c.Left = c.Kind.Thread - (c.To - c.From) - c.Kind.OnThread()
		}
		c.Body = bodyOf(p.Openings[i].Contour, p.Bodies[:drawn])
		c.Quarters = stands(p, c, t)
		if c.Body < 0 {
			if b := brought(p.Openings[i].Contour, c, w.Stack); len(b) > 0 {
				c.Body, c.Brought = len(p.Bodies), true
				p.Bodies = append(p.Bodies, b)
			}
		}
		cut(p, &c, w.Stack, claimed[c.Body])
		if c.Body >= 0 {
			claimed[c.Body] = true
		}
		p.Controls = append(p.Controls, c)
	}
	return p
}

// clampFor returns what a control clamps. Where nobody says, a bush that comes from behind is held by the plate, if there is one, or
// by the sheet in front of its body, where the project tells where bodies begin; and else, as a builder would have it, by the face
// together with the diffuser, which then stays whole, or by the face alone where the thread is too short for both.
func clampFor(t Told, w Wish) panel.Clamp {
	switch {
	case t.Kind.Held == control.Screws:
		return panel.ClampsNothing
	case t.Clamps != panel.ClampsUnsaid:
		return t.Clamps
	case t.Kind.Held == control.NutInFront && w.Stack.Plate > 0:
		return panel.ClampsPlate
	case t.Kind.Held == control.NutInFront && w.Said:
		return [...]panel.Clamp{panel.BehindSheets: panel.ClampsLEDSheet, panel.BehindDiffuser: panel.ClampsDiffuser, panel.BehindFace: panel.ClampsFace}[w.From]
	}
	both := w.Stack.Face + w.Stack.Diffuser
	if k := t.Kind; (k.MostSheet == 0 || both <= k.MostSheet) && (!k.Held.Bushed() || k.Thread >= both+k.OnThread()) {
		return panel.ClampsDiffuser
	}
	return panel.ClampsFace
}

// out is how far a shaft wants to stand out in front of the face: what a knob or two fingers need (common practice).
const out = 8 * geom.Millimetre

// behind returns the sheet that a control is screwed on behind: the one that the project tells; else the face for one with a flange,
// and for one with a shaft the diffuser, or the face where the shaft is too short for both; and else the last one, as a display has it.
func behind(t Told, w Wish) panel.Sheet {
	k := t.Kind
	switch {
	case t.Clamps != panel.ClampsUnsaid:
		for s := panel.PlateSheet; s > panel.FaceSheet; s-- {
			if t.Clamps.Clamped(s) {
				return s
			}
		}
		return panel.FaceSheet
	case w.Said:
		return [...]panel.Sheet{panel.BehindSheets: panel.PlateSheet, panel.BehindDiffuser: panel.DiffuserSheet, panel.BehindFace: panel.FaceSheet}[w.From]
	case k.Flange > 0 || k.ShaftLength > 0 && k.ShaftLength < w.Stack.Face+w.Stack.Diffuser+out:
		return panel.FaceSheet
	case k.ShaftLength > 0:
		return panel.DiffuserSheet
	}
	return panel.PlateSheet
}

// clamped returns the depths between which lies what a control clamps.
func clamped(c panel.Clamp, stack Stack) (from, to geom.Nm) {
	first := true
	for s := range panel.Sheets {
		if !c.Clamped(s) {
			continue
		}
		a, b := stack.Span(s)
		if first {
			from, first = a, false
		}
		to = b
	}
	return from, to
}

// axis is the middle of an opening: of the circle that most of it is part of, as where it is flat on one side or has a notch for a
// key, or of its box.
func axis(o geom.Contour) geom.Pt {
	for _, e := range o.Edges() {
		if e.Straight() {
			continue
		}
		x, y := e.Centre()
		turn := 0.0
		for _, f := range o.Edges() {
			if u, v := f.Centre(); !f.Straight() && math.Hypot(u-x, v-y) < float64(10*geom.Micrometre) && math.Abs(f.Radius()-e.Radius()) < float64(10*geom.Micrometre) {
				turn += math.Abs(f.Sweep())
			}
		}
		if turn > math.Pi {
			return geom.Pt{X: geom.Nm(math.Round(x)), Y: geom.Nm(math.Round(y))}
		}
	}
	return o.Box().Centre()
}

// flatted returns the quarter turns by which a flattened bush passes an opening that is flat on one side too.
func flatted(o geom.Contour, c panel.Control) (quarters int, ok bool) {
	if c.Kind.Flat == 0 {
		return 0, false
	}
	drawn := geom.NewRegion(o.Ring(geom.FlattenTolerance))
	if within([]geom.Contour{geom.Circle(c.At, c.Kind.Bush)}, drawn) {
		return 0, false
	}
	for c.Quarters = range 4 {
		if within([]geom.Contour{bore(c, c.Kind.Bush)}, drawn) {
			return c.Quarters, true
		}
	}
	return 0, false
}

// stands tells how a control is turned: as a flat of its opening asks, as its drawn body, as its opening is long, or else as the project
// tells.
func stands(p panel.Panel, c panel.Control, t Told) int {
	if q, ok := flatted(p.Openings[c.Opening].Contour, c); ok {
		return q
	}
	e := c.Kind.Body
	if e.Round() || e.W == e.H {
		return 0
	}
	for _, like := range [][]geom.Contour{p.Bodies[max(0, c.Body):max(0, c.Body+1)], {p.Openings[c.Opening].Contour}} {
		if len(like) == 0 {
			continue
		}
		b := like[0].Box()
		// An outline a tenth longer one way is turned so.
		switch {
		case b.W()*10 > b.H()*11:
			return b2i(e.H > e.W)
		case b.H()*10 > b.W()*11:
			return b2i(e.W > e.H)
		}
	}
	return b2i(t.Turned)
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// bodyOf returns the index of the body that shares most area with the opening; -1 for none.
func bodyOf(o geom.Contour, bodies []geom.Contour) int {
	best, most := -1, 0.0
	hole := geom.NewRegion(o.Ring(geom.FlattenTolerance))
	for i, c := range bodies {
		if !c.Box().Touches(o.Box()) {
			continue
		}
		if a := geom.NewRegion(c.Ring(geom.FlattenTolerance)).And(hole).Area(); a > most {
			best, most = i, a
		}
	}
	return best
}
