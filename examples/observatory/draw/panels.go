package main

import "lampblack/panel/dxf"

// dome is the shutter and the dome's rotation: rounded corners, and a notch for the cables at the bottom.
func dome() *plan {
	p := &plan{name: "dome", release: dxf.R2000, at: pt{420, 310}}
	p.edge(rounded([]pt{{0, 0}, {85, 0}, {85, 12}, {115, 12}, {115, 0}, {200, 0}, {200, 120}, {0, 120}},
		8, 2, 3, 3, 2, 8, 8, 8))
	for _, m := range []pt{{9, 9}, {191, 9}, {9, 111}, {191, 111}, {76, 58}, {148, 58}} {
		p.screw(m.X, m.Y)
	}
	p.word(100, 106, 6, "DOME", 3)

	p.place("TOGGLE-M12", 42, 58, 0)
	p.word(42, 91, 4, "SHUTTER", 0)
	p.word(42, 78.5, 4, "OPEN", 0)
	p.word(42, 37.5, 4, "CLOSED", 0)

	// A sprung rotary turns the dome: an arrow each way.
	c := pt{112, 58}
	p.place("ROTARY-M10", c.X, c.Y, 0)
	p.word(112, 91, 4, "AZIMUTH", 0)
	p.dial(c, 18.5, 3, 210, -30, 9)
	p.word(92, 36, 4, "LEFT", 0)
	p.word(134, 36, 4, "RIGHT", 0)

	p.place("BUTTON-M12", 172, 84, 0)
	p.word(172, 69.5, 4, "HOME", 0)
	p.place("BUTTON-M12", 172, 45, 0)
	p.word(172, 30.5, 4, "PARK", 0)

	p.word(42, 15, 3.5, "MOVING", 0)
	p.lines(146, 15, 3.5, "ROTATION", "AT LIMIT")
	p.sign(pt{163, 98})
	return p
}

// mount points the telescope; a large display fills the middle. Its outline is drawn as loose lines and arcs.
func mount() *plan {
	p := &plan{name: "mount", release: dxf.R2004, at: pt{0, 0}, ledBlock: true}
	p.looseEdge(rounded([]pt{{0, 0}, {240, 0}, {240, 160}, {0, 160}}, 5))
	for _, m := range []pt{{9, 9}, {231, 9}, {9, 151}, {231, 151}, {52, 116}, {188, 116}, {142, 32}} {
		p.screw(m.X, m.Y)
	}
	p.hole(box(120, 90, 100, 44), box(120, 90, 116, 60))
	p.word(120, 147, 6, "MOUNT", 0)
	p.word(86, 130, 4, "RIGHT ASCENSION", 0)
	p.word(160, 130, 4, "DECLINATION", 0)

	p.place("TOGGLE-M12", 30, 90, 0)
	p.word(30, 110.5, 4, "GUIDE", 0)
	p.word(30, 69.5, 4, "OFF", 2)
	p.place("TOGGLE-M12", 210, 90, 0)
	p.word(210, 110.5, 4, "TRACK", 0)
	p.word(210, 69.5, 4, "PARK", 0)

	p.place("ROTARY-M10", 62, 28, 0)
	p.word(62, 48, 4, "LUNAR", 0)
	p.word(24, 28, 4, "SIDEREAL", 0)
	p.word(94, 28, 4, "SOLAR", 2)
	p.word(62, 8.5, 4, "TRACKING", 0)

	p.place("TOGGLE-M6", 124, 26, 0)
	p.word(124, 39, 4, "FAST", 0)
	p.word(124, 13, 4, "SLOW", 0)

	// The joystick that slews.
	p.hole(disc(188, 29, 24), box(188, 29, 30, 30))
	for _, l := range []struct {
		x, y float64
		s    string
	}{{188, 51, "N"}, {188, 7.5, "S"}, {165.5, 29, "W"}, {210.5, 29, "E"}} {
		p.word(l.x, l.y, 5, l.s, 1)
	}
	return p
}

// flatLamp switches and dims the flat field lamp: an L round a neighbour's panel, drawn in the oldest format.
func flatLamp() *plan {
	p := &plan{name: "flat-lamp", release: dxf.R12, at: pt{-60, 25}}
	p.edge(rounded([]pt{{0, 0}, {150, 0}, {150, 56}, {76, 56}, {76, 112}, {0, 112}}, 4, 4, 4, 8, 4, 4))
	for _, m := range []pt{{8, 8}, {142, 8}, {142, 48}, {68, 104}, {8, 104}, {74, 44}} {
		p.screw(m.X, m.Y)
	}
	p.word(38, 97, 5, "FLAT LAMP", 4)
	p.place("TOGGLE-M12", 38, 65, 0)
	p.word(38, 85.5, 4, "ON", 0)
	p.word(38, 44.5, 4, "OFF", 2)

	p.place("TOGGLE-M6", 62, 21, 0)
	p.word(62, 34, 4, "OPEN", 0)
	p.word(62, 8.5, 4, "CLOSED", 0)
	p.word(36, 21, 4, "COVER", 0)
	p.indicator(pt{17, 21}, 5) // beside the word: the cover moves

	// A ring that glows round the knob, and its scale, over LEDs that stand between the two.
	knob := pt{110, 24}
	p.place("POT-M7", knob.X, knob.Y, 0)
	p.ring(knob, 22, 25)
	p.ticks(knob, 16, 3, 210, -30, 7)
	p.ledsRound(knob, 13.6, 210, 9)
	p.word(108, 48, 4, "BRIGHTNESS", 0)
	return p
}

// weather shows a round gauge: most of a circle, cut straight at the bottom.
func weather() *plan {
	p := &plan{name: "weather", release: dxf.R2007, at: pt{1000, 1000}}
	// Chord 90, radius 75: the arc of 286.26° has bulge tan(71.565°) = 3.
	p.edge([]vertex{{pt{30, 0}, 0}, {pt{120, 0}, 3}})
	c := pt{75, 60}
	for _, a := range []float64{68, 112, 22, 158} {
		m := polar(c, 66, a)
		p.screw(round3(m.X), round3(m.Y))
	}
	p.screw(38, 9)
	p.screw(112, 9)
	p.hole(disc(c.X, c.Y, 52), disc(c.X, c.Y, 60))
	round := func(r, a, h float64, s string, n int) {
		q := polar(c, r, a)
		p.turnedWord(round3(q.X), round3(q.Y), h, s, a-90, n)
	}
	p.word(c.X, c.Y+60, 5, "WEATHER", 4)
	round(46, 90, 4, "WIND", 2)
	round(46, 135, 4, "RAIN", 2)
	round(46, 45, 4, "CLOUD", 2)
	round(46, 180, 4, "HUMIDITY", 4)
	round(46, 0, 4, "SKY TEMP", 4)
	round(61, 135, 3.5, "DRY", 2)
	round(61, 45, 3.5, "CLEAR", 2)
	p.word(26, 34, 4, "SAFE", 2)
	p.word(124, 34, 4, "UNSAFE", 3)
	p.place("TOGGLE-M6", 75, 14, 90)
	p.word(54, 14, 4, "ALARM", 2)
	p.word(96, 14, 4, "MUTE", 2)
	return p
}

// camera is dense: what the camera and its sequence are doing, word by word.
func camera() *plan {
	p := &plan{name: "camera", release: dxf.R2000, at: pt{15, 15}}
	p.edge(rounded([]pt{{0, 0}, {220, 0}, {220, 132}, {0, 132}}, 3))
	for _, m := range []pt{{8, 8}, {212, 8}, {8, 124}, {212, 124}, {110, 46}, {110, 86}} {
		p.screw(m.X, m.Y)
	}
	p.word(110, 120, 6, "CAMERA", 4)
	words := [6][4]string{
		{"COOLER", "LIGHT", "EXPOSE", "GUIDE"},
		{"DEW HEATER", "DARK", "READ OUT", "DITHER"},
		{"PUMP", "BIAS", "SAVE", "SETTLE"},
		{"WARM UP", "FLAT", "FILTER", "CENTRE"},
		{"ROTATOR", "H-ALPHA", "FOCUS RUN", "WAIT"},
		{"SHUTTER", "GREEN", "MERIDIAN", "DONE"},
	}
	for row, r := range words {
		for col, s := range r {
			x := [...]float64{32, 82, 138, 188}[col]
			p.word(x, 106-float64(row)*11, 3.5, s, max(2, ledsFor(width(s, 3.5))))
		}
	}
	for i, s := range []string{"COOLING", "HEATERS", "GUIDER", "SEQUENCE"} {
		x := []float64{32, 82, 138, 188}[i]
		p.place("TOGGLE-M6", x, 24, 0)
		p.word(x, 37, 3.5, s, 0)
		p.word(x, 11, 3.5, "ON", 1)
	}
	return p
}

// focus is the small one, drawn in inches.
func focus() *plan {
	p := &plan{name: "focus", release: dxf.R2000, inches: true, at: pt{25.4, 50.8}}
	in := 25.4
	w, h := 3.25*in, 2.5*in
	p.edge(rounded([]pt{{0, 0}, {w, 0}, {w, h}, {0, h}}, in/4))
	for _, m := range []pt{{0.3 * in, 0.3 * in}, {w - 0.3*in, 0.3 * in}, {w - 0.3*in, h - 0.3*in}, {0.3 * in, h - 0.3*in}} {
		p.screw(m.X, m.Y)
	}
	p.place("POT-M7", w/2, 1.1*in, 0)
	p.word(w/2, 2.05*in, 4, "FOCUS", 2)
	p.word(0.65*in, 1.1*in, 3.5, "IN", 1)
	p.word(w-0.65*in, 1.1*in, 3.5, "OUT", 1)
	return p
}
