package readback

import (
	"math"
	"strconv"
	"strings"

	"lampblack/export"
	"lampblack/panel/geom"
)

// hit is a drilled hole, or a slot by G85.
func (r *driller) hit(fields []field, s string) {
	p, rest, ok := r.point(fields, s)
	if !ok || !r.hasTool() {
		return
	}
	if r.rout {
		r.fail("readback-bad-slot", "a hole is drilled while routing").Fix("write G05 before it")
	}
	r.at, r.placed = p, true
	if len(rest) > 0 {
		if rest[0].letter != 'G' || rest[0].text != "85" {
			r.unknown(s)
			return
		}
		r.wide("G85")
		q, more, ok := r.point(rest[1:], s)
		if !ok || len(more) > 0 {
			return
		}
		r.at = q
		if r.room() {
			r.out.Slots = append(r.out.Slots, export.Slot{Tool: r.tool, Path: geom.Polyline{p, q}})
		}
		return
	}
	if r.room() {
		r.out.Hits = append(r.out.Hits, export.Hit{Tool: r.tool, At: p})
	}
}

// repeatHoles is RnXdYd: n more holes, each d farther.
func (r *driller) repeatHoles(text string, fields []field, s string) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || !r.placed || r.rout {
		r.unknown(s)
		return
	}
	r.wide("R")
	var d geom.Vec
	for _, f := range fields {
		v, ok := r.number(f.text)
		if !ok || f.letter != 'X' && f.letter != 'Y' {
			r.unknown(s)
			return
		}
		if f.letter == 'X' {
			d.X = v
		} else {
			d.Y = v
		}
	}
	for range n {
		p := r.at.Add(d)
		if p.X > geom.MaxCoord || p.X < -geom.MaxCoord || p.Y > geom.MaxCoord || p.Y < -geom.MaxCoord {
			r.fail("readback-out-of-range", "repeated holes go beyond a metre").Fix("keep the board within a metre of the origin")
			return
		}
		r.at = p
		if !r.hasTool() || !r.room() {
			return
		}
		r.out.Hits = append(r.out.Hits, export.Hit{Tool: r.tool, At: p})
	}
}

// routMove is G00, G01, G02 or G03 with a point.
func (r *driller) routMove(code string, fields []field, s string) {
	if code == "00" {
		r.endSlot()
		r.rout = true
		if len(fields) == 0 {
			return
		}
	}
	p, rest, ok := r.point(fields, s)
	if !ok {
		return
	}
	from := r.at
	r.at, r.placed = p, true
	if code == "00" {
		if len(rest) > 0 {
			r.unknown(s)
		}
		return
	}
	if !r.rout || !r.down {
		r.fail("readback-bad-slot", "a slot is routed without the tool down").Fix("write G00 with the start, then M15")
		return
	}
	if code == "01" {
		if len(rest) > 0 {
			r.unknown(s)
		}
		r.carry(p)
		return
	}
	r.arc(from, p, code == "03", rest, s)
}

// arc routes along an arc given by its radius A (the shorter of the two), or by the way to its centre I, J.
func (r *driller) arc(from, to geom.Pt, ccw bool, rest []field, s string) {
	var v [3]geom.Nm
	var has [3]bool
	for _, f := range rest {
		k := strings.IndexByte("AIJ", f.letter)
		n, ok := r.number(f.text)
		if k < 0 || !ok {
			r.unknown(s)
			return
		}
		v[k], has[k] = n, true
	}
	bulge := 0.0
	switch chord := from.Dist(to); {
	case has[0]:
		// sin(sweep/2) = chord/2r
		k := chord / 2 / float64(v[0])
		if v[0] <= 0 || k > 1+1e-3 || chord == 0 {
			r.fail("readback-bad-arc", "an arc of radius %v cannot span %.3f mm", v[0], chord/1e6).Fix("write a radius of at least half the distance")
			return
		}
		bulge = math.Tan(math.Asin(min(k, 1)) / 2)
	case has[1] || has[2]:
		r.wide("an arc with I and J")
		c := from.Add(geom.Vec{X: v[1], Y: v[2]})
		if c == from || c == to {
			r.unknown(s)
			return
		}
		bulge = math.Tan(min(math.Abs(sweepOf(from.Sub(c), to.Sub(c), ccw)), 350*math.Pi/180) / 4)
	default:
		r.fail("readback-bad-arc", "an arc has no radius").Fix("write it as A and the radius")
		return
	}
	if !ccw {
		bulge = -bulge
	}
	for _, p := range (geom.Arc{From: from, To: to, Bulge: bulge}).Flatten(geom.FlattenTolerance)[1:] {
		r.carry(p)
	}
	r.carry(to)
}

func (r *driller) carry(p geom.Pt) {
	if r.room() {
		r.slot = append(r.slot, p)
	}
}

func (r *driller) endSlot() {
	if !r.down {
		return
	}
	r.down = false
	if len(r.slot) == 0 || !r.hasTool() {
		return
	}
	r.out.Slots = append(r.out.Slots, export.Slot{Tool: r.tool, Path: r.slot})
	r.slot = nil
}
