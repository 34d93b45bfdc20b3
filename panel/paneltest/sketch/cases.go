package sketch

import (
	"fmt"

	"lampblack/panel/dxf"
)

// End is how a build of a drawing may end fairly.
type End string

const (
	Proven  End = "proven"  // all its boards are built, and nothing is asked that matters to them
	Asked   End = "asked"   // a question names what is in doubt, whatever is built meanwhile
	Refused End = "refused" // an error says the cure
)

// Case is a drawing that was once read wrongly, and how it ends now.
type Case struct {
	Name     string
	Source   []byte
	End      End
	Panels   int             // of an end that is not Refused
	Boards   int             // of all panels; 0: one each
	LEDs     map[float64]int // by diameter, to a tenth of a millimetre
	Mounts   int
	Openings int
	Says     []string // words of one finding, its advice included
}

// plate is a panel of w by h mm on a layer.
type plate struct {
	file
	layer string
}

func newPlate(w, h float64) *plate {
	p := &plate{layer: "0"}
	p.scale = 1
	p.header("AC1015", 4)
	p.section("ENTITIES")
	if w > 0 {
		p.box(0, 0, w, h)
	}
	return p
}

func (p *plate) box(x, y, w, h float64) {
	p.polyline(p.layer, Rect(x, y, w, h), -1, true)
}

func (p *plate) hole(x, y, d float64) { p.circle(p.layer, dxf.XY{X: x, Y: y}, d/2) }

// row draws holes at one pitch.
func (p *plate) row(n int, x, y, pitch, d float64) {
	for i := range n {
		p.hole(x+pitch*float64(i), y, d)
	}
}

func (p *plate) corners(w, h, in, d float64) {
	for _, x := range []float64{in, w - in} {
		for _, y := range []float64{in, h - in} {
			p.hole(x, y, d)
		}
	}
}

// arcs draws a round hole as two arcs, of which the second misses the first's beginning by a gap, mm.
func (p *plate) arcs(x, y, d, gap float64) {
	p.entity("ARC", p.layer)
	p.point(10, dxf.XY{X: x, Y: y})
	p.length(40, d/2)
	p.whole(50, 0)
	p.whole(51, 180)
	p.entity("ARC", p.layer)
	p.point(10, dxf.XY{X: x, Y: y})
	p.length(40, d/2)
	p.whole(50, 180)
	p.number(51, 360-gap/(d/2)*180/3.141592653589793)
}

func (p *plate) on(layer string, draw func()) {
	was := p.layer
	p.layer = layer
	draw()
	p.layer = was
}

func (p *plate) source() []byte {
	p.end()
	return p.bytes()
}

// drawnBy returns what draw draws.
func drawnBy(w, h float64, draw func(p *plate)) []byte {
	p := newPlate(w, h)
	draw(p)
	return p.source()
}

// Cases returns one drawing for each way in which drawings of others were read wrongly.
func Cases() []Case {
	xy := func(x, y float64) dxf.XY { return dxf.XY{X: x, Y: y} }
	slot := func(p *plate, x, y, w, h float64, gap float64) { // a box whose upper side is short by a gap
		for _, e := range [][2]dxf.XY{{xy(x, y), xy(x+w, y)}, {xy(x+w, y), xy(x+w, y+h)}, {xy(x, y+h), xy(x, y)}, {xy(x+w, y+h), xy(x+gap, y+h)}} {
			p.line(p.layer, e[0], e[1])
		}
	}
	words := func(p *plate, x, y, height float64, s string) { // letters as closed lines, on the plate's layer
		q := &pen{}
		q.word(x, y, height, s)
		for i := range q.sketch.Drawing.Entities {
			p.polyline(p.layer, q.sketch.Drawing.Entities[i].Path, -1, true)
		}
	}
	return []Case{
		{Name: "three LEDs on a layer of ours, eighteen openings on none", End: Proven, Panels: 1, LEDs: map[float64]int{3: 3}, Mounts: 4, Openings: 18,
			Source: drawnBy(160, 90, func(p *plate) {
				p.corners(160, 90, 5, 3.4)
				for r := range 3 {
					p.row(6, 20, 18+16*float64(r), 22, 9.5)
				}
				p.on("LED", func() { p.row(3, 40, 76, 20, 3) })
			})},
		{Name: "corner screws of the LEDs' size", End: Asked, Panels: 1, LEDs: map[float64]int{3.2: 6}, Mounts: 4,
			Source: drawnBy(120, 50, func(p *plate) {
				p.corners(120, 50, 5, 3.2)
				p.row(6, 30, 25, 12, 3.2)
			})},
		{Name: "letters as closed lines", End: Proven, Panels: 1, LEDs: map[float64]int{3: 4}, Mounts: 4, Openings: 1,
			Source: drawnBy(120, 60, func(p *plate) {
				p.corners(120, 60, 5, 3.4)
				p.row(4, 20, 40, 12, 3)
				p.box(75, 28, 26, 14)
				words(p, 18, 24, 5, "ROOF VENT")
			})},
		{Name: "layers that are numbered", End: Proven, Panels: 1, LEDs: map[float64]int{3: 4}, Mounts: 4, Openings: 1,
			Source: drawnBy(0, 0, func(p *plate) {
				p.on("Layer_25", func() {
					p.box(0, 0, 120, 60)
					p.corners(120, 60, 5, 3.4)
					p.row(4, 20, 40, 12, 3)
					p.box(75, 28, 26, 14)
				})
				p.on("Layer_26", func() { words(p, 18, 24, 5, "ROOF VENT") })
			})},
		{Name: "a round hole that misses closing by 0.03 mm, and one by 0.06", End: Proven, Panels: 1, LEDs: map[float64]int{3: 3}, Mounts: 4, Openings: 2,
			Source: drawnBy(120, 60, func(p *plate) {
				p.corners(120, 60, 5, 3.4)
				p.arcs(30, 25, 12, 0.03)
				p.arcs(60, 25, 12, 0.06)
				p.row(3, 30, 45, 15, 3)
			})},
		{Name: "holes with the rings of pads round them, and with pockets", End: Asked, Panels: 1, LEDs: map[float64]int{3: 3}, Mounts: 4, Openings: 2,
			Source: drawnBy(120, 60, func(p *plate) {
				p.corners(120, 60, 6, 3.4)
				p.on("Pads", func() { p.corners(120, 60, 6, 6.5) })
				p.row(2, 40, 25, 30, 7.2)
				p.on("Pockets", func() { p.row(2, 40, 25, 30, 11) })
				p.row(3, 40, 45, 15, 3)
			})},
		{Name: "an outline of lines, arcs and elliptic arcs that lie over each other in part", End: Proven, Panels: 1, LEDs: map[float64]int{3: 4}, Mounts: 2,
			Source: drawnBy(0, 0, func(p *plate) {
				for _, e := range [][2]dxf.XY{{xy(10, 0), xy(80, 0)}, {xy(60, 0), xy(110, 0)}, {xy(120, 10), xy(120, 50)}, {xy(110, 60), xy(30, 60)}, {xy(50, 60), xy(10, 60)}, {xy(0, 50), xy(0, 20)}, {xy(0, 30), xy(0, 10)}} {
					p.line("0", e[0], e[1])
				}
				p.arc("0", dxf.Edge{From: xy(110, 0), To: xy(120, 10), Bulge: 0.41421356237})
				p.arc("0", dxf.Edge{From: xy(120, 50), To: xy(110, 60), Bulge: 0.41421356237})
				p.ellipse("0", xy(10, 50), 10, 1.5707963267949, 3.1415926535898)
				p.ellipse("0", xy(10, 50), 10, 1.8, 3.1415926535898)
				p.ellipse("0", xy(10, 10), 10, 3.1415926535898, 4.7123889803847)
				p.row(2, 10, 10, 100, 3.4)
				p.row(4, 30, 30, 15, 3)
			})},
		{Name: "two outlines across each other", End: Refused, Says: []string{"run across each other", "one line round both"},
			Source: drawnBy(120, 60, func(p *plate) { p.box(90, 20, 100, 60); p.row(4, 20, 30, 15, 3); p.row(4, 135, 30, 12, 3) })},
		{Name: "a spline without weight", End: Refused, Says: []string{"weight that isn't positive", "draw it anew"},
			Source: drawnBy(120, 60, func(p *plate) {
				p.corners(120, 60, 5, 3.4)
				p.row(4, 30, 40, 15, 3)
				p.spline("0", 2, []dxf.XY{xy(40, 20), xy(50, 30), xy(60, 20)}, []float64{0, 0, 0})
			})},
		{Name: "extrusions that point nowhere", End: Proven, Panels: 1, LEDs: map[float64]int{3: 4}, Mounts: 4, Says: []string{"extrusion"},
			Source: drawnBy(120, 60, func(p *plate) {
				p.more = []group{{210, "0"}, {220, "0"}, {230, "0"}}
				p.corners(120, 60, 5, 3.4)
				p.more = nil
				p.row(4, 30, 40, 15, 3)
			})},
		{Name: "screws of a rack panel, 3 mm from its edge", End: Proven, Panels: 1, LEDs: map[float64]int{3: 4}, Mounts: 4, Openings: 6,
			Source: drawnBy(60.6, 128.5, func(p *plate) {
				for _, y := range []float64{3, 125.5} {
					p.row(2, 7.5, y, 45.6, 3.2)
				}
				for r := range 3 {
					p.row(2, 15, 20+18*float64(r), 30, 7.2)
				}
				p.row(4, 12, 95, 12, 3)
			})},
		{Name: "a blank of 1010 mm", End: Refused, Says: []string{"larger than the 1 m", "two panels"},
			Source: drawnBy(1010, 40, func(p *plate) { p.row(4, 20, 20, 15, 3) })},
		{Name: "openings that lack 2 and 3 mm of their edge", End: Asked, Panels: 1, LEDs: map[float64]int{3: 3}, Mounts: 4, Says: []string{"join"},
			Source: drawnBy(120, 70, func(p *plate) {
				p.corners(120, 70, 5, 3.4)
				slot(p, 20, 15, 26, 14, 2)
				slot(p, 70, 15, 26, 14, 3)
				p.row(3, 30, 50, 20, 3)
			})},
		{Name: "twelve holes for buttons, and no outline", End: Refused, Says: []string{"no outline", "12 circles of 24 mm", "draw the panel's edge"},
			Source: drawnBy(0, 0, func(p *plate) {
				for r := range 3 {
					p.row(4, 20, 20+40*float64(r), 40, 24)
				}
			})},
		{Name: "two boards in one panel", End: Proven, Panels: 1, Boards: 2, LEDs: map[float64]int{3: 8}, Mounts: 4,
			Source: drawnBy(240, 60, func(p *plate) {
				p.corners(240, 60, 4, 3.4)
				p.row(4, 30, 30, 18, 3)
				p.row(4, 150, 30, 18, 3)
				p.on("board", func() { p.box(10, 10, 100, 40); p.box(130, 10, 100, 40) })
			})},
		{Name: "a display's window, and no outline", End: Refused, Says: []string{"no outline", "outline: largest"},
			Source: drawnBy(0, 0, func(p *plate) { p.box(30, 20, 60, 40); p.row(4, 20, 10, 20, 3); p.row(2, 5, 75, 110, 3.2) })},
		{Name: "ticks of a dial, and a circle of 1.24 mm that is a dot of a letter", End: Proven, Panels: 1, LEDs: map[float64]int{3: 3}, Mounts: 4, Openings: 1,
			Source: drawnBy(120, 60, func(p *plate) {
				p.corners(120, 60, 5, 3.4)
				p.row(3, 70, 40, 14, 3)
				p.hole(35, 30, 9.5)
				for i := range 11 {
					a := dxf.Edge{From: xy(35, 42), To: xy(35, 45)}
					turn := func(v dxf.XY) dxf.XY {
						return along(dxf.Edge{From: v, To: xy(35-(v.X-35), 60-v.Y), Bulge: 1}, float64(i)/11)
					}
					p.line("0", turn(a.From), turn(a.To))
				}
				words(p, 70, 20, 4, "MIST")
			})},
	}
}

// String names the case.
func (c Case) String() string { return fmt.Sprintf("%s: %s", c.Name, c.End) }
