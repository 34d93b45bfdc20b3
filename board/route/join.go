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
		r.watch.Look()
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
		for lv := n.level + 1; !f.ok && n.budget == 0 && lv < len(n.ladder); lv++ {
			f = r.join(n, n.ladder[lv], press, from, rest, false)
		}
		if !f.ok {
			n.stuck[from.pins[0]] = true
			if press > 0 && n.budget == 0 {
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
	q := &query{
		net: n, half: int32((w/2 + geom.Micrometre - 1) / geom.Micrometre),
		occ: r.occ[class], via: r.via, hist: r.hist, press: press, greed: 130,
		starts: r.ends(r.starts[:0], n, from), goals: r.goals[:0],
	}
	if press == 0 {
		q.hist, q.greed = nil, 105 // no grudges once all is settled
	}
	for _, c := range to {
		q.goals = r.ends(q.goals, n, c)
	}
	r.starts, r.goals = q.starts, q.goals // their room serves the next search
	r.watch.Look()
	f := r.s.find(q)
	if !f.ok {
		return f
	}
	l := leg{nodes: f.nodes, a: -1, b: -1, width: w, trunk: trunk}
	full := n.ladder[0]
	if trunk {
		full = n.trunk[0]
	}
	l.reduce = w < full
	for e, t := range f.tags {
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

// ends appends the nodes of a part of a net: of its legs, then of its pads, which take precedence.
func (r *router) ends(out []end, n *net, c component) []end {
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
