package light

import (
	"math"

	"lampblack/panel/work"
)

// shine returns the light of the lamps that comes straight from them to the plane of the profiles, lx, on a grid like g. Walls
// cut it off; a cell that a shadow's edge passes gets the share of it that is lit.
func shine(watch *work.Watch, g Grid, all []lamp, profiles []profile, ws []wall) Grid {
	out := g.blank()
	stars := make([][][2]float64, len(all))
	work.Bands(len(all), func(from, to int) {
		for i := from; i < to; i++ {
			watch.Look()
			p := profiles[all[i].beam]
			if s := sight(ws, all[i].at.X.MM(), all[i].at.Y.MM(), p.lit); s != nil {
				for k, r := range s {
					s[k] = p.to(r)
				}
				stars[i] = s.star()
			}
		}
	})
	step := g.Step.MM()
	// Each band adds the lamps in their order, so that the sums are the same on any number of cores.
	work.Bands(g.H, func(low, high int) {
		var c cover
		for n, l := range all {
			watch.Look()
			p := profiles[l.beam]
			// The lamp in cells, cell (i, j) being the unit square round its point.
			lx, ly := float64(l.at.X-g.Origin.X)/float64(g.Step), float64(l.at.Y-g.Origin.Y)/float64(g.Step)
			r := p.reach / step
			i0, i1 := cells(lx-r, lx+r, 0, g.W)
			j0, j1 := cells(ly-r, ly+r, low, high)
			if i0 >= i1 || j0 >= j1 {
				continue
			}
			if stars[n] != nil {
				c.reset(i1-i0, j1-j0, j0)
				ox, oy := lx-float64(i0)+0.5, ly+0.5
				s := stars[n]
				for k := range s {
					a, b := s[k], s[(k+1)%len(s)]
					c.edge(ox+a[0]/step, oy+a[1]/step, ox+b[0]/step, oy+b[1]/step)
				}
			}
			for j := j0; j < j1; j++ {
				watch.Look()
				y := (float64(j) - ly) * step
				y2 := float64(y * y)
				left := float64(p.reach*p.reach) - y2
				if left < 0 {
					continue
				}
				half := float64(math.Sqrt(left) / step * (1 - 1e-9))
				a, b := cells(lx-half, lx+half, i0, i1)
				row := out.V[j*g.W : (j+1)*g.W]
				if stars[n] == nil {
					for i := a; i < b; i++ {
						x := (float64(i) - lx) * step
						row[i] += float64(l.candela * p.at(float64(x*x)+y2))
					}
					continue
				}
				c.row(j, func(i int, share float64) {
					if i += i0; share > 0 && i >= a && i < b {
						x := (float64(i) - lx) * step
						row[i] += float64(l.candela*share) * p.at(float64(x*x)+y2)
					}
				})
			}
		}
	})
	return out
}

// cells returns the whole numbers from lo to hi, both included, within [least, end).
func cells(lo, hi float64, least, end int) (from, to int) {
	from = int(min(max(math.Ceil(lo), float64(least)), float64(end)))
	to = int(min(max(math.Floor(hi)+1, float64(from)), float64(end)))
	return from, to
}
