package height

import (
	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// wire is the diameter of a lead or a pin beside the drill that it goes through: a lead of 0.6 in 0.9 mm.
func wire(drill geom.Nm) geom.Nm { return drill * 2 / 3 }

// whose returns what a part's pieces belong to.
func whose(q board.Part) Whose {
	return map[board.Kind]Whose{board.LED: LED, board.Resistor: Resistor, board.Connector: Connector}[q.Kind]
}

// OfPart returns the pieces of a part on a board between the depths front and back.
func (in In) OfPart(b board.Board, q board.Part, front, back geom.Nm) []Piece {
	var out []Piece
	k := in.Kinds.of(q.Footprint)
	add := func(what string, shape geom.Contour, from, to geom.Nm) {
		if len(shape) > 0 && to > from {
			out = append(out, Piece{whose(q), what, q.Ref, q.Footprint, b.Name, shape, from, to})
		}
	}
	body := geom.Straight(q.Body...)
	through := len(q.Pads) > 0 && q.Pads[0].Through
	if q.On == geom.Top {
		foot := front
		if through { // held by the LED sheet, and soldered as high as that has it
			foot = front - in.above(q, front)
		}
		tip := foot - q.Height
		switch {
		case k.Side.Lens > 0:
			add(Flange, body, foot-k.Side.Flange, foot)
			add(Lens, geom.Circle(q.At, k.Side.Lens), tip, foot-k.Side.Flange)
		default:
			add(Body, body, tip, foot)
		}
		for _, pad := range q.Pads {
			if pad.Through {
				add(Lead, geom.Circle(pad.At, wire(pad.Drill)), foot, back+cutLead)
				add(Joint, pad.Contour(0), back, back+fillet)
			}
		}
		return out
	}
	seen := back + q.Height
	if p := k.Side.Plug; p > 0 {
		add(Body, body, back, back+p)
		add(Plug, body, back+p, seen)
	} else if k.Side.Loop == 0 { // wires alone
		add(Body, body, back, seen)
	}
	stick := in.sticksOut(b, q)
	for _, pad := range q.Pads {
		if !pad.Through {
			continue
		}
		what := Lead
		if k.Side.Pins > 0 {
			what = Pin
		}
		if k.Side.Loop == 0 {
			add(what, geom.Circle(pad.At, wire(pad.Drill)), front-stick, back)
			add(Joint, pad.Contour(0), front-min(fillet, stick), front)
		}
	}
	return append(out, in.wires(b, q, k, front, back)...)
}

// sticksOut is how far leads and pins of a part on the bottom stand out of the board's front.
func (in In) sticksOut(b board.Board, q board.Part) geom.Nm {
	k := in.Kinds.of(q.Footprint)
	switch {
	case len(q.Pads) == 0 || !q.Pads[0].Through:
		return 0
	case k.Side.Loop > 0:
		return k.Side.Loop
	case k.Side.Pins > 0:
		return max(fillet, k.Side.Pins-b.Laminate.Thickness)
	}
	return cutLead
}

// above is how high over the board an LED with leads is soldered, whose board begins at the depth front, so that its tip comes to where
// the stack has the tips.
func (in In) above(q board.Part, front geom.Nm) geom.Nm {
	tip := in.Stack.Face + in.Stack.Diffuser + in.Stack.Gap + in.Stack.Sunk
	return max(0, front-tip-q.Height)
}

// Lift is how high over its board the underside of an LED comes: as its sheet holds it, or 0 for one that lies on the board.
func (in In) Lift(b board.Board, q board.Part) geom.Nm {
	if q.On != geom.Top || len(q.Pads) == 0 || !q.Pads[0].Through {
		return 0
	}
	front, _ := in.Span(b)
	return in.above(q, front)
}

// wires returns the wires of a connector: along the board where they leave at its face, away from it behind a plug, and where they are
// threaded through the board, the loops on the LED side. Connectors stand by quarter turns.
func (in In) wires(b board.Board, q board.Part, k sides, front, back geom.Nm) []Piece {
	away := geom.Vec{}
	if k.Entry != away {
		away = k.Entry.Turned(q.Turn)
	}
	if q.Kind != board.Connector || away.X != 0 && away.Y != 0 {
		return nil
	}
	var out []Piece
	add := func(shape geom.Contour, from, to geom.Nm) {
		out = append(out, Piece{Connector, Wire, q.Ref, q.Footprint, b.Name, shape, from, to})
	}
	const half = footprint.WireOver / 2
	face := geom.Nm(0)
	for _, p := range q.Body {
		face = max(face, geom.Nm(p.Sub(q.At).Dot(away)))
	}
	for i, pad := range q.Pads {
		if away == (geom.Vec{}) {
			if k.wires > 0 {
				add(geom.Circle(pad.At, footprint.WireOver), back+q.Height, back+q.Height+k.wires)
			}
			continue
		}
		begin := at(pad.At, away, face) // the row of pins lies across the wires
		if k.Side.Loop > 0 && i < len(k.Holes) {
			begin = q.At.Add(geom.Vec(k.Holes[i].At).Turned(q.Turn))
			add(band(begin, pad.At, half), front-k.Side.Loop, front)
		}
		mid := back + k.Side.Wire
		add(band(begin, at(pad.At, away, face+footprint.WireBend), half), mid-half, mid+half)
	}
	return out
}

// at is so far from p in a direction of length 1.
func at(p geom.Pt, dir geom.Vec, far geom.Nm) geom.Pt {
	return p.Add(geom.Vec{X: dir.X * far, Y: dir.Y * far})
}

// band is the rectangle half to each side of a level or upright line.
func band(a, b geom.Pt, half geom.Nm) geom.Contour {
	box := geom.BoxOf(a, b)
	if box.W() >= box.H() {
		box.Min.Y, box.Max.Y = box.Min.Y-half, box.Max.Y+half
	} else {
		box.Min.X, box.Max.X = box.Min.X-half, box.Max.X+half
	}
	return geom.Rect(box)
}

// ofControls returns the parts of what sits in the panel's openings.
func ofControls(p panel.Panel) []Piece {
	var out []Piece
	for _, c := range p.Controls {
		for _, q := range seat.Pieces(p, c) {
			out = append(out, Piece{Control, q.What.String(), c.Kind.Name, c.Kind.Words, "", q.Shape, q.From, q.To})
		}
	}
	return out
}
