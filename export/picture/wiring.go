package picture

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/export/scene"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Measures of the wiring diagram, on paper. It shows what is wired to what, not where.
const (
	boxWidth                 = 42 * geom.Millimetre
	boxHeight                = 21 * geom.Millimetre
	wireRun                  = 42 * geom.Millimetre // between boxes, with room for what stands at the wire
	rowPitch                 = 36 * geom.Millimetre
	poleGap                  = 5 * geom.Millimetre // between the supply conductor and 0 V
	plusInk     scene.Colour = 0xb3392e
	minusInk    scene.Colour = 0x2f4b7c
	supplyFill  scene.Colour = 0xf4e3c3
	boardFill   scene.Colour = 0xe3ecd9
	wiringTitle              = 4 * geom.Millimetre
)

// Wiring returns the diagram of a console's feed as SVG: the supply with its fuses, the boards in the order of the wires,
// and at each piece of wire its size, its length and what it carries, usually and at worst.
func Wiring(c led.Circuit, console string) []byte {
	w := wiring{c: c, tables: c.Tables(), at: map[string]geom.Pt{}}
	w.layout()
	width := sheetMargin*2 + boxWidth + geom.Nm(max(1, w.columns))*(boxWidth+wireRun)
	top := sheetMargin + 18*geom.Millimetre
	height := top + geom.Nm(max(1, len(c.Chains)))*rowPitch + sheetMargin + geom.Nm(len(w.notes()))*4*geom.Millimetre
	d := newDrawing(width, height, strings.TrimSpace(console+": wiring"))
	w.d, w.top = d, top
	d.ground(paper)
	d.letters(sheetMargin, sheetMargin+wiringTitle, wiringTitle, left, ink, clipped(strings.TrimSpace(console+" — wiring"), 70))
	d.letters(sheetMargin, sheetMargin+10*geom.Millimetre, textHeight, left, edgeInk,
		"+ above, 0 V below; each conductor of the size and length told. Currents as usual, and at worst in brackets; LEDs in parts of the current asked for.")
	w.supply()
	for i := range c.Chains {
		w.chain(i)
	}
	for i, s := range w.notes() {
		d.letters(sheetMargin, height-sheetMargin-geom.Nm(len(w.notes())-1-i)*4*geom.Millimetre, textHeight, left, edgeInk, s)
	}
	return d.encoded()
}

// wiring is a diagram in the making.
type wiring struct {
	d       *drawing
	c       led.Circuit
	tables  led.Tables
	top     geom.Nm
	columns int
	at      map[string]geom.Pt // column and row of each board
}

// layout gives each chain a row of its own; one that starts from a board begins to the right of it.
func (w *wiring) layout() {
	for i, chain := range w.c.Chains {
		col := geom.Nm(0)
		if p, ok := w.at[chain.From]; ok && chain.From != "" {
			col = p.X + 1
		}
		for j, k := range chain.Links {
			w.at[k.Panel] = geom.Pt{X: col + geom.Nm(j), Y: geom.Nm(i)}
			w.columns = max(w.columns, int(col)+j+1)
		}
	}
}

// corner is the upper left corner of the box in a column and row; the supply's is column -1.
func (w *wiring) corner(col, row geom.Nm) geom.Pt {
	return geom.Pt{X: sheetMargin + (col+1)*(boxWidth+wireRun), Y: w.top + row*rowPitch}
}

// box draws a box with lines of text.
func (w *wiring) box(at geom.Pt, height geom.Nm, fill scene.Colour, lines []string) {
	w.d.add(&scene.Path{Shapes: []geom.Contour{rounded(at.X, at.Y, boxWidth, height, geom.MM(1.5))}, Fill: scene.Solid(fill), Stroke: scene.Line(ink, geom.MM(0.35))})
	for i, s := range lines {
		h := textHeight
		if i == 0 {
			h = 2600 * geom.Micrometre
		}
		w.d.letters(at.X+boxWidth/2, at.Y+(5+geom.Nm(i)*4)*geom.Millimetre, h, centre, ink, clipped(s, 26))
	}
}

func (w *wiring) supply() {
	s := w.c.Source
	window := part.Window{Min: s.Min, Nominal: s.Nominal, Max: s.Max}
	lines := []string{"supply", window.String(), "gives " + s.Rated.String(), "asked for " + s.Demand.String()}
	if s.Battery.Any() {
		lines[0] = fmt.Sprintf("battery, %d cells", s.Battery.Cells)
	}
	height := boxHeight
	if n := len(w.c.Chains); n > 1 {
		height += geom.Nm(n-1) * rowPitch
	}
	w.box(w.corner(-1, 0), height, supplyFill, lines)
}

// chain draws the feeds and boards of a chain.
func (w *wiring) chain(i int) {
	chain, table := w.c.Chains[i], w.tables.Chains[i]
	row := geom.Nm(i)
	for j, k := range chain.Links {
		to := w.corner(w.at[k.Panel].X, row)
		seg := table.Segments[j]
		fuse := part.Amp(0)
		if j == 0 && chain.From == "" {
			fuse = table.Fuse
		}
		from := geom.Pt{X: to.X - wireRun, Y: to.Y}
		if p, ok := w.at[chain.From]; ok && j == 0 && chain.From != "" {
			w.elbow(w.corner(p.X, p.Y), to)
			from.X = to.X - wireRun + branchRoom
		}
		w.wires(from, to, fuse)
		w.label(to, seg)
		lines := []string{k.Panel, seg.Volts.String(), "draws " + seg.BoardAmps.String(), fmt.Sprintf("LEDs at %.0f %%", 100*k.OfAsked)}
		w.box(to, boxHeight, boardFill, lines)
	}
	if table.Back != nil && len(chain.Links) > 0 {
		w.back(i, *table.Back, table.Fuse)
	}
}

// branchRoom is where the wires of a branch come down, right of the board they come from.
const branchRoom = 6 * geom.Millimetre

// wires draws the two conductors of a feed between two boxes.
func (w *wiring) wires(from, to geom.Pt, fuse part.Amp) {
	y := to.Y + boxHeight/2
	w.path(plusInk, from.X, y-poleGap/2, to.X, y-poleGap/2)
	w.path(minusInk, from.X, y+poleGap/2, to.X, y+poleGap/2)
	if fuse > 0 {
		x := from.X + 3*geom.Millimetre
		w.d.add(&scene.Path{Shapes: rect(x, y-poleGap/2-geom.Millimetre, 7*geom.Millimetre, 2*geom.Millimetre), Fill: scene.Solid(paper),
			Stroke: scene.Line(plusInk, geom.MM(0.35))})
		w.path(plusInk, x, y-poleGap/2, x+7*geom.Millimetre, y-poleGap/2)
		w.d.letters(x+3500*geom.Micrometre, y-poleGap/2-2200*geom.Micrometre, refHeight, centre, plusInk, fuse.String())
	}
}

// label writes size, length and current of a feed before the box it leads to.
func (w *wiring) label(to geom.Pt, s led.SegmentRow) {
	y := to.Y + boxHeight/2
	w.d.letters(to.X-geom.Millimetre, y-poleGap/2-2200*geom.Micrometre, refHeight, right, ink, s.Wire+", "+s.Length.String())
	w.d.letters(to.X-geom.Millimetre, y+poleGap/2+3200*geom.Micrometre, refHeight, right, ink, carried(s))
}

// carried is what a feed carries, usually and at worst.
func carried(s led.SegmentRow) string {
	if s.Amps < 0 {
		return fmt.Sprintf("%v from behind (%v)", -s.Amps, s.Worst)
	}
	return fmt.Sprintf("%v (%v)", s.Amps, s.Worst)
}

// elbow draws the wires of a branch, from the right of one box down to the row of another.
func (w *wiring) elbow(from, to geom.Pt) {
	y0, y1 := from.Y+boxHeight/2, to.Y+boxHeight/2
	x := from.X + boxWidth
	w.path(plusInk, x, y0-poleGap/2, x+branchRoom, y0-poleGap/2, x+branchRoom, y1-poleGap/2)
	w.dot(plusInk, x+branchRoom, y0-poleGap/2)
	w.dot(minusInk, x+branchRoom-1500*geom.Micrometre, y0+poleGap/2)
	w.path(minusInk, x, y0+poleGap/2, x+branchRoom-1500*geom.Micrometre, y0+poleGap/2, x+branchRoom-1500*geom.Micrometre, y1+poleGap/2, x+branchRoom, y1+poleGap/2)
}

// back draws the further feed of a chain that is fed at both ends, below its row.
func (w *wiring) back(i int, s led.SegmentRow, fuse part.Amp) {
	chain := w.c.Chains[i]
	last := w.corner(w.at[chain.Links[len(chain.Links)-1].Panel].X, geom.Nm(i))
	x0 := w.corner(-1, 0).X + boxWidth
	if p, ok := w.at[chain.From]; ok && chain.From != "" {
		x0 = w.corner(p.X, 0).X + boxWidth
	}
	out, y := last.X+boxWidth, last.Y+boxHeight/2
	low := last.Y + boxHeight + 5*geom.Millimetre
	w.path(plusInk, out, y-poleGap/2, out+5*geom.Millimetre, y-poleGap/2, out+5*geom.Millimetre, low, x0, low)
	w.path(minusInk, out, y+poleGap/2, out+3*geom.Millimetre, y+poleGap/2, out+3*geom.Millimetre, low-2*geom.Millimetre, x0, low-2*geom.Millimetre)
	text := fmt.Sprintf("back to the start: %s, %s, %s", s.Wire, s.Length, carried(s))
	if fuse > 0 {
		text += ", fuse " + fuse.String() + " too"
	}
	w.d.letters(x0+3*geom.Millimetre, low+3*geom.Millimetre, refHeight, left, ink, text)
}

// dot marks wires that are joined, not only crossing.
func (w *wiring) dot(c scene.Colour, x, y geom.Nm) { w.d.fill(disc(x, y, geom.MM(0.9)), c) }

// path draws a conductor through points given as x and y in turn.
func (w *wiring) path(c scene.Colour, xy ...geom.Nm) {
	s := scene.Line(c, geom.MM(0.5))
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

// notes are what does not fit into the picture: other loads, groups, and the verdict.
func (w *wiring) notes() []string {
	var out []string
	var loads []string
	for _, l := range w.c.Source.Others {
		loads = append(loads, fmt.Sprintf("%s %v", l.Name, l.At(w.c.Source.Volts)))
	}
	if len(loads) > 0 {
		out = append(out, clipped("The supply also feeds: "+strings.Join(loads, ", ")+".", 110))
	}
	var told [][]led.Group
	for _, b := range w.c.Boards {
		if len(b.Groups) < 2 || slices.ContainsFunc(told, func(g []led.Group) bool { return slices.Equal(g, b.Groups) }) {
			continue
		}
		told = append(told, b.Groups)
		pins := "Pins of " + b.Panel + " and all boards of its feed: "
		for i, g := range b.Groups {
			name := "V+"
			if g.Name != "" {
				name = "V+." + g.Name
			}
			pins += fmt.Sprintf("%d %s, ", i+1, name)
		}
		out = append(out, clipped(pins+fmt.Sprintf("%d 0 V; a red line stands for all of +.", len(b.Groups)+1), 110))
	}
	return append(out, w.tables.Verdict)
}
