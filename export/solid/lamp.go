package solid

import (
	"lampblack/board"
	"lampblack/board/height"
	"lampblack/export/scene"
	"lampblack/led"
	"lampblack/panel/geom"
)

// Lamp is a kind of LED as it is seen.
type Lamp struct {
	Kind, Colour string // "red-3mm", "red"
	RGB          scene.Colour
}

// Lamps are the kinds of a console, by name.
type Lamps []Lamp

// of returns the kind of that name; one that is not told is white.
func (l Lamps) of(kind string) Lamp {
	for _, one := range l {
		if one.Kind == kind {
			return one
		}
	}
	return Lamp{kind, "white", 0xecf2ff}
}

// bench makes the shapes of a board's parts: each kind of part once, lying about its own place and not turned.
type bench struct {
	in          height.In
	board       board.Board
	front, back geom.Nm
	lamps       Lamps
	made        map[likeness]*Shape
}

// likeness is what parts of one shape have in common.
type likeness struct {
	footprint, value string
	on               geom.Side
	high             geom.Nm
	role             led.Role
}

// node is a part of the board; its frame is the board's: the laminate's front is at 0.
func (s *bench) node(q board.Part) Node {
	n := Node{Name: q.Ref, At: Point{q.At.X, q.At.Y, 0}, Turn: q.Turn, Told: Told{
		Kind: called(q.Kind), Designator: q.Ref, Value: q.Value, Footprint: q.Footprint, Side: q.On.String(),
	}}
	for _, p := range q.Pads {
		net := "" // of a pad that no net joins
		if p.Net > led.NoNet && int(p.Net) < len(s.board.Nets) {
			net = s.board.Nets[p.Net].Name
		}
		n.Told.Pins = append(n.Told.Pins, Pin{p.Pin, p.Function, net})
	}
	n.Shape = s.shape(q)
	return n
}

// shape is what a part looks like.
func (s *bench) shape(q board.Part) *Shape {
	k := likeness{q.Footprint, "", q.On, q.Height, q.Role}
	if q.Kind == board.LED {
		k.value = q.Value
	}
	if made, ok := s.made[k]; ok {
		return made
	}
	q = straight(q)
	pieces := s.in.OfPart(s.board, q, s.front, s.back)
	for i := range pieces { // from here on heights above the laminate's front
		pieces[i].From, pieces[i].To = s.front-pieces[i].To, s.front-pieces[i].From
	}
	var out Shape
	switch q.Kind {
	case board.LED:
		out = s.lamp(q, pieces)
	case board.Resistor:
		out = s.resistor(q, pieces)
	default:
		out = s.connector(q, pieces)
	}
	out = append(out, soldered(pieces)...)
	s.made[k] = &out
	return &out
}

// straight is the part at the origin and not turned.
func straight(q board.Part) board.Part {
	at := q.At
	back := func(r geom.Ring) geom.Ring { return r.Turned(at, -q.Turn).Moved(geom.Pt{}.Sub(at)) }
	q.Body = back(q.Body)
	pads := make([]board.Pad, len(q.Pads))
	for i, p := range q.Pads {
		pads[i] = p.Turned(-q.Turn)
		pads[i].At = geom.Pt{}.Add(p.At.Sub(at).Turned(-q.Turn))
	}
	q.Pads, q.At, q.Turn = pads, geom.Pt{}, 0
	return q
}

// soldered is leads, pins and joints.
func soldered(pieces []height.Piece) Shape {
	metal := Mesh{Material: tin(), Round: true}
	for _, q := range pieces {
		c := q.Shape.Box().Centre()
		switch q.What {
		case height.Lead:
			metal.add(rod(q.Shape.Box().W(), q.From, q.To).at(c.X, c.Y, 0))
		case height.Pin:
			metal.add(square(q))
		case height.Joint:
			low, high := q.From, q.To
			if high <= 0 && low < 0 { // behind the board it narrows backward
				low, high = high, low
			}
			metal.add(cone(q.Shape, q.Shape.Box().W()/3, low, high))
		}
	}
	return Shape{metal}
}

// square is a pin as it is made: as wide across its corners as the piece is round.
func square(q height.Piece) Mesh {
	c, half := q.Shape.Box().Centre(), q.Shape.Box().W()*10/28
	return box(c.X-half, c.Y-half, c.X+half, c.Y+half, q.From, q.To)
}

// lamp is an LED: a lens with its dome on a flange whose flat is at the cathode, or a chip with a lens in its top and a bar beside that
// at the cathode.
func (s *bench) lamp(q board.Part, pieces []height.Piece) Shape {
	kind := s.lamps.of(q.Value)
	glows := Mesh{Material: lens(kind.Colour, kind.RGB), Round: true}
	var more Shape
	for _, p := range pieces {
		switch p.What {
		case height.Flange:
			glows.add(prism(region(p.Shape), p.From, p.To, both))
		case height.Lens:
			c, d := p.Shape.Box().Centre(), p.Shape.Box().W()
			profile := []step{{d / 2, p.From}}
			if r := d / 2; p.To-r > p.From {
				profile = append(profile, dome(r, p.To-r)...)
			} else {
				profile = append(profile, step{d / 2, p.To})
			}
			glows.add(turned(24, profile...).at(c.X, c.Y, 0))
		case height.Body:
			b := p.Shape.Box()
			body := Mesh{Material: ceramic()}
			body.add(box(b.Min.X+b.W()/8, b.Min.Y, b.Max.X-b.W()/8, b.Max.Y, p.From, p.To))
			bar := Mesh{Material: plastic()}
			x := b.Min.X + b.W()/8
			if len(q.Pads) > 0 && q.Pads[0].At.X > b.Centre().X {
				x = b.Max.X - b.W()/8 - b.W()/12
			}
			bar.add(box(x, b.Min.Y, x+b.W()/12, b.Max.Y, p.To, p.To+20*geom.Micrometre))
			r := min(b.W(), b.H()) * 2 / 5
			glows.add(turned(24, step{r, p.To - 100*geom.Micrometre}, step{r, p.To + 20*geom.Micrometre}).at(b.Centre().X, b.Centre().Y, 0))
			more = append(more, body, ends(b, p.From, p.To), bar)
		}
	}
	return append(Shape{glows}, more...)
}

// ends are the metal ends of a chip.
func ends(b geom.Box, low, high geom.Nm) Mesh {
	m := Mesh{Material: tin()}
	w := b.W() / 5
	m.add(box(b.Min.X, b.Min.Y, b.Min.X+w, b.Max.Y, low, high-10*geom.Micrometre))
	m.add(box(b.Max.X-w, b.Min.Y, b.Max.X, b.Max.Y, low, high-10*geom.Micrometre))
	return m
}

// resistor is a chip, or a round body lying on the board with wire ends bent into their holes.
func (s *bench) resistor(q board.Part, pieces []height.Piece) Shape {
	var out Shape
	for _, p := range pieces {
		if p.What != height.Body {
			continue
		}
		b := p.Shape.Box()
		if len(q.Pads) < 2 || !q.Pads[0].Through {
			body := Mesh{Material: plastic()}
			inset := b.W() / 5
			body.add(box(b.Min.X+inset, b.Min.Y, b.Max.X-inset, b.Max.Y, p.From, p.To))
			out = append(out, body, ends(b, p.From, p.To))
			continue
		}
		// Its top or, on the bottom, its back is where the piece ends; the middle lies a radius before that.
		r := b.H() / 2
		z := p.To - r
		if q.On == geom.Bottom {
			z = p.From + r
		}
		body := Mesh{Material: metalFilm(), Round: true}
		waist := r * 4 / 5 // its ends are wider: the caps
		cap := b.W() / 5
		body.add(turned(sides(2*r), step{r * 3 / 4, 0}, step{r, cap / 4}, step{r, cap}, step{waist, cap + cap/4}, step{waist, b.W() - cap - cap/4}, step{r, b.W() - cap}, step{r, b.W() - cap/4}, step{r * 3 / 4, b.W()}).
			lying().at(b.Min.X, b.Centre().Y, z))
		leads := Mesh{Material: tin(), Round: true}
		d := q.Pads[0].Drill * 2 / 3
		a, c := q.Pads[0].At, q.Pads[1].At
		leads.add(log(geom.BoxOf(a, c).Grown(d/2), z))
		for _, pad := range q.Pads {
			leads.add(rod(d, min(z, s.front-s.back), max(z, 0)).at(pad.At.X, pad.At.Y, 0))
		}
		out = append(out, body, leads)
	}
	return out
}
