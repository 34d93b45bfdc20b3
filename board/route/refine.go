package route

import (
	"math"
	"slices"

	"lampblack/panel/geom"
)

// refine tears up one leg after another and lets it look for a better way now that all others are settled; the old
// way is still there, so nothing gets worse.
func (r *router) refine() {
	for _, n := range r.nets {
		r.paint(n, -1) // a net is never in its own way
		for i := 0; i < len(n.legs); i++ {
			if n.legs[i].trunk && len(n.legs) > 1 || r.good(n, &n.legs[i]) {
				continue
			}
			r.watch.Look()
			before := slices.Clone(n.legs)
			stuck, thin := n.stuck, n.thin
			open, was := n.open(), r.length(n)
			n.legs = slices.Delete(slices.Clone(n.legs), i, i+1)
			n.prune()
			r.connect(n, 0)
			if n.open() > open || r.length(n) >= was {
				n.legs, n.stuck, n.thin = before, stuck, thin
			}
		}
		r.paint(n, 1)
	}
}

// spare lets each signal that has a via look for a way without one, others making room where that is cheaper for all
// together: a net that came first may stand in a way that it does not need.
func (r *router) spare() {
	for _, n := range r.nets {
		if n.supply || !slices.ContainsFunc(n.legs, func(l leg) bool { return r.vias(&l) > 0 }) {
			continue
		}
		// A way much dearer than the whole net is now need not be looked for: to the search a way is up to 60 percent dearer
		// than its length for what is near it, and a little more for those who must make room.
		n.shy, n.budget = true, int32(min(r.length(n)*spareBudget/100, farAway-1))
		r.displace(n, func(l *leg) bool { return r.vias(l) > 0 }, firstPress, func(open, wasOpen, price, was int) bool {
			return open <= wasOpen && price < was
		})
		n.shy, n.budget = false, 0
	}
}

const spareBudget = 200 // percent of a net's price that spare looks at ways up to

// vias returns how often the leg changes sides.
func (r *router) vias(l *leg) int {
	k := 0
	for j := 1; j < len(l.nodes); j++ {
		if abs32(l.nodes[j]-l.nodes[j-1]) >= int32(r.g.n) {
			k++
		}
	}
	return k
}

// good reports whether a leg cannot get much better: it keeps its side and is hardly longer than the shortest way
// between its ends.
func (r *router) good(n *net, l *leg) bool {
	sum := 0.0
	a, b := r.g.at(l.end(0)), r.g.at(l.end(1))
	ok := true
	r.strokes(l, func(side geom.Side, s geom.Segment, w geom.Nm) {
		sum += s.Len()
		ok = ok && side == n.prefer
	})
	if l.a >= 0 {
		a = r.pins[l.a].At
	}
	if l.b >= 0 {
		b = r.pins[l.b].At
	}
	d := b.Sub(a)
	x, y := float64(max(d.X, -d.X)), float64(max(d.Y, -d.Y))
	shortest := max(x, y) + float64((math.Sqrt2-1)*min(x, y))
	// As short as it can be, but for three in a hundred and 0.2 mm: what bevels and the pads' sizes make of a straight way.
	const detour, extra = 1.03, float64(200 * geom.Micrometre)
	return ok && l.a >= 0 && l.b >= 0 && sum < shortest*detour+extra
}

// length returns the price of a net's copper, in µm: its length, with vias, bends and the wrong side.
func (r *router) length(n *net) int {
	sum := 0
	wrong, via := signalWrong, signalVia
	if n.supply {
		wrong, via = supplyWrong, supplyVia
	}
	for i := range n.legs {
		r.strokes(&n.legs[i], func(side geom.Side, s geom.Segment, w geom.Nm) {
			d := int(s.Len() / 1000)
			if side != n.prefer {
				d += d * wrong / 100
			}
			sum += d + bend45
		})
		sum += via * r.vias(&n.legs[i])
	}
	return sum
}
