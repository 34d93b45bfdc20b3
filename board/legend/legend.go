// Package legend draws the silkscreen of a board.
//
// Draw takes a placed, routed and filled board and returns it with Legend set, and with Words, which tell what stands there:
// the outlines and polarity marks of the parts (which it takes over from Part.Marks, cut clear of pads and edges), a plus at
// every anode, references, IN and OUT with plus and minus at their pins, there the names of groups of LEDs too, resistor
// values, the board's name, supply and revision, and which way round LEDs go; and areas, Ink, of what else it is asked to print (Item). Strokes are in the panel frame; text on the bottom is mirrored there, so that it reads from
// behind. Ink keeps Rules.LegendClear from mask openings, vias, holes and the board's edge: part outlines are cut where
// they would come nearer, text is moved, turned and made smaller (1.0 mm at least) until it is free and stands apart from
// other ink, and left out when nothing helps.
package legend

import (
	"context"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Options are the words on the board. Empty ones are left out.
type Options struct {
	Name     string // of the board
	Revision string // "A"
	Supply   string // "12 V DC"
	Date     string // as it is to be printed

	Items [2][]Item // what is printed besides, by side
	Given [2]Given  // what they say of these words
}

// Figures counts what was printed.
type Figures struct {
	Refs    int // references of parts
	Skipped int // references that found no room

	Told diag.List // of the items, what was cut and what found no room
}

// Print returns the board with its silkscreen, and what was printed of what was asked for. When ctx is done it returns at once, and
// what it returns means nothing.
func Print(ctx context.Context, b board.Board, opt Options) (out board.Board, fig Figures) {
	work.Until(ctx, func(w *work.Watch) { out, fig = printed(w, b, opt) })
	return out, fig
}

func printed(w *work.Watch, b board.Board, opt Options) (board.Board, Figures) {
	var fig Figures
	b.Legend, b.Words = nil, nil
	b.Ink = nil
	hints := b.LEDHints()
	odd := b.OddRefs()
	if len(odd) > 0 {
		hints = append(hints, board.OddHint)
	}
	for _, side := range geom.BothSides() {
		f := newFace(w, b, side)
		f.marks(b)
		f.marked = len(f.ink)
		f.signs(b)
		f.roles(b)
		items := opt.Items[side]
		if side == geom.Bottom {
			items = behind(items)
		}
		f.reserve(items, true)
		f.refs(b, odd, &fig) // on what is drawn, which is cut clear of them: elsewhere they could be taken for another part's
		f.points(b)
		f.values(b)
		f.reserve(items, false)
		var bars *bars
		if len(items) > 0 {
			var told diag.List
			bars = f.fixed(b)
			items, told = f.seat(items, bars)
			fig.Told = append(fig.Told, told...)
		}
		f.title(opt.title(side))
		hints = f.hints(hints)
		if len(items) > 0 {
			f.said(bars)
			ink, told := f.print(items, bars)
			b.Ink, fig.Told = append(b.Ink, ink...), append(fig.Told, told...)
		}
		b.Legend, b.Words = append(b.Legend, f.ink...), append(b.Words, f.words...)
	}
	b.Parts = slices.Clone(b.Parts)
	for i := range b.Parts {
		b.Parts[i].Marks = nil // printed, as far as there was room; uncut they would be printed again
	}
	return b, fig
}

// title returns the lines of a side's title, without what the items say: of its name that side's, of revision and date any.
func (o Options) title(side geom.Side) []string {
	if o.Given[side].Name {
		o.Name = ""
	}
	if o.Given[geom.Top].Revision || o.Given[geom.Bottom].Revision {
		o.Revision = ""
	}
	if o.Given[geom.Top].Date || o.Given[geom.Bottom].Date {
		o.Date = ""
	}
	if side == geom.Top {
		return []string{o.Name, "LED side"}
	}
	return []string{o.Name, strings.Join(filled(o.Supply, revision(o.Revision), o.Date), "  ")}
}

func revision(r string) string {
	if r == "" {
		return ""
	}
	return "Rev " + r
}

// filled returns the strings that are not empty.
func filled(s ...string) []string {
	return slices.DeleteFunc(s, func(s string) bool { return strings.TrimSpace(s) == "" })
}

// marks draws the footprints' own lines.
func (f *face) marks(b board.Board) {
	for _, p := range b.Parts {
		asked, printed := 0.0, 0.0
		var ink geom.Polyline
		for _, m := range p.Marks {
			if m.On == f.side {
				m.Width = max(m.Width, f.rules.LegendWidth)
				lines := f.clipped(m)
				f.draw(lines, m.Width)
				asked += m.Path.Len()
				for _, l := range lines {
					printed += l.Len()
					ink = append(ink, l...)
				}
			}
		}
		if asked > 0 && printed >= leastShape*asked {
			f.words = append(f.words, board.Word{On: f.side, What: board.Outline, Of: p.Ref, Box: ink.Box()})
		}
	}
}

// say notes what was written last.
func (f *face) say(w board.Word) {
	w.On, w.Box = f.side, f.last
	f.words = append(f.words, w)
}

// signs puts a plus at the anode of every LED, and plus and minus at the pins of connectors, on the side of the body.
func (f *face) signs(b board.Board) {
	for _, p := range b.Parts {
		if p.On != f.side || p.Kind == board.Resistor {
			continue
		}
		if b.Grouped(p) {
			f.pins(b, p)
			continue
		}
		for _, pad := range p.Pads {
			sign := map[string]string{"A": "+", "+": "+", "-": "-"}[pad.Function]
			if sign == "" {
				continue
			}
			// From the body's middle through the pad first, then more and more to the sides of it.
			out := pad.At.Sub(p.At)
			if f.put(setText(sign), pad.At, pad.Contour(pad.Mask).Box(), ways(out), []geom.Nm{signSize, smallSign}, nearby[:], 1) {
				f.say(board.Word{What: board.Sign, Text: sign, Of: p.Ref, Pin: pad.Pin})
			}
		}
	}
}

// roles writes IN and OUT at the connectors.
func (f *face) roles(b board.Board) {
	for _, p := range b.Parts {
		if p.Kind != board.Connector {
			continue
		}
		word := p.Role.String()
		if p.On != f.side {
			continue
		}
		if f.put(setText(word), p.At, p.Courtyard.Box(), ways(geom.Vec{Y: 1}), roleSizes(f.rules), nearby[:], 2) {
			f.say(board.Word{What: board.Place, Text: word, Of: p.Ref})
		}
	}
}

// refs writes the references, on the side of the body; behind those of odd LEDs the mark.
func (f *face) refs(b board.Board, odd []string, fig *Figures) {
	for _, p := range b.Parts {
		if p.On != f.side || p.Ref == "" {
			continue
		}
		write := func(s string) bool {
			return f.put(setText(s), p.At, inkBox(p), ways(geom.Vec{Y: 1}), refSizes(f.rules), nearby[:], 2)
		}
		if p.Kind == board.LED && slices.Contains(odd, p.Ref) && write(p.Ref+board.OddMark) {
			fig.Refs++
			f.say(board.Word{What: board.Reference, Text: p.Ref, Of: p.Ref})
			f.say(board.Word{What: board.Otherwise, Text: p.Ref + board.OddMark, Of: p.Ref})
		} else if write(p.Ref) {
			fig.Refs++
			f.say(board.Word{What: board.Reference, Text: p.Ref, Of: p.Ref})
		} else {
			fig.Skipped++
		}
	}
}

// points writes the names of test points. Those that find no room are told in the pack's README.txt, and marked in the guide's picture.
func (f *face) points(b board.Board) {
	for _, s := range b.Spots {
		if s.On != f.side || s.Use != board.TestPoint {
			continue
		}
		if f.put(setText(s.Ref), s.At, s.Pad().Contour(s.Mask).Box(), ways(geom.Vec{Y: 1}), refSizes(f.rules), nearby[:closest], 2) {
			f.say(board.Word{What: board.Reference, Text: s.Ref, Of: s.Ref})
		}
	}
}

// inkBox is what text has to stay off: body and mask openings.
func inkBox(p board.Part) geom.Box {
	b := p.Body.Box()
	for _, q := range p.Pads {
		b = b.Union(q.Contour(q.Mask).Box())
	}
	return b
}

// values writes the resistors' values where there is room.
func (f *face) values(b board.Board) {
	for _, p := range b.Parts {
		if p.On == f.side && p.Kind == board.Resistor && p.Value != "" {
			if f.put(setText(p.Value), p.At, inkBox(p), ways(geom.Vec{Y: -1}), []geom.Nm{smallest}, nearby[:closest], 2) {
				f.say(board.Word{What: board.Value, Text: p.Value, Of: p.Ref})
			}
		}
	}
}

// ways returns eight directions, first first, then more and more away from it.
func ways(first geom.Vec) []geom.Vec {
	v := sign(first)
	out := []geom.Vec{v}
	w := v
	left := v
	for range 3 {
		left, w = eighth(left, 1), eighth(w, -1)
		out = append(out, left, w)
	}
	return append(out, v.Neg())
}

// sign returns the direction of v with components -1, 0 and 1.
func sign(v geom.Vec) geom.Vec {
	if v == (geom.Vec{}) {
		return geom.Vec{Y: 1}
	}
	return geom.Vec{X: v.X.Sign(), Y: v.Y.Sign()}
}

// eighth turns a direction by an eighth, counter-clockwise for n = 1.
func eighth(v geom.Vec, n int) geom.Vec {
	q := v.Quarter(n)
	if v.X != 0 && v.Y != 0 {
		return geom.Vec{X: (v.X + q.X) / 2, Y: (v.Y + q.Y) / 2}
	}
	return v.Plus(q)
}

// put writes the text beside the box of what it belongs to: the first free place, larger text before smaller, near
// before far, at a side (upright, then turned) before at a corner, where it might be taken for a neighbour's. It
// reports whether there was one. Where the text finds no place that is well apart from other ink, it may stand closer.
// Text stands on an item only where it finds no other place.
func (f *face) put(t text, at geom.Pt, box geom.Box, dirs []geom.Vec, sizes, gaps []geom.Nm, turns int) bool {
	return f.putClear(t, at, box, dirs, sizes, gaps, turns) ||
		f.onItems(func() bool { return f.putClear(t, at, box, dirs, sizes, gaps, turns) })
}

// onItems does what may also stand on the items, if there are any.
func (f *face) onItems(do func() bool) bool {
	if !f.reserved {
		return false
	}
	f.over = true
	defer func() { f.over = false }()
	return do()
}

func (f *face) putClear(t text, at geom.Pt, box geom.Box, dirs []geom.Vec, sizes, gaps []geom.Nm, turns int) bool {
	for _, a := range f.airs() {
		for _, h := range sizes {
			for rest := gaps; len(rest) > 0; {
				n := 1
				if len(rest) == len(gaps) {
					n = min(closest, len(rest))
				}
				if f.putNear(t, at, box, dirs, h, rest[:n], a, turns) {
					return true
				}
				rest = rest[n:]
			}
		}
	}
	return false
}

// putNear is put at one size, for gaps that are as good as each other.
func (f *face) putNear(t text, at geom.Pt, box geom.Box, dirs []geom.Vec, h geom.Nm, gaps []geom.Nm, a air, turns int) bool {
	for try := range 2 * turns {
		for _, gap := range gaps {
			for _, d := range dirs {
				atCorner := d.X != 0 && d.Y != 0
				if atCorner == (try >= turns) && f.putAt(t, at, box, d, h, gap, a, try%turns) {
					return true
				}
			}
		}
	}
	return false
}

// airs returns how far text stands from other ink, the best first. At its ends that is twice the gap between two letters,
// since at one gap a line beside R1 reads as one more letter; two strokes are the least.
func (f *face) airs() []air {
	least := 2 * f.rules.LegendWidth
	return []air{{max(wellApart, least), least}, {least, least}}
}

// putAt writes the text in direction d of the box if it is free there.
func (f *face) putAt(t text, at geom.Pt, box geom.Box, d geom.Vec, h, gap geom.Nm, a air, turn int) bool {
	f.watch.Step()
	width := f.lineWidth(h)
	w, tall := t.size(h)
	if turn == 1 {
		w, tall = tall, w
	}
	// Halves are rounded up, so that the area holds all ink.
	halfW, halfH := (w+width)/2+1, (tall+width)/2+1
	c := beside(box, at, d, halfW, halfH, gap)
	area := geom.Box{Min: geom.Pt{X: c.X - halfW, Y: c.Y - halfH}, Max: geom.Pt{X: c.X + halfW, Y: c.Y + halfH}}
	if !f.free(area, a, turn) || f.mine != nil && !f.mine(area) {
		return false
	}
	f.write(t, c, h, turn, width, area)
	return true
}

// beside returns the middle of a text of half sizes hw and hh that lies in direction d of the box with a gap.
func beside(box geom.Box, at geom.Pt, d geom.Vec, hw, hh, gap geom.Nm) geom.Pt {
	c := at
	switch d.X {
	case 1:
		c.X = box.Max.X + gap + hw
	case -1:
		c.X = box.Min.X - gap - hw
	}
	switch d.Y {
	case 1:
		c.Y = box.Max.Y + gap + hh
	case -1:
		c.Y = box.Min.Y - gap - hh
	}
	return c
}

// lineWidth returns the stroke for a capital height: never less than the rules ask, heavier in large text.
func (f *face) lineWidth(h geom.Nm) geom.Nm { return max(f.rules.LegendWidth, h/10) }

func (f *face) write(t text, c geom.Pt, h geom.Nm, turn int, width geom.Nm, area geom.Box) {
	for _, p := range t.at(c, h, turn, f.side == geom.Bottom) {
		f.ink = append(f.ink, board.Stroke{On: f.side, Width: width, Path: p})
	}
	letters := slabOf(area)
	letters.ink = true
	add(&f.soft, letters)
	f.last = area
}
