package gerber

import (
	"math"
	"strconv"

	"lampblack/panel/geom"
)

const (
	// shortest is the length below which an arc is written as a draw: its two ends and its centre could not be told
	// apart once rounded (2021.02, 4.7.2).
	shortest = 2 * float64(geom.Micrometre)

	// farthest is the greatest distance to a centre that 32 bits hold (3.4.1).
	farthest = math.MaxInt32 - 1
)

// edge draws from the current point to e.To, along the arc if there is one.
//
// An arc of more than half a circle is split in its middle, so that no file holds a nearly full one and the centre
// never lies beside an end (4.7.2). An arc flatter than one nanometre is a line. A circle too large for the format
// is drawn in chords.
func (w *writer) edge(e geom.Arc) {
	if e.Bulge == 0 {
		w.interpolate(1)
		w.operation(e.To, 1)
		return
	}
	chord := e.From.Dist(e.To)
	sagitta := chord * math.Abs(e.Bulge) / 2
	switch {
	case chord == 0, sagitta < 1, e.Len() < shortest:
		w.interpolate(1)
		w.operation(e.To, 1)
	case math.Abs(e.Bulge) > 1:
		a, b := halves(e)
		w.edge(a)
		w.edge(b)
	case e.Radius() >= farthest:
		w.interpolate(1)
		for _, p := range e.Flatten(geom.FlattenTolerance)[1:] {
			w.operation(p, 1)
		}
		w.operation(e.To, 1)
	default:
		mode := 3
		if e.Bulge < 0 {
			mode = 2
		}
		w.interpolate(mode)
		c := centre(e)
		w.point(e.To)
		w.buf = strconv.AppendInt(append(w.buf, 'I'), int64(c.X-e.From.X), 10)
		w.buf = strconv.AppendInt(append(w.buf, 'J'), int64(c.Y-e.From.Y), 10)
		w.buf = append(w.buf, "D01*\n"...)
		w.at, w.placed = e.To, true
	}
}

// halves splits an arc in its middle.
func halves(e geom.Arc) (a, b geom.Arc) {
	dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
	// The middle lies half a chord times the bulge to the right of the chord's middle.
	mid := geom.Pt{
		X: e.From.X + geom.Nm(math.Round((dx+float64(e.Bulge*dy))/2)),
		Y: e.From.Y + geom.Nm(math.Round((dy-float64(e.Bulge*dx))/2)),
	}
	// tan(θ/8) from tan(θ/4), in the form that stays exact for a large bulge.
	half := e.Bulge / (1 + math.Sqrt(1+float64(e.Bulge*e.Bulge)))
	return geom.Arc{From: e.From, To: mid, Bulge: half}, geom.Arc{From: mid, To: e.To, Bulge: half}
}

// centre returns the centre of the arc in whole nanometres: of the points next to the exact one, that whose distances
// to both ends agree best, and of those the nearest.
func centre(e geom.Arc) geom.Pt {
	x, y := e.Centre()
	base := geom.Pt{X: geom.Nm(math.Floor(x)), Y: geom.Nm(math.Floor(y))}
	best, bestGap, bestOff := base, math.Inf(1), math.Inf(1)
	for i := range 4 {
		c := base.Add(geom.Vec{X: geom.Nm(i & 1), Y: geom.Nm(i >> 1)})
		gap := math.Abs(length(e.From, c) - length(e.To, c))
		off := math.Hypot(float64(c.X)-x, float64(c.Y)-y)
		if gap < bestGap || gap == bestGap && off < bestOff {
			best, bestGap, bestOff = c, gap, off
		}
	}
	return best
}

// length is the distance of two points that may be farther apart than geom.MaxCoord allows.
func length(a, b geom.Pt) float64 { return math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)) }
