// Package wires lists the wires of a console: from where to where, how long, how thick, in which colour, and how each end is made.
//
// In goes a circuit and, as far as they are known, the places of the connectors in the console; out come cuts, one for each
// conductor of each feed. A cut is as long as its feed, by which the circuit was computed: so what is measured at the boards is what
// was promised. Where a wire must be longer is told by Length and Short.
package wires

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lampblack/export/table"
	"lampblack/led"
	"lampblack/panel/geom"
)

// Cut is one wire.
type Cut struct {
	From, To End
	Sign     string  // what it carries: "+", "+ night", "-"
	Pin      int     // of the connectors at its ends, from 1 on
	Fuse     string  // between the supply's plus and the wire: "500 mA"; empty: none
	Colour   string  // of its insulation
	Size     string  // as written: "0.5 mm2"
	Length   geom.Nm // as it is cut, stripped ends included
	Way      geom.Nm // between its connectors, along X and Y; 0: not known
}

// End is where a wire ends.
type End struct {
	At      string // "supply", "dome J1 IN"
	Package string // of the connector there; empty: the supply's terminals
}

// Making is how an end is made.
type Making struct {
	Words string
	Strip geom.Nm
}

// What an end bears.
const (
	Ferrule = "ferrule"
	Crimp   = "crimp contact"
	Tinned  = "tinned, soldered to its pad"
)

// Made returns how the end is made. Lengths are common practice for ferrules of 6 and 8 mm, crimp contacts and pads; a data sheet of
// the connector goes before.
func (e End) Made() Making {
	switch {
	case strings.HasPrefix(e.Package, "header"):
		return Making{Crimp, 3 * geom.Millimetre}
	case strings.HasPrefix(e.Package, "wire-pads"):
		return Making{Tinned, 4 * geom.Millimetre}
	case strings.HasPrefix(e.Package, "terminal-3.5"):
		return Making{Ferrule, 6 * geom.Millimetre}
	}
	return Making{Ferrule, 8 * geom.Millimetre}
}

func (m Making) String() string { return fmt.Sprintf("%s, stripped %v", m.Words, m.Strip) }

// At is what the list calls a connector of a board: "dome J1 IN".
func At(board string, k led.Connector) string { return board + " " + k.Ref + " " + k.Role.String() }

// supplyEnd is where feeds start that no board's OUT connector feeds.
const supplyEnd = "supply"

// colours of supply conductors, in the order of the groups; 0 V is black. Red for plus and black for 0 V is common practice; green,
// yellow and blue are left out, as they mean other conductors where mains is near.
func colours() []string { return []string{"red", "orange", "violet", "white", "grey", "brown", "pink"} }

const black = "black"

// Pin is a connector of a board.
type Pin struct {
	Board string
	Role  led.Role
}

// Span returns how long the way between two places is, along X and Y: wires are tied along edges and rows (common practice).
func Span(a, b geom.Pt) geom.Nm { return (a.X - b.X).Abs() + (a.Y - b.Y).Abs() }

// Slack of a wire beyond its way (common practice): a tenth for bends and ties, and 60 mm in all for both ends, so that a board can be
// taken off and an end be made anew.
const (
	slackShare = 10 // one part in
	slackEnds  = 60 * geom.Millimetre
)

// Length returns how long a wire of that way is cut, in whole centimetres.
func Length(way geom.Nm) geom.Nm {
	const step = 10 * geom.Millimetre
	return (way + way/slackShare + slackEnds + step - 1) / step * step
}

// Feeds calls each with every feed of a circuit and its chain, the way back of a chain that is fed at both ends last.
func Feeds(c led.Circuit, each func(chain led.Chain, from, to Pin, feed led.Feed)) {
	for _, chain := range c.Chains {
		start := Pin{chain.From, led.Out}
		last := start
		for _, k := range chain.Links {
			each(chain, last, Pin{k.Panel, led.In}, k.Feed)
			last = Pin{k.Panel, led.Out}
		}
		if chain.BothEnds && len(chain.Links) > 0 {
			each(chain, start, last, chain.Back)
		}
	}
}

// Cuts returns the wires of a circuit; at tells where connectors stand in the console, and whether that is known.
func Cuts(c led.Circuit, at func(Pin) (geom.Pt, bool)) []Cut {
	boards := map[string]led.Wiring{} // looked up only
	groups := []string{""}
	for _, w := range c.Boards {
		boards[w.Panel] = w
		for _, g := range w.Groups {
			if !slices.Contains(groups, g.Name) {
				groups = append(groups, g.Name)
			}
		}
	}
	end := func(p Pin) End {
		for _, k := range boards[p.Board].Connectors {
			if p.Board != "" && k.Role == p.Role {
				return End{At: At(p.Board, k), Package: k.Package}
			}
		}
		if p.Board != "" { // it came to nothing, and its connectors are not known
			return End{At: p.Board + " " + p.Role.String()}
		}
		return End{At: supplyEnd}
	}
	var all []Cut
	Feeds(c, func(chain led.Chain, from, to Pin, feed led.Feed) {
		one := Cut{From: end(from), To: end(to), Size: feed.Wire, Length: feed.Length}
		if a, ok := at(from); ok {
			if b, ok := at(to); ok {
				one.Way = Span(a, b)
			}
		}
		if from.Board == "" && chain.Guard.Fuse > 0 {
			one.Fuse = chain.Guard.Fuse.String()
		}
		for i, g := range boards[to.Board].Conductors() {
			one.Pin = i + 1
			n := max(0, slices.Index(groups, g.Name))
			one.Sign, one.Colour = g.Sign(), colours()[n%len(colours())]
			if turn := n / len(colours()); turn > 0 {
				one.Colour += fmt.Sprintf(", %d marks", turn)
			}
			all = append(all, one)
		}
		one.Pin, one.Fuse, one.Sign, one.Colour = one.Pin+1, "", "-", black
		all = append(all, one)
	})
	return all
}

// Table is the cut list of one console; where several are made, a column tells how many there are of each wire.
func Table(cuts []Cut, copies int) table.Table {
	columns := []table.Column{table.Text("wire"), table.Long("from"), table.Text("pin"), table.Long("to"), table.Number("length", "mm")}
	known := slices.ContainsFunc(cuts, func(c Cut) bool { return c.Way > 0 })
	if known {
		columns = append(columns, table.Number("way", "mm"), table.Number("slack", "mm"))
	}
	columns = append(columns, table.Text("size"), table.Text("colour"), table.Long("first end"), table.Long("second end"))
	if copies > 1 {
		columns = append(columns, table.Number("quantity", ""))
	}
	t := table.New("Wires to cut", columns...).
		Read("Each is cut to its length, stripped ends included. Ferrules, lengths of stripping and colours are common practice; the connector's own sheet goes before.")
	mm := func(v geom.Nm) string { return table.Fixed(v.MM(), 0) }
	for i, c := range cuts {
		row := []any{fmt.Sprintf("W%d", i+1), c.From.At, c.Sign, c.To.At, mm(c.Length)}
		switch {
		case known && c.Way > 0:
			row = append(row, mm(c.Way), mm(c.Length-c.Way))
		case known:
			row = append(row, "", "")
		}
		row = append(row, c.Size, c.Colour, c.From.Made(), c.To.Made())
		if copies > 1 {
			row = append(row, copies)
		}
		t.Add(row...)
	}
	return t
}

// Reel is all wire of one size and colour.
type Reel struct {
	Size, Colour string
	Length       geom.Nm
	Cuts         int
}

// Reels returns the wire that the cuts take, by size and colour.
func Reels(cuts []Cut) []Reel {
	var all []Reel
	for _, c := range cuts {
		i := slices.IndexFunc(all, func(r Reel) bool { return r.Size == c.Size && r.Colour == c.Colour })
		if i < 0 {
			i = len(all)
			all = append(all, Reel{Size: c.Size, Colour: c.Colour})
		}
		all[i].Length += c.Length
		all[i].Cuts++
	}
	slices.SortStableFunc(all, func(a, b Reel) int { return cmp.Or(cmp.Compare(a.Size, b.Size), cmp.Compare(a.Colour, b.Colour)) })
	return all
}

// Ends are equal things that ends of wires bear.
type Ends struct {
	Words, Size string
	Count       int
}

// Borne returns how many ends bear ferrules and crimp contacts, by the size of their wire.
func Borne(cuts []Cut) []Ends {
	var all []Ends
	for _, c := range cuts {
		for _, e := range []End{c.From, c.To} {
			words := e.Made().Words
			if words == Tinned {
				continue
			}
			i := slices.IndexFunc(all, func(o Ends) bool { return o.Words == words && o.Size == c.Size })
			if i < 0 {
				i = len(all)
				all = append(all, Ends{Words: words, Size: c.Size})
			}
			all[i].Count++
		}
	}
	slices.SortStableFunc(all, func(a, b Ends) int { return cmp.Or(cmp.Compare(b.Words, a.Words), cmp.Compare(a.Size, b.Size)) })
	return all
}
