// Package parts lists what to buy, where to put it, and the boards to order.
//
// In go boards and their wirings; out come tables. Lengths are millimetres in the panel
// frame, angles degrees counter-clockwise seen from the front, also for parts on the bottom. A resistor's and an LED's
// rating come from the wiring; a part that the wiring does not know is listed without one.
package parts

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/export"
	"lampblack/export/table"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Item is one board to be listed and how many of it are made.
type Item struct {
	Board    board.Board
	Wiring   led.Wiring // of the same board; ratings and colours come from here
	Quantity int        // in the consoles to make; 1 when 0
	Spare    int        // more of it, as arrays hold whole numbers of boards

	// Numbers are what stands before the board's references where it lies in an array, one for each time that it does: they are
	// counted instead of Quantity.
	Numbers []string

	// Idle are the references of connectors that no wire leads to: they need not be bought, and are told as such. An array's list counts
	// them all the same, as its component layers do.
	Idle []string
}

func (i Item) quantity() int { return max(1, i.Quantity, len(i.Numbers)) }

// references writes references of the board shortly; several tells that others are listed too.
func (i Item) references(refs []string, several bool) string {
	if len(i.Numbers) == 0 {
		if several {
			return i.Board.Name + ": " + Ranges(refs)
		}
		return Ranges(refs)
	}
	var all []string
	for _, n := range i.Numbers {
		numbered := make([]string, len(refs))
		for k, r := range refs {
			numbered[k] = n + r
		}
		all = append(all, Ranges(numbered))
	}
	return strings.Join(all, ", ")
}

// line is one row of parts.csv, without its references.
type line struct {
	kind                     board.Kind
	ohms                     part.Ohm // sorts resistors
	value, rating, footprint string
	note                     string
	idle                     bool
}

// Beyond heads the column of LEDs to buy of the same lot beyond those that are soldered.
const Beyond = "spares"

// ForSpares heads the column of what it takes to fit the spare boards too.
const ForSpares = "more for spare boards"

// Parts lists the parts of one board, or of a whole console when several are given. Pads for bare wires are none: nothing is
// bought for them. Equal parts share a line; its references are those of one board, its quantity counts all copies of all boards
// in the consoles, and connectors are rated for the most that any of them must carry. A column tells how many LEDs to buy beyond
// that: of each kind and board, as each has a lot of its own. Arrays have none, as the boards' own lists tell it. Where there are
// spare boards, a column tells what it takes to fit them too.
func Parts(items ...Item) table.Table {
	type group struct {
		line
		amps  part.Amp // that a connector must carry: the most of all its boards
		refs  []string // one text a board
		of    []string // the boards
		count int
		more  int // LEDs of the same lots
		spare int
	}
	var groups []*group
	for _, item := range items {
		here := map[line][]string{}
		for _, p := range item.Board.Parts {
			if p.Kind == board.Connector && strings.HasPrefix(p.Footprint, board.WirePads) {
				continue
			}
			l := describe(p, item.Wiring)
			if l.idle = slices.Contains(item.Idle, p.Ref); l.idle && len(item.Numbers) == 0 {
				l.note = idleNote
			} else if l.idle {
				l.note = idleInArray
			}
			here[l] = append(here[l], p.Ref)
		}
		for l, refs := range here {
			at := slices.IndexFunc(groups, func(g *group) bool { return g.line == l })
			if at < 0 {
				at = len(groups)
				groups = append(groups, &group{line: l})
			}
			groups[at].refs = append(groups[at].refs, item.references(refs, len(items) > 1))
			groups[at].of = append(groups[at].of, item.Board.Name)
			if l.idle && len(item.Numbers) == 0 {
				continue
			}
			groups[at].count += len(refs) * item.quantity()
			if l.kind == board.LED {
				groups[at].more += led.Spares(len(refs)) * item.quantity()
			}
			groups[at].spare += len(refs) * item.Spare
			groups[at].amps = max(groups[at].amps, item.Wiring.Through)
		}
	}
	slices.SortFunc(groups, func(a, b *group) int { return compare(a.line, b.line) })
	columns := columns()
	lots := !slices.ContainsFunc(items, func(i Item) bool { return len(i.Numbers) > 0 })
	if lots {
		columns = append(columns, table.Number(Beyond, ""))
	}
	spare := slices.ContainsFunc(items, func(i Item) bool { return i.Spare > 0 })
	if spare {
		columns = append(columns, table.Number(ForSpares, ""))
	}
	t := table.New("Parts", columns...)
	for _, g := range groups {
		if g.kind == board.Connector {
			g.rating = atLeast(g.amps)
		}
		row := []any{g.count, kindName(g.kind), g.value, g.rating, g.footprint, strings.Join(g.refs, "; "), strings.Join(g.of, ", "), g.note}
		if lots && g.kind == board.LED {
			row = append(row, g.more)
		} else if lots {
			row = append(row, "")
		}
		if spare {
			row = append(row, g.spare)
		}
		t.Add(row...)
	}
	return t
}

func compare(a, b line) int {
	return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.footprint, b.footprint), cmp.Compare(a.ohms, b.ohms),
		cmp.Compare(a.value, b.value), cmp.Compare(a.rating, b.rating), cmp.Compare(a.note, b.note))
}

// columns are those that every list of parts has.
func columns() []table.Column {
	return []table.Column{table.Number("quantity", ""), table.Text("part"), table.Text("value"), table.Long("rating"), table.Text("package"),
		table.Long("designators"), table.Long("panel"), table.Long("note")}
}

func kindName(k board.Kind) string {
	switch k {
	case board.LED:
		return "LED"
	case board.Resistor:
		return "resistor"
	case board.Connector:
		return "connector"
	}
	return "part"
}

// describe returns what a buyer must know of a part.
func describe(p board.Part, w led.Wiring) line {
	l := line{kind: p.Kind, value: p.Value, footprint: p.Footprint}
	switch p.Kind {
	case board.LED:
		l.note = lie(p)
		for _, d := range w.LEDs {
			if d.Ref != p.Ref {
				continue
			}
			if d.Kind.IMax > 0 {
				l.rating = "at most " + milliamps(d.Kind.IMax)
			}
			if k := d.Kind; len(k.Curve) > 0 {
				l.note = fmt.Sprintf("%s; %s V typical at %s; %s", k.Colour, part.Trimmed(float64(k.Curve[0].V), 2),
					milliamps(k.Curve[0].I), l.note)
			}
		}
	case board.Resistor:
		for _, r := range w.Resistors {
			if r.Ref == p.Ref {
				l.ohms = r.Ohms
				l.rating = fmt.Sprintf("%s, %s %%", watts(r.Rated), part.Trimmed(100*r.Tol, 2))
			}
		}
	case board.Connector:
		l.value = fmt.Sprintf("%d pins", len(p.Pads))
		l.note = "for the feed wires"
		// Its rating is no part of the line: all connectors of a kind are bought for the most that any must carry.
	}
	return l
}

// lie says how an LED lies.
func lie(p board.Part) string {
	for _, d := range p.Pads {
		if d.Through {
			return "shorter lead (cathode, at the flat) in the square pad"
		}
	}
	return "marked end (cathode) in the printed bracket"
}

// atLeast returns a current to be carried, rounded up to a tenth of an ampere; a hair more than a tenth is still that tenth.
func atLeast(a part.Amp) string {
	if a <= 0 {
		return ""
	}
	return fmt.Sprintf("at least %s A", part.Trimmed(float64(a.Rating()), 1))
}

// milliamps returns a current as people say it: "20 mA".
func milliamps(a part.Amp) string { return part.Trimmed(float64(a)*1000, 1) + " mA" }

// watts returns a rating as resistors are sold: "1/4 W", "2 W".
func watts(w part.Watt) string {
	for _, n := range []float64{2, 4, 8, 10, 16} {
		if math.Abs(float64(float64(w)*n)-1) < 1e-9 {
			return fmt.Sprintf("1/%v W", n)
		}
	}
	return part.Trimmed(float64(w), 3) + " W"
}

// Placement lists where the parts of a board stand. x and y are the part's middle (of an LED: its hole in the panel), from
// the panel's lower left corner.
func Placement(b board.Board) table.Table {
	t := places()
	parts := slices.Clone(b.Parts)
	slices.SortStableFunc(parts, func(a, b board.Part) int { return byReference(a.Ref, b.Ref) })
	for _, p := range parts {
		t.Add(p.Ref, mm(p.At.X), mm(p.At.Y), p.Turn, p.On, p.Value, p.Footprint)
	}
	return t
}

func places() table.Table {
	return table.New("Places of the parts", table.Text("reference"), table.Number("x", "mm"), table.Number("y", "mm"), table.Number("rotation", "deg"),
		table.Text("side"), table.Text("value"), table.Text("package"))
}

// ArrayPlacement lists where the parts of all boards of an array stand, as its component layers have them: in the array's frame,
// each with the number of its board in front.
func ArrayPlacement(a export.Artwork) table.Table {
	t := places()
	type placed struct {
		export.Object
		on geom.Side
	}
	var all []placed
	for _, side := range geom.BothSides() {
		l, _ := a.Layer(export.ComponentTop + export.Function(side))
		for _, o := range l.Objects {
			if o.Op == export.Flash && o.Part != nil && l.Apertures[o.Aperture].Function == "ComponentMain" {
				all = append(all, placed{o, side})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b placed) int { return byReference(a.Ref, b.Ref) })
	for _, p := range all {
		t.Add(p.Ref, mm(p.To.X), mm(p.To.Y), part.Trimmed(p.Part.Rotation, 3), p.on, p.Part.Value, p.Part.Footprint)
	}
	return t
}

// mm returns a length in mm with three decimals.
func mm(v geom.Nm) string { return fmt.Sprintf("%.3f", v.MM()) }
