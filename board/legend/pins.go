package legend

import (
	"strconv"

	"lampblack/board"
	"lampblack/panel/geom"
)

// pins writes what each pin of a connector is, where there are groups of LEDs: "+ red", "+ white", "-". All names stand in a
// row beyond the body, each in line with its pin, where there is room for all of them; else each where it can only be taken
// for its own pin's: the name, or the sign with the pin's number, or the sign alone.
func (f *face) pins(b board.Board, p board.Part) {
	if f.rowOfPins(b, p) {
		return
	}
	for _, q := range p.Pads {
		out := q.At.Sub(p.At)
		f.mine = func(area geom.Box) bool { return nearest(b, p, q, area, clearPin) }
		for _, label := range []string{b.SignOf(q), q.Function + pinNumber(p, q), q.Function} {
			if f.put(setText(label), q.At, q.Contour(q.Mask).Box(), ways(out), []geom.Nm{f.rules.LegendText, smallest, signSize}, nearby[:], 2) {
				f.say(board.Word{What: board.Sign, Text: label, Of: p.Ref, Pin: q.Pin})
				break
			}
		}
		f.mine = nil
	}
}

// pinNumber returns a supply pin's number, counted from 1 as in the list of the connector's pins.
func pinNumber(p board.Part, q board.Pad) string {
	if q.Function != "+" {
		return ""
	}
	for i, o := range p.Pads {
		if o.Pin == q.Pin {
			return strconv.Itoa(i + 1)
		}
	}
	return ""
}

// nearest reports whether text in the area is near to the middle of the pad, and nearer, by so much, than to that of any other
// connector's pad.
func nearest(b board.Board, p board.Part, q board.Pad, area geom.Box, by geom.Nm) bool {
	own := area.Dist(geom.BoxOf(q.At))
	if own > float64(nearPin) {
		return false
	}
	for _, o := range b.Parts {
		for _, r := range o.Pads {
			other := o.Kind == board.Connector && (o.Ref != p.Ref || r.Pin != q.Pin)
			if other && area.Dist(geom.BoxOf(r.At)) <= own+float64(by) {
				return false
			}
		}
	}
	return true
}

// rowOfPins writes all labels of the connector in one row, and reports whether there was room.
func (f *face) rowOfPins(b board.Board, p board.Part) bool {
	n := len(p.Pads)
	if n < 2 {
		return false
	}
	along := sign(p.Pads[n-1].At.Sub(p.Pads[0].At))
	if along.X != 0 && along.Y != 0 {
		return false
	}
	body := p.Body.Box()
	for _, q := range p.Pads {
		body = body.Union(q.Contour(q.Mask).Box())
	}
	// Away from where the wires enter first: that is into the board.
	in := along.Quarter(1)
	if board, c := f.area.Box().Centre(), p.At; in.Dot(board.Sub(c)) < 0 {
		in = in.Neg()
	}
	turn := 0
	if along.X != 0 {
		turn = 1
	}
	for _, a := range f.airs() {
		for _, out := range []geom.Vec{in, in.Neg()} {
			for _, h := range pinSizes(f.rules) {
				for _, gap := range nearby[:inRow] {
					if f.rowAt(b, p, body, out, turn, h, gap, a) {
						return true
					}
				}
			}
		}
	}
	return false
}

// rowAt writes the row on one side of the body, if all of it is free.
func (f *face) rowAt(b board.Board, p board.Part, body geom.Box, out geom.Vec, turn int, h, gap geom.Nm, a air) bool {
	f.watch.Step()
	// Which way text of this turn runs, in the panel's frame.
	reads := geom.Vec{X: 1}
	if f.side == geom.Bottom {
		reads.X = -1
	}
	reads = reads.Quarter(turn)
	type label struct {
		text   text
		word   string
		at     geom.Pt
		area   geom.Box
		number string
	}
	width := f.lineWidth(h)
	var all []label
	for _, q := range p.Pads {
		word := b.SignOf(q)
		set := word
		if word != q.Function && reads.Dot(out) < 0 {
			set = word[len("+ "):] + " +" // the sign next to the pin
		}
		l := label{text: setText(set), word: word, number: q.Pin}
		w, tall := l.text.size(h)
		if turn == 1 {
			w, tall = tall, w
		}
		halfW, halfH := (w+width)/2+1, (tall+width)/2+1
		l.at = beside(body, q.At, out, halfW, halfH, gap)
		l.area = geom.Box{Min: geom.Pt{X: l.at.X - halfW, Y: l.at.Y - halfH}, Max: geom.Pt{X: l.at.X + halfW, Y: l.at.Y + halfH}}
		if !f.free(l.area, a, turn) || !nearest(b, p, q, l.area, 0) {
			return false
		}
		for _, o := range all {
			if o.area.Dist(l.area) < float64(a.sides) {
				return false
			}
		}
		all = append(all, l)
	}
	for _, l := range all {
		f.write(l.text, l.at, h, turn, width, l.area)
		f.say(board.Word{What: board.Sign, Text: l.word, Of: p.Ref, Pin: l.number})
	}
	return true
}
