package main

import (
	"math"
	"strings"
)

// pt is a position in millimetres from the panel's lower left corner.
type pt struct{ x, y float64 }

// vertex is a corner of a polyline and the bulge of the edge that leaves it.
type vertex struct {
	pt
	bulge float64
}

// kind is a DXF entity.
type kind int

const (
	line kind = iota
	arc
	circle
	poly
	insert
	text
	mtext
)

// entity is one thing drawn.
type entity struct {
	kind   kind
	layer  string
	pts    []vertex // line, poly
	closed bool
	c      pt // centre, insertion or anchor
	r      float64
	a0, a1 float64 // degrees, counter-clockwise
	text   string  // of texts; the block's name of an insert
	height float64
	turn   float64 // degrees
	h, v   int     // anchors as TEXT numbers them: 0 left 1 centre 2 right; 0 baseline 1 bottom 2 middle 3 top
}

// plan is one drawing in the making.
type plan struct {
	name     string
	version  string // $ACADVER
	inches   bool
	at       pt   // where the builder drew the panel's lower left corner, mm
	ledBlock bool // LED holes are inserts of a block
	ents     []entity

	outline []vertex // for the spacing rules
	leds    []pt
	mounts  []pt
	solids  [][]vertex // openings and bodies
}

// The layers.
const (
	onOutline   = "OUTLINE"
	onLED       = "LED"
	onOpening   = "OPENING"
	onMount     = "MOUNT"
	onBody      = "BODY"
	onLettering = "LETTERING"
)

const (
	ledHole   = 3.0
	mountHole = 3.2 // for M3, medium fit (ISO 273 says 3.4, fine 3.2; from memory)
)

func (p *plan) add(e entity) { p.ents = append(p.ents, e) }

func corners(pts ...pt) []vertex {
	out := make([]vertex, len(pts))
	for i, q := range pts {
		out[i].pt = q
	}
	return out
}

func box(cx, cy, w, h float64) []vertex {
	return corners(pt{cx - w/2, cy - h/2}, pt{cx + w/2, cy - h/2}, pt{cx + w/2, cy + h/2}, pt{cx - w/2, cy + h/2})
}

func disc(cx, cy, d float64) []vertex {
	return []vertex{{pt{cx - d/2, cy}, 1}, {pt{cx + d/2, cy}, 1}}
}

// rounded returns the closed polygon with each corner replaced by an arc of its radius.
func rounded(pts []pt, radius ...float64) []vertex {
	n := len(pts)
	var out []vertex
	for i, b := range pts {
		r := radius[i%len(radius)]
		if r == 0 {
			out = append(out, vertex{b, 0})
			continue
		}
		a, c := pts[(i+n-1)%n], pts[(i+1)%n]
		ua, uc := unit(b, a), unit(b, c)
		turn := math.Atan2(cross(neg(ua), uc), dot(neg(ua), uc))
		t := r * math.Tan(math.Abs(turn)/2)
		out = append(out, vertex{along(b, ua, t), math.Tan(turn / 4)}, vertex{along(b, uc, t), 0})
	}
	return out
}

func unit(from, to pt) pt {
	l := math.Hypot(to.x-from.x, to.y-from.y)
	return pt{(to.x - from.x) / l, (to.y - from.y) / l}
}
func neg(a pt) pt                   { return pt{-a.x, -a.y} }
func dot(a, b pt) float64           { return a.x*b.x + a.y*b.y }
func cross(a, b pt) float64         { return a.x*b.y - a.y*b.x }
func along(p, dir pt, d float64) pt { return pt{p.x + dir.x*d, p.y + dir.y*d} }
func polar(c pt, r, degrees float64) pt {
	s, k := math.Sincos(degrees * math.Pi / 180)
	return pt{c.x + r*k, c.y + r*s}
}

// edge draws the outline as one closed polyline.
func (p *plan) edge(v []vertex) {
	p.outline = v
	p.add(entity{kind: poly, layer: onOutline, pts: v, closed: true})
}

// looseEdge draws the outline as lines and arcs, in an order and directions as they come when one draws by hand.
func (p *plan) looseEdge(v []vertex) {
	p.outline = v
	n := len(v)
	for k := range n {
		i := (k*5 + 2) % n // 5 shares no factor with the number of edges used here
		a, b := v[i], v[(i+1)%n]
		if a.bulge == 0 {
			if k%2 == 1 {
				a, b = b, a
			}
			p.add(entity{kind: line, layer: onOutline, pts: []vertex{{a.pt, 0}, {b.pt, 0}}})
			continue
		}
		p.add(arcOf(onOutline, a.pt, b.pt, a.bulge))
	}
}

// arcOf returns the ARC that a bulge describes; ARCs always run counter-clockwise.
func arcOf(layer string, a, b pt, bulge float64) entity {
	if bulge < 0 {
		a, b, bulge = b, a, -bulge
	}
	k := (1 - bulge*bulge) / (4 * bulge)
	c := pt{(a.x+b.x)/2 - (b.y-a.y)*k, (a.y+b.y)/2 + (b.x-a.x)*k}
	deg := func(q pt) float64 {
		d := math.Atan2(q.y-c.y, q.x-c.x) * 180 / math.Pi
		if d < 0 {
			d += 360
		}
		return d
	}
	return entity{kind: arc, layer: layer, c: c, r: math.Hypot(a.x-c.x, a.y-c.y), a0: deg(a), a1: deg(b)}
}

func (p *plan) screw(x, y float64) {
	p.mounts = append(p.mounts, pt{x, y})
	p.add(entity{kind: circle, layer: onMount, c: pt{x, y}, r: mountHole / 2})
}

func (p *plan) led(x, y float64) {
	p.leds = append(p.leds, pt{x, y})
	if p.ledBlock {
		p.add(entity{kind: insert, layer: onLED, c: pt{x, y}, text: "LED-3"})
		return
	}
	p.add(entity{kind: circle, layer: onLED, c: pt{x, y}, r: ledHole / 2})
}

// hole draws an opening and the body behind it.
func (p *plan) hole(opening, body []vertex) {
	for i, v := range [][]vertex{opening, body} {
		if v == nil {
			continue
		}
		layer := []string{onOpening, onBody}[i]
		p.solids = append(p.solids, v)
		if len(v) == 2 && v[0].bulge == 1 && v[1].bulge == 1 {
			p.add(entity{kind: circle, layer: layer, c: pt{(v[0].x + v[1].x) / 2, v[0].y}, r: (v[1].x - v[0].x) / 2})
			continue
		}
		p.add(entity{kind: poly, layer: layer, pts: v, closed: true})
	}
}

// place inserts a block at (x, y), turned by degrees (a multiple of 90).
func (p *plan) place(name string, x, y, degrees float64) {
	p.add(entity{kind: insert, layer: "0", c: pt{x, y}, text: name, turn: degrees})
	for _, b := range blocks() {
		if b.name != name {
			continue
		}
		for _, e := range b.ents {
			v := e.pts
			if e.kind == circle {
				v = disc(0, 0, 2*e.r)
			}
			moved := make([]vertex, len(v))
			for i, q := range v {
				w := polar(pt{x, y}, math.Hypot(q.x, q.y), math.Atan2(q.y, q.x)*180/math.Pi+degrees)
				moved[i] = vertex{w, q.bulge}
			}
			p.solids = append(p.solids, moved)
		}
	}
}

// word writes a text centred on (x, y) with n LEDs behind it; 0 takes as many as ledsFor says.
func (p *plan) word(x, y, height float64, s string, n int) { p.turnedWord(x, y, height, s, 0, n) }

func (p *plan) turnedWord(x, y, height float64, s string, degrees float64, n int) {
	p.add(entity{kind: text, layer: onLettering, c: pt{x, y}, text: s, height: height, turn: degrees, h: 1, v: 2})
	p.ledsAlong(pt{x, y}, width(s, height), degrees, n)
}

// lines writes several lines of text as one block centred on (x, y), with LEDs behind each line.
func (p *plan) lines(x, y, height float64, rows ...string) {
	p.add(entity{kind: mtext, layer: onLettering, c: pt{x, y}, text: strings.Join(rows, "\n"), height: height, h: 1, v: 2})
	step := height * 5 / 3 // the usual line spacing of MTEXT
	for i, s := range rows {
		p.ledsAlong(pt{x, y + step*(float64(len(rows)-1)/2-float64(i))}, width(s, height), 0, 0)
	}
}

// ledsAlong sets n LEDs in a row of length w round c. The outer two stand nearer to the ends than half a step, so that
// the first and last letter get as much light as the middle ones.
func (p *plan) ledsAlong(c pt, w, degrees float64, n int) {
	if n == 0 {
		n = ledsFor(w)
	}
	step := w / float64(n)
	if n > 1 {
		step = max(ledToLED+0.05, (w-0.7*step)/float64(n-1))
	}
	for i := range n {
		q := polar(c, (float64(i)-float64(n-1)/2)*step, degrees)
		p.led(round3(q.x), round3(q.y))
	}
}

// ledsFor returns how many LEDs light a word of length w: one about every 7.5 mm.
func ledsFor(w float64) int { return max(1, int(math.Round(w/7.5))) }

// dial draws n marks round c, from angle a0 to a1, each with an LED behind it.
func (p *plan) dial(c pt, r, length, a0, a1 float64, n int) {
	for i := range n {
		a := a0 + (a1-a0)*float64(i)/float64(n-1)
		p.add(entity{kind: line, layer: onLettering, pts: []vertex{{polar(c, r-length/2, a), 0}, {polar(c, r+length/2, a), 0}}})
		q := polar(c, r, a)
		p.led(round3(q.x), round3(q.y))
	}
}

func round3(v float64) float64 { return math.Round(v*1000) / 1000 }

// width returns the length of a text in the letters it will be engraved in: advances in hundredths of the capital
// height, from blank to Z.
func width(s string, height float64) float64 {
	const first = ' '
	adv := [...]float64{38, 38, 49, 76, 76, 123, 92, 26, 46, 46, 80, 80, 43, 80, 43, 38, 76, 76, 76, 76, 76, 76, 76, 76, 76,
		76, 42, 42, 80, 80, 80, 76, 140, 92, 92, 99, 99, 92, 84, 107, 99, 55, 68, 92, 76, 115, 99, 107, 92, 107, 99, 92, 84,
		99, 92, 130, 92, 92, 84}
	sum := 0.0
	for _, r := range s {
		if int(r-first) < len(adv) {
			sum += adv[r-first]
		}
	}
	return sum * height / 100
}
