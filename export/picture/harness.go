package picture

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/scene"
	"lampblack/export/scene/typeset"
	"lampblack/export/wires"
	"lampblack/panel/geom"
)

// Measures of the harness drawing, on paper: as wide as the wiring diagram, black on white.
const (
	endWide    = 52 * geom.Millimetre   // of the box of a connector
	pinPitch   = 6 * geom.Millimetre    // from pin to pin
	pinCell    = 5 * geom.Millimetre    // a pin's number
	signRoom   = 18 * geom.Millimetre   // at most, of a pin's sign
	endText    = 2200 * geom.Micrometre // capitals
	endStep    = 3700 * geom.Micrometre
	strayRoom  = 21 * geom.Millimetre // where wires run apart, with their names
	turnWide   = 4 * geom.Millimetre  // from there into the bundle
	strandGap  = 900 * geom.Micrometre
	dropGap    = 1800 * geom.Micrometre // between wires that go down to another feed
	feedGap    = 6 * geom.Millimetre
	dimensions = 5 * geom.Millimetre // below the pins, for the length
)

// Harness returns the drawing of the wires as whoever makes them wants it, in pages of the diagram's width and at most so high, unless one
// connector's feeds take more: each feed with the connectors or terminals at its ends, pins, wires by name and colour, size and length.
// It shows what becomes of each wire, not where it lies.
func Harness(cuts []wires.Cut, most geom.Nm) []scene.Page {
	h := harness{from: map[string]int{}}
	for i, c := range cuts {
		h.take(i, c)
	}
	var pages []scene.Page
	for len(h.blocks) > 0 {
		d := newDrawing(nil, wiringWide, 0, "harness")
		y := wiringMargin
		for n := 0; len(h.blocks) > 0; n++ {
			tall := h.blocks[0].measure(&d.Setter)
			if n > 0 && y+tall+wiringMargin > most {
				break
			}
			h.blocks[0].draw(d, y)
			y += tall + feedGap
			h.blocks = h.blocks[1:]
		}
		d.page.H = y - feedGap + wiringMargin
		pages = append(pages, d.page)
	}
	return pages
}

// HarnessSheet returns the same as SVG, under the console's name and with its notes, in sheets of A4 below each other.
func HarnessSheet(cuts []wires.Cut, notes []string, console, revision string) []byte {
	title := Titled(strings.TrimSpace(console+" — harness"), revision)
	d := newDrawing(nil, wiringWide, 0, title)
	heads := d.Wrapped(title, wiringTitle, wiringWide-2*wiringMargin)
	var lines []string
	for _, s := range notes {
		lines = append(lines, d.Wrapped(s, endText, wiringWide-2*wiringMargin)...)
	}
	y := wiringMargin + geom.Nm(len(heads))*(wiringTitle+2*geom.Millimetre) + endStep*geom.Nm(len(lines)) + feedGap
	parts := Harness(cuts, wiringHigh-y)
	at := make([]geom.Nm, len(parts))
	for i, p := range parts {
		at[i], d.page.H = y, y+p.H
		y = (d.page.H + wiringHigh - 1) / wiringHigh * wiringHigh
	}
	if len(parts) == 0 {
		d.page.H = y
	}
	d.ground(white)
	base := wiringMargin + wiringTitle
	for _, s := range heads {
		d.letters(wiringMargin, base, wiringTitle, left, ink, s)
		base += wiringTitle + 2*geom.Millimetre
	}
	base += endText - wiringTitle
	for _, s := range lines {
		d.letters(wiringMargin, base, endText, left, ink, s)
		base += endStep
	}
	for i, p := range parts {
		d.add(scene.Placed(p, geom.Pt{Y: at[i]}, 1, 0))
	}
	return d.encoded()
}

// harness is the feeds by where they start.
type harness struct {
	blocks []*harnessBlock
	from   map[string]int // of OUT connectors
	feeds  int
}

// harnessBlock is the feeds that share the pins of one OUT connector, or one feed from the supply.
type harnessBlock struct {
	from  harnessEnd
	feeds []harnessFeed
}

type harnessFeed struct {
	number int
	wires  []harnessWire
	to     harnessEnd
	high   geom.Nm
}

type harnessWire struct {
	wires.Cut
	name string
}

// harnessEnd is a connector or the supply: what its box says.
type harnessEnd struct {
	says []string // the name first, unwrapped
	rows []string // in lines
	bold int      // how many of them are the name
}

func (h *harness) take(i int, c wires.Cut) {
	w := harnessWire{c, fmt.Sprintf("W%d", i+1)}
	if n := len(h.blocks); n > 0 {
		b := h.blocks[n-1]
		if k, ok := h.from[c.From.At]; ok {
			b = h.blocks[k]
		}
		if f := &b.feeds[len(b.feeds)-1]; f.wires[0].From.At == c.From.At && f.wires[0].To.At == c.To.At {
			f.wires = append(f.wires, w)
			return
		}
	}
	h.feeds++
	f := harnessFeed{number: h.feeds, wires: []harnessWire{w}, to: endOf(c.To, "")}
	if k, ok := h.from[c.From.At]; ok {
		h.blocks[k].feeds = append(h.blocks[k].feeds, f)
		return
	}
	if !c.From.Supplied() {
		h.from[c.From.At] = len(h.blocks)
	}
	h.blocks = append(h.blocks, &harnessBlock{endOf(c.From, c.Fuse), []harnessFeed{f}})
}

func endOf(e wires.End, fuse string) harnessEnd {
	says := []string{e.At}
	if e.Package != "" {
		says = append(says, e.Package)
	} else if fuse != "" {
		says = append(says, "plus: fuse "+fuse)
	}
	return harnessEnd{says: append(says, e.Made().String())}
}

// wrap breaks what the box says into the room beside the pins.
func (e *harnessEnd) wrap(set *typeset.Setter, room geom.Nm) {
	e.rows = nil
	for i, s := range e.says {
		e.rows = append(e.rows, set.Wrapped(s, endText, room)...)
		if i == 0 {
			e.bold = len(e.rows)
		}
	}
}

func (e harnessEnd) tall() geom.Nm { return endStep*geom.Nm(len(e.rows)) + 2*geom.Millimetre }

// measure sets the words and returns how high the block is.
func (b *harnessBlock) measure(set *typeset.Setter) geom.Nm {
	all := geom.Nm(0)
	for i := range b.feeds {
		f := &b.feeds[i]
		signs := geom.Nm(0)
		for _, w := range f.wires {
			signs = max(signs, set.Wide(w.Sign, endText))
		}
		room := endWide - pinCell - min(signs, signRoom) - 4*geom.Millimetre
		f.to.wrap(set, room)
		f.high = max(f.to.tall(), pinPitch*geom.Nm(len(f.wires))+dimensions+2*geom.Millimetre)
		if i == 0 {
			b.from.wrap(set, room)
			f.high = max(f.high, b.from.tall())
		} else {
			all += feedGap
		}
		all += f.high
	}
	return all
}

// draw draws the block with its upper edge at y.
func (b *harnessBlock) draw(d *drawing, y geom.Nm) {
	first := y
	for i, f := range b.feeds {
		b.feed(d, i, y, first)
		f.box(d, f.to, y, wiringWide-wiringMargin-endWide, right)
		y += f.high + feedGap
	}
	b.feeds[0].box(d, b.from, first, wiringMargin, left)
}

// pin returns where the wire w of a feed leaves its box, whose upper edge is at y.
func (f harnessFeed) pin(w int, y geom.Nm) geom.Nm {
	return y + (f.high-dimensions-pinPitch*geom.Nm(len(f.wires)))/2 + pinPitch*geom.Nm(w) + pinPitch/2
}

// box draws one end: what it is, and its pins toward the wires.
func (f harnessFeed) box(d *drawing, e harnessEnd, y, x geom.Nm, side align) {
	d.open("").Label = e.says[0]
	d.add(&scene.Path{Shapes: scene.Rect(x, y, endWide, f.high), Fill: scene.Solid(white), Stroke: scene.Line(ink, framePen)})
	d.close()
	text, cell, sign := x+1500*geom.Micrometre, x+endWide-pinCell, x+endWide-pinCell-geom.Millimetre
	if side == right {
		text, cell, sign = x+endWide-1500*geom.Micrometre, x, x+pinCell+geom.Millimetre
	}
	base := y + (f.high-endStep*geom.Nm(len(e.rows)))/2 + (endStep+endText)/2
	for i, s := range e.rows {
		size := endText
		if i >= e.bold {
			size = small
		}
		d.letters(text, base+endStep*geom.Nm(i), size, side, ink, s)
	}
	if side == left && f.wires[0].From.Supplied() {
		sign = x + endWide - geom.Millimetre
	}
	toward := right
	if side == right {
		toward = left
	}
	for i, w := range f.wires {
		mid := f.pin(i, y)
		if side == right || !w.From.Supplied() {
			d.line(scene.Rect(cell, mid-pinCell/2, pinCell, pinCell), scene.Line(ink, thinPen))
			d.letters(cell+pinCell/2, mid+endText/2, endText, centre, ink, strconv.Itoa(w.Pin))
		}
		d.letters(sign, mid+endText/2, endText, toward, ink, d.Shortened(w.Sign, endText, signRoom))
	}
}

// feed draws the wires of feed i, whose box has its upper edge at y; those of the first start at the box at first.
func (b *harnessBlock) feed(d *drawing, i int, y, first geom.Nm) {
	f, n := b.feeds[i], len(b.feeds[i].wires)
	x0, x1 := wiringMargin+endWide, wiringWide-wiringMargin-endWide
	in := x0
	if len(b.feeds) > 1 {
		in += dropGap * geom.Nm(len(b.feeds[0].wires)+1)
	}
	apart, bundle := in+strayRoom, in+strayRoom+turnWide
	back, again := x1-strayRoom-turnWide, x1-strayRoom
	middle := f.pin(0, y) + pinPitch*geom.Nm(n-1)/2
	lines := make([][]geom.Nm, n)
	for k, w := range f.wires {
		at := f.pin(k, y)
		strand := middle + strandGap*(2*geom.Nm(k)-geom.Nm(n-1))/2
		xy := []geom.Nm{x0, at}
		if i > 0 { // from the pin that it shares
			pin := max(0, slices.IndexFunc(b.feeds[0].wires, func(o harnessWire) bool { return o.Sign == w.Sign }))
			x := x0 + dropGap*geom.Nm(len(b.feeds[0].wires)-pin)
			from := b.feeds[0].pin(pin, first)
			d.fill(disc(x, from, 700*geom.Micrometre), ink)
			xy = []geom.Nm{x, from, x, at}
		}
		lines[k] = append(xy, apart, at, bundle, strand, back, strand, again, at, x1, at)
		name := w.name + " " + w.Colour
		size := min(endText, geom.Nm(float64(endText)*float64(strayRoom-2*geom.Millimetre)/float64(max(1, d.Wide(name, endText)))))
		d.letters(in+geom.Millimetre, at-700*geom.Micrometre, size, left, ink, name)
		d.letters(x1-geom.Millimetre, at-700*geom.Micrometre, size, right, ink, name)
	}
	d.runs(scene.Line(ink, edgePen), lines...)
	reach := strandGap*geom.Nm(n)/2 + 500*geom.Micrometre
	for _, x := range [...]geom.Nm{bundle + geom.Millimetre, back - geom.Millimetre} {
		d.run(scene.Line(ink, boldPen), x, middle-reach, x, middle+reach)
	}
	mid := (bundle + back) / 2
	d.letters(mid, middle-reach-700*geom.Micrometre, endText, centre, ink, fmt.Sprintf("%d × %s", n, f.wires[0].Size))
	d.letters(mid, middle-reach-700*geom.Micrometre-endStep, endText, centre, ink, fmt.Sprintf("feed %d", f.number))
	b.length(d, f, in, x1, y+f.high-1200*geom.Micrometre)
}

// length draws how long the wires of a feed are.
func (b *harnessBlock) length(d *drawing, f harnessFeed, x0, x1, y geom.Nm) {
	const head, half = 2 * geom.Millimetre, 500 * geom.Micrometre
	thin := scene.Line(ink, thinPen)
	d.run(thin, x0, y, x1, y)
	if x0 > wiringMargin+endWide {
		d.run(thin, x0, y-geom.Millimetre, x0, y+geom.Millimetre)
	}
	for _, a := range [...][2]geom.Nm{{x0, head}, {x1, -head}} {
		d.fill([]geom.Contour{scene.Through(a[0], y, a[0]+a[1], y-half, a[0]+a[1], y+half)}, ink)
	}
	cut := f.wires[0].Cut
	d.letters((x0+x1)/2, y-800*geom.Micrometre, endText, centre, ink, fmt.Sprintf("%s mm +%s/–0", scene.Decimal(cut.Length, geom.Millimetre), scene.Decimal(wires.Over(cut.Length), geom.Millimetre)))
}
