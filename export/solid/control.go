package solid

import (
	"lampblack/panel"
	kinds "lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// control is what sits in an opening, about its axis: bush, washers, nut or flange, shaft, what fingers hold, body and terminals.
func control(p panel.Panel, c panel.Control) Node {
	metal := Mesh{Material: steel(), Round: true}
	thread := Mesh{Material: brass(), Round: true}
	black := Mesh{Material: plastic()}
	grip := Mesh{Material: knob(), Round: true}
	mark := Mesh{Material: pointer()}
	glass := Mesh{Material: dark()}
	turns := c.Kind.Use == kinds.Knob || c.Kind.Use == kinds.Selector
	for _, q := range seat.Pieces(p, c) {
		low, high := -q.To, -q.From
		if q.What == seat.Shaft && c.Kind.Handle > 0 {
			high -= 500 * geom.Micrometre // it ends within what fingers hold
		}
		shape := q.Shape.Moved(geom.Pt{}.Sub(c.At))
		_, d, round := shape.Circular()
		switch {
		case q.What == seat.Nut:
			metal.add(prism(hexagon(d), low, high, both))
		case q.What == seat.Bush && round:
			thread.add(rod(d, low, high))
		case q.What == seat.Handle && round && turns:
			r, bevel := d/2, min(d/12, (high-low)/4)
			grip.add(turned(sides(d), step{r, low}, step{r * 23 / 25, high - bevel}, step{r*23/25 - bevel, high}))
			mark.add(box(-d/40, r/4, d/40, r*3/4, high-bevel, high+200*geom.Micrometre))
		case q.What == seat.Handle && round:
			r, bevel := d/2, min(d/10, (high-low)/4)
			grip.add(turned(sides(d), step{r, low}, step{r, high - bevel}, step{r - bevel, high}))
		case q.What == seat.Shaft && round && c.Kind.Use == kinds.Toggle && c.Kind.Handle == 0:
			metal.add(turned(sides(d), append([]step{{d * 2 / 5, low}}, dome(d/2, high-d/2)...)...))
		case q.What == seat.Terminals:
			metal.add(lugs(shape.Box(), low, high))
		case q.What == seat.Body && c.Kind.Use == kinds.Display:
			black.add(prism(region(shape), low, high, both))
			o := p.Openings[c.Opening].Contour.Moved(geom.Pt{}.Sub(c.At))
			glass.add(prism(region(o), high, high+100*geom.Micrometre, both))
		case q.What == seat.Body:
			black.add(prism(region(shape), low, high, both))
		case round:
			metal.add(rod(d, low, high))
		default:
			metal.add(prism(region(shape), low, high, both))
		}
	}
	var shape Shape
	for _, m := range []Mesh{metal, thread, black, grip, mark, glass} {
		if len(m.Faces) > 0 {
			shape = append(shape, m)
		}
	}
	n := Node{Name: c.Kind.Name, At: Point{c.At.X, c.At.Y, 0}, Told: Told{Kind: "control", Value: c.Kind.Words}}
	if len(shape) > 0 {
		n.Shape = &shape
	}
	return n
}

// lugs are terminals behind a body: two rows of tags within its room, since nobody tells how many there are.
func lugs(b geom.Box, low, high geom.Nm) Mesh {
	var m Mesh
	w, h := b.W(), b.H()
	mid := b.Centre()
	for _, x := range [2]geom.Nm{-w / 4, w / 4} {
		for _, y := range [3]geom.Nm{-h * 3 / 10, 0, h * 3 / 10} {
			m.add(box(mid.X+x-geom.Millimetre, mid.Y+y-300*geom.Micrometre, mid.X+x+geom.Millimetre, mid.Y+y+300*geom.Micrometre, low, high))
		}
	}
	return m
}
