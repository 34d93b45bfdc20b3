package footprint_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// packages returns the bodies of all LED kinds, each once.
func packages() []string {
	var out []string
	seen := map[string]bool{}
	for _, k := range part.Kinds() {
		if !seen[k.Package] {
			seen[k.Package] = true
			out = append(out, k.Package)
		}
	}
	return out
}

// Every kind of LED in the catalogue, however turned, has its cathode as pin 1, and its anode opposite as pin 2 (IPC-7351A,
// level A: at rotation 0 pin 1 is on the left). With leads, the cathode's pad is the square one and the flange is flat there.
func TestCathodeIsPinOne(t *testing.T) {
	require.NotEmpty(t, packages())
	at := geom.PtMM(31, 17)
	for _, name := range packages() {
		for turn := range 8 {
			what := fmt.Sprintf("%s, turned by %d degrees", name, 45*turn)
			p := lookup(t, name).Place("D1", board.LED, at, 45*turn, geom.Top, 0)
			require.Len(t, p.Pads, 2, what)
			k, a := p.Pads[0], p.Pads[1]
			require.Equal(t, "1K 2A", k.Pin+k.Function+" "+a.Pin+a.Function, what)
			// The way from the middle to the cathode: left, then as the turn goes counter-clockwise.
			toK := []geom.Vec{{X: -1}, {X: -1, Y: -1}, {Y: -1}, {X: 1, Y: -1}, {X: 1}, {X: 1, Y: 1}, {Y: 1}, {X: -1, Y: 1}}[turn]
			require.Zero(t, k.At.Sub(at).Cross(toK), what)
			require.Positive(t, k.At.Sub(at).Dot(toK), what)
			require.Equal(t, k.At.Sub(at), at.Sub(a.At), what)
			if !k.Through {
				continue
			}
			require.Equal(t, board.Square, k.Shape, what)
			require.Equal(t, k.W, k.H, what)
			require.Equal(t, board.Round, a.Shape, what)
			var reachK, reachA int64
			for _, q := range p.Body {
				d := int64(float64(q.Sub(at).Dot(toK)) / toK.Len())
				reachK, reachA = max(reachK, d), max(reachA, -d)
			}
			require.Greater(t, reachA-reachK, int64(geom.MM(0.25)), "%s: the flat is on the cathode's side", what)
		}
	}
}

// Of the pads with a hole only a cathode's is square. A connector's first is oblong, long across the row, so that pin 1, the
// supply, is told from 0 V, the last one, without reading.
func TestSquareMeansCathode(t *testing.T) {
	names := append(footprint.Names(), "header-2.54-3", "terminal-3.5-4", "terminal-5.08-10", "wire-pads-3")
	connectors := 0
	for _, name := range names {
		f := lookup(t, name)
		for i, p := range f.Pads {
			if p.Through {
				require.Equal(t, p.Function == "K", p.Shape == board.Square, "%s.%s", name, p.Pin)
			}
			if p.Function != "+" && p.Function != "-" {
				continue
			}
			connectors++
			require.Equal(t, i == len(f.Pads)-1, p.Function == "-", "%s: 0 V is the last pin", name)
			require.Equal(t, i == 0, p.Shape == board.Oblong, "%s: pin 1 alone is oblong", name)
			require.Equal(t, fmt.Sprint(i+1), p.Pin, name)
			if i > 0 {
				require.Greater(t, p.At.X, f.Pads[i-1].At.X, "%s: pins run to the right", name)
				require.Equal(t, board.Round, p.Shape, name)
			} else {
				require.GreaterOrEqual(t, float64(p.H)/float64(p.W), 1.15, "%s: seen to be long", name)
			}
		}
	}
	require.Equal(t, 4*2+3+4+10+3, connectors)
}

// The footprint's own ink says the cathode: a line of at least 1.4 mm across the axis of the leads, beyond the cathode's pad
// and clear of its mask opening; there is none beyond the anode.
func TestInkBeyondTheCathode(t *testing.T) {
	r := board.UsualRules()
	for _, name := range packages() {
		for turn := range 8 {
			p := lookup(t, name).Place("D1", board.LED, geom.Pt{}, 45*turn, geom.Top, r.MaskMargin)
			lines := map[string]int{}
			for _, m := range p.Marks {
				require.Equal(t, geom.Top, m.On)
				for _, s := range m.Path.Segments() {
					for _, pad := range p.Pads {
						half := pad.W / 2
						if turn%4 >= 2 { // its W lies across
							half = pad.H / 2
						}
						out := pad.At.Sub(p.At) // along the axis
						beyond := s.A.Sub(pad.At).Dot(out) > 0 && s.B.Sub(pad.At).Dot(out) > 0
						across := (out.Cross(s.A.Sub(p.At)) > 0) != (out.Cross(s.B.Sub(p.At)) > 0)
						clear := math.Abs(float64(s.A.Sub(pad.At).Dot(out)))/out.Len() - float64(half+pad.Mask+m.Width/2)
						if across && beyond && upright(s, out, turn) && s.A.Dist(s.B) >= float64(geom.MM(1.4)) && clear > float64(r.LegendClear)-2 {
							lines[pad.Function]++
						}
					}
				}
			}
			require.Positive(t, lines["K"], "%s, turn %d", name, turn)
			require.Zero(t, lines["A"], "%s, turn %d", name, turn)
		}
	}
}

// upright reports whether a line stands upright on a way: exactly so, or aslant to the rounding of its ends.
func upright(s geom.Segment, way geom.Vec, turn int) bool {
	off := math.Abs(float64(s.A.Sub(s.B).Dot(way))) / way.Len()
	return off == 0 || turn%2 == 1 && off < 2
}
