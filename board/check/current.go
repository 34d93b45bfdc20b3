package check

import (
	"cmp"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// heating is how much warmer than the board its current may make a track, in kelvin (common practice), and plating the least
// copper of a plated hole's wall (IPC-6012 class 2, from memory).
const (
	heating = 10
	plating = 20 * geom.Micrometre
)

// anyCurrent is more than any board carries, in microamperes.
const anyCurrent = math.MaxInt64 / 4

// joint is a place along a track: how far from its start, in nanometres.
type joint struct {
	along float64
	at    geom.Pt
}

func (a joint) compare(b joint) int {
	return cmp.Or(cmp.Compare(a.along, b.along), cmp.Compare(a.at.X, b.at.X), cmp.Compare(a.at.Y, b.at.Y))
}

// auditCurrents checks that the copper of each net carries what the circuit asks of it, by IPC-2221 for outer layers.
//
// A net is a network of pipes: each stretch of a track between two joints carries up to what heats it by heating, a via what the
// copper of its wall does, pads and areas whatever comes. What the net's pins give to it at worst must find its way to those
// that take it. Where it does not, the cut of least capacity is the narrow place (Ford and Fulkerson, "Maximal flow through a
// network", Canadian Journal of Mathematics 8, 1956, doi:10.4153/CJM-1956-045-5). Copper in parallel counts together, however
// the current shares itself out.
func (m *model) auditCurrents() diag.List {
	var l diag.List
	if m.b.Laminate.Copper <= 0 {
		return nil // a board that tells no thickness, as packs of others may
	}
	netOf := map[netNo]int{}
	for i := 1; i < len(m.w.Nets); i++ {
		netOf[m.netNamed(m.w.Nets[i].Name)] = i
	}
	cluster := map[int]int{} // by its root: the net of its pads
	for i, n := range m.nodes {
		if net, ok := netOf[n.net]; ok && n.kind == aPad {
			cluster[m.firm.Least(i)] = net
		}
	}
	nodes, contacts := make([][]int, len(m.w.Nets)), make([][]contact, len(m.w.Nets))
	for i := range m.nodes {
		net := cluster[m.firm.Least(i)]
		nodes[net] = append(nodes[net], i)
	}
	for _, c := range m.soft {
		if c.firm {
			net := cluster[m.firm.Least(c.a)]
			contacts[net] = append(contacts[net], c)
		}
	}
	given := m.given()
	for net := 1; net < len(nodes); net++ {
		m.watch.Look()
		l = append(l, m.auditCurrent(led.NetID(net), nodes[net], contacts[net], given)...)
	}
	return l
}

// end is a part's end on a net.
type end struct {
	ref string
	net led.NetID
}

// given returns what each part of the circuit gives to a net at worst, in microamperes; what it takes is negative.
func (m *model) given() map[end]int64 {
	out := map[end]int64{}
	nets := m.w.Nets
	own := make([]int64, len(nets)) // of the board's strings
	micro := func(net led.NetID) int64 { return int64(float64(nets[net].Amps) * 1e6) }
	for _, s := range m.w.Strings {
		r := m.w.Resistors[s.Resistor]
		i := micro(r.To)
		out[end{r.Ref, r.From}], out[end{r.Ref, r.To}] = -i, i
		for _, d := range s.LEDs {
			x := m.w.LEDs[d]
			out[end{x.Ref, x.Anode}], out[end{x.Ref, x.Cathode}] = -i, i
		}
		own[r.From] += i
		own[led.Return] += i
	}
	for _, c := range m.w.Connectors {
		for _, net := range c.Pins {
			i := max(micro(net), own[net])
			if c.Role == led.Out {
				i = own[net] - i
			}
			if net == led.Return {
				i = -i
			}
			out[end{c.Ref, net}] = i
		}
	}
	return out
}

// auditCurrent judges one net: its copper and the firm contacts within.
func (m *model) auditCurrent(net led.NetID, nodes []int, contacts []contact, given map[end]int64) diag.List {
	f := &pipes{}
	source, sink := f.node(), f.node()
	bulk := map[int][2]int{} // of what is no track, by side; a via's differ
	stops := map[int]map[joint]int{}
	in, out := int64(0), int64(0)
	for _, n := range nodes {
		d := m.nodes[n]
		if d.kind == aTrack {
			stops[n] = map[joint]int{}
			continue
		}
		k := f.node()
		bulk[n] = [2]int{k, k}
		switch d.kind {
		case aVia:
			bulk[n] = [2]int{k, f.node()}
			f.pipe(k, bulk[n][1], viaAmps(m.b.Vias[d.index]), n, joint{at: d.at})
		case aPad:
			switch i := given[end{m.refOf(n), net}]; {
			case i > 0:
				in += i
				f.pipe(source, k, i, -1, joint{})
			case i < 0:
				out -= i
				f.pipe(k, sink, -i, -1, joint{})
			}
		}
	}
	stop := func(n int, at joint) int {
		k, ok := stops[n][at]
		if !ok {
			k = f.node()
			stops[n][at] = k
		}
		return k
	}
	for _, c := range contacts {
		var ends [2]int
		for k, n := range [2]int{c.a, c.b} {
			if _, ok := stops[n]; ok {
				ends[k] = stop(n, along(m.b.Tracks[m.nodes[n].index].Path, c.at))
			} else {
				ends[k] = bulk[n][c.on]
			}
		}
		f.pipe(ends[0], ends[1], anyCurrent, -1, joint{})
	}
	for _, n := range nodes {
		if m.nodes[n].kind != aTrack {
			continue
		}
		t := m.b.Tracks[m.nodes[n].index]
		for _, q := range samples(t.Path) { // an area that a track lies in carries beside it
			if a := m.areaAt(q.at, t.On, m.firm.Least(n)); a >= 0 {
				f.pipe(stop(n, q), bulk[a][t.On], anyCurrent, -1, joint{})
			}
		}
		order := make([]joint, 0, len(stops[n]))
		for q := range stops[n] {
			order = append(order, q)
		}
		slices.SortFunc(order, joint.compare)
		for k := 1; k < len(order); k++ {
			f.pipe(stops[n][order[k-1]], stops[n][order[k]], trackAmps(t.Width, m.b.Laminate.Copper), n, order[k])
		}
	}
	want := min(in, out)
	got := f.most(source, sink)
	worst := f.narrowest()
	if got >= want || worst == nil { // where it cannot be reached at all the net is open, which is told as such
		return nil
	}
	amps := func(i int64) part.Amp { return part.Amp(float64(i) / 1e6).Rounded() }
	var l diag.List
	x := l.Add(diag.Error, "check-thin-current", "%s carries %v here, and all copper beside it too no more than %v together; net %s must carry %v (IPC-2221, %d K)",
		m.nameOf(worst.of), amps(worst.cap), amps(got), m.w.Nets[net].Name, amps(want), heating).
		OfNet(m.w.Nets[net].Name).At(worst.at.at.X.MM(), worst.at.at.Y.MM())
	if m.nodes[worst.of].kind == aVia {
		x.Fix("put more vias beside it")
	} else {
		need := part.TrackWidth(part.Amp(float64(worst.cap+want-got)/1e6), heating, m.b.Laminate.Copper)
		x.Fix("make it %v wide from there to its next joint, or give the current a second way", need)
	}
	return l
}

// areaAt returns the area on that side, in the firm cluster of that root, that holds p; -1 for none.
func (m *model) areaAt(p geom.Pt, on geom.Side, root int) int {
	c := m.side[on]
	j := c.covering(p, func(j int) bool { return m.nodes[c.nodes[j]].kind == anArea && m.firm.Least(c.nodes[j]) == root })
	if j < 0 {
		return -1
	}
	return c.nodes[j]
}

// along returns the place of the path that is nearest to p.
func along(path geom.Polyline, p geom.Pt) joint {
	best, least, sum := joint{at: path[0]}, math.Inf(1), 0.0
	for k := 1; k < len(path); k++ {
		q := geom.Segment{A: path[k-1], B: path[k]}.Nearest(p)
		if d := q.Dist(p); d < least {
			best, least = joint{sum + path[k-1].Dist(q), q}, d
		}
		sum += path[k-1].Dist(path[k])
	}
	return best
}

// samples returns places along the path, its corners among them, a millimetre apart at most.
func samples(path geom.Polyline) []joint {
	out := []joint{{0, path[0]}}
	sum := 0.0
	for k := 1; k < len(path); k++ {
		a, v := path[k-1], path[k].Sub(path[k-1])
		l := a.Dist(path[k])
		n := geom.Nm(l)/geom.Millimetre + 1
		for i := geom.Nm(1); i <= n; i++ {
			q := geom.Pt{X: a.X + v.X*i/n, Y: a.Y + v.Y*i/n}
			out = append(out, joint{sum + a.Dist(q), q})
		}
		sum += l
	}
	return out
}

// trackAmps and viaAmps return what copper carries, in microamperes, a micrometre of width given.
func trackAmps(width, copper geom.Nm) int64 {
	return int64(math.Ceil(float64(part.TrackAmps(width+slack, heating, copper)) * 1e6))
}

func viaAmps(v board.Via) int64 {
	round := geom.Nm(math.Pi * float64(v.Drill+plating))
	return trackAmps(round, plating)
}
