package route

import (
	"slices"

	"lampblack/panel/geom"
)

// settle moves a junction or a via to where its runs are cheapest together.
func (lay *layout) settle(v *node) {
	if v.pin >= 0 || len(v.runs) < 2 {
		return
	}
	for i, x := range v.runs {
		if x.a == x.b || slices.Index(v.runs, x) != i {
			return // a loop
		}
	}
	type saved struct {
		x    *run
		path geom.Polyline
	}
	var keep []saved
	was := int64(0)
	for _, x := range v.runs {
		x.cache = nil
		keep = append(keep, saved{x, x.path})
		was += lay.price(x, x.path)
	}
	for _, x := range v.runs {
		lay.lift(x)
		x.cache = nil
	}
	lay.liftVia(v)
	old := v.at
	bestAt, best := old, keep
	for _, c := range lay.spots(v) {
		lay.watch.Look()
		if v.via && !lay.w.viaFits(c, v, v.net) {
			continue
		}
		v.at = c
		total := int64(0)
		var now []saved
		for _, k := range keep {
			path, cost := lay.rejoin(k.x, v, k.x.pathFrom(v, k.path))
			if total += cost; path == nil || total >= was {
				break
			}
			// In the world at once, so that the next run of the node sees it.
			k.x.path = path
			lay.place(k.x)
			now = append(now, saved{k.x, path})
		}
		for _, k := range now {
			lay.lift(k.x)
		}
		if len(now) == len(keep) && total < was {
			was, bestAt, best = total, c, now
		}
	}
	v.at = bestAt
	for _, k := range best {
		k.x.path = k.path
		k.x.cache = nil
		lay.place(k.x)
	}
	lay.placeVia(v)
}

// collapse ends the runs of a junction at the pad beside it instead, when that is cheaper without the short run between
// them.
func (lay *layout) collapse(v *node) {
	if v.pin >= 0 || v.via || len(v.runs) < 3 {
		return
	}
	for _, stub := range v.runs {
		p := stub.other(v)
		if p.pin < 0 || stub.path.Len() > collapseMost || slices.ContainsFunc(v.runs, func(x *run) bool { return x != stub && x.other(v) == p }) {
			continue
		}
		was, now := int64(0), int64(0)
		rest := slices.DeleteFunc(slices.Clone(v.runs), func(x *run) bool { return x == stub })
		if slices.ContainsFunc(rest, func(x *run) bool { return !lay.pins[p.pin].OnSide(x.on) }) {
			continue
		}
		old := make([]geom.Polyline, len(rest))
		for _, x := range v.runs {
			x.cache = nil
			was += lay.price(x, x.path)
		}
		for i, x := range rest {
			old[i] = x.path
			lay.lift(x)
		}
		lay.lift(stub)
		back := v.at
		done := 0
		for i, x := range rest {
			from := x.pathFrom(v, old[i])
			// The run ends at the pad's node while it is measured, because that is what its neighbours share.
			x.swap(v, p)
			v.at = p.at
			path, cost := lay.rejoin(x, p, from)
			if now += cost; path == nil || now >= was {
				x.swap(p, v)
				break
			}
			x.path = path
			lay.place(x)
			done++
		}
		if done == len(rest) {
			p.runs = append(p.runs, rest...)
			p.runs = slices.DeleteFunc(p.runs, func(x *run) bool { return x == stub })
			lay.runs = slices.DeleteFunc(lay.runs, func(x *run) bool { return x == stub })
			v.runs = nil
			return
		}
		v.at = back
		for i, x := range rest {
			if i < done {
				lay.lift(x)
				x.swap(p, v)
			}
			x.path = old[i]
			lay.place(x)
		}
		lay.place(stub)
	}
}

const collapseMost = 6e6 // nm: no longer run is taken out by collapse

// swap makes the run end at the node to instead of from.
func (x *run) swap(from, to *node) {
	if x.a == from {
		x.a = to
	} else {
		x.b = to
	}
	x.cache = nil
}

// pathFrom returns a path of the run as seen from one of its nodes.
func (x *run) pathFrom(e *node, path geom.Polyline) geom.Polyline {
	if x.a == e {
		return path
	}
	out := slices.Clone(path)
	slices.Reverse(out)
	return out
}

// spots returns places to try for a node: the nearest corners of its runs, where they would meet, and a few steps in
// each direction.
func (lay *layout) spots(v *node) []geom.Pt {
	var out []geom.Pt
	add := func(p geom.Pt) {
		if p != v.at && !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	for _, x := range v.runs {
		p := x.from(v)
		for i := 1; i < min(len(p)-1, 4); i++ {
			add(p[i])
		}
		for _, y := range v.runs {
			if x == y {
				continue
			}
			// Where the next piece of x, prolonged, meets the first piece of y.
			q := y.from(v)
			if len(p) > 2 {
				for _, z := range links(p[2], q[1]) {
					add(z)
				}
			}
			for _, z := range links(p[1], q[1]) {
				add(z)
			}
		}
	}
	for _, d := range dirs {
		for _, s := range [...]geom.Nm{100_000, 400_000, 1_500_000} {
			add(v.at.Add(geom.Vec{X: geom.Nm(d[0]) * s, Y: geom.Nm(d[1]) * s}))
		}
	}
	return out
}

// rejoin returns the cheapest way to lead a run to its moved node v: from one of its next few corners by one or two
// straight pieces. path is the old one, from v.
func (lay *layout) rejoin(x *run, v *node, path geom.Polyline) (geom.Polyline, int64) {
	x.cache = nil
	best, cost := geom.Polyline(nil), broken
	for k := 1; k < min(len(path), 4); k++ {
		if path[k] == v.at {
			continue
		}
		vias := links(v.at, path[k])
		if k == len(path)-1 && len(vias) == 2 {
			vias = append(vias, elbows(v.at, path[k])...)
		}
		for _, z := range vias {
			q := geom.Polyline{v.at, z}
			q = append(q, path[k:]...)
			q = simplified(q)
			if len(q) < 2 {
				continue
			}
			if x.b == v {
				slices.Reverse(q)
			}
			if c := lay.price(x, q); c < cost {
				best, cost = q, c
			}
		}
	}
	return best, cost
}
