// Package copper computes what resistance the finished copper of a board puts between its connectors.
//
// In goes a routed and filled board, out come ohms at 20 °C: of the supply and of 0 V, each from the pad of the IN connector
// to that of the OUT connector, through tracks, areas, pads and vias as they are, by a sheet-resistance solve (grid.go,
// solve.go), and beside it the simple estimate along the tracks alone (simple.go). Lengths are geom.Nm in the panel frame.
//
// Method: the current in a sheet of constant thickness obeys div(grad V)/Rs = 0 with no flow through the copper's edge. Both
// layers are cut into square cells; what passes from cell to cell is proportional to how much of their common side is copper
// (see grid.go), vias and plated holes join the layers, and the pins' holes are held at 1 V and 0 V. The heat of the solution
// gives the resistance.
//
// BUG(lampblack): copper of one net that faces itself over a gap narrower than a cell, as in the thermal gaps of large
// boards, counts as joined there. Solder and pins in the holes are left out but for those of the two connectors.
package copper

import (
	"context"
	"math"

	"lampblack/board"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Options say how the holes are plated and how finely the copper is cut.
type Options struct {
	Plating geom.Nm // of the holes' walls
	Cell    geom.Nm // side of a cell; 0: at least 0.25 mm, and so that a layer has at most about Cells of them
	Cells   int
}

// Usual returns 25 µm in the holes (IPC-6012 class 2 asks for 20 µm on average: from memory; references.md section 3
// computes with 25) and at most 12 000 cells a layer.
func Usual() Options {
	return Options{Plating: 25 * geom.Micrometre, Cells: 12000}
}

// Figures are the resistances from IN to OUT, each of one conductor.
type Figures struct {
	Plus, Minus part.Ohm // from the copper as it is
	// Along the shortest way of tracks, as one would estimate it by hand; 0 where tracks alone do not join the two.
	SimplePlus, SimpleMinus part.Ohm
}

// Through computes the board between its IN and its OUT connector, of several supply conductors the worst one; ok is false
// when it does not have both connectors, or copper does not join them. When ctx is done it returns at once, and what it
// returns means nothing.
func Through(ctx context.Context, b board.Board, supply []led.Group, opt Options) (f Figures, ok bool) {
	work.Until(ctx, func(w *work.Watch) { f, ok = through(w, b, supply, opt) })
	return f, ok
}

func through(w *work.Watch, b board.Board, supply []led.Group, opt Options) (f Figures, ok bool) {
	for _, g := range supply {
		ohms, ruler, ok := conductor(w, b, g.Net, opt)
		if !ok {
			return Figures{}, false
		}
		f.Plus, f.SimplePlus = max(f.Plus, ohms), max(f.SimplePlus, ruler)
	}
	if f.Minus, f.SimpleMinus, ok = conductor(w, b, led.Return, opt); !ok {
		return Figures{}, false
	}
	return f, len(supply) > 0
}

func conductor(w *work.Watch, b board.Board, net led.NetID, opt Options) (ohms, ruler part.Ohm, ok bool) {
	ends, ok := terminals(b, net)
	if !ok {
		return 0, 0, false
	}
	w.Look()
	ruler, _ = simple(b, net, ends, opt)
	w.Look()
	ohms, ok = between(w, b, net, ends[0], ends[1], opt)
	return ohms, ruler, ok
}

// terminals returns the net's pads of the IN and the OUT connector.
func terminals(b board.Board, net led.NetID) (ends [2]board.Pad, ok bool) {
	var found [2]bool
	for _, p := range b.Parts {
		if p.Kind != board.Connector || p.Role > led.Out {
			continue
		}
		for _, q := range p.Pads {
			if q.Net == net && !found[p.Role] {
				ends[p.Role], found[p.Role] = q, true
			}
		}
	}
	return ends, found[0] && found[1]
}

func between(w *work.Watch, b board.Board, net led.NetID, from, to board.Pad, opt Options) (part.Ohm, bool) {
	s := sheetsOf(b, net)
	box := s.box()
	if box == geom.EmptyBox() {
		return 0, false
	}
	cell := opt.Cell
	if cell <= 0 {
		cell = geom.Millimetre / 4
		for opt.Cells > 0 && float64(box.W())*float64(box.H()) > float64(cell)*float64(cell)*float64(opt.Cells) {
			cell += geom.Millimetre / 20
		}
	}
	w.Look()
	g := newGrid(s, box, cell)
	w.Look()
	square := float64(part.SheetOhms(b.Laminate.Copper))
	var joins []join
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.Net == net && p.Through {
			joins = append(joins, join{p.At, p.Drill / 2, barrel(p.Drill, b.Laminate.Thickness, opt) / square})
		}
		return true
	})
	for _, v := range b.Vias {
		if v.Net == net {
			joins = append(joins, join{v.At, v.Drill / 2, barrel(v.Drill, b.Laminate.Thickness, opt) / square})
		}
	}
	squares, ok := g.solve(w, joins, [2]electrode{electrodeOf(from), electrodeOf(to)})
	return part.Ohm(squares * square), ok
}

// barrel returns the resistance of a plated hole from layer to layer of a board so thick: a tube of inner diameter d and the plating's
// thickness t has the cross-section π t (d + t) (references.md section 3).
func barrel(d, thick geom.Nm, opt Options) float64 {
	t := opt.Plating.MM()
	area := math.Pi * t * (d.MM() + t)
	// SheetOhms of 1 mm is the resistivity in Ω mm²/mm.
	return float64(part.SheetOhms(geom.Millimetre)) * thick.MM() / area
}

// electrode is where the copper is held at a voltage.
type electrode struct {
	ring geom.Ring
	box  geom.Box
	on   [2]bool // by side
}

func electrodeOf(p board.Pad) electrode {
	var e electrode
	if p.Through {
		e.ring, e.on = geom.Circle(p.At, p.Drill).Ring(geom.Micrometre*2), [2]bool{true, true}
	} else {
		e.ring = p.Contour(0).Ring(geom.Micrometre * 2)
		e.on[p.On] = true
	}
	e.box = e.ring.Box()
	return e
}

func (e electrode) holds(p geom.Pt) bool {
	return e.box.Contains(p) && e.ring.Locate(p) != geom.Outside
}
