package sketch

import (
	"fmt"
	"math/rand/v2"

	"lampblack/panel"
	"lampblack/panel/dxf"
)

// FieldOf returns the drawing of a seed that has on one panel what is easily mistaken: screws of the LEDs' size, letters as closed
// lines, rings round knobs and in each other, slots of a rack, openings that do not quite close, lamps beside switches.
func FieldOf(seed uint64) Sketch {
	p := &pen{rng: rand.New(rand.NewPCG(seed, 0x6669656c64)), manner: int(seed) % Manners}
	p.sketch.Drawing = dxf.Drawing{Name: fmt.Sprintf("field-%d.dxf", seed), Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
	p.sketch.Name = fmt.Sprintf("field, manner %d", p.manner)
	p.language = p.rng.IntN(len(languages))
	w, h := p.between(150, 260, 10), p.between(90, 130, 5)
	p.edge(w, h, one(p, 0, 3.0, 6.0))
	screw, led := p.sizes()
	rack := p.rng.IntN(3) == 0
	if rack {
		for _, x := range []float64{4, w - 14.3} {
			for _, y := range []float64{5, h - 11.8} {
				p.flatSlot("screw", x, y, 10.3, 6.8)
			}
		}
	} else {
		p.corners(w, h, p.between(4, 7, 0.5), screw)
	}
	// A row of switches with lamps above and words below.
	n := 3 + p.rng.IntN(3)
	pitch := (w - 60) / float64(n)
	d := one(p, 6.2, 7.2, 9.5, 12.2)
	rings := p.rng.IntN(3)
	for i := range n {
		x := 30 + pitch*(float64(i)+0.5)
		p.hole("cut", x, 30, d)
		for r := range rings {
			p.ring(x, 30, d+6+5*float64(r))
		}
		if p.rng.IntN(4) > 0 {
			p.word(x-7, 9, one(p, 2.5, 3, 3.5), one(p, "DOME", "SLIT", "FLAT", "DEW", "VENT", "MIST", "PUMP", "ROOF"))
		}
	}
	switch p.rng.IntN(3) {
	case 0: // one beside each
		for i := range n {
			if x, y := 30+pitch*(float64(i)+0.5), 30+d/2+14; x < w-75 || y < h-50 { // clear of the window
				p.hole("led", x, y, led)
			}
		}
	case 1: // a row of their own
		for i := range 4 + p.rng.IntN(5) {
			p.hole("led", 28+10*float64(i), h-18, led)
		}
		p.word(28, h-27, 3, one(p, "NORTH BED", "PIER", "GUIDER"))
	default: // a block
		for r := range 2 {
			for c := range 4 {
				p.hole("led", 34+12*float64(c), h-32+12*float64(r), led)
			}
		}
	}
	// A window, with screws of its own or none, or one that does not close.
	x, y := w-64.0, h-40.0
	switch p.rng.IntN(3) {
	case 0:
		p.box("cut", x, y, 44, 20)
	case 1:
		p.box("cut", x, y, 40, 18)
		if p.manner != 5 {
			for _, q := range [][2]float64{{-4, 3}, {-4, 15}, {44, 3}, {44, 15}} {
				p.hole("screw", x+q[0], y+q[1], 2.7)
			}
		}
	default:
		gap := one(p, 0.5, 1.5, 3.0)
		p.sketch.Things = append(p.sketch.Things, Thing{What: "nearly", Roles: []panel.Role{panel.RoleOpening, panel.RoleIgnore}, At: dxf.XY{X: x + 20, Y: y + 9}, W: 40, H: 18})
		p.put("cut", "BOX", dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: x + gap, Y: y}}, {XY: dxf.XY{X: x + 40, Y: y}}, {XY: dxf.XY{X: x + 40, Y: y + 18}}, {XY: dxf.XY{X: x, Y: y + 18}}, {XY: dxf.XY{X: x, Y: y}}}})
	}
	p.shuffle()
	return p.sketch
}

// ring draws a circle that is printed.
func (p *pen) ring(x, y, d float64) {
	p.sketch.Things = append(p.sketch.Things, Thing{What: "ring", Roles: []panel.Role{panel.RoleLettering, panel.RoleIgnore, panel.RoleBody}, At: dxf.XY{X: x, Y: y}, W: d, H: d})
	p.put("letter", "DIAL", Ring(x, y, d))
}

// flatSlot draws a slot with round ends, wider than tall.
func (p *pen) flatSlot(kind string, x, y, w, h float64) {
	p.thing(kind, x+w/2, y+h/2, w, h)
	r := h / 2
	p.put(kind, "SLOT", dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x + r, Y: y}}, {XY: dxf.XY{X: x + w - r, Y: y}, Bulge: 1},
		{XY: dxf.XY{X: x + w - r, Y: y + h}}, {XY: dxf.XY{X: x + r, Y: y + h}, Bulge: 1}}})
}
