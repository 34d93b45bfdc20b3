package main

import "lampblack/panel/dxf"

// The holes of the parts on the desk, mm: an M3 screw's (ISO 273, fine), a 3 mm LED's, and those of common switches and knobs.
const (
	screwHole  = 3.2
	ledHole    = 3.0
	toggleM12  = 12.2
	toggleM6   = 6.2
	pushButton = 16.2
	knob       = 7.2
)

// fans is drawn in the oldest format, all of it on layer 0: the edge as loose lines and arcs in no order, a switch for each
// fan with its words as texts.
func fans() *hand {
	h := &hand{name: "fans", manner: manner{release: dxf.R12, loose: true, at: dxf.XY{X: 310, Y: 120}}}
	h.edge(190, 110, 6)
	h.corners(8)
	h.word(95, 95, 6, "FANS")
	for i, s := range []string{"NORTH", "RIDGE", "SOUTH"} {
		x := 40 + 55*float64(i)
		h.hole(cut, "TOGGLE", x, 46, toggleM12)
		h.word(x, 70, 4, s)
		h.word(x, 24, 4, "OFF")
	}
	return h
}

// vents is drawn in inches, with blocks for all that comes more than once. Its two sliders have scales of open lines beside
// them, lit at each quarter.
func vents() *hand {
	h := &hand{name: "vents", manner: manner{inches: true, blocks: true}}
	h.edge(160, 130, 0)
	h.corners(7)
	h.word(80, 120, 6, "VENTS")
	for i, s := range []string{"ROOF", "SIDE"} {
		x := 42 + 64*float64(i)
		h.slot("SLIDER", x, 60, 4, 62)
		h.word(x, 108, 4, s) // beyond the slider's body, which is 88 long
		for k := range 9 {
			y := 32 + 7*float64(k)
			long := 3.0
			if k%2 == 0 {
				long = 6
				h.hole(lamp, "LAMP", x+16, y, ledHole)
			}
			h.stroke(x+13, y, x+13+long, y)
		}
	}
	return h
}

// heating is drawn on layers that are named in another language, its words as the outlines of their letters. A row of
// lit ticks shows how much heat is asked for, and each knob has a lit dial.
func heating() *hand {
	h := &hand{name: "heating", manner: manner{release: dxf.R2004, outlines: true,
		layers: map[kind]string{edge: "Kontur", cut: "Ausschnitte", screw: "Bohrungen", lamp: "Bohrungen", print: "Gravur", part: "Bauteile"}}}
	h.edge(210, 120, 4)
	h.corners(8)
	h.word(50, 103, 6, "HEATING")
	h.box(cut, 140, 88, 72, 25)
	h.box(part, 140, 88, 80, 36)
	for i := range 8 {
		x := 24 + 9*float64(i)
		h.hole(lamp, "LAMP", x, 78, ledHole)
		h.stroke(x, 75, x, 81)
	}
	for i, s := range []string{"DAY", "NIGHT", "SOIL", "FROST"} {
		x := 32 + 48.5*float64(i)
		h.hole(cut, "KNOB", x, 36, knob)
		h.word(x, 14, 4, s)
		for k := range 5 {
			h.tick(x, 36, 13, 17, 45*float64(k))
		}
	}
	return h
}

// lamps is a bare file without tables or handles, its round holes as splines and its edge as one. It has no LEDs: two sets of them,
// for the day and the night, are placed.
func lamps() *hand {
	h := &hand{name: "lamps", manner: manner{curves: true, bare: true, layers: map[kind]string{print: "Layer_2"}}}
	h.edge(170, 100, 8)
	h.corners(8)
	h.word(85, 86, 6, "LAMPS")
	for i, s := range []string{"SEEDS", "BED 1", "BED 2", "BENCH"} {
		x := 31 + 36*float64(i)
		h.hole(cut, "BUTTON", x, 30, pushButton)
		h.word(x, 56, 4, s)
	}
	return h
}

// irrigation is drawn on layer 0 in colours: red is cut, blue engraved, and grey the parts behind. It has a window for a timer
// with screws of its own, and a row of small switches with lit numbers.
func irrigation() *hand {
	h := &hand{name: "irrigation", manner: manner{release: dxf.R2007, at: dxf.XY{X: -40, Y: -25},
		colours: map[kind]uint32{edge: 1, cut: 1, screw: 1, lamp: 1, print: 5, part: 8}}}
	h.edge(240, 120, 5)
	h.corners(7)
	h.word(60, 98, 6, "IRRIGATION")
	h.word(60, 80, 4, "VALVE OPEN")
	h.box(cut, 170, 88, 60, 34)
	for _, x := range []float64{-36, 36} {
		for _, y := range []float64{-14, 14} {
			h.hole(screw, "SCREW", 170+x, 88+y, 2.7)
		}
	}
	for i := range 8 {
		x := 29 + 26*float64(i)
		h.hole(cut, "TOGGLE", x, 26, toggleM6)
		h.box(part, x, 26, 8, 13)
		h.word(x, 46, 4, string(rune('1'+i)))
	}
	return h
}
