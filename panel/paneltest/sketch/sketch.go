// Package sketch draws panels as people have them, by a seed, and says what a builder sees in each, so that a reading, and what
// is built of it, can be scored. It is for tests.
package sketch

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"lampblack/panel"
	"lampblack/panel/dxf"
)

// Thing is one thing that is drawn, and the roles that it may be taken for, the first as a builder would say.
type Thing struct {
	What  string
	Roles []panel.Role
	At    dxf.XY // of its box
	W, H  float64
}

// Sketch is a drawing of a panel as people have it, by a seed, and what a builder sees in it, so that a reading can be scored:
// an instrument's front, a slim module, a key plate, a cover, a field of lamps, a row of switches, a vent; each drawn in the
// manner of some kind of CAD export, from everything on layer 0 to layers in other languages, blocks, colours and both edges
// of a pen.
type Sketch struct {
	Name    string // "instrument, flat"
	Drawing dxf.Drawing
	Outline dxf.Box
	Things  []Thing
}

// Kinds and Manners say how many there are of each: seeds take them in turn.
const (
	Kinds   = 7
	Manners = 10
)

// Of returns the sketch of a seed.
func Of(seed uint64) Sketch { return drawn(seed, int(seed*7/3)%Manners) }

// Plain returns the sketch of a seed with all of it on layer 0, of one colour and in no blocks, so that it can be had as an
// Export.
func Plain(seed uint64) Sketch { return drawn(seed, 0) }

func drawn(seed uint64, manner int) Sketch {
	p := &pen{rng: rand.New(rand.NewPCG(seed, 0x6c616d70)), manner: manner}
	p.sketch.Drawing = dxf.Drawing{Name: fmt.Sprintf("sketch-%d.dxf", seed), Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
	p.language = p.rng.IntN(len(languages))
	kind := int(seed) % Kinds
	[...]func(*pen){instrument, module, keyPlate, cover, lampField, switchRow, vent}[kind](p)
	p.shuffle()
	p.sketch.Name = [...]string{"instrument", "module", "key plate", "cover", "lamp field", "switch row", "vent"}[kind] + ", " +
		[...]string{"flat", "numbered", "in another language", "by colour", "blocks", "pen edges", "loose lines", "hidden lines", "some of our layers", "plain English"}[p.manner]
	return p.sketch
}

// between returns a number of that range, in steps.
func (p *pen) between(lo, hi, step float64) float64 {
	n := int(math.Round((hi - lo) / step))
	return lo + step*float64(p.rng.IntN(n+1))
}

// one returns one of the values.
func one[T any](p *pen, of ...T) T { return of[p.rng.IntN(len(of))] }

// sizes returns the holes of screws and LEDs, of one diameter as often as not.
func (p *pen) sizes() (screw, led float64) {
	led = one(p, 3.0, 3.0, 3.1, 3.2, 5.0, 5.1)
	screw = one(p, 2.2, 2.7, 3.2, 3.2, 3.4, 4.3, 4.5)
	if p.rng.IntN(5) < 2 {
		screw = led
	}
	return screw, led
}

func (p *pen) corners(w, h, inset, d float64) {
	for _, x := range []float64{inset, w - inset} {
		for _, y := range []float64{inset, h - inset} {
			p.hole("screw", x, y, d)
		}
	}
}

// instrument is a front with a display, a row of knobs, switches and a row of lamps.
func instrument(p *pen) {
	w, h := p.between(110, 220, 10), p.between(80, 140, 10)
	p.edge(w, h, one(p, 0, 3.0, 6.0))
	screw, led := p.sizes()
	p.corners(w, h, p.between(5, 8, 0.5), screw)
	y := h - 16
	n := 3 + p.rng.IntN(5)
	pitch := p.between(9, 14, 0.5)
	for i := range n {
		p.hole("led", 24+pitch*float64(i), y, led)
	}
	p.word(24, y-9, 3, one(p, "LAMPS", "STATUS", "DOMES"))
	dw, dh := one(p, 40.0, 51.5), one(p, 16.0, 24.5)
	cx, cy := w-18-dw/2, h-22-dh/2
	p.box("cut", cx-dw/2, cy-dh/2, dw, dh)
	if p.rng.IntN(2) == 0 && p.manner != 5 { // the display's own screws
		for _, x := range []float64{-dw/2 - 3.5, dw/2 + 3.5} {
			for _, y := range []float64{-dh/2 + 2, dh/2 - 2} {
				p.hole("screw", cx+x, cy+y, 2.7)
			}
		}
	}
	knob := one(p, 7.2, 9.5)
	k := 3 + p.rng.IntN(3)
	step := (w - 40) / float64(k)
	for i := range k {
		x := 20 + step*(float64(i)+0.5)
		p.hole("cut", x, 24, knob)
		if p.rng.IntN(2) == 0 {
			p.word(x-6, 10, one(p, 2.5, 3.5), one(p, "FOCUS", "DEW", "GAIN", "FLAT", "PARK"))
		}
	}
}

// module is a slim front with screws 3 mm from its upper and lower edge and lamps beside its sockets.
func module(p *pen) {
	w, h := one(p, 30.0, 40.3, 50.5, 60.6), 128.5
	p.edge(w, h, 0)
	screw, led := one(p, 3.0, 3.2), one(p, 3.0, 3.0, 3.2, 5.1)
	xs := []float64{7.5}
	if w > 45 {
		xs = append(xs, w-7.5)
	}
	for _, x := range xs {
		p.hole("screw", x, 3, screw)
		p.hole("screw", w-(w-7.5)+(x-7.5), h-3, screw)
	}
	cols := int(w / 15)
	rows := 4 + p.rng.IntN(3)
	lamps := p.rng.IntN(4)
	for r := range rows {
		for c := range cols {
			x, y := w*(float64(c)+0.5)/float64(cols), 18+15.5*float64(r)
			d := 6.2
			if r >= rows-2 {
				d = 7.2
			}
			p.hole("cut", x, y, d)
			if r < lamps && c == 0 {
				p.hole("led", x+6.2, y+5.6, led)
			}
		}
	}
	p.word(w/2-9, h-12, 3, one(p, "MIST", "VENTS", "HEAT", "FANS"))
}

// keyPlate is a plate with squares for key switches and screws among them.
func keyPlate(p *pen) {
	cols, rows := 5+p.rng.IntN(6), 3+p.rng.IntN(3)
	const pitch = 19.05
	w, h := pitch*float64(cols)+12, pitch*float64(rows)+12
	p.edge(w, h, one(p, 0, 4.0))
	side := one(p, 13.9, 14.0)
	for r := range rows {
		for c := range cols {
			p.box("cut", 6+pitch*(float64(c)+0.5)-side/2, 6+pitch*(float64(r)+0.5)-side/2, side, side)
		}
	}
	screw := one(p, 2.2, 2.2, 2.7, 3.0, 3.2)
	for _, q := range [][2]int{{1, 1}, {cols - 1, 1}, {1, rows - 1}, {cols - 1, rows - 1}, {(cols + 1) / 2, rows / 2}} {
		p.hole("screw", 6+pitch*float64(q[0]), 6+pitch*float64(q[1]), screw)
	}
}

// cover is a plate that is screwed on along its rim.
func cover(p *pen) {
	w, h := p.between(120, 300, 20), p.between(50, 120, 10)
	p.edge(w, h, one(p, 0, 5.0))
	d := one(p, 3.0, 3.1, 3.2, 3.4, 4.3, 5.0)
	in := p.between(4, 6, 0.5)
	n := 3 + p.rng.IntN(5)
	for i := range n + 1 {
		x := in + (w-2*in)*float64(i)/float64(n)
		p.hole("screw", x, in, d)
		p.hole("screw", x, h-in, d)
	}
	if p.rng.IntN(2) == 0 {
		for i := range 6 {
			p.slot("cut", w/2-30+10*float64(i), h/2-12, 4, 24)
		}
	}
	if p.rng.IntN(2) == 0 {
		p.word(20, h/2, 6, one(p, "BATTERY", "RELAYS"))
	}
}

// lampField is a panel with rows of LEDs and little else.
func lampField(p *pen) {
	cols, rows := 4+p.rng.IntN(7), 2+p.rng.IntN(4)
	pitch := p.between(10, 20, 1)
	w, h := pitch*float64(cols)+24, pitch*float64(rows)+24
	p.edge(w, h, one(p, 0, 3.0))
	screw, led := p.sizes()
	p.corners(w, h, 5.5, screw)
	for r := range rows {
		for c := range cols {
			p.hole("led", 12+pitch*(float64(c)+0.5), 12+pitch*(float64(r)+0.5), led)
		}
	}
	if p.rng.IntN(2) == 0 {
		p.word(w/2-10, h-7, 3, one(p, "LAMPS", "FLATS"))
	}
}

// switchRow is a row of switches, each with its lamp above and its word below, some with the body behind drawn.
func switchRow(p *pen) {
	n := 3 + p.rng.IntN(5)
	pitch := p.between(24, 34, 2)
	w, h := pitch*float64(n)+20, p.between(60, 80, 5)
	p.edge(w, h, one(p, 0, 4.0))
	screw, led := p.sizes()
	p.corners(w, h, 5, screw)
	rocker := p.rng.IntN(2) == 0
	d := one(p, 6.2, 12.2, 16.2)
	for i := range n {
		x := 10 + pitch*(float64(i)+0.5)
		if rocker {
			p.box("cut", x-6.5, h/2-9.6, 13, 19.2)
		} else {
			p.hole("cut", x, h/2, d)
			if p.manner == 2 || p.manner == 7 || p.manner == 9 {
				p.box("body", x-9.5, h/2-11, 19, 22)
			}
		}
		p.hole("led", x, h/2+17, led)
		p.word(x-8, 7, 3, one(p, "FANS", "VENTS", "HEAT", "LAMPS", "MIST", "PUMP"))
	}
}

// vent is a panel with slots, round holes of a fan's grille, and a lamp or two.
func vent(p *pen) {
	w, h := p.between(90, 160, 10), p.between(80, 120, 10)
	p.edge(w, h, 0)
	screw, led := p.sizes()
	p.corners(w, h, 6, screw)
	n := 4 + p.rng.IntN(5)
	for i := range n {
		p.slot("cut", 20+7*float64(i), 20, 3.5, 40)
	}
	for i := range 3 {
		p.hole("led", w-30+8*float64(i), h-14, led)
	}
	p.word(w-36, h-24, 4, one(p, "FANS", "VENTS"))
	p.ringWord(w-24, 34, 12, 3, "WARM COLD")
	p.hole("cut", w-24, 34, one(p, 7.2, 9.5))
}

// shuffle brings the entities into another order, as exports have them.
func (p *pen) shuffle() {
	es := p.sketch.Drawing.Entities
	p.rng.Shuffle(len(es), func(i, k int) { es[i], es[k] = es[k], es[i] })
	for i := range es {
		es[i].Handle, es[i].Line = fmt.Sprintf("%X", 64+i), i+1
	}
}

// Places returns where things of a kind are: "led", "screw", "cut", "body", "letter".
func (s Sketch) Places(kind string) (out []dxf.XY) {
	for _, t := range s.Things {
		if t.What == kind {
			out = append(out, t.At)
		}
	}
	return out
}

// Why says what of a reading is not as a builder sees it; nothing when all is.
func (s Sketch) Why(ps []panel.Panel) []string {
	if len(ps) != 1 {
		return []string{fmt.Sprintf("%d panels", len(ps))}
	}
	p := ps[0]
	if b := p.Outline.Box(); math.Abs(b.W().MM()-s.Outline.W()) > 0.3 || math.Abs(b.H().MM()-s.Outline.H()) > 0.3 {
		return []string{"another outline"}
	}
	have := itemsOf(p)
	used := make([]bool, len(have))
	wrong := map[string]int{}
	for _, t := range s.Things {
		best, dist := -1, math.Inf(1)
		for i, it := range have {
			if d := it.at.Dist(t.At) + math.Abs(it.w-t.W) + math.Abs(it.h-t.H); !used[i] && d < dist && d < 0.9 {
				best, dist = i, d
			}
		}
		got := panel.RoleIgnore
		if best >= 0 {
			used[best], got = true, have[best].role
		}
		if !slices.Contains(t.Roles, got) {
			wrong[fmt.Sprintf("%s of %.4g x %.4g taken as %s", t.What, t.W, t.H, got)]++
		}
	}
	for i, it := range have {
		if !used[i] && it.role != panel.RoleLettering {
			wrong[fmt.Sprintf("more taken as %s", it.role)]++
		}
	}
	var out []string
	for what, n := range wrong {
		out = append(out, fmt.Sprintf("%d %s", n, what))
	}
	slices.Sort(out)
	return out
}

type item struct {
	role panel.Role
	at   dxf.XY
	w, h float64
}

func itemsOf(p panel.Panel) []item {
	var out []item
	at := func(x, y float64) dxf.XY { return dxf.XY{X: p.Origin.X + x, Y: p.Origin.Y + y} }
	for _, h := range p.LEDs {
		out = append(out, item{panel.RoleLED, at(h.At.X.MM(), h.At.Y.MM()), h.D.MM(), h.D.MM()})
	}
	for _, h := range p.Mounts {
		out = append(out, item{panel.RoleMount, at(h.At.X.MM(), h.At.Y.MM()), h.D.MM(), h.D.MM()})
	}
	for _, o := range p.Openings {
		b := o.Contour.Box()
		role := panel.RoleOpening
		if o.Mount {
			role = panel.RoleMount
		}
		out = append(out, item{role, at((b.Min.X+b.Max.X).MM()/2, (b.Min.Y+b.Max.Y).MM()/2), b.W().MM(), b.H().MM()})
	}
	for _, c := range p.Bodies {
		b := c.Box()
		out = append(out, item{panel.RoleBody, at((b.Min.X+b.Max.X).MM()/2, (b.Min.Y+b.Max.Y).MM()/2), b.W().MM(), b.H().MM()})
	}
	for _, s := range p.Symbols {
		if b := s.Shape.Box(); s.Closed {
			out = append(out, item{panel.RoleLettering, at((b.Min.X+b.Max.X).MM()/2, (b.Min.Y+b.Max.Y).MM()/2), b.W().MM(), b.H().MM()})
		}
	}
	return out
}
