package route

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// The oracle judges a routed board by brute force over all pairs, from outlines (not from the shapes the router
// measures by), and knows nothing of lattices or indexes.

// copper is one piece of copper: all points no farther than r from the ring's area or from the segment.
type copper struct {
	what string
	net  led.NetID
	on   [2]bool
	ring geom.Ring // nil for a track or via
	seg  geom.Segment
	r    float64
}

func (c copper) edges() []geom.Segment {
	if c.ring != nil {
		return c.ring.Segments()
	}
	return []geom.Segment{c.seg}
}

func (c copper) dist(d copper) float64 {
	best := math.Inf(1)
	for _, s := range c.edges() {
		for _, t := range d.edges() {
			best = min(best, s.Dist(t))
		}
	}
	if c.ring != nil && c.ring.Locate(d.edges()[0].A) != geom.Outside || d.ring != nil && d.ring.Locate(c.edges()[0].A) != geom.Outside {
		best = 0
	}
	return best - c.r - d.r
}

func coppers(b board.Board) (pads, made []copper) {
	for _, p := range b.Parts {
		for _, q := range p.Pads {
			pads = append(pads, copper{
				what: "pad " + p.Ref + "." + q.Pin, net: q.Net, on: [2]bool{q.OnSide(geom.Top), q.OnSide(geom.Bottom)},
				ring: q.Contour(0).Ring(geom.FlattenTolerance),
			})
		}
	}
	for _, t := range b.Tracks {
		for _, s := range t.Path.Segments() {
			made = append(made, copper{what: "track " + t.On.String(), net: t.Net, on: [2]bool{t.On == geom.Top, t.On == geom.Bottom}, seg: s, r: float64(t.Width) / 2})
		}
	}
	for _, v := range b.Vias {
		made = append(made, copper{what: "via", net: v.Net, on: [2]bool{true, true}, seg: geom.Segment{A: v.At, B: v.At}, r: float64(v.D) / 2})
	}
	return pads, made
}

// requireClear fails when any made copper is too near to foreign copper, a hole or an edge. Flattening makes round
// things look up to 2 µm smaller, so distances come out no shorter than they are.
func requireClear(t *testing.T, b board.Board) {
	t.Helper()
	pads, made := coppers(b)
	r := b.Rules
	bad := 0
	fail := func(c copper, what string, d float64, want geom.Nm) {
		if d < float64(want)-1 && bad < 10 {
			bad++
			t.Errorf("%s: %s of net %d near %.3f, %.3f mm is %.4f mm from %s, needs %v", b.Name, c.what, c.net,
				c.seg.A.X.MM(), c.seg.A.Y.MM(), d/1e6, what, want)
		}
	}
	boxes := make([]geom.Box, len(made))
	for i, c := range made {
		boxes[i] = c.seg.Box().Grown(geom.MM(3))
	}
	for i, c := range made {
		for j, d := range append(made[i+1:len(made):len(made)], pads...) {
			if c.net == d.net && d.net != led.NoNet || !(c.on[0] && d.on[0] || c.on[1] && d.on[1]) {
				continue
			}
			if k := i + 1 + j; k < len(made) && !boxes[i].Touches(boxes[k]) {
				continue
			}
			fail(c, d.what, c.dist(d), r.Clearance)
		}
		for _, e := range append([]geom.Contour{b.Outline}, b.Cutouts...) {
			for _, s := range e.Ring(geom.FlattenTolerance).Segments() {
				fail(c, "the edge", c.seg.Dist(s)-c.r, r.CopperToEdge)
			}
		}
		require.Equal(t, geom.Inside, b.Outline.Ring(geom.FlattenTolerance).Locate(c.seg.A))
		for _, h := range b.Holes {
			want := r.CopperToHole
			if h.What == board.MountHole {
				want = max(want, r.ScrewClear)
			}
			fail(c, "a hole", c.seg.DistTo(h.At)-c.r-float64(h.D)/2, want)
		}
	}
	for i, v := range b.Vias {
		for _, w := range b.Vias[i+1:] {
			require.GreaterOrEqual(t, v.At.Dist(w.At)-float64(v.Drill/2+w.Drill/2), float64(r.BetweenHoles), "vias too near")
		}
		for _, p := range b.Parts {
			for _, q := range p.Pads {
				if q.Drill > 0 {
					require.GreaterOrEqual(t, v.At.Dist(q.At)-float64(v.Drill/2+q.Drill/2), float64(r.BetweenHoles), "via near pad")
				}
			}
		}
	}
}

// opens counts the connections that copper does not make: pins less joined groups, over all nets.
func opens(b board.Board) int {
	pads, made := coppers(b)
	all := append(pads, made...)
	parent := make([]int, len(all))
	for i := range parent {
		parent[i] = i
	}
	var root func(int) int
	root = func(i int) int {
		if parent[i] != i {
			parent[i] = root(parent[i])
		}
		return parent[i]
	}
	for i := range all {
		for j := i + 1; j < len(all); j++ {
			if all[i].net == all[j].net && (all[i].on[0] && all[j].on[0] || all[i].on[1] && all[j].on[1]) && root(i) != root(j) && all[i].dist(all[j]) <= 0 {
				parent[root(j)] = root(i)
			}
		}
	}
	groups := map[led.NetID]map[int]bool{}
	for i, p := range pads {
		if p.net == led.NoNet {
			continue
		}
		if groups[p.net] == nil {
			groups[p.net] = map[int]bool{}
		}
		groups[p.net][root(i)] = true
	}
	n := 0
	for _, g := range groups {
		n += len(g) - 1
	}
	return n
}

// requireNeat fails on sharp bends, acute joints, loops, tracks that do not end exactly on something of their net, and tracks
// that lead nowhere.
func requireNeat(t *testing.T, b board.Board) {
	t.Helper()
	type spot struct {
		net led.NetID
		at  geom.Pt
	}
	pads, vias, ends := map[spot]bool{}, map[spot]bool{}, map[spot]int{}
	leave := map[spot][]geom.Vec{} // by junction and side: the ways tracks leave it
	joined := map[spot]spot{}      // union-find over the ends of tracks
	root := func(s spot) spot {
		for joined[s] != s {
			s = joined[s]
		}
		return s
	}
	for _, p := range b.Parts {
		for _, q := range p.Pads {
			pads[spot{q.Net, q.At}] = true
		}
	}
	for _, v := range b.Vias {
		vias[spot{v.Net, v.At}] = true
	}
	for _, k := range b.Tracks {
		require.GreaterOrEqual(t, len(k.Path), 2)
		require.GreaterOrEqual(t, k.Width, b.Rules.Track)
		a, z := spot{k.Net, k.Path[0]}, spot{k.Net, k.Path[len(k.Path)-1]}
		ends[a]++
		ends[z]++
		side := led.NetID(1+k.On) << 20
		leave[spot{k.Net | side, a.at}] = append(leave[spot{k.Net | side, a.at}], k.Path[1].Sub(a.at))
		leave[spot{k.Net | side, z.at}] = append(leave[spot{k.Net | side, z.at}], k.Path[len(k.Path)-2].Sub(z.at))
		for _, s := range []spot{a, z} {
			if _, ok := joined[s]; !ok {
				joined[s] = s
			}
		}
		require.NotEqual(t, root(a), root(z), "net %d runs in a loop near %v", k.Net, a.at)
		joined[root(a)] = root(z)
		for i := 2; i < len(k.Path); i++ {
			u, v := k.Path[i-1].Sub(k.Path[i-2]), k.Path[i].Sub(k.Path[i-1])
			require.GreaterOrEqual(t, u.Dot(v), int64(0), "sharp bend of net %d at %v", k.Net, k.Path[i-1])
			require.False(t, u.Cross(v) == 0, "needless point at %v", k.Path[i-1])
		}
	}
	for s, ways := range leave {
		for i, u := range ways {
			for _, v := range ways[:i] {
				require.LessOrEqual(t, float64(u.Dot(v)), 0.7072*u.Len()*v.Len(), "tracks of a net meet at less than 45 degrees at %v", s.at)
			}
		}
	}
	for s, n := range ends {
		require.True(t, pads[s] || vias[s] || n >= 2, "track of net %d ends in the open at %v", s.net, s.at)
	}
	for s := range vias {
		require.GreaterOrEqual(t, ends[s], 2, "via of net %d at %v joins nothing", s.net, s.at)
	}
}
