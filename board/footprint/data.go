package footprint

import (
	"math"
	"strconv"

	"lampblack/board"
	g "lampblack/panel/geom"
)

// entry is one line of the catalogue.
type entry struct {
	name  string
	make  func() Footprint
	poles func(n int) Footprint // of a connector, with any number of poles; make is that of two
}

// catalogue returns what there is. Numbers are millimetres; each entry names its source.
func catalogue() []entry {
	list := []entry{
		// Body 3.0 nominal, flange 3.8, pitch 2.54, lead 0.5 square (diagonal 0.71), tallest of three types 6.1:
		// generic data sheets of 3 mm lamps. Drill 0.9 leaves play over the diagonal; pad 1.8 is a ring of 0.45 for
		// soldering by hand. The place of the flat is common practice, from memory.
		{name: "radial-3mm", make: func() Footprint {
			return radial(3.8, 1.55, 6.1, 3.0,
				"generic 3 mm (T-1) lamp data sheets: pitch 2.54, flange 3.8, lead 0.5 square, height up to 6.1")
		}},
		{name: "radial-5mm", make: func() Footprint {
			return radial(5.8, 2.5, 8.6, 5.0,
				"5 mm (T-1 3/4) lamps: pitch 2.54, flange 5.8, flat 2.5 off centre, height 8.6: common practice, from memory")
		}},
		{name: "plcc2", make: func() Footprint {
			return chipLED(3.5, 2.8, 1.9, 1.5, 2.6, 1.5,
				"PLCC-2 body 3.5 x 2.8 x 1.9; lands 1.5 x 2.6, 1.5 apart: common practice, from memory")
		}},
		{name: "led-0805", make: func() Footprint {
			return chipLED(2.0, 1.25, 0.8, 1.05, 1.45, 0.85, "body 2.0 x 1.25 x 0.8, lands as of a chip resistor 0805")
		}},
		{name: "r-0805", make: func() Footprint {
			return chip(2.0, 1.25, 0.6, 1.05, 1.45, 0.85, "chip resistor 0805; lands by the IPC-7351 rules, level B")
		}},
		{name: "r-1206", make: func() Footprint {
			return chip(3.2, 1.6, 0.7, 1.15, 1.80, 1.85, "chip resistor 1206; lands by the IPC-7351 rules, level B")
		}},
		{name: "r-2010", make: func() Footprint {
			return chip(5.0, 2.5, 0.7, 1.25, 2.70, 3.50, "chip resistor 2010; lands by the IPC-7351 rules, level B")
		}},
		{name: "r-2512", make: func() Footprint {
			return chip(6.3, 3.2, 0.7, 1.25, 3.40, 4.80, "chip resistor 2512; lands by the IPC-7351 rules, level B")
		}},
		// IEC body sizes 0204, 0207 and 0411.
		{name: "axial-7.62", make: func() Footprint {
			return axial(7.62, 3.6, 1.7, 0.8, 1.6, "body 0204 (3.6 x 1.7), lead 0.5: common practice, from memory")
		}},
		{name: "axial-10.16", make: func() Footprint {
			return axial(10.16, 6.3, 2.4, 0.9, 1.8, "body 0207 (6.3 x 2.4), lead 0.6: common practice, from memory")
		}},
		{name: "axial-15.24", make: func() Footprint {
			return axial(15.24, 11.0, 4.5, 1.1, 2.2, "body 0411 (11.0 x 4.5), lead 0.8: common practice, from memory")
		}},
		{name: "header-2.54", poles: header},
		{name: "terminal-3.5", poles: func(n int) Footprint {
			return terminal(n, 3.5, 3.6, 3.4, 8.8, 1.2, 2.2, 3.0,
				"screw terminal, pitch 3.5, body of two poles 7.0 x 7.0 x 8.8, pin 0.8 x 0.9 x 3.6: common practice, from memory")
		}},
		{name: "terminal-5.08", poles: func(n int) Footprint {
			return terminal(n, 5.08, 4.1, 4.1, 10.0, 1.3, 2.6, 3.4,
				"screw terminal, pitch 5.08, body of two poles 10.16 x 8.2 x 10.0, pin 1.0 x 0.8 x 3.6: common practice, from memory")
		}},
		{name: "wire-pads", poles: wirePads},
	}
	for i, e := range list {
		if e.poles != nil {
			list[i].make = func() Footprint { return e.poles(2) }
		}
	}
	return list
}

// mostPoles is how many poles a connector can have: nine supply conductors and 0 V are more than any desk has groups.
const mostPoles = 10

// row returns the pads of a connector of n poles, pin 1 on the left: supply conductors, then 0 V. Pin 1 is oblong, long
// across the row, the others are round: a square pad is a cathode and nothing else.
func row(n int, pitch, pad, long, drill float64) []board.Pad {
	out := make([]board.Pad, n)
	for i := range out {
		function := "+"
		if i == n-1 {
			function = "-"
		}
		out[i] = through(strconv.Itoa(i+1), function, board.Round, pitch*(float64(i)-float64(n-1)/2), pad, drill)
	}
	out[0].Shape, out[0].H = board.Oblong, g.MM(long)
	return out
}

// excess is the room between what a part fills and its courtyard: IPC-7351 level B (nominal), from memory.
const excess = 0.25

// gap keeps a footprint's own silkscreen clear of its soldermask openings: 0.05 opening, 0.15 clearance, half a line, and
// 0.005 over, lest the cut that board/legend makes, which allows for flattened curves, take the line.
const gap = 0.05 + 0.15 + 0.075 + 0.005

// radial is an LED with two leads: cathode left, pin 1 and square, anode right and round, the flat of its flange on the
// cathode's side. Its courtyard is an octagon about flange and pads, so that lamps may stand close diagonally too.
//
// Source: IPC-7351A (2007), zero component orientation, level A: parts of two pins lie with pin 1 on the left, and a diode's
// pin 1 is its cathode. The component layers of the Gerber format ask for that orientation (attribute .CRot).
func radial(flange, flat, height, lens float64, source string) Footprint {
	const pitch, drill, pad = 2.54, 0.9, 1.8
	// Less than the usual excess, since lamps are put in by hand and soldered on the other side: 0.4 from flange to flange.
	const around, beside = 0.20, 0.10
	r := flange / 2
	body := dShape(r, flat)
	// The flat may lie on the pad, where no ink may be: a bar beyond the cathode says it again.
	const bar = 0.8 // half its length
	x := max(r, pitch/2+pad/2+gap) + 0.05
	return Footprint{
		Height: g.MM(height), Source: source, Body: body,
		Pads: []board.Pad{
			through("1", "K", board.Square, -pitch/2, pad, drill),
			through("2", "A", board.Round, pitch/2, pad, drill),
		},
		Courtyard: octagon(max(r+around, pitch/2+pad/2+beside), r+around, max((r+around)*math.Sqrt2, pitch/2+pad+beside*math.Sqrt2)),
		Marks:     []g.Polyline{closed(body), line(-x, -bar, -x, bar)},
		Side:      Side{Lens: g.MM(lens), Flange: g.MM(1)},
	}
}

// chip is a two-terminal chip part: lands w by h with gap s between them.
func chip(l, wide, height, w, h, s float64, source string) Footprint {
	x := s/2 + w/2
	land := func(pin string, x float64) board.Pad {
		return board.Pad{Pin: pin, At: g.PtMM(x, 0), Shape: board.Square, W: g.MM(w), H: g.MM(h), Paste: true}
	}
	reachX, reachY := max(l/2, s/2+w), max(wide/2, h/2)
	f := Footprint{
		Height: g.MM(height), Source: source,
		Pads:      []board.Pad{land("1", -x), land("2", x)},
		Body:      box(-l/2, -wide/2, l/2, wide/2),
		Courtyard: box(-reachX-excess, -reachY-excess, reachX+excess, reachY+excess),
	}
	// Two lines beside the body, as long as the gap between the lands allows.
	y, half := wide/2+0.075, s/2-gap
	f.Marks = []g.Polyline{line(-half, y, half, y), line(-half, -y, half, -y)}
	return f
}

// chipLED is a chip LED; a bracket round the cathode's land, pin 1, tells the sides apart.
func chipLED(l, wide, height, w, h, s float64, source string) Footprint {
	f := chip(l, wide, height, w, h, s, source)
	f.Pads[0].Function, f.Pads[1].Function = "K", "A"
	x, y := s/2+w+gap, max(wide, h)/2+gap
	f.Marks = append(f.Marks, g.Polyline{g.PtMM(0, y), g.PtMM(-x, y), g.PtMM(-x, -y), g.PtMM(0, -y)})
	return f
}

// axial is a resistor with wire ends lying on the board.
func axial(pitch, l, dia, drill, pad float64, source string) Footprint {
	reach, r := pitch/2+pad/2, max(dia, pad)/2
	body := box(-l/2, -dia/2, l/2, dia/2)
	x := pitch/2 - pad/2 - gap
	marks := []g.Polyline{closed(body)}
	if x > l/2 {
		marks = append(marks, line(-x, 0, -l/2, 0), line(l/2, 0, x, 0))
	}
	return Footprint{
		Height: g.MM(dia + 0.3), Source: source, Body: body, Marks: marks,
		Pads: []board.Pad{
			through("1", "", board.Round, -pitch/2, pad, drill),
			through("2", "", board.Round, pitch/2, pad, drill),
		},
		Courtyard: box(-reach-excess, -r-excess, reach+excess, r+excess),
	}
}

// header is square posts of 0.64 mm (diagonal 0.91) on 2.54 mm. The plug goes on from behind.
func header(n int) Footprint {
	x := 1.27 * float64(n)
	body := box(-x, -1.27, x, 1.27)
	return Footprint{
		Height: g.MM(14.0), Body: body,
		Source:    "posts 0.64 square, pitch 2.54, insulator 2.54 high, tails 3.2, with a plug 14 mm: common practice, from memory",
		Pads:      row(n, 2.54, 1.8, 2.4, 1.1),
		Courtyard: box(-x-excess, -1.27-excess, x+excess, 1.27+excess),
		Marks:     []g.Polyline{closed(body)},
		Side:      Side{Pins: g.MM(3.2), Plug: g.MM(2.54)},
	}
}

// terminal is a terminal block of n poles; front and back are the distances of its faces from the pin row, wires enter
// at the front. The courtyard ends at the front face, because that may stand at the board's edge.
func terminal(n int, pitch, front, back, height, drill, pad, long float64, source string) Footprint {
	x := pitch * float64(n) / 2
	body := box(-x, -front, x, back)
	return Footprint{
		Height: g.MM(height), Source: source, Body: body, Entry: g.Vec{Y: -1},
		Pads:      row(n, pitch, pad, long, drill),
		Courtyard: box(-x-excess, -front, x+excess, back+excess),
		Marks:     []g.Polyline{closed(body), line(-x, -front+0.6, x, -front+0.6)},
		Side:      Side{Pins: g.MM(3.6), Wire: g.MM(0.35 * height)},
	}
}

// wirePads is pads for bare wire ends, each with a hole beside it through which the wire is threaded first, so
// that a pull does not reach the joint. The holes take the insulation of 0.5 mm² wire (2.1 mm over all).
func wirePads(n int) Footprint {
	const pitch, pad, long, drill, relief, dist = 3.0, 2.2, 2.6, 1.2, 2.3, 2.9
	// The courtyard may stand 0.2 mm from the board's edge, and a hole wants 0.8 mm to it, with a little over.
	const reliefEdge = 0.65
	half := pitch * float64(n-1) / 2
	f := Footprint{
		Height: g.MM(4.0), Entry: g.Vec{Y: -1}, Side: Side{Wire: g.MM(2), Loop: g.MM(2.5)},
		Source:    "our own: wire of 0.5 mm² (strand 0.9, insulation 2.1 mm: common practice, from memory)",
		Pads:      row(n, pitch, pad, long, drill),
		Body:      box(-half-pad/2, -dist-relief/2, half+pad/2, long/2),
		Courtyard: box(-half-pad/2-excess, -dist-relief/2-reliefEdge, half+pad/2+excess, long/2+excess),
	}
	for i := range n {
		f.Holes = append(f.Holes, board.Hole{At: g.PtMM(pitch*float64(i)-half, -dist), D: g.MM(relief), What: board.StrainRelief})
	}
	x, y := half+pad/2+gap, -dist-relief/2-gap
	f.Marks = []g.Polyline{{g.PtMM(-x, y), g.PtMM(-x, long/2+gap), g.PtMM(x, long/2+gap), g.PtMM(x, y)}}
	return f
}

func through(pin, function string, s board.PadShape, x, d, drill float64) board.Pad {
	return board.Pad{
		Pin: pin, Function: function, At: g.PtMM(x, 0), Shape: s, W: g.MM(d), H: g.MM(d), Through: true, Drill: g.MM(drill),
	}
}

// dShape is the circle of radius r cut flat at x = -flat, counter-clockwise.
func dShape(r, flat float64) g.Ring {
	half := math.Acos(flat / r) // of the angle that the flat takes away
	y := math.Sqrt(float64(r*r) - float64(flat*flat))
	return g.Contour{
		{Pt: g.PtMM(-flat, -y), Bulge: math.Tan((math.Pi - half) / 2)},
		{Pt: g.PtMM(-flat, y)},
	}.Ring(g.FlattenTolerance)
}

func box(x0, y0, x1, y1 float64) g.Ring {
	return g.Ring{g.PtMM(x0, y0), g.PtMM(x1, y0), g.PtMM(x1, y1), g.PtMM(x0, y1)}
}

// octagon is the rectangle of half sides x and y about the origin with its corners cut where |x| + |y| is c.
func octagon(x, y, c float64) g.Ring {
	d := x + y - c // of each leg of a cut corner
	return g.Ring{
		g.PtMM(-x+d, -y), g.PtMM(x-d, -y), g.PtMM(x, -y+d), g.PtMM(x, y-d),
		g.PtMM(x-d, y), g.PtMM(-x+d, y), g.PtMM(-x, y-d), g.PtMM(-x, -y+d),
	}
}

func line(x0, y0, x1, y1 float64) g.Polyline { return g.Polyline{g.PtMM(x0, y0), g.PtMM(x1, y1)} }

func closed(r g.Ring) g.Polyline { return append(append(g.Polyline{}, r...), r[0]) }
