package route

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// pin is a pad with what the router needs of its part.
type pin struct {
	board.Pad
	shape shape
	part  int
	ref   string
	nodes [2][]int32 // grid nodes in its copper, by side
}

// name returns the pin as a builder would call it: "D7 A", "R3 pin 1".
func (p *pin) name() string {
	if p.Function != "" {
		return p.ref + " " + p.Function
	}
	return fmt.Sprintf("%s pin %s", p.ref, p.Pin)
}

// net is one net's pins, what it wants, and the copper it has so far.
type net struct {
	id   led.NetID
	name string
	pins []int // indices into router.pins, ascending

	supply bool      // a supply conductor or 0V
	prefer geom.Side // the side it should keep to
	ladder []geom.Nm // widths to try, widest first
	level  int       // index into ladder
	trunk  []geom.Nm // the same for the run from IN to OUT; empty without one
	tlevel int
	in     int // pins of the trunk
	out    int

	bound   float64 // Euclidean minimum spanning tree, nm
	legs    []leg
	painted bool         // its copper is on the router's maps
	stuck   map[int]bool // first pins of components that could not be joined in the last try
	walled  map[int]bool // the same for those that pads, holes and edges alone shut in
	shy     bool         // vias are dearer than usual for now
	budget  int32        // µm: no dearer way is looked for; 0: any
	thin    bool         // the trunk could not be run at the width its current needs
}

// leg is a run of grid nodes between two ends of a net's tree: pins or junctions. It may change sides.
type leg struct {
	nodes  []int32
	a, b   int // pins at the ends, -1 for a junction with other legs
	width  geom.Nm
	trunk  bool
	reduce bool // narrower than preferred: to be widened where there is room
}

func (n *net) width() geom.Nm { return n.ladder[n.level] }

// collect gathers the pins and nets of the board, nets in the order of their identity.
func collect(w *work.Watch, b board.Board) ([]pin, []*net) {
	var pins []pin
	byNet := map[led.NetID][]int{}
	var ids []led.NetID
	in, out := map[led.NetID]int{}, map[led.NetID]int{}
	b.Pads(func(i, j int) bool {
		p := pin{Pad: b.Parts[i].Pads[j], part: i, ref: b.Parts[i].Ref}
		p.shape = shapeOf(p.Pad)
		k := len(pins)
		pins = append(pins, p)
		if p.Net <= led.NoNet {
			return true
		}
		if len(byNet[p.Net]) == 0 {
			ids = append(ids, p.Net)
		}
		byNet[p.Net] = append(byNet[p.Net], k)
		if b.Parts[i].Kind == board.Connector {
			m := in
			if b.Parts[i].Role == led.Out {
				m = out
			}
			if _, ok := m[p.Net]; !ok {
				m[p.Net] = k
			}
		}
		return true
	})
	slices.Sort(ids)
	own := ipcWidth(ownAmps(b), b.Laminate.Copper)
	var nets []*net
	for _, id := range ids {
		w.Look()
		if len(byNet[id]) < 2 {
			continue
		}
		n := &net{id: id, pins: byNet[id], prefer: geom.Bottom, in: -1, out: -1, walled: map[int]bool{}}
		amps := part.Amp(0)
		n.name = fmt.Sprintf("net %d", id)
		if int(id) < len(b.Nets) {
			amps = b.Nets[id].Amps
			if b.Nets[id].Name != "" {
				n.name = b.Nets[id].Name
			}
		}
		lowest := max(b.Rules.Track, geom.Micrometre)
		a, okA := in[id]
		z, okZ := out[id]
		// Supply conductors of groups that are dimmed apart are known by their pins on both connectors.
		if id == led.Supply || id == led.Return || okA && okZ {
			n.supply = true
			if id == led.Return {
				n.prefer = geom.Top
			}
			// The branches carry this board's own current at most.
			n.ladder = widths(branchWidth, max(own, lowest), 600*geom.Micrometre, b.Rules.Signal)
			if okA && okZ {
				n.in, n.out = a, z
				n.trunk = widths(trunkWidth, max(ipcWidth(amps, b.Laminate.Copper), lowest), 800*geom.Micrometre, 600*geom.Micrometre)
			}
		} else {
			mid := (b.Rules.Signal + b.Rules.Track) / 2
			n.ladder = widths(b.Rules.Signal, max(ipcWidth(amps, b.Laminate.Copper), lowest), mid)
		}
		pts := make([]geom.Pt, len(n.pins))
		for i, k := range n.pins {
			pts[i] = pins[k].At
		}
		n.bound = spanning(w, pts)
		nets = append(nets, n)
	}
	return pins, nets
}

// order sorts nets for routing: short signals first, for they have the least room to choose, then the supply's trees,
// which reach everywhere.
func order(nets []*net) []*net {
	out := slices.Clone(nets)
	slices.SortFunc(out, func(a, b *net) int {
		if a.supply != b.supply {
			if b.supply {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.bound, b.bound), cmp.Compare(a.id, b.id))
	})
	return out
}

// spanning returns the length of the Euclidean minimum spanning tree, in nm.
//
// Source: R. C. Prim, "Shortest Connection Networks and Some Generalizations", Bell System Technical Journal 36(6),
// 1957, doi:10.1002/j.1538-7305.1957.tb01515.x; the form for dense graphs, O(n²).
func spanning(w *work.Watch, pts []geom.Pt) float64 {
	if len(pts) < 2 {
		return 0
	}
	near := make([]float64, len(pts))
	for i := range near {
		near[i] = math.Inf(1)
	}
	done := make([]bool, len(pts))
	sum, at := 0.0, 0
	done[0] = true
	for range len(pts) - 1 {
		w.Look()
		next := -1
		for i := range pts {
			if done[i] {
				continue
			}
			near[i] = min(near[i], pts[at].Dist(pts[i]))
			if next < 0 || near[i] < near[next] {
				next = i
			}
		}
		sum += near[next]
		done[next] = true
		at = next
	}
	return sum
}
