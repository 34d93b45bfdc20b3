package solid

import (
	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/board/height"
	"lampblack/panel/geom"
)

// connector is a housing with the openings for its wires and screws, and the ends of the wires that come there: red where the pin is
// the supply's, blue where it is 0 V.
func (s *bench) connector(q board.Part, pieces []height.Piece) Shape {
	var out Shape
	wires := [2]Mesh{{Material: plus(), Round: true}, {Material: minus(), Round: true}}
	fp, _ := footprint.Lookup(q.Footprint)
	for _, p := range pieces {
		switch p.What {
		case height.Body:
			if fp.Side.Plug == 0 && fp.Side.Wire > 0 {
				out = append(out, terminals(q, fp, p)...)
				continue
			}
			body := Mesh{Material: plastic()}
			body.add(prism(region(p.Shape), p.From, p.To, both))
			out = append(out, body)
		case height.Plug:
			out = append(out, plug(q, p)...)
		case height.Wire:
			k := 0
			if nearest(q, p.Shape.Box().Centre()).Function == "-" {
				k = 1
			}
			b := p.Shape.Box()
			if _, _, round := p.Shape.Circular(); round {
				wires[k].add(rod(b.W(), p.From, p.To).at(b.Centre().X, b.Centre().Y, 0))
			} else {
				wires[k].add(log(b, (p.From+p.To)/2))
			}
		}
	}
	for _, w := range wires {
		if len(w.Faces) > 0 {
			out = append(out, w)
		}
	}
	return out
}

// nearest is the pin whose wire lies there: pins stand along X.
func nearest(q board.Part, at geom.Pt) board.Pad {
	best := board.Pad{}
	for i, p := range q.Pads {
		if i == 0 || (p.At.X-at.X).Abs() < (best.At.X-at.X).Abs() {
			best = p
		}
	}
	return best
}

// terminals is a terminal block: wires enter at its face, each into an opening of its own, and screws are reached from behind.
func terminals(q board.Part, fp footprint.Footprint, p height.Piece) Shape {
	b := p.Shape.Box()
	pitch := b.W() / geom.Nm(max(len(q.Pads), 1))
	width, high := min(pitch*2/3, footprint.WireOver+400*geom.Micrometre), footprint.WireOver+200*geom.Micrometre
	deep := b.H() / 3
	var mouths, shafts []geom.Ring
	body := Mesh{Material: housing()}
	screws := Mesh{Material: steel(), Round: true}
	// Heights from the board backward, which is toward smaller Z.
	mouth, roof := p.To-fp.Side.Wire+high/2, p.To-fp.Side.Wire-high/2
	for _, pad := range q.Pads {
		mouths = append(mouths, ring(geom.Rect(geom.Box{Min: geom.Pt{X: pad.At.X - width/2, Y: b.Min.Y - 1}, Max: geom.Pt{X: pad.At.X + width/2, Y: b.Min.Y + deep}})))
		d := pitch * 3 / 5
		shafts = append(shafts, ring(geom.Circle(pad.At, d)))
		floor := roof - (roof-p.From)/3
		screws.add(rod(d-200*geom.Micrometre, floor, roof).at(pad.At.X, pad.At.Y, 0))
		slot := geom.Rect(geom.Box{Min: geom.Pt{X: pad.At.X - d*2/5, Y: pad.At.Y - 250*geom.Micrometre}, Max: geom.Pt{X: pad.At.X + d*2/5, Y: pad.At.Y + 250*geom.Micrometre}})
		body.add(prism(region(slot), floor-20*geom.Micrometre, floor, both))
	}
	whole := region(p.Shape)
	body.add(prism(whole, mouth, p.To, both))
	body.add(prism(geom.Knife{}.Without(whole, mouths...), roof, mouth, both))
	body.add(prism(geom.Knife{}.Without(whole, shafts...), p.From, roof, both))
	return Shape{body, screws}
}

// plug is what is plugged on: a block with a hole for each wire in its far end.
func plug(q board.Part, p height.Piece) Shape {
	body := Mesh{Material: plastic()}
	whole := region(p.Shape)
	var holes []geom.Ring
	for _, pad := range q.Pads {
		holes = append(holes, ring(geom.Circle(pad.At, footprint.WireOver*9/10)))
	}
	const gap = 150 * geom.Micrometre // between plug and socket
	floor := p.From + (p.To-p.From)/3
	body.add(prism(whole, floor, p.To-gap, both))
	body.add(prism(geom.Knife{}.Without(whole, holes...), p.From, floor, both))
	return Shape{body}
}
