package boardtest

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"lampblack/led"
	"lampblack/led/design"
	"lampblack/led/judge"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// FieldSize is how many panels the test field has: seeds 1 to FieldSize.
const FieldSize = 200

// Case is one panel of the test field and what it is lit with.
type Case struct {
	Seed    uint64
	Want    int // LEDs asked for; the panel has fewer when its room is used up
	Shape   string
	Panel   panel.Panel
	Request led.Request
	Through part.Amp // what the boards behind this one draw
}

// FieldCase returns the panel of that seed: 6 to 500 LEDs on 40 x 30 to 400 x 300 mm, in ten shapes of outline, with
// openings, bodies and mounts, of one or two kinds of LEDs, some with corners full of LEDs. Any run of seeds holds small and
// large panels alike. One in twelve has so little room that it may have to be refused.
func FieldCase(seed uint64) Case {
	r := rand.New(rand.NewPCG(seed, 0x0b5e))
	k := (seed * 77) % FieldSize // no factor in common with FieldSize: every size once
	n := int(math.Round(6 * math.Pow(500.0/6, float64(k)/(FieldSize-1))))
	g := &plot{r: r, rush: seed%12 == 7}
	g.size(n)
	c := Case{Seed: seed, Want: n}
	name := fmt.Sprintf("field-%d", seed)
	c.Panel = panel.Panel{Name: name, Drawing: name + ".dxf"}
	c.Panel.Outline, c.Shape = g.outline()
	g.ring = c.Panel.Outline.Ring(20 * geom.Micrometre)
	g.mounts(&c.Panel)
	g.openings(&c.Panel, n)
	c.Request = g.request(n)
	g.leds(&c.Panel, n, c.Request.Defaults.Kind)
	c.Through = part.Amp(round1(g.between(0, 1.2)))
	return c
}

// Wiring designs the circuit of the panel.
func (c Case) Wiring() (led.Wiring, diag.List) {
	circuit, l := design.Circuit(context.Background(), []panel.Panel{c.Panel}, c.Request)
	l = append(l, judge.Circuit(circuit, c.Request)...)
	if len(circuit.Boards) != 1 || l.HasErrors() {
		return led.Wiring{}, l
	}
	w := circuit.Boards[0]
	w.Through += c.Through
	for _, id := range []led.NetID{led.Supply, led.Return} {
		w.Nets[id].Amps = max(w.Nets[id].Amps, w.Through)
	}
	return w, l
}

// request draws the supply, the LEDs and the packages.
func (g *plot) request(n int) led.Request {
	q := led.Usual()
	q.Rated, q.ConnectorRated = 10, 6
	volts := []part.Volt{5, 9, 12, 12, 13.8, 24}
	if n > 150 {
		volts = volts[2:] // one or two LEDs in series each would ask for more than a small connector carries
	}
	v := volts[g.r.IntN(len(volts))]
	q.Supply = part.Window{Min: v * 0.95, Nominal: v, Max: v * 1.05}
	colours := []string{"red", "amber", "green", "white"}
	bodies := []string{"3mm", "3mm", "3mm", "5mm", "plcc2", "0805"}
	g.colour, g.body = colours[g.r.IntN(len(colours))], bodies[g.r.IntN(len(bodies))]
	kind, ok := part.Find(g.colour + "-" + g.body)
	if !ok {
		panic("boardtest: no LED " + g.colour + "-" + g.body)
	}
	q.Defaults.Kind = kind
	if g.r.IntN(5) == 0 {
		g.second = []string{"amber", "red"}[g.r.IntN(2)] + "-" + g.body
	}
	resistors := []string{"r-1206", "r-1206", "r-1206", "r-0805", "axial-7.62", "axial-10.16"}
	q.Defaults.ResistorPackage = resistors[g.r.IntN(len(resistors))]
	connectors := []string{"terminal-3.5", "terminal-3.5", "terminal-5.08", "header-2.54", "wire-pads"}
	q.Defaults.ConnectorPackage = connectors[g.r.IntN(len(connectors))]
	q.Defaults.Current = 6 * part.MilliAmp
	return q
}

// plot is a panel of the field in the making. Everything in mm.
type plot struct {
	stock
	r    *rand.Rand
	w, h float64
	rush bool // little room
	ring geom.Ring

	colour, body, second string
}

func (g *plot) between(lo, hi float64) float64 { return lo + g.r.Float64()*(hi-lo) }

// size draws the size: 150 to 700 mm² for each LED, 70 to 120 where room is little.
func (g *plot) size(n int) {
	each := 150 * math.Pow(700.0/150, g.r.Float64())
	if g.rush {
		each = g.between(70, 120)
	}
	area := clamp(float64(n)*each, 40*30, 400*300)
	g.w = round1(clamp(math.Sqrt(area*g.between(1, 2.4)), 40, 400))
	g.h = round1(clamp(area/g.w, 30, 300))
}

// outline draws one of ten shapes.
func (g *plot) outline() (geom.Contour, string) {
	w, h := g.w, g.h
	v := func(x, y, bulge float64) geom.Vertex {
		return geom.Vertex{Pt: geom.PtMM(round1(x), round1(y)), Bulge: bulge}
	}
	p := func(x, y float64) geom.Vertex { return v(x, y, 0) }
	q := math.Tan(math.Pi / 8)
	nx, ny := round1(w*g.between(0.15, 0.4)), round1(h*g.between(0.15, 0.4))
	switch g.r.IntN(10) {
	case 0:
		return geom.Contour{p(0, 0), p(w, 0), p(w, h), p(0, h)}, "rectangle"
	case 1:
		r := round1(g.between(2, min(w, h)/4))
		return geom.Contour{p(r, 0), v(w-r, 0, q), p(w, r), v(w, h-r, q), p(w-r, h), v(r, h, q), p(0, h-r), v(0, r, q)}, "round corners"
	case 2:
		return geom.Contour{p(0, 0), p(w, 0), p(w, h-ny), p(w-nx, h-ny), p(w-nx, h), p(0, h)}, "notch"
	case 3:
		return geom.Contour{p(0, 0), p(w, 0), p(w, h/2), p(w*0.45, h/2), p(w*0.45, h), p(0, h)}, "angle"
	case 4:
		s := min(nx/2, 20)
		return geom.Contour{p(0, 0), p(w, 0), p(w, h), p(w/2+s/2, h), p(w/2+s/2, h-ny), p(w/2-s/2, h-ny), p(w/2-s/2, h), p(0, h)}, "slot"
	case 5:
		c := min(nx, ny)
		return geom.Contour{p(c, 0), p(w-c, 0), p(w, c), p(w, h-c), p(w-c, h), p(c, h), p(0, h-c), p(0, c)}, "cut corners"
	case 6:
		return geom.Contour{p(0, 0), p(w, 0), p(w-nx/2, h), p(nx/2, h)}, "trapezium"
	case 7:
		r := h / 2
		if w <= h+4 {
			return geom.Circle(geom.PtMM(round1(w/2), round1(w/2)), geom.MM(w)), "disc"
		}
		return geom.Contour{p(r, 0), v(w-r, 0, 1), p(w-r, 2*r), v(r, 2*r, 1)}, "stadium"
	case 8:
		c := h * 0.3
		return geom.Contour{p(c, 0), p(w-c, 0), p(w, h/2), p(w-c, h), p(c, h), p(0, h/2)}, "hexagon"
	}
	// A bow: the upper edge bulges by a sixth of its length.
	return geom.Contour{p(0, 0), p(w, 0), v(w, h*0.8, 0.25), p(0, h*0.8)}, "bow"
}

// mounts puts M3 holes into the corners that are there, on larger panels between them too.
func (g *plot) mounts(p *panel.Panel) {
	const in = 6.0
	at := [][2]float64{{in, in}, {g.w - in, g.h - in}, {g.w - in, in}, {in, g.h - in}, {g.w / 2, in}, {g.w / 2, g.h - in}, {in, g.h / 2}, {g.w - in, g.h / 2}}
	most := 2
	if g.w*g.h > 4000 {
		most = 4
	}
	if g.w > 200 {
		most = 8
	}
	for _, m := range at {
		x, y := round1(m[0]), round1(m[1])
		if len(p.Mounts) >= most || !g.inside(x, y, 5) {
			continue
		}
		p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(3.2), Source: panel.Source{Handle: fmt.Sprintf("M%d", len(p.Mounts)+1)}})
		g.rounds = append(g.rounds, round{x, y, 1.6})
	}
}

// openings cuts up to a quarter of the panel, half of the openings with a body behind, and adds bodies without an opening.
func (g *plot) openings(p *panel.Panel, n int) {
	budget := g.w * g.h * g.between(0, 0.25)
	if g.rush {
		budget /= 3
	}
	for i := 0; i < 8+n/20 && budget > 0; i++ {
		w, h := round1(g.between(6, 14)), 0.0
		isRound := g.r.IntN(2) == 0
		if h = w; !isRound {
			w, h = round1(g.between(8, max(9, g.w/4))), round1(g.between(8, max(9, g.h/4)))
		}
		x, y := round1(g.between(6, g.w-6)), round1(g.between(6, g.h-6))
		extra := 0.0
		use := g.r.IntN(5)
		if use >= 2 {
			extra = round1(g.between(1, 4))
		}
		all := rect{x - w/2 - extra, y - h/2 - extra, x + w/2 + extra, y + h/2 + extra}
		if !g.free(all, 6) || (all.x1-all.x0)*(all.y1-all.y0) > budget {
			continue
		}
		budget -= (all.x1 - all.x0) * (all.y1 - all.y0)
		box := geom.Rect(geom.BoxOf(geom.PtMM(x-w/2, y-h/2), geom.PtMM(x+w/2, y+h/2)))
		if isRound {
			box = geom.Circle(geom.PtMM(x, y), geom.MM(w))
		}
		if use < 4 {
			p.Openings = append(p.Openings, panel.Opening{Contour: box, Source: panel.Source{Handle: fmt.Sprintf("A%d", i)}})
		}
		switch {
		case extra > 0 && isRound:
			p.Bodies = append(p.Bodies, geom.Circle(geom.PtMM(x, y), geom.MM(w+2*extra)))
		case extra > 0:
			p.Bodies = append(p.Bodies, geom.Rect(geom.BoxOf(geom.PtMM(all.x0, all.y0), geom.PtMM(all.x1, all.y1))))
		}
		g.rects = append(g.rects, all)
	}
}

// leds fills a corner or two on every third panel, then puts words of 2 to 9 LEDs in rows until n are placed or nothing
// fits any more. Now and then a word is slanted.
func (g *plot) leds(p *panel.Panel, n int, kind part.LED) {
	wide := map[string]float64{"3mm": 5.0, "5mm": 6.6, "plcc2": 5.6, "0805": 4.2}[g.body]
	edge := map[string]float64{"3mm": 4.0, "5mm": 4.6, "plcc2": 4.4, "0805": 3.6}[g.body]
	second, _ := part.Find(g.second)
	use := kind
	add := func(x, y, apart float64) bool {
		if len(p.LEDs) >= n || !g.inside(x, y, edge) || !g.lampFits(x, y, edge, 3+apart/2, apart) {
			return false
		}
		h := panel.Hole{At: geom.PtMM(x, y), D: geom.MM(use.HoleMM), Source: panel.Source{Handle: fmt.Sprintf("L%d", len(p.LEDs)+1)}}
		if use.Name != kind.Name {
			h.Kind = use.Name
		}
		p.LEDs = append(p.LEDs, h)
		g.lamps = append(g.lamps, round{x, y, 0})
		return true
	}
	if g.r.IntN(3) == 0 {
		rows, cols := 2+g.r.IntN(3), 2+g.r.IntN(4)
		for i := range rows * cols {
			x, y := edge+wide*float64(i%cols), edge+wide*float64(i/cols)
			if g.r.IntN(4) > 0 {
				add(round1(g.w-x), round1(y), wide)
			}
			if len(g.lamps) < n/2 {
				add(round1(x), round1(g.h-y), wide)
			}
		}
	}
	apart := wide + 1.5
	if g.rush {
		apart = wide
	}
	for tries := 0; len(p.LEDs) < n && tries < 400+40*n; tries++ {
		pitch := round1(g.between(apart, 12))
		angle := 0.0
		if g.r.IntN(6) == 0 {
			angle = g.between(-0.6, 0.6)
		}
		use = kind
		if second.Name != "" && g.r.IntN(3) == 0 {
			use = second
		}
		x, y := round1(g.between(edge, g.w-edge)), round1(g.between(edge, g.h-edge))
		for k := 2 + g.r.IntN(8); k > 0 && add(x, y, apart); k-- {
			x, y = round1(x+pitch*math.Cos(angle)), round1(y+pitch*math.Sin(angle))
		}
	}
}

// free reports whether the rectangle keeps d from all that is there already and from the edge.
func (g *plot) free(q rect, d float64) bool {
	if !g.clears(q, d) {
		return false
	}
	for _, s := range g.ring.Segments() {
		a, b := s.A, s.B
		if math.Min(a.X.MM(), b.X.MM()) < q.x1+d && math.Max(a.X.MM(), b.X.MM()) > q.x0-d &&
			math.Min(a.Y.MM(), b.Y.MM()) < q.y1+d && math.Max(a.Y.MM(), b.Y.MM()) > q.y0-d {
			return false
		}
	}
	return g.ring.Locate(geom.PtMM((q.x0+q.x1)/2, (q.y0+q.y1)/2)) == geom.Inside
}

// inside reports whether the point keeps d from the outline.
func (g *plot) inside(x, y, d float64) bool {
	p := geom.PtMM(x, y)
	return g.ring.Locate(p) == geom.Inside && g.ring.DistTo(p) >= d*1e6
}
