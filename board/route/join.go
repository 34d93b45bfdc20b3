package route

import (
	"cmp"
	"slices"

	"lampblack/panel/geom"
)

// connect joins the parts of a net as far as it can: the trunk first, then always the smallest part to the nearest
// other copper of the net, which is an edge of a minimum spanning tree (Borůvka's and Prim's cut rule) whose Steiner
// points are wherever the nearest copper is. press is the price of others' copper, 0 forbids it.
func (r *router) connect(n *net, press int32) {
	n.stuck = map[int]bool{}
	n.thin = false
	if n.in >= 0 && !slices.ContainsFunc(n.legs, func(l leg) bool { return l.trunk }) {
		n.legs = nil
		for {
			w := n.trunk[n.tlevel]
			f := r.join(n, w, press, component{pins: []int{n.in}}, []component{{pins: []int{n.out}}}, true)
			if f.ok {
				r.splitAtPads(n)
				break
			}
			if n.tlevel+1 >= len(n.trunk) {
				n.thin = true
				n.stuck[n.out] = true
				break
			}
			n.tlevel++
		}
	}
	for {
		parts := slices.DeleteFunc(n.components(), func(c component) bool { return len(c.pins) == 0 || n.stuck[c.pins[0]] || n.walled[c.pins[0]] })
		if len(parts) < 2 {
			return
		}
		k := 0
		for i, c := range parts {
			if cmp.Or(cmp.Compare(c.size, parts[k].size), cmp.Compare(c.pins[0], parts[k].pins[0])) < 0 {
				k = i
			}
		}
		from := parts[k]
		rest := slices.Delete(slices.Clone(parts), k, k+1)
		f := r.join(n, n.width(), press, from, rest, false)
		for lv := n.level + 1; !f.ok && lv < len(n.ladder); lv++ {
			f = r.join(n, n.ladder[lv], press, from, rest, false)
		}
		if !f.ok {
			n.stuck[from.pins[0]] = true
			if press > 0 {
				// Others can be passed at a price, so what stops it stands fixed: it need not be tried again.
				n.walled[from.pins[0]] = true
			}
		}
	}
}

// splitAtPads cuts the trunk at the pads of its own net that it runs over, so that it ends at their centres.
func (r *router) splitAtPads(n *net) {
	over := map[int32]int{}
	for _, p := range n.pins {
		for _, side := range geom.BothSides() {
			for _, u := range r.pins[p].nodes[side] {
				over[u] = p
			}
		}
	}
	l := n.legs[len(n.legs)-1]
	n.legs = n.legs[:len(n.legs)-1]
	start, a := 0, l.a
	for i := 0; i < len(l.nodes); i++ {
		p, ok := over[l.nodes[i]]
		if !ok || p == l.a || p == l.b {
			continue
		}
		j := i
		for j+1 < len(l.nodes) {
			if q, ok := over[l.nodes[j+1]]; !ok || q != p {
				break
			}
			j++
		}
		part := l
		part.nodes, part.a, part.b = slices.Clone(l.nodes[start:i+1]), a, p
		n.legs = append(n.legs, part)
		start, a, i = j, p, j
	}
	part := l
	part.nodes, part.a = slices.Clone(l.nodes[start:]), a
	n.legs = append(n.legs, part)
}

// join searches a way between parts of a net and adds it to its legs.
func (r *router) join(n *net, w geom.Nm, press int32, from component, to []component, trunk bool) found {
	class := r.class(w)
	q := query{
		net: n, half: int32((w/2 + geom.Micrometre - 1) / geom.Micrometre),
		occ: r.occ[class], via: r.via, hist: r.hist, press: press, greed: 130,
		starts: r.ends(n, from),
	}
	if press == 0 {
		q.hist, q.greed = r.quiet(), 105
	}
	for _, c := range to {
		q.goals = append(q.goals, r.ends(n, c)...)
	}
	f := r.s.find(q)
	if !f.ok {
		return f
	}
	first, last := f.nodes[0], f.nodes[len(f.nodes)-1]
	tags := [2]int32{tagAt(q.starts, first), tagAt(q.goals, last)}
	l := leg{nodes: f.nodes, a: -1, b: -1, width: w, trunk: trunk}
	full := n.ladder[0]
	if trunk {
		full = n.trunk[0]
	}
	l.reduce = w < full
	for e, t := range tags {
		p, k := untag(t)
		if p >= 0 {
			if e == 0 {
				l.a = p
			} else {
				l.b = p
			}
			continue
		}
		n.split(k, l.end(e))
	}
	n.legs = append(n.legs, l)
	return f
}

// quiet returns a map of no past quarrels.
func (r *router) quiet() []uint16 {
	if r.s.none == nil {
		r.s.none = make([]uint16, 2*r.g.n)
	}
	return r.s.none
}

// tagAt returns the tag that the search saw at a node: the last one given.
func tagAt(ends []end, node int32) int32 {
	for i := len(ends) - 1; i >= 0; i-- {
		if ends[i].node == node {
			return ends[i].tag
		}
	}
	return 0
}

// ends returns the nodes of a part of a net: of its legs, then of its pads, which take precedence.
func (r *router) ends(n *net, c component) []end {
	var out []end
	for _, k := range c.legs {
		for _, u := range n.legs[k].nodes {
			out = append(out, end{u, tagLeg(k), 0})
		}
	}
	for _, k := range c.pins {
		p := &r.pins[k]
		for _, side := range geom.BothSides() {
			for _, u := range p.nodes[side] {
				out = append(out, end{u, tagPin(k), int32(r.g.at(u).Dist(p.At)/1000) + 1})
			}
		}
	}
	return out
}
