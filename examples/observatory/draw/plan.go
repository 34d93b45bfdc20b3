package main

import (
	"math"
	"strings"

	"lampblack/panel/dxf"
)

// pt is a position in millimetres from the panel's lower left corner.
type pt struct{ X, Y float64 }

func (p pt) add(q pt) pt        { return pt{p.X + q.X, p.Y + q.Y} }
func (p pt) sub(q pt) pt        { return pt{p.X - q.X, p.Y - q.Y} }
func (p pt) times(k float64) pt { return pt{p.X * k, p.Y * k} }
func (p pt) dot(q pt) float64   { return float64(p.X*q.X) + float64(p.Y*q.Y) }
func (p pt) cross(q pt) float64 { return float64(p.X*q.Y) - float64(p.Y*q.X) }
func (p pt) dist(q pt) float64  { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// vertex is a corner of a polyline and the bulge of the edge that leaves it.
type vertex struct {
	pt
	bulge float64
}

// plan is one drawing in the making.
type plan struct {
	name     string
	release  dxf.Release
	inches   bool
	at       pt           // where the builder drew the panel's lower left corner, mm
	ledBlock bool         // LED holes are inserts of a block
	ents     []dxf.Entity // from the panel's corner

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
	onWindow    = "WINDOW"
	onPrintBack = "PRINT-BACK"
)

const (
	ledHole   = 3.0
	mountHole = 3.2 // for M3, medium fit (ISO 273 says 3.4, fine 3.2; from memory)
)

// sign draws the builder's own mark, printed on the back of the board: a dome with its slit open under three stars.
func (p *plan) sign(foot pt) {
	const r, slit, line = 6.0, 1.1, 0.35
	draw := func(closed bool, v ...vertex) {
		e := path(onPrintBack, closed, v...)
		e.Type, e.Width = "LWPOLYLINE", line
		p.add(e)
	}
	at := func(x, y float64) vertex { return vertex{pt: foot.add(pt{x, y})} }
	right := at(r, 0)
	right.bulge = 1
	draw(true, at(-r, 0), right)
	top := math.Sqrt(r*r - slit*slit)
	draw(false, at(-slit, 0), at(-slit, top))
	draw(false, at(slit, 0), at(slit, top))
	draw(true, at(-r-1, -1.8), at(r+1, -1.8), at(r+1, 0), at(-r-1, 0))
	for _, s := range []pt{{-6.5, 7}, {1.5, 9}, {7, 6.5}} {
		const ray = 0.8
		draw(false, at(s.X-ray, s.Y), at(s.X+ray, s.Y))
		draw(false, at(s.X, s.Y-ray), at(s.X, s.Y+ray))
	}
}

func (p *plan) add(e dxf.Entity) { p.ents = append(p.ents, e) }

// path returns a polyline; of two corners a line, or with a bulge an ARC.
func path(layer string, closed bool, v ...vertex) dxf.Entity {
	e := dxf.Entity{Layer: layer, Path: dxf.Path{Closed: closed}}
	for _, q := range v {
		e.Path.Vertices = append(e.Path.Vertices, dxf.Vertex{XY: dxf.XY(q.pt), Bulge: q.bulge})
	}
	if len(v) == 2 && !closed {
		e.Type = "ARC"
	}
	return e
}

func circle(layer string, c pt, d float64) dxf.Entity { return path(layer, true, disc(c.X, c.Y, d)...) }

// insert places a block.
func insert(layer, block string, at pt, degrees float64) dxf.Entity {
	return dxf.Entity{Layer: layer, Insert: &dxf.Insert{Block: block, At: dxf.XY(at), Turn: degrees * math.Pi / 180}}
}

// centred writes a text, of one line or several, round a point.
func centred(at pt, height float64, s string, degrees float64) dxf.Entity {
	return dxf.Entity{Layer: onLettering, Text: &dxf.Text{Text: s, At: dxf.XY(at), Height: height, Angle: degrees * math.Pi / 180, Width: 1,
		H: dxf.Centre, V: dxf.Middle}}
}

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
		turn := math.Atan2(ua.times(-1).cross(uc), ua.times(-1).dot(uc))
		t := r * math.Tan(math.Abs(turn)/2)
		out = append(out, vertex{b.add(ua.times(t)), math.Tan(turn / 4)}, vertex{b.add(uc.times(t)), 0})
	}
	return out
}

func unit(from, to pt) pt {
	l := math.Hypot(to.X-from.X, to.Y-from.Y)
	return pt{(to.X - from.X) / l, (to.Y - from.Y) / l}
}
func polar(c pt, r, degrees float64) pt {
	s, k := math.Sincos(degrees * math.Pi / 180)
	return pt{c.X + r*k, c.Y + r*s}
}

// edge draws the outline as one closed polyline.
func (p *plan) edge(v []vertex) {
	p.outline = v
	p.add(path(onOutline, true, v...))
}

// looseEdge draws the outline as lines and arcs, in an order and directions as they come when one draws by hand.
func (p *plan) looseEdge(v []vertex) {
	p.outline = v
	n := len(v)
	for k := range n {
		i := (k*5 + 2) % n // 5 shares no factor with the number of edges used here
		a, b := v[i], v[(i+1)%n]
		if a.bulge == 0 && k%2 == 1 {
			a, b = b, a
			a.bulge = 0
		}
		p.add(path(onOutline, false, a, vertex{b.pt, 0}))
	}
}

func (p *plan) screw(x, y float64) {
	p.mounts = append(p.mounts, pt{x, y})
	p.add(circle(onMount, pt{x, y}, mountHole))
}

func (p *plan) led(x, y float64) {
	p.leds = append(p.leds, pt{x, y})
	if p.ledBlock {
		p.add(insert(onLED, "LED-3", pt{x, y}, 0))
		return
	}
	p.add(circle(onLED, pt{x, y}, ledHole))
}

// hole draws an opening and the body behind it.
func (p *plan) hole(opening, body []vertex) {
	for i, v := range [][]vertex{opening, body} {
		if v == nil {
			continue
		}
		layer := []string{onOpening, onBody}[i]
		p.solids = append(p.solids, v)
		p.add(path(layer, true, v...))
	}
}

// place inserts a block at (x, y), turned by degrees (a multiple of 90).
func (p *plan) place(name string, x, y, degrees float64) {
	p.add(insert("0", name, pt{x, y}, degrees))
	for _, b := range blocks() {
		if b.Name != name {
			continue
		}
		for _, e := range b.Entities {
			var moved []vertex
			for _, q := range e.Path.Vertices {
				w := polar(pt{x, y}, math.Hypot(q.X, q.Y), math.Atan2(q.Y, q.X)*180/math.Pi+degrees)
				moved = append(moved, vertex{w, q.Bulge})
			}
			p.solids = append(p.solids, moved)
		}
	}
}

// word writes a text centred on (x, y) with n LEDs behind it; 0 takes as many as ledsFor says.
func (p *plan) word(x, y, height float64, s string, n int) { p.turnedWord(x, y, height, s, 0, n) }

func (p *plan) turnedWord(x, y, height float64, s string, degrees float64, n int) {
	p.add(centred(pt{x, y}, height, s, degrees))
	p.ledsAlong(pt{x, y}, width(s, height), degrees, n)
}

// lines writes several lines of text as one block centred on (x, y), with LEDs behind each line.
func (p *plan) lines(x, y, height float64, rows ...string) {
	p.add(centred(pt{x, y}, height, strings.Join(rows, "\n"), 0))
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
		p.led(round3(q.X), round3(q.Y))
	}
}

// ledsFor returns how many LEDs light a word of length w: one about every 7.5 mm.
func ledsFor(w float64) int { return max(1, int(math.Round(w/7.5))) }

// dial draws n marks round c, from angle a0 to a1, each with an LED behind it.
func (p *plan) dial(c pt, r, length, a0, a1 float64, n int) {
	for i := range n {
		p.ticks(c, r, length, a0+(a1-a0)*float64(i)/float64(n-1), 0, 1)
		q := polar(c, r, a0+(a1-a0)*float64(i)/float64(n-1))
		p.led(round3(q.X), round3(q.Y))
	}
}

// ticks draws n marks round c, from angle a0 to a1.
func (p *plan) ticks(c pt, r, length, a0, a1 float64, n int) {
	for i := range n {
		a := a0 + (a1-a0)*float64(i)/float64(max(n-1, 1))
		p.add(path(onLettering, false, vertex{polar(c, r-length/2, a), 0}, vertex{polar(c, r+length/2, a), 0}))
	}
}

// ledsRound sets n LEDs at one pitch on a circle round c, from an angle on.
func (p *plan) ledsRound(c pt, r, angle float64, n int) {
	for i := range n {
		q := polar(c, r, angle+360*float64(i)/float64(n))
		p.led(round3(q.X), round3(q.Y))
	}
}

// ring draws a window between two circles round a knob.
func (p *plan) ring(c pt, inner, outer float64) {
	p.add(circle(onWindow, c, inner))
	p.add(circle(onWindow, c, outer))
}

// indicator draws a round window with an LED behind it.
func (p *plan) indicator(c pt, d float64) {
	p.add(circle(onWindow, c, d))
	p.led(c.X, c.Y)
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
