package seat

import (
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/room"
)

// What is a part of a control.
type What uint8

const (
	Bush What = iota
	Nut
	Washer
	LockWasher
	Flange
	Shaft
	Handle
	Body
	Terminals
)

// String returns what people call the part.
func (w What) String() string {
	return [...]string{"bush", "nut", "washer", "lock washer", "flange", "shaft", "handle", "body", "terminals"}[w]
}

// Piece is a part of a control: what it covers, seen from the front, between two depths. A nut covers the circle through its
// corners.
type Piece struct {
	What     What
	Shape    geom.Contour
	From, To geom.Nm
}

// grip is how much of a shaft a knob covers, at most (common practice).
const grip = 12 * geom.Millimetre

// Pieces returns the parts of a panel's control, from its bush on.
func Pieces(p panel.Panel, c panel.Control) []Piece {
	k := c.Kind
	var out []Piece
	add := func(what What, shape geom.Contour, from, to geom.Nm) {
		if len(shape) > 0 && to > from {
			out = append(out, Piece{what, shape, from, to})
		}
	}
	round := func(what What, d, from, to geom.Nm) {
		if d > 0 {
			add(what, geom.Circle(c.At, d), from, to)
		}
	}
	a, b := c.From, c.To
	tip, body, end := a, b, b+k.Depth
	switch k.Held {
	case control.NutInFront:
		body = b + k.LockWasher
		tip, end = body-k.Thread, body+k.Depth
		round(Bush, k.Bush, tip, body)
		round(Nut, k.Corners(), a-k.WasherThick-k.NutThick, a-k.WasherThick)
		round(Washer, k.Washer, a-k.WasherThick, a)
		round(LockWasher, k.Washer, b, body)
	case control.NutBehind:
		tip, end = a-k.FlangeThick, a+k.Depth
		body = b + k.OnThread()
		round(Bush, k.Bush, a, a+k.Thread)
		round(Flange, k.Flange, tip, a)
		round(LockWasher, k.Washer, b, b+k.LockWasher)
		round(Washer, k.Washer, b+k.LockWasher, b+k.LockWasher+k.WasherThick)
		round(Nut, k.Corners(), body-k.NutThick, body)
	case control.Clips:
		tip, end = a-k.FlangeThick, a+k.Depth
		if len(p.Openings) > c.Opening {
			add(Flange, room.Round(p.Openings[c.Opening].Contour, max(0, k.Flange-max(k.Hole.W, k.Hole.H))/2), tip, a)
		}
	case control.Screws:
		tip = a
	}
	round(Shaft, k.Shaft, tip-k.ShaftLength, tip)
	if k.ShaftLength > 0 {
		covers := min(k.ShaftLength, grip)
		if k.Use != control.Toggle && tip > 0 && !passes(p, c, k.Handle) {
			covers = min(covers, k.ShaftLength-tip) // a knob comes on in front of the face
		}
		round(Handle, k.Handle, tip-k.ShaftLength, tip-k.ShaftLength+covers)
	} else {
		round(Handle, k.Handle, tip-geom.Millimetre, tip)
	}
	shape := bodyShape(p, c)
	add(Body, shape, body, end)
	add(Terminals, shape, max(body, end), max(body, end)+k.Terminals)
	return out
}

// passes reports whether something round of the control's goes through its opening.
func passes(p panel.Panel, c panel.Control, d geom.Nm) bool {
	return within([]geom.Contour{geom.Circle(c.At, d)}, geom.NewRegion(p.Openings[c.Opening].Ring(geom.FlattenTolerance)))
}

// bodyShape is the control's body: as drawn, or the kind's.
func bodyShape(p panel.Panel, c panel.Control) geom.Contour {
	if c.Body >= 0 && c.Body < len(p.Bodies) && !c.Brought {
		return p.Bodies[c.Body]
	}
	return own(p.Openings[c.Opening].Contour, c)
}

// own is the kind's body, where the control sits.
func own(opening geom.Contour, c panel.Control) geom.Contour {
	k := c.Kind
	switch {
	case k.Beyond > 0:
		return room.Round(opening, k.Beyond)
	case k.Body.W == 0:
		return nil
	case k.Body.Round():
		return geom.Circle(c.At, k.Body.W)
	}
	w, h := k.Body.W, k.Body.H
	if c.Quarters%2 == 1 {
		w, h = h, w
	}
	min := geom.Pt{X: c.At.X - w/2, Y: c.At.Y - h/2}
	return geom.Rect(geom.Box{Min: min, Max: geom.Pt{X: min.X + w, Y: min.Y + h}})
}

// brought is the body that a control brings: the kind's, or the circle that its nut wants where that comes behind the LED sheet's
// front and is wider.
func brought(opening geom.Contour, c panel.Control, s Stack) geom.Contour {
	b := own(opening, c)
	led, _ := s.Span(panel.LEDSheet)
	if d := c.Kind.Spanner(); c.Kind.Held == control.NutBehind && c.To+c.Kind.OnThread() > led && (len(b) == 0 || min(b.Box().W(), b.Box().H()) < d) {
		return geom.Circle(c.At, d)
	}
	return b
}
