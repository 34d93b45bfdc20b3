package parts

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/export/table"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Array is several boards on one panel for the board house.
type Array struct {
	Name     string
	Size     geom.Box
	Laminate board.Laminate
	Holds    []Held
	Quantity int // of the whole: Times
}

// Held is a board and how many of it an array holds.
type Held struct {
	Board string
	Count int
}

// Times returns how often an array has to be ordered, when each board is wanted so often and the arrays before it are ordered as
// often as they say: until none of its boards is short, since each further pack costs more than a few boards, and once at least.
func Times(wanted int, before []Array, holds []Held) int {
	times := 1
	for _, h := range holds {
		short := wanted - produced(before, h.Board)
		times = max(times, (short+h.Count-1)/h.Count)
	}
	return times
}

// produced returns how many of a board the arrays bring.
func produced(arrays []Array, name string) int {
	n := 0
	for _, a := range arrays {
		for _, h := range a.Holds {
			if h.Board == name {
				n += a.Quantity * h.Count
			}
		}
	}
	return n
}

// Counted returns the items with what the arrays bring beyond what is wanted as spares.
func Counted(arrays []Array, items ...Item) []Item {
	out := slices.Clone(items)
	for i := range out {
		out[i].Spare = max(0, produced(arrays, out[i].Board.Name)-out[i].quantity())
	}
	return out
}

// Pack is a board or an array to order.
type Pack struct {
	Name         string
	Size         geom.Box
	Quantity     int
	Laminate     board.Laminate
	Holds, Spare string // of an array: "2 dome"
}

// Order lists what to order, of which revision, as it is printed on the boards. Its file is the pack to upload.
func Order(revision string, pack func(name string) string, arrays []Array, items ...Item) table.Table {
	t := table.New("Boards to order", table.Text("board"), table.Number("width", "mm"), table.Number("height", "mm"), table.Number("layers", ""),
		table.Number("quantity", ""), table.Number("thickness", "mm"), table.Number("copper", "um"), table.Text("holds"), table.Text("spare"), table.Text("pack"), table.Text("revision"))
	for _, p := range Packs(arrays, items...) {
		t.Add(p.Name, table.Fixed(p.Size.W().MM(), 2), table.Fixed(p.Size.H().MM(), 2), 2, p.Quantity, part.Trimmed(p.Laminate.Thickness.MM(), 2),
			part.Trimmed(1000*p.Laminate.Copper.MM(), 1), p.Holds, p.Spare, pack(p.Name), revision)
	}
	return t
}

// Packs are what to order: each board that arrays do not bring, and the arrays.
func Packs(arrays []Array, items ...Item) []Pack {
	var all []Pack
	left := map[string]int{} // of each board, still wanted
	for _, i := range items {
		left[i.Board.Name] = i.quantity()
		if n := i.quantity() - produced(arrays, i.Board.Name); n > 0 {
			all = append(all, Pack{Name: i.Board.Name, Size: i.Board.Outline.Box(), Quantity: n, Laminate: i.Board.Laminate})
		}
	}
	for _, a := range arrays {
		var holds, spare []string
		for _, h := range a.Holds {
			holds = append(holds, fmt.Sprintf("%d %s", h.Count, h.Board))
			used := min(left[h.Board], a.Quantity*h.Count)
			left[h.Board] -= used
			if more := a.Quantity*h.Count - used; more > 0 {
				spare = append(spare, fmt.Sprintf("%d %s", more, h.Board))
			}
		}
		all = append(all, Pack{a.Name, a.Size, a.Quantity, a.Laminate, strings.Join(holds, ", "), strings.Join(spare, ", ")})
	}
	return all
}
