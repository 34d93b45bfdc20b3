package light

import (
	"math"

	"lampblack/panel/geom"
)

// Counted steps of the climb.
const (
	climbs    = 40  // steps at most, for each rank of the merit
	remembers = 6   // steps from which curvature is known
	halvings  = 5   // of a step that is too long
	leap      = 2.0 // mm that an LED goes in a step at most
	gained    = 1e-6
)

// ascent is a layout that climbs: the light of each LED at each point of the lettering, and how it changes with the distance.
type ascent struct {
	at    []geom.Pt
	own   [][]float64
	slope [][]float64 // of own, over the distance, per mm²
	light []float64
}

func (s *search) ascent(at []geom.Pt) ascent {
	a := ascent{at: at, own: make([][]float64, len(at)), slope: make([][]float64, len(at)), light: append([]float64(nil), s.base...)}
	for k, q := range at {
		a.own[k], a.slope[k] = make([]float64, len(s.points)), make([]float64, len(s.points))
		s.shine(q, a.own[k], a.slope[k])
		for i, v := range a.own[k] {
			a.light[i] += v
		}
	}
	return a
}

// climb moves all LEDs of a layout at once, uphill on its merit of the rank, until that gains no more.
//
// Method: the quasi-Newton method of limited memory (D. C. Liu and J. Nocedal, "On the limited memory BFGS method for large scale
// optimization", Mathematical Programming 45, 1989, 503-528, doi:10.1007/BF01589116) with the exact gradient of the power
// means. A step that leads an LED out of its room or too near another ends at the nearest place that does not; where that is
// no gain it is halved.
func (s *search) climb(l *layout, rank, steps int) {
	if len(l.at) == 0 {
		return
	}
	n := len(l.at)
	a := s.ascent(append([]geom.Pt(nil), l.at...))
	merit := s.merit(a.light, nil, n, rank)
	up := s.uphill(a, rank)
	var way, bend [][]float64 // of the steps before
	for range steps {
		s.watch.Look()
		dir := curved(up, way, bend)
		if product(dir, up) <= 0 {
			way, bend, dir = nil, nil, curved(up, nil, nil)
		}
		far := 0.0
		for k := range n {
			far = max(far, math.Sqrt(float64(dir[2*k]*dir[2*k])+float64(dir[2*k+1]*dir[2*k+1])))
		}
		if far == 0 {
			break
		}
		t := min(1, leap/far)
		if len(way) == 0 {
			t = leap / 4 / far
		}
		var next ascent
		better := merit
		for range halvings {
			next = s.stepped(a, dir, t)
			if m := s.merit(next.light, nil, n, rank); m > merit+gained {
				better = m
				break
			}
			t /= 4
		}
		if better == merit {
			if len(way) == 0 {
				break
			}
			way, bend = nil, nil
			continue
		}
		now := s.uphill(next, rank)
		step, turn := make([]float64, 2*n), make([]float64, 2*n)
		for k := range n {
			step[2*k], step[2*k+1] = (next.at[k].X - a.at[k].X).MM(), (next.at[k].Y - a.at[k].Y).MM()
		}
		for i := range turn {
			turn[i] = up[i] - now[i]
		}
		if product(step, turn) > 1e-12 {
			if way, bend = append(way, step), append(bend, turn); len(way) > remembers {
				way, bend = way[1:], bend[1:]
			}
		}
		a, merit, up = next, better, now
	}
	*l = layout{a.at, a.own, a.light}
}

// curved returns the direction of the next step: up itself, or by the curvature that the last steps tell.
func curved(up []float64, way, bend [][]float64) []float64 {
	dir := append([]float64(nil), up...)
	share := make([]float64, len(way))
	for j := len(way) - 1; j >= 0; j-- {
		share[j] = product(way[j], dir) / product(way[j], bend[j])
		for i, v := range bend[j] {
			dir[i] -= float64(share[j] * v)
		}
	}
	if j := len(way) - 1; j >= 0 {
		f := product(way[j], bend[j]) / product(bend[j], bend[j])
		for i := range dir {
			dir[i] *= f
		}
	}
	for j := range way {
		f := share[j] - product(bend[j], dir)/product(way[j], bend[j])
		for i, v := range way[j] {
			dir[i] += float64(f * v)
		}
	}
	return dir
}

func product(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}

// uphill returns by how much the merit grows with X and Y of each LED, per mm.
func (s *search) uphill(a ascent, rank int) []float64 {
	g := s.growth(a.light, len(a.at), rank)
	out := make([]float64, 2*len(a.at))
	for k, q := range a.at {
		x, y := q.X.MM(), q.Y.MM()
		dx, dy := 0.0, 0.0
		for i, v := range a.slope[k] {
			if v != 0 {
				f := float64(v * g[i])
				dx += float64(f * (x - s.points[i].X.MM()))
				dy += float64(f * (y - s.points[i].Y.MM()))
			}
		}
		out[2*k], out[2*k+1] = dx, dy
	}
	return out
}

// stepped returns the layout after t of the step.
func (s *search) stepped(a ascent, dir []float64, t float64) ascent {
	next := ascent{at: append([]geom.Pt(nil), a.at...), own: append([][]float64(nil), a.own...), slope: append([][]float64(nil), a.slope...), light: append([]float64(nil), s.base...)}
	for k, q := range a.at {
		to := geom.Pt{X: q.X + geom.MM(float64(t*dir[2*k])), Y: q.Y + geom.MM(float64(t*dir[2*k+1]))}
		if to != q {
			if to, ok := s.fitted(to, next.at, k); ok && to != q {
				next.at[k] = to
				next.own[k], next.slope[k] = make([]float64, len(s.points)), make([]float64, len(s.points))
				s.shine(to, next.own[k], next.slope[k])
			}
		}
		for i, v := range next.own[k] {
			next.light[i] += v
		}
	}
	return next
}

// fitted returns a place near q where LED k may be beside the others; false where a few pushes find none.
func (s *search) fitted(q geom.Pt, others []geom.Pt, k int) (geom.Pt, bool) {
	for range 4 {
		pushed := false
		if s.o.Room.Locate(q) == geom.Outside {
			q, pushed = s.border.nearest(q), true
		}
		push := func(o geom.Pt, apart geom.Nm) {
			if v := q.Sub(o); v.Len() < float64(apart) && v.Len() > 0 {
				f := float64(apart+geom.Micrometre) / v.Len()
				q, pushed = geom.Pt{X: o.X + geom.Nm(math.Round(float64(v.X)*f)), Y: o.Y + geom.Nm(math.Round(float64(v.Y)*f))}, true
			}
		}
		for _, h := range s.fixed {
			push(h.At, s.o.Spacing)
		}
		for _, h := range s.o.others {
			push(h.hole.At, h.apart)
		}
		for j, o := range others {
			if j != k {
				push(o, s.o.Spacing)
			}
		}
		if !pushed {
			return q, true
		}
	}
	return q, s.o.Room.Locate(q) != geom.Outside && s.clear(q, others, k)
}

// border is the edge of where LEDs may be.
type border []geom.Ring

// nearest returns the point of the border next to q.
func (b border) nearest(q geom.Pt) geom.Pt {
	best, d := q, math.Inf(1)
	for _, r := range b {
		for i, a := range r {
			z := r[(i+1)%len(r)]
			v, w := z.Sub(a), q.Sub(a)
			f := 0.0
			if l := float64(v.Dot(v)); l > 0 {
				f = min(max(float64(v.Dot(w))/l, 0), 1)
			}
			p := geom.Pt{X: a.X + geom.Nm(math.Round(float64(f*float64(v.X)))), Y: a.Y + geom.Nm(math.Round(float64(f*float64(v.Y))))}
			if e := p.Dist(q); e < d {
				best, d = p, e
			}
		}
	}
	return best
}
