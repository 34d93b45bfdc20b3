package picture

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/export/scene/svg"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Colours of the assembly drawing: ink on paper, since it is printed and lies beside the soldering iron.
const (
	paper    scene.Colour = 0xfffdf8
	ink      scene.Colour = 0x2c2825
	faint    scene.Colour = 0xb9b0a2
	edgeInk  scene.Colour = 0x6d6253
	resFill  scene.Colour = 0xcfe0d8
	connFill scene.Colour = 0xdbd3e6
	white    scene.Colour = 0xffffff
)

// Measures of the assembly sheet, on paper.
const (
	sheetMargin = 10 * geom.Millimetre
	refHeight   = 1700 * geom.Micrometre // capitals of the names beside the parts: as 7 point type
	textHeight  = 2 * geom.Millimetre
	gutter      = 9 * geom.Millimetre
	barRoom     = 10 * geom.Millimetre  // for the scale bar
	widest      = 190 * geom.Millimetre // of a view that is enlarged, to print on A4
)

// Assembly returns the drawing to solder by: each side with its parts, their names, values and polarity, the bottom
// as seen from behind, and below them a key to the marks and a list of parts. A small board is drawn enlarged.
func Assembly(ctx context.Context, b board.Board) []byte {
	return wanted(ctx, func(w *work.Watch) []byte { return svg.Encode(w, assembly(w, b)) })
}

func assembly(watch *work.Watch, b board.Board) scene.Page {
	box := b.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	scale := enlargement(box)
	w, h := scaled(box.W(), scale), scaled(box.H(), scale)
	beside := h > w && 2*w+gutter <= widest*3/2
	page := max(w, widest-2*sheetMargin)
	if beside {
		page = max(2*w+gutter, page)
	}
	list := partsList(b, page)

	head := sheetMargin + 15*geom.Millimetre
	second := head + h + gutter + 6*geom.Millimetre
	foot := second + h + gutter
	if beside {
		second, foot = head, head+h+gutter
	}
	width := page + 2*sheetMargin
	says := sayings(b, page)
	key := keyHeight(b) + geom.Nm(len(says))*sayStep
	height := foot + list.height() + key + barRoom + sheetMargin

	d := newDrawing(watch, width, height, b.Name+": assembly")
	d.ground(paper)
	d.heading(b.Name+" — assembly", "board "+measures(box.W(), box.H())+", drawn "+ratio(scale))

	x := sheetMargin + (page-w)/2
	x2 := x
	if beside {
		x, x2 = sheetMargin, sheetMargin+w+gutter
	}
	newView(d, b, geom.Top, geom.Pt{X: x, Y: head}, scale).draw("Top, the LED side")
	newView(d, b, geom.Bottom, geom.Pt{X: x2, Y: second}, scale).draw("Bottom, the wiring side, seen from behind")

	d.marks(b, sheetMargin, foot)
	for i, line := range says {
		d.letters(sheetMargin, foot+keyHeight(b)-2*geom.Millimetre+geom.Nm(i)*sayStep+textHeight/2, textHeight, left, ink, line)
	}
	list.draw(d, sheetMargin, foot+key)
	d.bar(sheetMargin, height-sheetMargin-4*geom.Millimetre, scale, "50 mm")
	return d.page
}

// enlargement returns how much larger than life a board is drawn, in halves: as large as two views, the key and a
// short list fit an A4 page.
func enlargement(b geom.Box) int {
	const rest = 85 * geom.Millimetre
	for _, twice := range []int{6, 5, 4, 3} {
		w, h := scaled(b.W(), twice), scaled(b.H(), twice)
		if w <= widest-2*sheetMargin && 2*h+rest <= 287*geom.Millimetre {
			return twice
		}
	}
	return 2
}

// scaled returns a length on the board as it is on paper.
func scaled(v geom.Nm, twice int) geom.Nm { return v * geom.Nm(twice) / 2 }

func ratio(twice int) string {
	switch twice {
	case 2:
		return "at true size"
	case 3:
		return "1.5 : 1"
	case 5:
		return "2.5 : 1"
	}
	return fmt.Sprintf("%d : 1", twice/2)
}

// view is one side of the board on the sheet.
type view struct {
	d    *drawing
	b    board.Board
	f    scene.Frame
	side geom.Side

	taken []geom.Box     // page places that no label may cover
	edges []geom.Segment // of the board and its cutouts, on the page
	odd   []string       // LEDs that stand another way round than most
}

// newView returns the view of a side whose upper left corner is at a point of the page, scale in halves.
func newView(d *drawing, b board.Board, side geom.Side, at geom.Pt, scale int) *view {
	box := b.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	return &view{d: d, b: b, side: side, f: scene.Frame{Box: box, Mirror: side == geom.Bottom, At: at, Halves: scale}, odd: b.OddRefs()}
}

// on returns the box on the page.
func (v *view) on(b geom.Box) geom.Box { return geom.BoxOf(v.f.Pt(b.Min), v.f.Pt(b.Max)) }

// ground draws the board and what is cut out of it.
func (v *view) ground() {
	edges := append([]geom.Contour{v.b.Outline}, v.b.Cutouts...)
	v.d.add(&scene.Path{Shapes: v.f.Contours(edges...), Fill: scene.Solid(white), EvenOdd: true, Stroke: scene.Line(edgeInk, edgePen)})
	for _, c := range edges {
		for _, s := range c.Ring(50 * geom.Micrometre).Segments() {
			v.edges = append(v.edges, geom.Segment{A: v.f.Pt(s.A), B: v.f.Pt(s.B)})
		}
	}
	for _, c := range v.b.Cutouts {
		v.taken = append(v.taken, v.on(c.Box()))
	}
}

func (v *view) holes() {
	var holes []geom.Contour
	for _, h := range v.b.Holes {
		holes = append(holes, geom.Circle(h.At, h.D))
		v.taken = append(v.taken, v.on(geom.Circle(h.At, h.D).Box()))
	}
	v.d.line(v.f.Contours(holes...), scene.Line(edgeInk, linePen))
}

func (v *view) draw(title string) {
	d := v.d
	d.letters(v.f.At.X, v.f.At.Y-2500*geom.Micrometre, textHeight*11/10, left, ink, title)
	d.open(v.side.String())
	v.ground()
	v.rooms()
	v.holes()
	for _, p := range v.b.Parts {
		if p.On != v.side {
			v.joints(p)
		}
	}
	for _, p := range v.b.Parts {
		if p.On == v.side {
			v.part(p)
		}
	}
	d.close()
	for _, p := range v.b.Parts {
		if p.On == v.side && v.b.Grouped(p) {
			v.pins(p)
		}
	}
	for _, p := range v.b.Parts {
		if p.On == v.side {
			v.label(p)
		}
	}
}

// named is what stands at a pin, where on the page, and the line that leads to it.
type named struct {
	text string
	at   geom.Box
	lead []geom.Nm // x and y in turn; none where the name stands right beside its pin
}

// pins writes at a connector's pins what they are, "+ red", "-", on the side of its body where they cover least.
func (v *view) pins(p board.Part) {
	const bearable = 300_000 // 0.3 mm² of it covered
	var best []named
	bestCost := int64(-1)
	for try := range 4 {
		if try == 2 && bestCost <= bearable {
			break // else the pins' numbers, which the line below the key explains
		}
		row := v.namedPins(p, try%2 == 1, try >= 2)
		cost := int64(0)
		for _, n := range row {
			for _, o := range v.taken {
				cost += overlap(n.at.Grown(200*geom.Micrometre), o) / 1_000_000
			}
			cost += (int64(n.at.W())*int64(n.at.H()) - overlap(n.at, v.on(v.b.Outline.Box()))) / 1_000_000
		}
		if bestCost < 0 || cost < bestCost {
			best, bestCost = row, cost
		}
	}
	for _, n := range best {
		v.taken = append(v.taken, n.at)
		if len(n.lead) > 0 {
			v.d.run(scene.Line(faint, finePen), n.lead...)
		}
		v.d.letters(n.at.Min.X, n.at.Max.Y, refHeight, left, ink, n.text)
	}
}

// namedPins lays the names out on one side of the body: beside pins that stand one above the other, each in line with its own;
// above or below pins in a row, each on a line of its own with a line to its pin, the one on the left farthest, so that none
// of these lines crosses a name.
func (v *view) namedPins(p board.Part, other, short bool) []named {
	const gap, step = geom.Millimetre, 2600 * geom.Micrometre
	body := v.on(partBox(p))
	upright := v.f.Pt(p.Pads[0].At).X == v.f.Pt(p.Pads[len(p.Pads)-1].At).X
	pads := slices.Clone(p.Pads)
	slices.SortStableFunc(pads, func(a, b board.Pad) int { return cmp.Compare(v.f.Pt(b.At).X, v.f.Pt(a.At).X) }) // from the right
	var row []named
	for i, q := range pads {
		at, n := v.f.Pt(q.At), named{text: v.b.SignOf(q)}
		if short && q.Function == "+" {
			n.text = "+" + q.Pin
		}
		w := v.d.Wide(n.text, refHeight)
		switch {
		case upright && other:
			n.at.Min = geom.Pt{X: body.Min.X - gap - w, Y: at.Y - refHeight/2}
		case upright:
			n.at.Min = geom.Pt{X: body.Max.X + gap, Y: at.Y - refHeight/2}
		case other:
			n.at.Min = geom.Pt{X: at.X + gap/2, Y: body.Min.Y - gap - refHeight - geom.Nm(i)*step}
			n.lead = []geom.Nm{at.X, body.Min.Y, at.X, n.at.Min.Y + refHeight/2}
		default:
			n.at.Min = geom.Pt{X: at.X + gap/2, Y: body.Max.Y + gap + geom.Nm(i)*step}
			n.lead = []geom.Nm{at.X, body.Max.Y, at.X, n.at.Min.Y + refHeight/2}
		}
		n.at.Max = n.at.Min.Add(geom.Vec{X: w, Y: refHeight})
		row = append(row, n)
	}
	return row
}

// rooms draws what the board keeps free behind openings, as far as that lies beside it.
func (v *view) rooms() {
	if len(v.b.Room) == 0 {
		return
	}
	box := v.on(v.b.Outline.Box())
	v.d.open("room").Clip = scene.Rect(box.Min.X, box.Min.Y, box.W(), box.H())
	for _, r := range v.b.Room {
		v.d.line(v.f.Contours(r.Contour), roomLine())
	}
	v.d.close()
}

func roomLine() scene.Stroke {
	return scene.Line(roomInk, thinPen).Dashed(geom.MM(0.6), geom.MM(0.8))
}

// joints draws the pads of a part on the other side, which are soldered on this one.
func (v *view) joints(p board.Part) {
	var pads []geom.Contour
	for _, q := range p.Pads {
		if q.OnSide(v.side) {
			pads = append(pads, q.Contour(0))
			v.taken = append(v.taken, v.on(q.Contour(0).Box()))
		}
	}
	if len(pads) > 0 {
		v.d.line(v.f.Contours(pads...), scene.Line(faint, finePen))
	}
}

func (v *view) part(p board.Part) {
	fill := [...]scene.Colour{board.LED: ledTint(v.b, p), board.Resistor: resFill, board.Connector: connFill}[p.Kind]
	v.d.open("").Label = p.Ref
	pen := thinPen
	if slices.Contains(v.odd, p.Ref) {
		pen = boldPen
	}
	v.d.add(&scene.Path{Shapes: v.f.Rings(p.Body), Fill: scene.Solid(fill), Stroke: scene.Line(ink, pen)})
	for _, q := range p.Pads {
		v.pad(q)
	}
	v.d.close()
	v.taken = append(v.taken, v.on(partBox(p)))
}

func partBox(p board.Part) geom.Box {
	b := p.Body.Box()
	for _, q := range p.Pads {
		b = b.Union(q.Contour(0).Box())
	}
	if b.Empty() {
		return geom.BoxOf(p.At)
	}
	return b
}

// pad draws a pad and the polarity of its pin: a cross for the positive one, a bar on black for the negative one.
func (v *view) pad(q board.Pad) {
	plus, minus := q.Function == "A" || q.Function == "+", q.Function == "K" || q.Function == "-"
	fill := white
	if minus {
		fill = ink
	}
	v.d.add(&scene.Path{Shapes: v.f.Contours(q.Contour(0)), Fill: scene.Solid(fill), Stroke: scene.Line(ink, finePen)})
	arm := min(q.W, q.H) * 3 / 10
	bar := geom.Polyline{{X: q.At.X - arm, Y: q.At.Y}, {X: q.At.X + arm, Y: q.At.Y}}
	post := geom.Polyline{{X: q.At.X, Y: q.At.Y - arm}, {X: q.At.X, Y: q.At.Y + arm}}
	switch {
	case plus:
		v.d.add(&scene.Path{Shapes: []geom.Contour{v.f.Line(bar), v.f.Line(post)}, Open: true, Stroke: scene.Line(ink, thinPen)})
	case minus:
		v.d.add(&scene.Path{Shapes: []geom.Contour{v.f.Line(bar)}, Open: true, Stroke: scene.Line(white, thinPen)})
	}
}

// label writes the part's name, with its value where there is room for it.
func (v *view) label(p board.Part) {
	texts := []string{p.Ref}
	if slices.Contains(v.odd, p.Ref) {
		texts = []string{p.Ref + board.OddMark}
	}
	if p.Kind != board.LED && p.Value != "" {
		texts = []string{p.Ref + " " + p.Value, p.Ref}
	}
	v.labelled(v.on(partBox(p)), texts)
}

// labelled writes the first of the texts that has room beside a box of the page, or that which is least in the way.
func (v *view) labelled(body geom.Box, texts []string) {
	limit := v.on(v.b.Outline.Box())
	var best geom.Box
	text, bestCost := "", int64(-1)
	for _, t := range texts {
		w := v.d.Wide(t, refHeight)
		for i, c := range spots(body, w, refHeight) {
			cost := int64(i) * 1000 // among free spots the first
			for _, o := range v.taken {
				cost += overlap(c.Grown(200*geom.Micrometre), o) / 1_000_000
			}
			cost += (int64(c.W())*int64(c.H()) - overlap(c, limit)) / 4_000_000 // off the board only if need be
			if v.crossed(c.Grown(800 * geom.Micrometre)) {
				cost += 1_500_000 // as bad as to cover a part
			}
			if bestCost < 0 || cost < bestCost {
				best, text, bestCost = c, t, cost
			}
		}
		if bestCost < 100_000 {
			break
		}
	}
	v.taken = append(v.taken, best)
	v.d.letters(best.Min.X, best.Max.Y, refHeight, left, ink, text)
}

// crossed reports whether an edge runs through the box.
func (v *view) crossed(c geom.Box) bool {
	corner := [4]geom.Pt{c.Min, {X: c.Max.X, Y: c.Min.Y}, c.Max, {X: c.Min.X, Y: c.Max.Y}}
	for _, e := range v.edges {
		if !e.Box().Touches(c) {
			continue
		}
		if c.Contains(e.A) {
			return true
		}
		for i, p := range corner {
			if e.Crosses(geom.Segment{A: p, B: corner[(i+1)%4]}) {
				return true
			}
		}
	}
	return false
}

// spots returns where a label of w by h can stand beside a box, best first. The page has Y down.
func spots(b geom.Box, w, h geom.Nm) []geom.Box {
	out := spotsAt(b, w, h, 600*geom.Micrometre)
	return append(out, spotsAt(b, w, h, 1800*geom.Micrometre)...)
}

func spotsAt(b geom.Box, w, h, gap geom.Nm) []geom.Box {
	m := b.Centre()
	at := func(x, y geom.Nm) geom.Box {
		return geom.Box{Min: geom.Pt{X: x, Y: y}, Max: geom.Pt{X: x + w, Y: y + h}}
	}
	above, below := b.Min.Y-gap-h, b.Max.Y+gap
	out := []geom.Box{
		at(m.X-w/2, above), at(m.X-w/2, below),
		at(b.Max.X+gap, m.Y-h/2), at(b.Min.X-gap-w, m.Y-h/2),
	}
	for _, x := range []geom.Nm{b.Min.X, b.Max.X - w, b.Max.X, b.Min.X - w} {
		out = append(out, at(x, above), at(x, below))
	}
	return out
}

// overlap returns the common area of two boxes, in nm².
func overlap(a, b geom.Box) int64 {
	w := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
	h := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return int64(w) * int64(h)
}
