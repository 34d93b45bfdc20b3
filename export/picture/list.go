package picture

import (
	"slices"
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/export/scene/typeset"
	"lampblack/panel/geom"
)

// marksStep is from one row of the key to the marks to the next.
const marksStep = 5 * geom.Millimetre

// keyHeight is the room of the key to the marks: with several kinds of LEDs they have a row of their own.
func keyHeight(b board.Board) geom.Nm {
	if len(ledKinds(b)) > 1 {
		return 19*geom.Millimetre + marksStep
	}
	return 19 * geom.Millimetre
}

// ledTints are the fills of the bodies of LEDs, kind by kind: shades of sand, that nobody takes for the colour of their light.
var ledTints = [...]scene.Colour{0xfbe2ae, 0xd3b67c, 0xfffaf0, 0xab9a7c, 0xece4d0}

// ledKinds returns the kinds of LEDs on the board, in the order of its parts.
func ledKinds(b board.Board) []string {
	var out []string
	for _, p := range b.Parts {
		if p.Kind == board.LED && !slices.Contains(out, p.Value) {
			out = append(out, p.Value)
		}
	}
	return out
}

// ledTint is the fill of an LED's body.
func ledTint(b board.Board, p board.Part) scene.Colour {
	return ledTints[max(0, slices.Index(ledKinds(b), p.Value))%len(ledTints)]
}

// pole is a kind of pin with a polarity, as the board has it.
type pole struct {
	shape board.PadShape
	plus  bool
	label string
}

// poles returns the pins to explain: of the LEDs and of the connectors, each with the shape of its own first one.
func poles(b board.Board) []pole {
	var out []pole
	add := func(kind board.Kind, function, label, flat string, plus bool) {
		for _, p := range b.Parts {
			if p.Kind != kind {
				continue
			}
			for _, q := range p.Pads {
				if q.Function == function {
					if !q.Through {
						label = flat
					}
					out = append(out, pole{q.Shape, plus, label})
					return
				}
			}
		}
	}
	add(board.LED, "A", "LED plus: anode, the long lead", "LED plus: anode", true)
	add(board.LED, "K", "LED minus: cathode, pin 1, the flat side", "LED minus: cathode, pin 1, the marked end", false)
	add(board.Connector, "+", "connector plus, pin 1", "connector plus, pin 1", true)
	add(board.Connector, "-", "connector minus", "connector minus", false)
	return out
}

// marks draws the key to the marks of the assembly drawing.
func (d *drawing) marks(b board.Board, x, y geom.Nm) {
	start := x
	mid := y + 2*geom.Millimetre
	label := func(s string) {
		x += 4 * geom.Millimetre
		d.letters(x, mid+textHeight/2, textHeight, left, ink, s)
		x += d.Wide(s, textHeight) + 4*geom.Millimetre
	}
	const (
		pen    = 200 * geom.Micrometre
		half   = 1100 * geom.Micrometre // of a square pad, round ones are a little larger
		radius = 1200 * geom.Micrometre
		narrow = 2 * geom.Millimetre   // the narrow way of an oblong pad
		arm    = 600 * geom.Micrometre // of a sign
	)
	for _, p := range poles(b) {
		x += geom.Millimetre
		shape := disc(x, mid, radius)
		switch p.shape {
		case board.Square:
			shape = scene.Rect(x-half, mid-half, 2*half, 2*half)
		case board.Oblong:
			shape = []geom.Contour{rounded(x-narrow/2, mid-narrow*7/10, narrow, narrow*7/5, narrow/2)}
		}
		fill, line := white, ink
		sign := [][]geom.Nm{{x - arm, mid, x + arm, mid}}
		if p.plus {
			sign = append(sign, []geom.Nm{x, mid - arm, x, mid + arm})
		} else {
			fill, line = ink, white
		}
		d.add(&scene.Path{Shapes: shape, Fill: scene.Solid(fill), Stroke: scene.Line(ink, pen)})
		d.runs(scene.Line(line, pen), sign...)
		label(p.label)
	}
	x, mid = start, mid+marksStep
	type filled struct {
		fill scene.Colour
		s    string
	}
	bodies := func(list ...filled) {
		for _, k := range list {
			x += geom.Millimetre
			body := scene.Rect(x-half, mid-half*4/5, 2*half, half*8/5)
			d.add(&scene.Path{Shapes: body, Fill: scene.Solid(k.fill), Stroke: scene.Line(ink, pen)})
			label(k.s)
		}
	}
	if kinds := ledKinds(b); len(kinds) > 1 {
		for i, k := range kinds {
			bodies(filled{ledTints[i%len(ledTints)], "LED " + clipped(k, 27)})
		}
		x, mid = start, mid+marksStep
	} else {
		bodies(filled{ledTints[0], "LED"})
	}
	bodies(filled{resFill, "resistor"}, filled{connFill, "connector"})
	if len(b.Room) > 0 {
		x += geom.Millimetre
		d.line(disc(x, mid, radius), roomLine())
		label("room kept free for parts behind the panel")
	}
	d.letters(start, mid+textHeight/2+4500*geom.Micrometre, textHeight, left, edgeInk,
		"Solder the flat parts of the bottom first, then the LEDs from the top, then the connectors from the bottom.")
}

// sayStep is from one line of text below the key to the next.
const sayStep = 4 * geom.Millimetre

// sayings are the lines below the key: which way round LEDs go, and what the pins of connectors are and whether that is printed.
func sayings(b board.Board, width geom.Nm) []string {
	out := b.LEDHints()
	if s := b.TurnsTold(); s != "" {
		out = append(out, s)
	}
	var names, pins, other []string
	for _, p := range b.Parts {
		if p.Kind != board.Connector {
			continue
		}
		names = append(names, p.Ref+" is "+p.Role.String())
		for i, q := range p.Pads {
			sign := b.SignOf(q)
			if len(names) == 1 {
				pins = append(pins, strconv.Itoa(i+1)+" "+sign)
			}
			if w, ok := b.Printed(board.Sign, p.Ref, q.Pin); ok && w.Text != sign {
				other = append(other, p.Ref+" pin "+strconv.Itoa(i+1)+" bears "+w.Text)
			} else if !ok {
				other = append(other, p.Ref+" pin "+strconv.Itoa(i+1)+" bears nothing")
			}
		}
	}
	if len(names) > 0 {
		out = append(out, strings.Join(names, ", ")+". Pins: "+strings.Join(pins, ", ")+".")
	}
	if len(other) > 0 {
		out = append(out, "For want of room on the board, "+strings.Join(other, ", ")+".")
	}
	var d typeset.Setter // to measure with
	var lines []string
	for _, s := range out {
		lines = append(lines, d.Wrapped(s, textHeight, width)...)
	}
	return lines
}

// table is the list of parts, laid out.
type table struct{ rows [][]string }

// The left edges of the columns, and the height of a row.
const (
	column0 geom.Nm = 0
	column1         = 12 * geom.Millimetre
	column2         = 52 * geom.Millimetre
	column3         = 78 * geom.Millimetre
	column4         = 94 * geom.Millimetre
	rowStep         = 4200 * geom.Micrometre
)

// called returns what to look for in the box of parts: an LED's or resistor's value, and of a connector, whose value is its
// place in the chain, what it is: "terminal, 2 pins, 3.5 mm".
func called(p board.Part) string {
	if p.Kind != board.Connector {
		return p.Value
	}
	words := strings.Split(p.Footprint, "-")
	if len(words) > 2 && words[len(words)-1] == strconv.Itoa(len(p.Pads)) {
		words = words[:len(words)-1] // the number of pins, of more than two
	}
	if last := words[len(words)-1]; len(words) > 1 && last != "" && last[0] >= '0' && last[0] <= '9' {
		return strings.Join(words[:len(words)-1], " ") + ", " + pins(len(p.Pads)) + ", " + last + " mm"
	}
	return strings.Join(words, " ") + ", " + pins(len(p.Pads))
}

func pins(n int) string {
	if n == 1 {
		return "1 pin"
	}
	return strconv.Itoa(n) + " pins"
}

// partsList groups like parts: how many, what, in which body, on which side, and their names, wrapped to the width.
func partsList(b board.Board, width geom.Nm) table {
	type like struct {
		kind      board.Kind
		value     string
		footprint string
		on        geom.Side
	}
	var order []like
	refs := map[like][]string{}
	for _, p := range b.Parts {
		k := like{p.Kind, called(p), p.Footprint, p.On}
		if _, ok := refs[k]; !ok {
			order = append(order, k)
		}
		refs[k] = append(refs[k], p.Ref)
	}
	slices.SortStableFunc(order, func(a, b like) int { return int(a.kind) - int(b.kind) })
	t := table{[][]string{{"Qty", "Part", "Body", "Side", "Names"}}}
	var d typeset.Setter // to measure with
	for _, k := range order {
		row := []string{strconv.Itoa(len(refs[k])), clipped(k.value, 27), clipped(k.footprint, 18), k.on.String(), ""}
		for _, r := range ranges(refs[k]) {
			next := r
			if row[4] != "" {
				next = row[4] + ", " + r
			}
			if row[4] != "" && d.Wide(next, textHeight) > width-column4 {
				row[4] += ","
				t.rows = append(t.rows, row)
				row, next = []string{"", "", "", "", ""}, r
			}
			row[4] = next
		}
		t.rows = append(t.rows, row)
	}
	return t
}

func (t table) height() geom.Nm { return rowStep * geom.Nm(len(t.rows)) }

func (t table) draw(d *drawing, x, y geom.Nm) {
	for i, r := range t.rows {
		base := y + rowStep*geom.Nm(i) + textHeight
		colour := ink
		if i == 0 {
			colour = edgeInk
		}
		for j, c := range []geom.Nm{column0, column1, column2, column3, column4} {
			d.letters(x+c, base, textHeight, left, colour, r[j])
		}
	}
}

// ranges writes names in order, with runs of numbers as "D1–D12".
func ranges(refs []string) []string {
	type name struct {
		prefix string
		n      int
	}
	split := func(s string) name {
		i := len(s)
		for i > 0 && s[i-1] >= '0' && s[i-1] <= '9' {
			i--
		}
		n, err := strconv.Atoi(s[i:])
		if err != nil {
			return name{s, -1}
		}
		return name{s[:i], n}
	}
	all := make([]name, len(refs))
	for i, r := range refs {
		all[i] = split(r)
	}
	slices.SortStableFunc(all, func(a, b name) int {
		if c := strings.Compare(a.prefix, b.prefix); c != 0 {
			return c
		}
		return a.n - b.n
	})
	write := func(a name) string {
		if a.n < 0 {
			return a.prefix
		}
		return a.prefix + strconv.Itoa(a.n)
	}
	var out []string
	for i := 0; i < len(all); {
		j := i
		for j+1 < len(all) && all[j+1].prefix == all[i].prefix && all[i].n >= 0 && all[j+1].n == all[j].n+1 {
			j++
		}
		switch j - i {
		case 0:
			out = append(out, write(all[i]))
		case 1:
			out = append(out, write(all[i]), write(all[j]))
		default:
			out = append(out, write(all[i])+"–"+write(all[j]))
		}
		i = j + 1
	}
	return out
}
