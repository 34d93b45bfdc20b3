package route

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

func TestRouteDesks(t *testing.T) {
	for _, c := range []struct {
		n    int
		w, h float64
	}{{4, 60, 40}, {12, 80, 60}, {36, 120, 90}} {
		for seed := uint64(1); seed <= 2; seed++ {
			b := desk(seed, c.n, c.w, c.h)
			before, err := json.Marshal(b)
			require.NoError(t, err)
			got, f, l := Route(context.Background(), b, Options{})
			after, err := json.Marshal(b)
			require.NoError(t, err)
			require.Equal(t, string(before), string(after), "the argument was changed")
			require.Empty(t, l)
			require.Zero(t, f.Unrouted)
			requireClear(t, got)
			requireNeat(t, got)
			require.Zero(t, opens(got))
			// Our aim: at most 1.25 x the spanning tree in the median, 1.6 at worst; at most one signal via per ten LEDs.
			require.LessOrEqual(t, f.SignalRatio, 1.25)
			require.LessOrEqual(t, f.SignalVias, c.n/10)
			require.InDelta(t, 1, f.Share45, 0.01)
		}
	}
}

// The trunk keeps the width its current asks; one that has no room for it is refused, not thinned.
func TestTrunkWidth(t *testing.T) {
	b := desk(1, 12, 80, 60)
	b.Nets[1].Amps, b.Nets[2].Amps = 3.5, 3.5
	got, _, l := Route(context.Background(), b, Options{})
	require.Empty(t, l)
	widest := map[led.NetID]geom.Nm{}
	for _, k := range got.Tracks {
		widest[k.Net] = max(widest[k.Net], k.Width)
	}
	require.GreaterOrEqual(t, widest[led.Supply], ipcWidth(3.5, board.Ounce))
	require.GreaterOrEqual(t, widest[led.Return], ipcWidth(3.5, board.Ounce))
	require.Greater(t, ipcWidth(3.5, board.Ounce), geom.MM(1.5))

	// In copper twice as thick half of the width has the same cross-section, and is enough.
	b.Nets[1].Amps, b.Nets[2].Amps = 4.5, 4.5
	trunk := func(copper geom.Nm) geom.Nm {
		b.Laminate.Copper = copper
		got, _, l := Route(context.Background(), b, Options{})
		require.Empty(t, l)
		w := geom.Nm(0)
		for _, k := range got.Tracks {
			w = max(w, k.Width)
		}
		return w
	}
	require.InDelta(t, float64(trunk(board.Ounce)), 2*float64(trunk(2*board.Ounce)), float64(2*geom.Micrometre))
	b.Laminate = board.UsualLaminate()

	b.Nets[1].Amps = 30 // 33 mm of copper
	got, f, l := Route(context.Background(), b, Options{})
	require.True(t, l.HasErrors())
	require.Equal(t, "route-open-net", l[0].Code)
	require.Contains(t, l[0].Text, "IN to OUT")
	require.Positive(t, f.Unrouted)
	requireClear(t, got)
}

// IPC-2221 with k = 0.048 at 10 K and 35 µm: 0.604 A for 0.15 mm, 0.999 A for 0.30, 2.392 A for 1.0, 3.953 A for 2.0
// (references.md, reverse direction of the formula).
func TestWidthOfCurrent(t *testing.T) {
	for mm, a := range map[float64]part.Amp{0.15: 0.604, 0.30: 0.999, 1.0: 2.392, 2.0: 3.953} {
		require.InDelta(t, mm, ipcWidth(a, board.Ounce).MM(), 0.006*mm+0.001, "%v A", a)
	}
	require.Zero(t, ipcWidth(0, board.Ounce))
	require.Zero(t, ipcWidth(-1, board.Ounce))
}

func TestSpanning(t *testing.T) {
	sq := []geom.Pt{geom.PtMM(0, 0), geom.PtMM(1, 0), geom.PtMM(1, 1), geom.PtMM(0, 1)}
	require.InDelta(t, 3e6, spanning(nil, sq), 1)
	require.InDelta(t, 2e6+1e6*1.41421356, spanning(nil, append(sq, geom.PtMM(2, 2))[1:]), 1) // 2 sides and a diagonal
	require.Zero(t, spanning(nil, sq[:1]))
}

// A pad walled in by a cutout cannot be reached: the finding names net and pins, and where the way ends.
func TestOpenNet(t *testing.T) {
	b := desk(3, 6, 70, 50)
	p := b.Parts[1].Pads[0] // D1 A
	x, y := p.At.X.MM(), p.At.Y.MM()
	const o, i = 3.4, 1.2
	ring := func(c ...float64) geom.Contour {
		var out geom.Contour
		for k := 0; k < len(c); k += 2 {
			out = append(out, geom.Vertex{Pt: geom.PtMM(x+c[k], y+c[k+1])})
		}
		return out
	}
	// A slot in the shape of a C, its mouth too narrow for a track.
	b.Cutouts = append(b.Cutouts, ring(o, 0.3, i, 0.3, i, i, -i, i, -i, -i, i, -i, i, -0.3, o, -0.3, o, -o, -o, -o, -o, o, o, o))
	b.Parts = append(b.Parts[:2:2], b.Parts[3:]...)
	_, f, l := Route(context.Background(), b, Options{})
	require.Positive(t, f.Unrouted)
	require.True(t, l.HasErrors())
	require.Equal(t, "route-open-net", l[0].Code)
	require.NotNil(t, l[0].Place.At)
	require.NotEmpty(t, l[0].Advice)
	require.Regexp(t, `no track finds a way from (R|D)\d+ `, l[0].Text)
}

func TestSameEveryTime(t *testing.T) {
	b := desk(5, 24, 100, 70)
	a, _, _ := Route(context.Background(), b, Options{})
	old := runtime.GOMAXPROCS(1)
	c, _, _ := Route(context.Background(), b, Options{})
	runtime.GOMAXPROCS(old)
	require.Equal(t, a.Tracks, c.Tracks)
	require.Equal(t, a.Vias, c.Vias)
}

// Whatever the board, no panic and no short.
func TestOddBoards(t *testing.T) {
	Route(context.Background(), board.Board{}, Options{})
	b := desk(1, 6, 60, 40)
	b.Outline = nil
	_, _, l := Route(context.Background(), b, Options{})
	require.Equal(t, "route-no-board", l[0].Code)

	b = desk(1, 6, 60, 40)
	b.Nets = nil // names and currents unknown
	got, f, _ := Route(context.Background(), b, Options{})
	require.Zero(t, f.Unrouted)
	requireClear(t, got)

	b = desk(1, 6, 60, 40)
	b.Rules = board.Rules{}
	Route(context.Background(), b, Options{})

	b = desk(1, 6, 60, 40)
	b.Parts[1].Pads[1].At = b.Parts[1].Pads[0].At // two nets in one place
	b.Parts[2].Pads[0].At = geom.PtMM(-20, 500)   // off the board
	got, f, l = Route(context.Background(), b, Options{})
	require.Positive(t, f.Unrouted)
	require.True(t, l.HasErrors())
	requireClear(t, got)
}

// scatter is a crowded board of pads anywhere: far denser than a panel, so that not every net can be joined.
func scatter(seed uint64) board.Board {
	r := rand.New(rand.NewPCG(seed, 3))
	b := desk(seed, 4, 60, 40)
	b.Cutouts = append(b.Cutouts, geom.Circle(geom.PtMM(30, 20), geom.MM(5+r.Float64()*6)).Reversed())
	b.Keepout = append(b.Keepout, geom.Rect(geom.BoxOf(geom.PtMM(40, 8), geom.PtMM(46, 12))))
	for i := range 30 + r.IntN(30) {
		id := led.NetID(len(b.Nets))
		if i%4 == 0 {
			id = led.NetID(1 + r.IntN(2))
		} else {
			b.Nets = append(b.Nets, led.Net{Name: fmt.Sprintf("X%d", i)})
		}
		for k := range 2 {
			p := board.Part{Ref: fmt.Sprintf("P%d.%d", i, k), Kind: board.LED}
			for range 20 {
				at := geom.PtMM(3+r.Float64()*54, 3+r.Float64()*34)
				d := geom.MM(0.8 + r.Float64()*1.4)
				pad := board.Pad{Pin: "1", Net: id, At: at, Shape: board.PadShape(r.IntN(3)), W: d, H: d, Through: r.IntN(2) == 0, On: geom.Side(r.IntN(2))}
				if pad.Shape != board.Round {
					pad.H = geom.MM(0.8 + r.Float64()*1.4)
				}
				free := b.Material()[0].Locate(at) == geom.Inside
				b.Pads(func(i, j int) bool {
					q := b.Parts[i].Pads[j]
					free = q.At.Dist(at) > float64(max(q.W, q.H)+max(pad.W, pad.H))*0.71+2e5
					return free
				})
				if free {
					p.Pads = append(p.Pads, pad)
					break
				}
			}
			b.Parts = append(b.Parts, p)
		}
	}
	return b
}

func TestScatter(t *testing.T) {
	for seed := uint64(1); seed <= 3; seed++ {
		got, f, l := Route(context.Background(), scatter(seed), Options{Pitch: geom.MM(0.25), Iterations: 20})
		requireClear(t, got)
		requireNeat(t, got)
		require.LessOrEqual(t, opens(got), f.Unrouted, "seed %d", seed)
		require.Equal(t, f.Unrouted, len(l))
		t.Logf("seed %d: %d of %d open", seed, f.Unrouted, f.Connections)
	}
}

// A board that comes to nothing costs no more than its size allows, and all that is open is told.
func TestHopelessBoardEnds(t *testing.T) {
	b, ok := placed(3, 60)
	require.True(t, ok)
	b.Rules.Clearance *= 8
	got, f, l := Route(t.Context(), b, Options{})
	require.Greater(t, f.Unrouted, 40)
	require.Len(t, l, f.Unrouted)
	pins := 0
	got.Pads(func(int, int) bool { pins++; return true })
	require.Less(t, f.Work, 2*Budget(pins))
}
