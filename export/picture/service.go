package picture

import (
	"context"
	"slices"
	"strconv"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/export/scene/svg"
	"lampblack/export/scene/typeset"
	"lampblack/led/part"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Strung is a string of a board as whoever repairs it wants it. Voltages are against 0 V of the board.
type Strung struct {
	Resistor string // its reference
	Ohms     string
	Amps     part.Amp
	Supply   part.Volt // at its resistor
	LEDs     []Tapped  // from the supply on
	Group    string    // empty: none
}

// Tapped is an LED and the voltage at its anode.
type Tapped struct {
	Ref   string
	Anode part.Volt
}

// name of string i, as the map calls it.
func stringName(i int) string { return "S" + strconv.Itoa(i+1) }

// strungInk are the colours of the strings' lines, in turn: dark enough on paper, of different lightness, and never all that tells
// them apart, since each LED bears its string's number.
var strungInk = [...]scene.Colour{0xb3261e, 0x1f5fa8, 0x2e7d32, 0x8a4fb0, 0xb26a00, 0x00807a, 0xa83279, 0x5d4a3a}

// strungFill are the tints of LEDs that go with them.
var strungFill = [...]scene.Colour{0xf9d8d3, 0xd3e3f6, 0xd5edd6, 0xe9daf3, 0xfbe3c0, 0xcdeceb, 0xf6d5e8, 0xe8dfd6}

// Service returns the map to find a fault by: from the front each LED with its string's number, a line through the LEDs of a string; from
// behind resistors, connectors and what a meter shows at each LED's anode; below, each string in a line. When ctx is done it returns nil.
func Service(ctx context.Context, b board.Board, strung []Strung) []byte {
	return wanted(ctx, func(w *work.Watch) []byte { return svg.Encode(w, service(w, b, strung)) })
}

func service(watch *work.Watch, b board.Board, strung []Strung) scene.Page {
	box := b.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	scale := enlargement(box)
	w, h := scaled(box.W(), scale), scaled(box.H(), scale)
	page := max(w, widest-2*sheetMargin)
	head := sheetMargin + 15*geom.Millimetre
	second := head + h + gutter + 6*geom.Millimetre
	foot := second + h + gutter

	var measure typeset.Setter // to measure with
	var lines [][]string
	rows := geom.Nm(0)
	for i, s := range strung {
		l := measure.Wrapped(s.told(i), textHeight, page-swatch)
		lines, rows = append(lines, l), rows+geom.Nm(len(l))
	}
	hints := measure.Wrapped(serviceHint, textHeight, page)
	rows += geom.Nm(len(hints))
	d := newDrawing(watch, page+2*sheetMargin, foot+rows*sayStep+sheetMargin+2*geom.Millimetre, b.Name+": service map")
	d.ground(paper)
	d.heading(b.Name+" — service map", "board "+measures(box.W(), box.H())+", drawn "+ratio(scale))
	x := sheetMargin + (page-w)/2
	m := serviceMap{strung: strung, of: map[string]int{}}
	for i, s := range strung {
		for _, d := range s.LEDs {
			m.of[d.Ref] = i
		}
		m.of[s.Resistor] = i
	}
	m.front(newView(d, b, geom.Top, geom.Pt{X: x, Y: head}, scale))
	m.behind(newView(d, b, geom.Bottom, geom.Pt{X: x, Y: second}, scale))
	y := foot
	for _, l := range hints {
		d.letters(sheetMargin, y+textHeight/2, textHeight, left, edgeInk, l)
		y += sayStep
	}
	y += geom.Millimetre
	for i, l := range lines {
		d.run(strungLine(i, swatchPen), sheetMargin, y-textHeight/4, sheetMargin+swatch-2*geom.Millimetre, y-textHeight/4)
		for _, t := range l {
			d.letters(sheetMargin+swatch, y+textHeight/2, textHeight, left, ink, t)
			y += sayStep
		}
	}
	return d.page
}

const (
	swatch    = 8 * geom.Millimetre
	swatchPen = 800 * geom.Micrometre

	serviceHint = "Black probe to minus of a connector, red probe to plus of an LED, the round pad of one with leads (its anode): it shows the volts printed there, all full on, " +
		"within a few tenths. Of a dark string, the LED that has far more across it than its neighbours is open; one that has nothing is shorted."
)

// told is the string in a line: what lies between supply and 0 V, and what a meter shows between the parts.
func (s Strung) told(i int) string {
	t := stringName(i) + ", " + milli(s.Amps)
	if s.Group != "" {
		t += ", group " + s.Group
	}
	t += ":  " + decimal(s.Supply) + " V – " + s.Resistor + " " + s.Ohms
	for _, d := range s.LEDs {
		t += " – " + decimal(d.Anode) + " V – " + d.Ref
	}
	return t + " – 0 V"
}

func decimal(v part.Volt) string { return strconv.FormatFloat(float64(v), 'f', 1, 64) }

func milli(i part.Amp) string { return strconv.FormatFloat(1e3*float64(i), 'f', 1, 64) + " mA" }

// serviceMap knows which string a part is of.
type serviceMap struct {
	strung []Strung
	of     map[string]int // looked up only
	named  bool           // LEDs by name from behind too, where there is room
}

// bare draws the board without its parts.
func (v *view) bare(title string) {
	v.d.letters(v.f.At.X, v.f.At.Y-2500*geom.Micrometre, textHeight*11/10, left, ink, title)
	v.ground()
	v.holes()
}

// touchedOn is the side on which a part's pads are touched: leads are soldered on the side behind an LED, while flat parts have no pads there.
func touchedOn(p board.Part) geom.Side {
	if p.Kind == board.LED && len(p.Pads) > 0 && p.Pads[0].Through {
		return geom.Bottom
	}
	return p.On
}

// lines draws the lines of the strings, from LED to LED, of the parts that are shown.
func (m serviceMap) lines(v *view, shown func(board.Part) bool) {
	at := map[string]geom.Pt{} // looked up only
	for _, p := range v.b.Parts {
		if shown(p) {
			at[p.Ref] = v.f.Pt(p.At)
		}
	}
	for i, s := range m.strung {
		var xy []geom.Nm
		var refs []string
		if v.side == geom.Bottom {
			refs = append(refs, s.Resistor)
		}
		for _, d := range s.LEDs {
			refs = append(refs, d.Ref)
		}
		for _, ref := range refs {
			if p, ok := at[ref]; ok {
				xy = append(xy, p.X, p.Y)
			}
		}
		if len(xy) > 2 {
			v.d.run(strungLine(i, linePen), xy...)
		}
		for k := 2; k < len(xy); k += 2 { // no name may stand on a line
			v.edges = append(v.edges, geom.Segment{A: geom.Pt{X: xy[k-2], Y: xy[k-1]}, B: geom.Pt{X: xy[k], Y: xy[k+1]}})
		}
	}
}

// strungLine is the line of string i: dashed once the colours are used up.
func strungLine(i int, pen geom.Nm) scene.Stroke {
	line := scene.Line(strungInk[i%len(strungInk)], pen)
	if i/len(strungInk)%2 == 1 {
		line = line.Dashed(geom.MM(1), geom.MM(0.6))
	}
	return line
}

// name writes a label that keeps from others, so that two are not read as one.
func (m serviceMap) name(v *view, box geom.Box, texts ...string) {
	v.labelled(box, texts)
	last := &v.taken[len(v.taken)-1]
	*last = last.Grown(500 * geom.Micrometre)
}

// front shows the LEDs, each with the number of its string in it and its name beside it.
func (m serviceMap) front(v *view) {
	const radius, number = 1700 * geom.Micrometre, 1500 * geom.Micrometre
	title := "Top, the LED side: in each LED the number of its string"
	if m.flat(v.b) {
		title += "; behind the name of a flat one the volts at its plus"
	}
	v.bare(title)
	v.d.open("strings")
	m.lines(v, func(board.Part) bool { return true })
	v.d.close()
	discs := map[string]geom.Box{} // looked up only
	for _, p := range v.b.Parts {
		i, ok := m.of[p.Ref]
		if p.Kind != board.LED || !ok {
			continue
		}
		c := v.f.Pt(p.At)
		v.d.add(&scene.Path{Shapes: disc(c.X, c.Y, radius), Fill: scene.Solid(strungFill[i%len(strungFill)]), Stroke: scene.Line(strungInk[i%len(strungInk)], thinPen)})
		v.d.letters(c.X, c.Y+number/2, number, centre, ink, strconv.Itoa(i+1))
		discs[p.Ref] = geom.BoxOf(c).Grown(radius)
		v.taken = append(v.taken, discs[p.Ref])
	}
	for _, p := range v.b.Parts {
		box, ok := discs[p.Ref]
		if !ok {
			continue
		}
		if volts, ok := m.volts(p.Ref); ok && touchedOn(p) == v.side {
			m.name(v, box, p.Ref+" "+volts)
		} else {
			m.name(v, box, p.Ref)
		}
	}
}

// flat reports whether some of the LEDs are touched from the front.
func (m serviceMap) flat(b board.Board) bool {
	return slices.ContainsFunc(b.Parts, func(p board.Part) bool {
		_, ok := m.volts(p.Ref)
		return ok && touchedOn(p) == geom.Top
	})
}

// volts is what a meter shows at the anode of an LED.
func (m serviceMap) volts(ref string) (string, bool) {
	i, ok := m.of[ref]
	if !ok {
		return "", false
	}
	n := slices.IndexFunc(m.strung[i].LEDs, func(d Tapped) bool { return d.Ref == ref })
	if n < 0 {
		return "", false
	}
	return decimal(m.strung[i].LEDs[n].Anode), true
}

// behind shows what one touches: the LEDs' pads, with the volts at the anode, resistors and connectors.
func (m serviceMap) behind(v *view) {
	title := "From behind, the wiring side: volts at the round pad of each LED"
	if m.flat(v.b) {
		title = "From behind, the wiring side: volts at the round pad of each LED with leads"
	}
	v.bare(title)
	m.touched(v)
}

// touched draws the strings, the parts that are touched on this side, and the volts there; connectors are on both.
func (m serviceMap) touched(v *view) {
	here := func(p board.Part) bool { return touchedOn(p) == v.side }
	v.d.open("strings")
	m.lines(v, here)
	v.d.close()
	boxes := make([]geom.Box, len(v.b.Parts))
	for k, p := range v.b.Parts {
		switch {
		case p.Kind != board.LED && here(p):
			v.part(p)
			boxes[k] = v.on(partBox(p))
		case p.Kind == board.Connector || here(p):
			box := geom.EmptyBox()
			for _, q := range p.Pads {
				if q.OnSide(v.side) {
					v.pad(q)
					box = box.Union(v.on(q.Contour(0).Box()))
				}
			}
			boxes[k] = box
			v.taken = append(v.taken, box)
		}
	}
	points := v.b.Spots
	for _, q := range points {
		if q.On == v.side && q.Use == board.TestPoint {
			v.pad(q.Pad())
			v.taken = append(v.taken, v.on(q.Pad().Contour(0).Box()))
		}
	}
	for k, p := range v.b.Parts {
		if p.Kind == board.Connector {
			if m.named && v.b.Grouped(p) {
				v.pins(p)
			}
			text := p.Ref + " " + p.Role.String()
			full := text
			if s := m.supply(); s > 0 {
				full += ", " + decimal(s) + " V"
			}
			if m.named {
				m.name(v, boxes[k], full, text, p.Ref)
			} else {
				m.name(v, boxes[k], full, p.Ref)
			}
		}
	}
	for k, p := range v.b.Parts {
		i, ok := m.of[p.Ref]
		if !ok || !here(p) {
			continue
		}
		if volts, ok := m.volts(p.Ref); ok {
			if m.named {
				m.name(v, boxes[k], p.Ref+" "+volts, volts)
			} else {
				m.name(v, boxes[k], volts)
			}
		} else {
			m.name(v, boxes[k], stringName(i)+" "+p.Ref, p.Ref)
		}
	}
	for _, q := range points {
		if q.On == v.side && q.Use == board.TestPoint {
			m.name(v, v.on(q.Pad().Contour(0).Box()), q.Ref)
		}
	}
}

// supply is what arrives at the board.
func (m serviceMap) supply() part.Volt {
	if len(m.strung) == 0 {
		return 0
	}
	return m.strung[0].Supply
}
