package picture

import (
	"math"
	"slices"

	"lampblack/export/scene"
	"lampblack/panel/geom"
)

const (
	plusInk    scene.Colour = 0xb3392e
	minusInk   scene.Colour = 0x2f4b7c
	supplyFill scene.Colour = 0xf4e3c3
	boardFill  scene.Colour = 0xe3ecd9
	loadFill   scene.Colour = 0xece7df

	wirePen  = 500 * geom.Micrometre
	backText = wiringText + 1500*geom.Micrometre // from the + of a way back down to the baseline of what is told of it
)

// draw draws what was placed: the wires first, so that boxes stand on them.
func (w *wiring) draw() {
	d := w.d
	w.downs = w.taps()
	d.ground(paper)
	y := wiringMargin + wiringTitle
	for _, s := range w.title {
		d.letters(wiringMargin, y, wiringTitle, left, ink, s)
		y += wiringTitle + 2*geom.Millimetre
	}
	y += wiringText - wiringTitle
	w.key(y)
	for _, s := range w.says {
		y += w.step
		d.letters(wiringMargin, y, wiringText, left, edgeInk, s)
	}
	d.open("wires")
	w.feedLoads()
	w.feedBoards()
	d.close()
	d.open("boxes")
	w.box(w.supply, supplyFill)
	for _, b := range w.loads {
		w.box(b, loadFill)
	}
	for _, b := range w.boxes {
		w.box(b, boardFill)
	}
	d.close()
	for i, s := range w.notes {
		d.letters(wiringMargin, w.high-wiringMargin-descent-geom.Nm(len(w.notes)-1-i)*w.step, wiringText, left, edgeInk, s)
	}
}

// key explains the signs that are used, on one line.
func (w *wiring) key(base geom.Nm) {
	d, x, mid := w.d, wiringMargin, base-wiringText/2
	says := func(s string) {
		d.letters(x, base, wiringText, left, ink, s)
		x += d.Wide(s, wiringText) + 6*geom.Millimetre
	}
	const long = 8 * geom.Millimetre
	d.open("key")
	defer d.close()
	for _, k := range []struct {
		ink scene.Colour
		is  string
	}{{plusInk, "+"}, {minusInk, "0 V"}} {
		w.path(k.ink, x, mid, x+long, mid)
		x += long + 1500*geom.Micrometre
		says(k.is)
	}
	if slices.ContainsFunc(w.rows, func(r wireRow) bool { return w.fuse(r.chain) > 0 }) {
		w.path(plusInk, x, mid, x+fuseWide+3*geom.Millimetre, mid)
		w.fused(x+1500*geom.Micrometre, mid)
		x += fuseWide + 4500*geom.Micrometre
		says("fuse, slow, right at the supply")
	}
	if w.joined() {
		x += geom.Millimetre
		w.dot(plusInk, x, mid)
		w.dot(minusInk, x+3*geom.Millimetre, mid)
		x += 5500 * geom.Micrometre
		says("joined")
	}
}

// joined reports whether wires are joined anywhere but in a box.
func (w *wiring) joined() bool {
	return slices.ContainsFunc(w.downs, func(l lane) bool { return len(l.plusY) > 2 }) || len(w.loads) > 1
}

// box draws a box with its lines of text, the name darker than the rest.
func (w *wiring) box(b wireBox, fill scene.Colour) {
	w.d.add(&scene.Path{Shapes: []geom.Contour{rounded(b.box.Min.X, b.box.Min.Y, b.box.W(), b.box.H(), geom.MM(1.2))},
		Fill: scene.Solid(fill), Stroke: scene.Line(ink, framePen)})
	text := wiringText + geom.Nm(len(b.lines)-1)*w.step
	for i, s := range b.lines {
		colour := ink
		if i >= b.name {
			colour = edgeInk
		}
		w.d.letters(b.box.Min.X+b.box.W()/2, b.box.Min.Y+(b.box.H()-text)/2+wiringText+geom.Nm(i)*w.step-descent/4, wiringText, centre, colour, s)
	}
}

// feedLoads joins the other loads to the supply, each with a pair of its own.
func (w *wiring) feedLoads() {
	if len(w.loads) == 0 {
		return
	}
	from := w.supply.box.Max.X
	x := from + 6*geom.Millimetre
	mid := func(b wireBox) geom.Nm { return b.box.Min.Y + b.box.H()/2 }
	first, last := mid(w.loads[0]), mid(w.loads[len(w.loads)-1])
	for i, b := range w.loads {
		y := mid(b)
		start := x + poleGap
		if i == 0 {
			start = from
		}
		w.path(plusInk, start, y-poleGap/2, b.box.Min.X, y-poleGap/2)
		if i > 0 {
			start = x
		}
		w.path(minusInk, start, y+poleGap/2, b.box.Min.X, y+poleGap/2)
		if i+1 < len(w.loads) {
			w.dot(plusInk, x+poleGap, y-poleGap/2)
			w.dot(minusInk, x, y+poleGap/2)
		}
	}
	if last > first {
		w.path(plusInk, x+poleGap, first-poleGap/2, x+poleGap, last-poleGap/2)
		w.path(minusInk, x, first+poleGap/2, x, last+poleGap/2)
	}
}

// lane is a pair of conductors that runs down at the left, from where its wires come to where the last leave it.
type lane struct {
	from         string    // the panel that its branches start from; empty: the supply
	minus        geom.Nm   // X of its 0 V; its + is to the right of it
	plusY, zeroY []geom.Nm // heights at which others meet its + and its 0 V
}

// taps returns the lanes that there are: the supply's first.
func (w *wiring) taps() []lane {
	var out []lane
	for _, from := range append([]string{""}, w.sources()...) {
		l := lane{from: from, minus: wiringMargin + poleGap + geom.Nm(w.lane[from])*lanePitch}
		meet := func(plus, zero geom.Nm) { l.plusY, l.zeroY = append(l.plusY, plus), append(l.zeroY, zero) }
		if from == "" {
			meet(w.supply.box.Max.Y, w.supply.box.Max.Y)
		}
		for _, r := range w.rows {
			if r.starts && w.start(r.chain) == from {
				y := w.middle(r)
				meet(y-poleGap/2, y+poleGap/2)
			}
			for _, q := range r.below {
				if q.kind == branchRun && from != "" && w.at[from] == q.box || q.kind == backRun && w.start(r.chain) == from {
					meet(q.y+poleGap/2, q.y-poleGap/2)
				}
			}
		}
		out = append(out, l)
	}
	return out
}

// middle returns the height between the conductors of a row.
func (w *wiring) middle(r wireRow) geom.Nm {
	b := w.boxes[r.boxes[0]].box
	return b.Min.Y + b.H()/2
}

// feedBoards draws the lanes and the wires of every row.
func (w *wiring) feedBoards() {
	at := map[string]lane{}
	for _, l := range w.downs {
		at[l.from] = l
		if len(w.rows) == 0 {
			continue
		}
		w.vertical(minusInk, l.minus, l.zeroY)
		w.vertical(plusInk, l.minus+poleGap, l.plusY)
	}
	for i, r := range w.rows {
		y := w.middle(r)
		from := at[w.start(r.chain)]
		for j, b := range r.boxes {
			x0, x1 := w.boxes[b].box.Min.X-boxGap, w.boxes[b].box.Min.X
			plus, zero := x0, x0
			if j == 0 && r.starts {
				plus, zero = from.minus+poleGap, from.minus
			} else if j == 0 {
				continue // its wires come from the row above
			}
			w.path(plusInk, plus, y-poleGap/2, x1, y-poleGap/2)
			w.path(minusInk, zero, y+poleGap/2, x1, y+poleGap/2)
		}
		if f := w.fuse(r.chain); f > 0 && r.starts {
			x := w.first - 4*geom.Millimetre - fuseWide
			w.fused(x, y-poleGap/2)
			w.d.letters(x+fuseWide/2, y-poleGap/2-1800*geom.Micrometre, wiringText, centre, plusInk, f.String())
		}
		for _, q := range r.below {
			w.below(i, q, from)
		}
	}
}

// below draws a pair of conductors that runs below a row. The + stays at the left of the way it goes, so that the two never
// cross each other.
func (w *wiring) below(row int, q run, from lane) {
	r := w.rows[row]
	b := w.boxes[q.box].box
	mid := w.middle(r)
	plus, zero := q.y+poleGap/2, q.y-poleGap/2
	if q.kind == branchRun {
		x := b.Max.X - 4*geom.Millimetre
		l := w.downs[slices.IndexFunc(w.downs, func(l lane) bool { return l.from != "" && w.at[l.from] == q.box })]
		w.path(plusInk, x, b.Max.Y, x, plus, l.minus+poleGap, plus)
		w.path(minusInk, x-poleGap, b.Max.Y, x-poleGap, zero, l.minus, zero)
		return
	}
	out := b.Max.X + boxGap/2 - poleGap/2
	head := []geom.Nm{b.Max.X, mid - poleGap/2, out + poleGap, mid - poleGap/2, out + poleGap, plus}
	tail := []geom.Nm{b.Max.X, mid + poleGap/2, out, mid + poleGap/2, out, zero}
	if q.kind == onRun {
		in := w.first - boxGap/2
		next := w.middle(w.rows[row+1])
		w.path(plusInk, append(head, in+poleGap/2, plus, in+poleGap/2, next-poleGap/2, w.first, next-poleGap/2)...)
		w.path(minusInk, append(tail, in-poleGap/2, zero, in-poleGap/2, next+poleGap/2, w.first, next+poleGap/2)...)
		return
	}
	w.path(plusInk, append(head, from.minus+poleGap, plus)...)
	w.path(minusInk, append(tail, from.minus, zero)...)
	x := w.first - stubRoom + 2*geom.Millimetre
	if w.fuse(r.chain) > 0 {
		w.fused(x, plus)
	}
	for i, s := range q.lines {
		w.d.letters(x, plus+backText+geom.Nm(i)*w.step, wiringText, left, ink, s)
	}
}

// vertical draws a conductor of a lane, with dots where others join it between its ends.
func (w *wiring) vertical(c scene.Colour, x geom.Nm, ys []geom.Nm) {
	lo, hi := slices.Min(ys), slices.Max(ys)
	w.path(c, x, lo, x, hi)
	for _, y := range ys {
		if y > lo && y < hi {
			w.dot(c, x, y)
		}
	}
}

// fused draws a fuse on a level conductor.
func (w *wiring) fused(x, y geom.Nm) {
	const high = 1600 * geom.Micrometre
	w.d.line(scene.Rect(x, y-high/2, fuseWide, high), scene.Line(plusInk, framePen))
}

// dot marks wires that are joined, not only crossing.
func (w *wiring) dot(c scene.Colour, x, y geom.Nm) { w.d.fill(disc(x, y, geom.MM(0.8)), c) }

// path draws a conductor through points given as x and y in turn.
func (w *wiring) path(c scene.Colour, xy ...geom.Nm) {
	s := scene.Line(c, wirePen)
	s.Join = scene.RoundJoin
	w.d.run(s, xy...)
}

// rounded returns a rectangle of the page with round corners.
func rounded(x, y, w, h, r geom.Nm) geom.Contour {
	const quarter = math.Sqrt2 - 1 // tan(90°/4), from X toward Y
	at := func(x, y geom.Nm, bulge float64) geom.Vertex {
		return geom.Vertex{Pt: geom.Pt{X: x, Y: y}, Bulge: bulge}
	}
	return geom.Contour{at(x+r, y, 0), at(x+w-r, y, quarter), at(x+w, y+r, 0), at(x+w, y+h-r, quarter),
		at(x+w-r, y+h, 0), at(x+r, y+h, quarter), at(x, y+h-r, 0), at(x, y+r, quarter)}
}
