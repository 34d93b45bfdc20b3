package light

import (
	"math"

	"lampblack/panel/geom"
)

// words returns n places in even steps along the words, one after the other as the panel has them: along the line through the
// middles of each word's characters. Symbols count as their boxes'
// longer middle lines. A panel without lettering has none.
func (s *search) words(n int) []geom.Pt {
	lines := s.lines()
	all := 0.0
	for _, l := range lines {
		all += length(l)
	}
	var out []geom.Pt
	step := all / float64(n)
	next := step / 2
	for _, l := range lines {
		if len(l) == 1 {
			next -= 1e6 // a letter alone counts as a millimetre
			if next <= 0 {
				out, next = append(out, l[0]), next+step
			}
			continue
		}
		for k := 1; k < len(l); k++ {
			d := l[k].Dist(l[k-1])
			for next <= d && len(out) < n && d > 0 {
				f := next / d
				out = append(out, geom.Pt{
					X: l[k-1].X + geom.Nm(math.Round(f*float64(l[k].X-l[k-1].X))),
					Y: l[k-1].Y + geom.Nm(math.Round(f*float64(l[k].Y-l[k-1].Y))),
				})
				next += step
			}
			next -= d
		}
	}
	return out
}

// lines are the words' middle lines.
func (s *search) lines() [][]geom.Pt {
	var lines [][]geom.Pt
	for _, t := range s.spots {
		if t.whole {
			return nil
		}
		var line []geom.Pt
		last := -1
		for _, c := range t.chars {
			b := geom.BoxOf(c.points...)
			m := b.Centre()
			if !t.written {
				a, z := geom.Pt{X: b.Min.X, Y: m.Y}, geom.Pt{X: b.Max.X, Y: m.Y}
				if b.H() > b.W() {
					a, z = geom.Pt{X: m.X, Y: b.Min.Y}, geom.Pt{X: m.X, Y: b.Max.Y}
				}
				lines = append(lines, []geom.Pt{a, z})
				continue
			}
			if c.word != last && line != nil {
				lines, line = append(lines, line), nil
			}
			line, last = append(line, m), c.word
		}
		if line != nil {
			lines = append(lines, line)
		}
	}
	return lines
}

// length returns that of all words, nm.
func (s *search) length() float64 {
	all := 0.0
	for _, l := range s.lines() {
		all += length(l)
	}
	return all
}

// length counts a letter alone as a millimetre.
func length(l []geom.Pt) float64 {
	if len(l) == 1 {
		return 1e6
	}
	sum := 0.0
	for k := 1; k < len(l); k++ {
		sum += l[k].Dist(l[k-1])
	}
	return sum
}

// nearest returns the site next to q that is clear of the others.
func (s *search) nearest(q geom.Pt, others []geom.Pt) (site int, ok bool) {
	best, d := -1, math.Inf(1)
	for c, t := range s.sites {
		if e := t.Dist(q); e < d && s.clear(t, others, -1) {
			best, d = c, e
		}
	}
	return best, best >= 0
}

// seated returns the places, each moved to the nearest site that is clear of those before it.
func (s *search) seated(places []geom.Pt) []geom.Pt {
	var at []geom.Pt
	for _, q := range places {
		if c, ok := s.nearest(q, at); ok {
			at = append(at, s.sites[c])
		}
	}
	return at
}
