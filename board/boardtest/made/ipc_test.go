package made_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/boardtest/made"
	"lampblack/board/check"
	"lampblack/led"
	"lampblack/panel/geom"
)

// ipcWidth is the width that i amperes heat by 10 K in an outer layer of 35 um: I = 0.048·ΔT^0.44·A^0.725 with A in square mils
// (IPC-2221, by references.md section 3), computed here apart from the product's.
func ipcWidth(i float64) geom.Nm {
	return geom.MM(math.Pow(i/(0.048*math.Pow(10, 0.44)), 1/0.725) * 0.0254 * 0.0254 / 0.035)
}

// piece is a track, a via or a pad of one net.
type piece struct {
	on    [2]bool // by side
	segs  []geom.Segment
	half  geom.Nm // of its width
	track int     // index, or -1
	amps  float64 // that a pad takes from the net
	in    bool    // a pad of the IN connector
}

func (p piece) touches(q piece) bool {
	if !(p.on[0] && q.on[0] || p.on[1] && q.on[1]) {
		return false
	}
	for _, s := range p.segs {
		for _, t := range q.segs {
			if s.Dist(t) < float64(p.half+q.half) {
				return true
			}
		}
	}
	return false
}

// pieces returns a net's copper but for areas, which only add to it.
func pieces(b board.Board, w led.Wiring, net led.NetID) []piece {
	var out []piece
	own := 0.0
	for _, s := range w.Strings {
		own += float64(w.Nets[w.Resistors[s.Resistor].To].Amps)
	}
	for i, t := range b.Tracks {
		if t.Net == net {
			p := piece{half: t.Width / 2, track: i}
			p.on[t.On] = true
			for k := 1; k < len(t.Path); k++ {
				p.segs = append(p.segs, geom.Segment{A: t.Path[k-1], B: t.Path[k]})
			}
			out = append(out, p)
		}
	}
	for _, v := range b.Vias {
		if v.Net == net {
			out = append(out, piece{on: [2]bool{true, true}, segs: []geom.Segment{{A: v.At, B: v.At}}, half: v.D / 2, track: -1})
		}
	}
	for _, q := range b.Parts {
		for _, d := range q.Pads {
			if d.Net != net {
				continue
			}
			p := piece{segs: []geom.Segment{{A: d.At, B: d.At}}, half: min(d.W, d.H) / 2, track: -1}
			p.on[0], p.on[1] = d.OnSide(0), d.OnSide(1)
			switch {
			case q.Kind == board.Connector && q.Role == led.In:
				p.in = true
			case q.Kind == board.Connector:
				p.amps = float64(w.Through) - own
			case q.Kind == board.Resistor && net == led.Supply, q.Kind == board.LED && net == led.Return:
				p.amps = own / float64(len(w.Strings))
			}
			out = append(out, p)
		}
	}
	return out
}

// carried returns the current that a track carries: what is cut off from IN without it.
func carried(all []piece, near [][]int, without int) float64 {
	seen := make([]bool, len(all))
	var queue []int
	for i, p := range all {
		if p.in {
			seen[i] = true
			queue = append(queue, i)
		}
	}
	for k := 0; k < len(queue); k++ {
		for _, j := range near[queue[k]] {
			if j != without && !seen[j] {
				seen[j] = true
				queue = append(queue, j)
			}
		}
	}
	sum := 0.0
	for i, p := range all {
		if !seen[i] {
			sum += p.amps
		}
	}
	return sum
}

// The finished board against IPC-2221: every track is as wide as its current asks for, of the supply's whatever hangs behind it;
// copper of two nets is as far apart as table 6-1 has it up to 15 V, under soldermask (B4) 0.05 mm and at the bare ends of parts
// (A6) 0.13 mm.
func TestFinishedBoardsHoldIPC2221(t *testing.T) {
	for seed, leds := range []int{9, 40} {
		p := boardtest.Panel(uint64(seed+1), leds)
		w := boardtest.Wiring(p)
		w.Through += 2 // A, for the boards behind: wider than any rule of the class asks for
		w.Nets[led.Supply].Amps, w.Nets[led.Return].Amps = w.Through, w.Through
		b, l := made.Of(p, w)
		require.False(t, l.HasErrors(), "%v", l.Err())
		trunk := 0.0
		for _, net := range []led.NetID{led.Supply, led.Return} {
			all := pieces(b, w, net)
			near := make([][]int, len(all))
			for i := range all {
				for j := range all {
					if i != j && all[i].touches(all[j]) {
						near[i] = append(near[i], j)
					}
				}
			}
			require.Zero(t, carried(all, near, -1), "the tracks alone join the net")
			for i, q := range all {
				if q.track < 0 {
					continue
				}
				amps := carried(all, near, i)
				trunk = max(trunk, amps)
				require.GreaterOrEqual(t, b.Tracks[q.track].Width, ipcWidth(amps), "%s: a track of %v carries %.2f A", w.Nets[net].Name, b.Tracks[q.track].Width, amps)
			}
		}
		require.Greater(t, trunk, 2.4, "some track carries what goes on to the next board")
		require.Greater(t, ipcWidth(2.5), b.Rules.Track*4, "or the rule would not be tried")
		for _, track := range b.Tracks {
			if track.Net > led.Return {
				require.GreaterOrEqual(t, track.Width, ipcWidth(float64(w.Nets[track.Net].Amps)))
			}
		}
		require.GreaterOrEqual(t, check.Measure(t.Context(), b).MinClearance, geom.MM(0.05))
		type end struct {
			pad board.Pad
			box geom.Box
		}
		var ends []end
		for _, q := range b.Parts {
			for _, d := range q.Pads {
				ends = append(ends, end{d, d.Contour(0).Box()})
			}
		}
		for i, x := range ends {
			for _, y := range ends[:i] {
				if x.pad.Net != y.pad.Net && (x.pad.OnSide(0) && y.pad.OnSide(0) || x.pad.OnSide(1) && y.pad.OnSide(1)) {
					require.GreaterOrEqual(t, x.box.Dist(y.box), float64(geom.MM(0.13)))
				}
			}
		}
	}
}
