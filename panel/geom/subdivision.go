package geom

import (
	"cmp"
	"slices"
)

// subdivision is the plane cut up by edges that meet in ends only. Half-edge 2i runs along edge i from p to q, 2i+1
// back.
type subdivision struct {
	edges []edge
	verts []Pt       // sorted by comparePts
	from  []int32    // vertex at which each half-edge begins
	fan   []int32    // half-edges, vertex by vertex, counter-clockwise from the direction of +X
	first []int32    // fan[first[v]:first[v+1]] leave vertex v
	place []int32    // index into fan of each half-edge
	left  [][2]int32 // winding of both operands to the left of each half-edge
}

// ptKey is a point as one whole number, which sorts as comparePts does: Y, then X, from the corner of a box that is less than 4 m
// wide and high, which is more than predicates can hold.
type ptKey uint64

func (b Box) keyOf(p Pt) ptKey { return ptKey(p.Y-b.Min.Y)<<32 | ptKey(p.X-b.Min.X) }
func (b Box) pt(k ptKey) Pt    { return Pt{X: b.Min.X + Nm(uint32(k)), Y: b.Min.Y + Nm(k>>32)} }

func (k Knife) subdivision(es []edge) *subdivision {
	s := &subdivision{edges: es}
	box := EmptyBox()
	for _, e := range es {
		box = box.With(e.p).With(e.q)
	}
	keys := make([]ptKey, 0, 2*len(es))
	for _, e := range es {
		keys = append(keys, box.keyOf(e.p), box.keyOf(e.q))
	}
	step := k.steps()
	slices.SortFunc(keys, func(a, b ptKey) int {
		step()
		return cmp.Compare(a, b)
	})
	keys = slices.Compact(keys)
	k.look()
	s.verts = make([]Pt, len(keys))
	id := make(map[ptKey]int32, len(keys))
	for i, key := range keys {
		step()
		s.verts[i] = box.pt(key)
		id[key] = int32(i)
	}
	k.look()
	n := 2 * len(es)
	s.from = make([]int32, n)
	s.first = make([]int32, len(s.verts)+1)
	for i, e := range es {
		step()
		p, q := id[box.keyOf(e.p)], id[box.keyOf(e.q)]
		s.from[2*i], s.from[2*i+1] = p, q
		s.first[p+1]++
		s.first[q+1]++
	}
	for v := range s.verts {
		s.first[v+1] += s.first[v]
	}
	s.fan = make([]int32, n)
	fill := slices.Clone(s.first)
	for h := range int32(n) {
		v := s.from[h]
		s.fan[fill[v]] = h
		fill[v]++
	}
	s.place = make([]int32, n)
	for v := range s.verts {
		step()
		f := s.fan[s.first[v]:s.first[v+1]]
		slices.SortFunc(f, func(a, b int32) int { return compareAngles(s.dir(a), s.dir(b)) })
		for i, h := range f {
			s.place[h] = s.first[v] + int32(i)
		}
	}
	k.look()
	s.wind(k)
	k.look()
	return s
}

func (s *subdivision) to(h int32) int32 { return s.from[h^1] }

func (s *subdivision) dir(h int32) Vec { return s.verts[s.to(h)].Sub(s.verts[s.from[h]]) }

// delta returns by how much the windings to the left of h exceed those to its right.
func (s *subdivision) delta(h int32) [2]int32 {
	w := s.edges[h/2].wind
	if h&1 == 1 {
		return [2]int32{-w[0], -w[1]}
	}
	return w
}

// compareAngles orders directions counter-clockwise from +X. Exact; no two edges of a subdivision leave a vertex in one
// direction.
func compareAngles(u, v Vec) int {
	if a, b := lower(u), lower(v); a != b {
		if b {
			return -1
		}
		return 1
	}
	switch c := u.Cross(v); {
	case c > 0:
		return -1
	case c < 0:
		return 1
	}
	return 0
}

func lower(v Vec) bool { return v.Y < 0 || v.Y == 0 && v.X < 0 }

// wind finds the windings of all half-edges: each connected set of edges starts at its lowest left vertex, where a ray
// to the left tells what lies round it, and hands the windings on from sector to sector and along its edges.
func (s *subdivision) wind(k Knife) {
	s.left = make([][2]int32, len(s.from))
	done := make([]bool, len(s.verts))
	bands := k.newBands(s.edges, nil)
	step := k.steps()
	var queue []int32
	for v := range s.verts {
		if done[v] {
			continue
		}
		k.look()
		// No edge leaves the lowest left vertex toward -X or below: what lies there lies before its first half-edge.
		s.spread(int32(v), s.first[v], s.outside(bands, s.verts[v]))
		done[v] = true
		queue = append(queue[:0], int32(v))
		for len(queue) > 0 {
			step()
			u := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, h := range s.fan[s.first[u]:s.first[u+1]] {
				if t := s.to(h); !done[t] {
					// The left of h is the right of its twin: what lies before the twin in its fan.
					s.spread(t, s.place[h^1], s.left[h])
					done[t] = true
					queue = append(queue, t)
				}
			}
		}
	}
}

// spread sets the windings left of all half-edges that leave v, given those of the sector before fan[start].
func (s *subdivision) spread(v, start int32, before [2]int32) {
	lo, hi := s.first[v], s.first[v+1]
	w := before
	for k := range hi - lo {
		h := s.fan[lo+(start-lo+k)%(hi-lo)]
		d := s.delta(h)
		w[0] += d[0]
		w[1] += d[1]
		s.left[h] = w
	}
}

// outside returns the windings just left of vertex p of edges that it is the lowest left end of.
func (s *subdivision) outside(b bands, p Pt) (w [2]int32) {
	for _, i := range b.edges[b.of(p.Y)] {
		e := &s.edges[i]
		if e.p.Y <= p.Y && p.Y < e.q.Y && Orient(e.p, e.q, p) == CW {
			w[0] -= e.wind[0]
			w[1] -= e.wind[1]
		}
	}
	return w
}

// border returns simple rings round the points whose windings keep accepts, these to their left.
func (s *subdivision) border(keep func(wa, wb int32) bool) []Ring {
	in := func(h int32) bool { return keep(s.left[h][0], s.left[h][1]) }
	on := make([]bool, len(s.from)) // kept to the left, not kept to the right
	for h := range on {
		on[h] = in(int32(h)) && !in(int32(h)^1)
	}
	var out []Ring
	var path []int32 // vertices of the ring under way
	at := make(map[int32]int, 64)
	for h0 := range int32(len(on)) {
		if !on[h0] {
			continue
		}
		path = path[:0]
		for h := h0; on[h]; h = s.next(h, on) {
			on[h] = false
			v := s.from[h]
			if i, again := at[v]; again { // the ring touches itself here: what lies between is a ring of its own
				out = append(out, s.ring(path[i:]))
				for _, u := range path[i:] {
					delete(at, u)
				}
				path = path[:i]
			}
			at[v] = len(path)
			path = append(path, v)
		}
		out = append(out, s.ring(path))
		clear(at)
	}
	return out
}

// next returns the border half-edge that follows h: at its end, the first one clockwise from its twin. It is h's own
// start again, no longer on, when the ring is closed.
func (s *subdivision) next(h int32, on []bool) int32 {
	v := s.to(h)
	lo, n := s.first[v], s.first[v+1]-s.first[v]
	k := s.place[h^1] - lo
	for i := int32(1); i <= n; i++ {
		if g := s.fan[lo+(k-i+n)%n]; on[g] {
			return g
		}
	}
	return h
}

func (s *subdivision) ring(path []int32) Ring {
	r := make(Ring, len(path))
	for i, v := range path {
		r[i] = s.verts[v]
	}
	return r
}
