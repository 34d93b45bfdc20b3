package route

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/disjoint"
	"lampblack/panel/geom"
)

// prove removes every run and via that breaks a clearance, and what hangs loose without it, and returns how many runs
// broke one. The lattice and the clean-up both keep the clearances, so this is the last line of defence: Route never
// returns a short.
func (lay *layout) prove() int {
	drop := map[*run]bool{}
	for _, x := range lay.runs {
		lay.watch.Look()
		for _, s := range x.path.Segments() {
			if lay.w.look(s, (x.width+1)/2, x.on, x.net).slack < 0 {
				drop[x] = true
				break
			}
		}
	}
	for _, v := range lay.nodes {
		if v.via && !lay.w.viaFits(v.at, v, v.net) {
			for _, x := range v.runs {
				drop[x] = true
			}
		}
	}
	bad := len(drop)
	for len(drop) > 0 {
		for _, x := range lay.runs {
			if drop[x] {
				lay.lift(x)
				for _, e := range [2]*node{x.a, x.b} {
					e.runs = slices.DeleteFunc(e.runs, func(y *run) bool { return y == x })
				}
			}
		}
		lay.runs = slices.DeleteFunc(lay.runs, func(x *run) bool { return drop[x] })
		clear(drop)
		for _, v := range lay.nodes {
			if v.pin < 0 && len(v.runs) == 1 {
				drop[v.runs[0]] = true
			}
			if v.via && len(v.runs) == 0 {
				lay.liftVia(v)
			}
		}
	}
	lay.nodes = slices.DeleteFunc(lay.nodes, func(v *node) bool { return v.pin < 0 && len(v.runs) == 0 })
	return bad
}

// islands returns the pins of each net in groups that copper joins, in the order of the pins.
func (lay *layout) islands(n *net) [][]int {
	sets := disjoint.New(len(lay.nodes))
	index := make(map[*node]int, len(lay.nodes))
	byPin := map[int]*node{}
	for i, v := range lay.nodes {
		index[v] = i
		if v.net == n.id && v.pin >= 0 {
			byPin[v.pin] = v
		}
	}
	for _, x := range lay.runs {
		if x.net != n.id {
			continue
		}
		sets.Join(index[x.a], index[x.b])
	}
	var out [][]int
	at := map[int]int{}
	for _, p := range n.pins {
		v := byPin[p]
		if v == nil {
			out = append(out, []int{p})
			continue
		}
		r := sets.Least(index[v])
		k, ok := at[r]
		if !ok {
			k = len(out)
			at[r] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], p)
	}
	return out
}

// write puts the copper on the board and measures it.
func (lay *layout) write(b *board.Board, f *Figures, nets []*net) {
	b.Tracks, b.Vias = nil, nil
	inline, total := 0.0, 0.0
	for _, x := range lay.sorted() {
		b.Tracks = append(b.Tracks, board.Track{Net: x.net, On: x.on, Width: x.width, Path: x.path})
		for _, s := range x.path.Segments() {
			l := s.Len()
			total += l
			if way(s.B.Sub(s.A)) != 8 {
				inline += l
			}
			if x.supply {
				f.SupplyMM += l / 1e6
			} else {
				f.SignalMM += l / 1e6
			}
		}
	}
	f.TrackMM = f.SignalMM + f.SupplyMM
	if total > 0 {
		f.Share45 = inline / total
	}
	for _, v := range lay.nodes {
		if v.via {
			b.Vias = append(b.Vias, board.Via{Net: v.net, At: v.at, Drill: b.Rules.ViaDrill, D: b.Rules.ViaPad})
			f.Vias++
			if v.net > led.Return {
				f.SignalVias++
			}
		}
	}
	for _, n := range nets {
		f.Nets++
		f.Connections += len(n.pins) - 1
		f.BoundMM += n.bound / 1e6
		if !n.supply {
			f.SignalBoundMM += n.bound / 1e6
		}
	}
	if f.BoundMM > 0 {
		f.Ratio = f.TrackMM / f.BoundMM
	}
	if f.SignalBoundMM > 0 {
		f.SignalRatio = f.SignalMM / f.SignalBoundMM
	}
}

// report tells which nets are open, between which parts, where the way ends and what would help.
func (r *router) report(lay *layout, f *Figures) diag.List {
	var l diag.List
	for _, n := range r.nets {
		groups := lay.islands(n)
		f.Unrouted += len(groups) - 1
		if len(groups) < 2 {
			continue
		}
		main := 0
		for i, g := range groups {
			if len(g) > len(groups[main]) {
				main = i
			}
		}
		for i, g := range groups {
			if i == main {
				continue
			}
			from := component{pins: g}
			var rest []component
			for j := range groups {
				if j != i {
					rest = append(rest, component{pins: groups[j]})
				}
			}
			a, b := r.nearest(g, groups, i)
			stop := r.obstacle(n, from, rest)
			for _, p := range [2]int{a, b} {
				if lay.shut(n, &r.pins[p]) {
					stop.at, stop.taken = r.pins[p].At, nil
					stop.where = fmt.Sprintf("the pad of %s itself lies too near another pad, a hole or the edge for any track", r.pins[p].name())
					stop.advice = "move the part, or allow a smaller clearance"
				}
			}
			l.Add(diag.Error, "route-open-net", "no track finds a way from %s to %s, which must be joined (%s): %s", r.pins[a].name(), r.pins[b].name(), n.name, stop.where).
				OfNet(n.name).At(stop.at.X.MM(), stop.at.Y.MM()).Fix("%s", stop.advice)
			f.Open = append(f.Open, Open{Net: n.id, From: r.pins[a].At, To: r.pins[b].At, At: stop.at, Of: r.pins[a].name(), With: r.pins[b].name(),
				Why: stop.where, Taken: stop.taken, Width: stop.width})
		}
	}
	return l
}

// shut reports whether no track of the net may end at the pin's centre, on any side.
func (lay *layout) shut(n *net, p *pin) bool {
	half := (n.ladder[len(n.ladder)-1] + 1) / 2
	for _, side := range geom.BothSides() {
		if p.OnSide(side) && lay.w.look(geom.Segment{A: p.At, B: p.At}, half, side, n.id).slack >= 0 {
			return false
		}
	}
	return true
}

// nearest returns the pin of group i that is nearest to a pin of another group, and that pin.
func (r *router) nearest(g []int, groups [][]int, i int) (a, b int) {
	best := -1.0
	for j := range groups {
		if j == i {
			continue
		}
		for _, p := range g {
			for _, q := range groups[j] {
				if d := r.pins[p].At.Dist(r.pins[q].At); best < 0 || d < best {
					best, a, b = d, p, q
				}
			}
		}
	}
	return a, b
}

// obstacle finds out why a part of a net cannot be joined: first whether pads, holes and edges alone stop it, then
// whose copper does.
func (r *router) obstacle(n *net, from component, rest []component) (b blocked) {
	b.at = r.pins[from.pins[0]].At
	w, kind := n.ladder[len(n.ladder)-1], "track"
	if n.thin && slices.Contains(from.pins, n.out) || n.thin && len(rest) == 1 && slices.Contains(rest[0].pins, n.out) {
		w, kind = n.trunk[len(n.trunk)-1], "track from IN to OUT"
	}
	b.width = w
	q := &query{
		net: n, half: int32((w/2 + geom.Micrometre - 1) / geom.Micrometre), occ: r.occ[r.class(w)], via: r.via,
		press: 400, greed: 110, starts: r.ends(nil, n, from),
	}
	for _, c := range rest {
		q.goals = r.ends(q.goals, n, c)
	}
	r.paint(n, -1)
	defer r.paint(n, 1)
	f := r.s.find(q)
	if !f.ok {
		if f.at >= 0 {
			b.at = r.g.at(f.at)
		}
		b.where = fmt.Sprintf("a %s %s wide finds no way between the pads, holes and edges", kind, w)
		b.advice = "leave more room there: move the LED or the mount, make the gap in the board wider, or allow a narrower track or clearance"
		if kind != "track" {
			b.advice = "leave more room between the connectors, take thicker copper, or feed fewer boards through this one"
		}
		return b
	}
	names := []string{}
	for _, u := range f.nodes {
		if q.occ[u] == 0 {
			continue
		}
		p := r.g.at(u)
		if len(names) == 0 {
			b.at = p
		}
		for _, m := range r.nets {
			if m == n || slices.Contains(names, m.name) {
				continue
			}
			for i := range m.legs {
				hit := false
				r.strokes(&m.legs[i], func(side geom.Side, s geom.Segment, width geom.Nm) {
					if side == r.g.side(u) && s.DistTo(p) < float64((width+w)/2+r.b.Rules.Clearance+geom.Micrometre) {
						hit = true
					}
				})
				if hit {
					names, b.taken = append(names, m.name), append(b.taken, m.id)
					break
				}
			}
		}
	}
	if len(names) == 0 {
		b.where = fmt.Sprintf("the way there is too narrow for a %s %s wide with %s on either side", kind, w, r.b.Rules.Clearance)
		b.advice = "leave more room there: move the LED or the mount, or allow a narrower track or clearance"
		return b
	}
	if len(names) > 4 {
		names = append(names[:4], "others")
	}
	b.where = "the way there is taken by " + strings.Join(names, ", ")
	b.advice = "turn an LED or change the order of the strings there, make the board wider at this place, or allow narrower tracks"
	return b
}
