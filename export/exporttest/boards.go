// Package exporttest makes boards by hand for the tests of the writers: small ones that hold everything a file can hold,
// and large ones for benchmarks. They need no other stage; all are made up: boards of a home observatory's desk.
package exporttest

import (
	"fmt"
	"math"

	"lampblack/board"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Desk returns a board with one of everything: an edge with round corners and a round end, a square and a round cutout,
// areas in the holes of areas, pads of each shape on either side, vias, unplated holes of two sizes, silkscreen, paste,
// and names with the characters that the formats must escape.
func Desk() board.Board {
	mm := geom.PtMM
	quarter := math.Tan(math.Pi / 8)
	b := board.Board{
		Name:     "dome",
		Rules:    board.UsualRules(),
		Laminate: board.UsualLaminate(),
		Outline: geom.Contour{
			{Pt: mm(3, 1)}, {Pt: mm(60, 1), Bulge: 1}, {Pt: mm(60, 41)}, {Pt: mm(3, 41), Bulge: quarter},
			{Pt: mm(1, 39)}, {Pt: mm(1, 3), Bulge: quarter},
		},
		Cutouts: []geom.Contour{
			geom.Circle(mm(62, 21), geom.MM(12)).Reversed(),
			geom.Rect(geom.Box{Min: mm(40, 4), Max: mm(48, 9)}).Reversed(),
		},
		Nets: []led.Net{{}, {Name: "V+", Amps: 0.5}, {Name: "0V", Amps: 0.5}, {Name: "S1.1", Amps: 0.008},
			{Name: "S1.2", Amps: 0.008}, {Name: "S1.3", Amps: 0.008}},
		Holes: []board.Hole{{At: mm(6, 6), D: geom.MM(3.2)}, {At: mm(6, 36), D: geom.MM(3.2)},
			{At: mm(30, 37.5), D: geom.MM(1.5), What: board.StrainRelief}},
	}
	for i := range 3 {
		b.Parts = append(b.Parts, lamp(fmt.Sprintf("D%d", i+1), mm(15+12*float64(i), 22), 90*i, led.NetID(3+i),
			[]led.NetID{4, 5, led.Return}[i]))
	}
	b.Parts = append(b.Parts,
		chip("R1", mm(14, 12), led.Supply, 3),
		terminal("J1", mm(12, 32), led.In), terminal("J2", mm(44, 32), led.Out))
	b.Parts[3].Value = `1k2 * 5 %, "thin" \ Ω`
	b.Tracks = []board.Track{
		{Net: 3, On: geom.Bottom, Width: geom.MM(0.4), Path: geom.Polyline{mm(15.45, 12), mm(15.45, 18), mm(13.73, 22)}},
		{Net: 4, On: geom.Bottom, Width: geom.MM(0.4), Path: geom.Polyline{mm(16.27, 22), mm(25, 22), mm(27, 20.73)}},
		{Net: 1, On: geom.Bottom, Width: geom.MM(1.2), Path: geom.Polyline{mm(12, 32), mm(12, 28), mm(44, 28), mm(44, 32)}},
		{Net: 2, On: geom.Top, Width: geom.MM(1.2), Path: geom.Polyline{mm(15.5, 32), mm(15.5, 26), mm(47.5, 26), mm(47.5, 32)}},
		{Net: 5, On: geom.Top, Width: geom.MM(0.4), Path: geom.Polyline{mm(27, 23.27), mm(33, 23.27), mm(40.27, 22)}},
	}
	b.Vias = []board.Via{{Net: 1, At: mm(20, 28), Drill: geom.MM(0.4), D: geom.MM(0.9)},
		{Net: 2, At: mm(30, 26), Drill: geom.MM(0.4), D: geom.MM(0.9)}}
	square := func(x0, y0, x1, y1 float64) geom.Ring {
		return geom.Ring{mm(x0, y0), mm(x1, y0), mm(x1, y1), mm(x0, y1)}
	}
	hole := func(x0, y0, x1, y1 float64) geom.Ring { return square(x0, y0, x1, y1).Reversed() }
	b.Areas = []board.Area{
		// The inner one is listed first, to see that it is painted last.
		{Net: 1, On: geom.Bottom, Fill: geom.Polygon{Outer: square(53, 12, 54, 13)}},
		{Net: 1, On: geom.Bottom, Fill: geom.Polygon{Outer: square(50, 4, 58, 14), Holes: []geom.Ring{hole(52, 11, 55, 13.5)}}},
		{Net: 2, On: geom.Top, Fill: geom.Polygon{
			Outer: square(10, 3, 36, 10),
			Holes: []geom.Ring{hole(12, 5, 16, 8), hole(20, 5, 24, 8)},
		}},
	}
	b.Legend = []board.Stroke{
		{On: geom.Bottom, Width: geom.MM(0.15), Path: geom.Polyline{mm(20, 34), mm(20, 36), mm(21, 36)}},
		{On: geom.Top, Width: geom.MM(0.2), Path: geom.Polyline{mm(30, 34), mm(32, 34)}},
	}
	b.Ink = []board.Ink{
		// A frame with a mark in it, which is listed first too.
		{On: geom.Top, Fill: geom.Polygon{Outer: square(53, 19, 54, 20)}},
		{On: geom.Top, Fill: geom.Polygon{Outer: square(51, 17, 56, 22), Holes: []geom.Ring{hole(52, 18, 55, 21)}}},
		{On: geom.Bottom, Fill: geom.Polygon{Outer: geom.Ring{mm(51, 17), mm(56, 17), mm(53, 22)}}},
	}
	return b
}

// Grid returns a board of about n LEDs in rows, wired in pairs, with vias and an area full of holes: the size of a real
// one, for benchmarks. Its tracks may cross: it is not electrically sound.
func Grid(n int) board.Board {
	cols := int(math.Ceil(math.Sqrt(float64(n) * 1.5)))
	rows := (n + cols - 1) / cols
	const pitch = 8.0
	mm := geom.PtMM
	w, h := pitch*float64(cols+1), pitch*float64(rows+1)
	b := board.Board{
		Name: "wall", Rules: board.UsualRules(), Laminate: board.UsualLaminate(),
		Outline: geom.Rect(geom.Box{Min: mm(0, 0), Max: mm(w, h)}),
		Nets:    []led.Net{{}, {Name: "V+"}, {Name: "0V"}},
		Holes: []board.Hole{{At: mm(4, 4), D: geom.MM(3.2)}, {At: mm(w-4, 4), D: geom.MM(3.2)},
			{At: mm(4, h-4), D: geom.MM(3.2)}, {At: mm(w-4, h-4), D: geom.MM(3.2)}},
	}
	top := geom.Polygon{Outer: geom.Ring{mm(1, 1), mm(w-1, 1), mm(w-1, h-1), mm(1, h-1)}}
	bottom := geom.Polygon{Outer: top.Outer}
	for i := range n {
		x, y := pitch*float64(i%cols+1), pitch*float64(i/cols+1)
		net := led.NetID(len(b.Nets))
		b.Nets = append(b.Nets, led.Net{Name: fmt.Sprintf("S%d.%d", i/2+1, i%2+1)})
		next := led.Return
		if i%2 == 0 {
			next = net + 1
		}
		d := lamp(fmt.Sprintf("D%d", i+1), mm(x, y), 90*(i%4), net, next)
		b.Parts = append(b.Parts, d)
		for _, p := range d.Pads {
			clear := p.Contour(geom.MM(0.3)).Ring(geom.FlattenTolerance).Oriented(geom.CW)
			top.Holes = append(top.Holes, clear)
			bottom.Holes = append(bottom.Holes, clear)
		}
		if i%2 == 0 {
			r := chip(fmt.Sprintf("R%d", i/2+1), mm(x+4, y+2.5), led.Supply, net)
			b.Parts = append(b.Parts, r)
			b.Tracks = append(b.Tracks, board.Track{Net: net, On: geom.Bottom, Width: geom.MM(0.4),
				Path: geom.Polyline{r.Pads[1].At, mm(x+3, y+2), mm(x+2, y+1), d.Pads[0].At}})
			b.Vias = append(b.Vias, board.Via{Net: led.Supply, At: mm(x+4, y-2.5), Drill: geom.MM(0.4), D: geom.MM(0.9)})
		}
	}
	b.Areas = []board.Area{{Net: led.Return, On: geom.Top, Fill: top}, {Net: led.Supply, On: geom.Bottom, Fill: bottom}}
	return b
}

// lamp is a radial 3 mm LED: leads 2.54 mm apart, A round, K square.
func lamp(ref string, at geom.Pt, turn int, anode, cathode led.NetID) board.Part {
	lead := geom.Vec{X: geom.MM(1.27)}.Turned(turn)
	pad := board.Pad{W: geom.MM(1.7), H: geom.MM(1.7), Through: true, Drill: geom.MM(0.9), Mask: geom.MM(0.05)}
	a, k := pad, pad
	a.Pin, a.Function, a.Net, a.At = "1", "A", anode, at.Add(lead.Neg())
	k.Pin, k.Function, k.Net, k.At, k.Shape = "2", "K", cathode, at.Add(lead), board.Square
	r := geom.MM(1.9)
	return board.Part{
		Ref: ref, Kind: board.LED, Value: "red-3mm", Footprint: "radial-3mm", At: at, Turn: turn, On: geom.Top,
		Height: geom.MM(5), Pads: []board.Pad{a, k},
		Body:      geom.Circle(at, geom.MM(3)).Ring(geom.MM(0.05)),
		Courtyard: geom.Circle(at, geom.MM(5)).Ring(geom.MM(0.05)),
		Marks: []board.Stroke{{On: geom.Top, Width: geom.MM(0.15), Path: geom.Polyline{
			at.Add(geom.Vec{X: r, Y: -r}.Turned(turn)), at.Add(geom.Vec{X: r, Y: r}.Turned(turn)),
		}}},
	}
}

// chip is a resistor 1206 on the bottom, with oblong pads and paste.
func chip(ref string, at geom.Pt, from, to led.NetID) board.Part {
	pad := board.Pad{W: geom.MM(1.2), H: geom.MM(1.8), Shape: board.Oblong, On: geom.Bottom, Mask: geom.MM(0.05), Paste: true}
	p, q := pad, pad
	p.Pin, p.Net, p.At = "1", from, at.Add(geom.Vec{X: geom.MM(-1.45)})
	q.Pin, q.Net, q.At = "2", to, at.Add(geom.Vec{X: geom.MM(1.45)})
	box := geom.Box{Min: at, Max: at}
	return board.Part{
		Ref: ref, Kind: board.Resistor, Value: "750R", Footprint: "r-1206", At: at, On: geom.Bottom, Height: geom.MM(0.6),
		Pads: []board.Pad{p, q}, Body: geom.Rect(box.Grown(geom.MM(0.8))).Ring(1), Courtyard: geom.Rect(box.Grown(geom.MM(2.3))).Ring(1),
	}
}

// terminal is a wire terminal of 3.5 mm pitch on the bottom.
func terminal(ref string, at geom.Pt, role led.Role) board.Part {
	pad := board.Pad{W: geom.MM(2.2), H: geom.MM(2.2), Through: true, Drill: geom.MM(1.2), Mask: geom.MM(0.05), Solid: true}
	p, q := pad, pad
	p.Pin, p.Function, p.Net, p.At, p.Shape = "1", "+", led.Supply, at, board.Square
	q.Pin, q.Function, q.Net, q.At = "2", "-", led.Return, at.Add(geom.Vec{X: geom.MM(3.5)})
	box := geom.BoxOf(p.At, q.At)
	return board.Part{
		Ref: ref, Kind: board.Connector, Value: role.String(), Footprint: "terminal-3.5", At: box.Centre(), On: geom.Bottom,
		Height: geom.MM(9), Role: role, Pads: []board.Pad{p, q}, Body: geom.Rect(box.Grown(geom.MM(2))).Ring(1),
		Courtyard: geom.Rect(box.Grown(geom.MM(2.5))).Ring(1),
	}
}

// Wiring returns a wiring that fits Desk.
func Wiring() led.Wiring {
	red := part.LED{Name: "red-3mm", Colour: "red", Package: "radial-3mm", HoleMM: 3, VfMin: 1.7, VfMax: 2.6, IMax: 0.03,
		Curve: []part.VfPoint{{I: 0.02, V: 2}}, Source: "made up for tests"}
	return led.Wiring{
		Panel: "dome", Label: "12 V",
		Nets: Desk().Nets,
		LEDs: []led.LED{{Ref: "D1", Kind: red, Anode: 3, Cathode: 4}, {Ref: "D2", Kind: red, Anode: 4, Cathode: 5},
			{Ref: "D3", Kind: red, Anode: 5, Cathode: led.Return}},
		Resistors: []led.Resistor{{Ref: "R1", Ohms: 750, Tol: 0.05, Rated: 0.25, Package: "1206", From: led.Supply, To: 3}},
		Connectors: []led.Connector{
			{Ref: "J1", Role: led.In, Package: "terminal-3.5", Pins: []led.NetID{led.Supply, led.Return}},
			{Ref: "J2", Role: led.Out, Package: "terminal-3.5", Pins: []led.NetID{led.Supply, led.Return}},
		},
		Strings: []led.String{{LEDs: []int{0, 1, 2}, Nominal: 0.008, Min: 0.006, Max: 0.01, Worst: 0.06}},
		Through: 0.508,
	}
}
