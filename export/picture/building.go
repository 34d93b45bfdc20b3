package picture

import (
	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Soldering returns one side of a board with its parts, their names, values and polarity, as large as it is drawn in the assembly.
func Soldering(watch *work.Watch, b board.Board, side geom.Side) scene.Page {
	return oneView(watch, b, side, func(v *view) { v.draw("") })
}

// Probing returns a side of a board with what a meter shows at plus of each LED that is touched there, and at the connectors, all by the
// names that tables have.
func Probing(watch *work.Watch, b board.Board, side geom.Side, strung []Strung) scene.Page {
	m := serviceMap{strung: strung, of: map[string]int{}, named: true}
	for i, s := range strung {
		m.of[s.Resistor] = i
		for _, d := range s.LEDs {
			m.of[d.Ref] = i
		}
	}
	return oneView(watch, b, side, func(v *view) {
		v.ground()
		v.holes()
		m.touched(v)
	})
}

// oneView is a page with one view of a board.
func oneView(watch *work.Watch, b board.Board, side geom.Side, draw func(*view)) scene.Page {
	const around = 6 * geom.Millimetre
	box := b.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	scale := enlargement(box)
	d := newDrawing(watch, scaled(box.W(), scale)+2*around, scaled(box.H(), scale)+2*around, b.Name)
	draw(newView(d, b, side, geom.Pt{X: around, Y: around}, scale))
	return d.page
}

// Lamp is a kind of LED as it lies in the hand and stands on a board.
type Lamp struct {
	Part  board.Part // one of them, as it is placed
	Lens  geom.Nm    // diameter; 0: it has none
	Above geom.Nm    // from the board to its underside

	base geom.Nm // on the page: the underside of the lamp in the hand
}

// Where things stand on the page of a lamp. X of the anode is that of its pad, in the hand and on the board alike.
const (
	lampWide  = 150 * geom.Millimetre
	lampHead  = 7 * geom.Millimetre // below what stands above the drawings
	lampTimes = 4                   // larger than life, in the hand
	standing  = 2                   // and on the board
	handX     = 28 * geom.Millimetre
	padsX     = 74 * geom.Millimetre
	standX    = 116 * geom.Millimetre
	longLead  = 17 * geom.Millimetre // as drawn: real ones are longer
	shortLead = 13 * geom.Millimetre
)

// What leads, pads and marks are labelled by.
const (
	anodeLayer   = "anode"
	cathodeLayer = "cathode"
)

// Polarity returns a lamp in the hand, its pads as seen from the LED side, and how it stands over the board.
func Polarity(watch *work.Watch, l Lamp) scene.Page {
	anode, cathode, ok := polesOf(l.Part)
	if !ok {
		return newDrawing(watch, lampWide, lampHead, l.Part.Value).page
	}
	half := lampTimes * geom.Nm(anode.At.Dist(cathode.At)) / 2
	_, wide := l.bodySize()
	high := geom.Nm(0)
	if anode.Through {
		l.base = lampHead + lampTimes*l.Part.Height
		high = l.base + longLead
	} else {
		l.base = lampHead + max(wide, lampTimes*max(anode.W, anode.H))/2
		high = l.base + max(wide, lampTimes*max(anode.W, anode.H))/2 + 7*geom.Millimetre
	}
	d := newDrawing(watch, lampWide, max(high, l.floor()+boardThick+stub)+3*geom.Millimetre, l.Part.Value)
	if anode.Through {
		l.radial(d, half)
	} else {
		l.chip(d, half)
	}
	l.pads(d, anode, cathode, half)
	l.stands(d, half, anode.Through)
	return d.page
}

func polesOf(p board.Part) (anode, cathode board.Pad, ok bool) {
	for _, q := range p.Pads {
		switch q.Function {
		case "A":
			anode = q
		case "K":
			cathode = q
		}
	}
	return anode, cathode, anode.Function != "" && cathode.Function != ""
}

// radial draws a lamp with leads from the side: the flat of its flange and the short lead on the left.
func (l Lamp) radial(d *drawing, half geom.Nm) {
	body := l.Part.Body.Box()
	flange := lampTimes * min(body.W(), body.H()) / 2
	flange = max(flange, lampTimes*l.Lens/2+geom.Millimetre)
	lens, thick := lampTimes*l.Lens/2, lampTimes*geom.Millimetre
	top := l.base - lampTimes*l.Part.Height + lens
	flat := lens + (flange-lens)/4
	outline := geom.Contour{
		{Pt: geom.Pt{X: handX - flat, Y: l.base}}, {Pt: geom.Pt{X: handX - flat, Y: l.base - thick}},
		{Pt: geom.Pt{X: handX - lens, Y: l.base - thick}}, {Pt: geom.Pt{X: handX - lens, Y: top}, Bulge: 1},
		{Pt: geom.Pt{X: handX + lens, Y: top}}, {Pt: geom.Pt{X: handX + lens, Y: l.base - thick}},
		{Pt: geom.Pt{X: handX + flange, Y: l.base - thick}}, {Pt: geom.Pt{X: handX + flange, Y: l.base}},
	}
	d.add(&scene.Path{Shapes: []geom.Contour{outline}, Fill: scene.Solid(white), Stroke: scene.Line(ink, boldPen)})
	lead := func(name string, x, long geom.Nm) {
		d.open("").Label = name
		d.run(scene.Line(ink, 3*boldPen), x, l.base, x, l.base+long)
		d.close()
	}
	lead("lead "+cathodeLayer, handX-half, shortLead)
	lead("lead "+anodeLayer, handX+half, longLead)
	d.letters(handX, 4*geom.Millimetre, refHeight, centre, ink, "in the hand, from the side")
	d.letters(handX-half-1500*geom.Micrometre, l.base+shortLead, refHeight, right, ink, "short, flat: minus")
	d.letters(handX+half+1500*geom.Micrometre, l.base+longLead, refHeight, left, ink, "long: plus")
}

// chip draws a lamp without leads from above: the mark of its cathode on the left.
func (l Lamp) chip(d *drawing, half geom.Nm) {
	long, wide := l.bodySize()
	x, y := handX-long/2, l.base-wide/2
	d.add(&scene.Path{Shapes: scene.Rect(x, y, long, wide), Fill: scene.Solid(white), Stroke: scene.Line(ink, boldPen)})
	corner := wide / 3
	d.open("").Label = "mark " + cathodeLayer
	d.fill([]geom.Contour{{{Pt: geom.Pt{X: x, Y: y}}, {Pt: geom.Pt{X: x + corner, Y: y}}, {Pt: geom.Pt{X: x, Y: y + corner}}}}, ink)
	d.close()
	d.letters(handX, 4*geom.Millimetre, refHeight, centre, ink, "in the hand, from above")
	d.letters(handX, l.base+wide/2+4*geom.Millimetre, refHeight, centre, ink, "mark (corner, dot or")
	d.letters(handX, l.base+wide/2+7*geom.Millimetre, refHeight, centre, ink, "green line): minus")
}

// bodySize is the body's length along its pads and its width, as drawn.
func (l Lamp) bodySize() (long, wide geom.Nm) {
	box := l.Part.Body.Box()
	return lampTimes * max(box.W(), box.H()), lampTimes * min(box.W(), box.H())
}

// pads draws the lamp's pads as seen from the LED side, turned as the lamp in the hand.
func (l Lamp) pads(d *drawing, anode, cathode board.Pad, half geom.Nm) {
	d.letters(padsX, 4*geom.Millimetre, refHeight, centre, ink, "on the board, from the LED side")
	draw := func(name string, q board.Pad, x geom.Nm, fill, sign scene.Colour, plus bool) {
		w, h := lampTimes*q.W, lampTimes*q.H
		if l.Part.Turn%180 != 0 && !q.Slant {
			w, h = h, w
		}
		shape := scene.Rect(x-w/2, l.base-h/2, w, h)
		if q.Shape == board.Round {
			shape = disc(x, l.base, w/2)
		}
		d.open("").Label = "pad " + name
		d.add(&scene.Path{Shapes: shape, Fill: scene.Solid(fill), Stroke: scene.Line(ink, boldPen)})
		d.close()
		arm := min(w, h) * 3 / 10
		d.run(scene.Line(sign, boldPen), x-arm, l.base, x+arm, l.base)
		if plus {
			d.run(scene.Line(sign, boldPen), x, l.base-arm, x, l.base+arm)
		}
	}
	draw(cathodeLayer, cathode, padsX-half, ink, white, false)
	draw(anodeLayer, anode, padsX+half, white, ink, true)
	below := l.base + lampTimes*max(anode.H, anode.W)/2 + 4*geom.Millimetre
	plus, minus := "round: plus", "square: minus"
	if anode.Shape == cathode.Shape {
		plus, minus = "plus", "bracket: minus"
	}
	d.letters(padsX-half, below, refHeight, centre, ink, minus)
	d.letters(padsX+half, below+3*geom.Millimetre, refHeight, centre, ink, plus)
}

// The board below a lamp that stands on it, and what of the leads is seen behind it.
const (
	boardThick = 4 * geom.Millimetre
	stub       = 3 * geom.Millimetre
)

// lift is how far over the board a lamp is drawn.
func (l Lamp) lift() geom.Nm {
	return min(standing*scene.Rounded(l.Above, 100*geom.Micrometre), 20*geom.Millimetre)
}

// floor is where the board's front lies on the page: below the lamp, and what may stand above that.
func (l Lamp) floor() geom.Nm {
	return max(l.base, lampHead+5*geom.Millimetre+standing*l.Part.Height+l.lift())
}

// stands draws the lamp over the board, with its height.
func (l Lamp) stands(d *drawing, half geom.Nm, leads bool) {
	const thick, reach = boardThick, 20 * geom.Millimetre
	boardY := l.floor()
	d.letters(standX, 4*geom.Millimetre, refHeight, centre, ink, "how it stands")
	const scale = standing
	lift := l.lift()
	d.add(&scene.Path{Shapes: scene.Rect(standX-reach, boardY, 2*reach, thick), Fill: scene.Solid(resFill), Stroke: scene.Line(ink, thinPen)})
	d.letters(standX-reach+geom.Millimetre, boardY+thick-geom.Millimetre, refHeight, left, ink, "board")
	under := boardY - lift
	tall := scale * l.Part.Height
	r := scale * l.Lens / 2
	if leads {
		for _, x := range []geom.Nm{-half / 2, half / 2} {
			d.run(scene.Line(ink, boldPen), standX+x, under, standX+x, boardY+thick+stub)
		}
		flange := max(r+geom.Millimetre, scale*min(l.Part.Body.Box().W(), l.Part.Body.Box().H())/2)
		d.add(&scene.Path{Shapes: scene.Rect(standX-flange, under-scale*geom.Millimetre, 2*flange, scale*geom.Millimetre), Fill: scene.Solid(white), Stroke: scene.Line(ink, boldPen)})
		top := under - tall + r
		dome := geom.Contour{{Pt: geom.Pt{X: standX - r, Y: under - scale*geom.Millimetre}}, {Pt: geom.Pt{X: standX - r, Y: top}, Bulge: 1},
			{Pt: geom.Pt{X: standX + r, Y: top}}, {Pt: geom.Pt{X: standX + r, Y: under - scale*geom.Millimetre}}}
		d.add(&scene.Path{Shapes: []geom.Contour{dome}, Fill: scene.Solid(white), Stroke: scene.Line(ink, boldPen)})
	} else {
		long, _ := l.bodySize()
		d.add(&scene.Path{Shapes: scene.Rect(standX-long/4, under-tall, long/2, tall), Fill: scene.Solid(white), Stroke: scene.Line(ink, boldPen)})
	}
	x := standX + reach - 3*geom.Millimetre
	if lift > 0 {
		d.run(scene.Line(ink, thinPen), x, under, x, boardY)
		for _, y := range []geom.Nm{under, boardY} {
			d.run(scene.Line(ink, thinPen), x-geom.Millimetre, y, x+geom.Millimetre, y)
		}
		beside := (under + boardY + refHeight) / 2
		if lift < 2*refHeight { // beside so short a line it would stand in the board
			beside = under - refHeight/2
		}
		d.letters(x+1500*geom.Micrometre, beside, refHeight, left, ink, scene.Decimal(l.Above, 100*geom.Micrometre)+" mm")
	} else {
		d.letters(standX, under-tall-2*geom.Millimetre, refHeight, centre, ink, "flat on the board")
	}
}
