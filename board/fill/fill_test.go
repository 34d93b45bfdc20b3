package fill

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// plate is an empty board, 40 by 30 mm.
func plate() board.Board {
	return board.Board{
		Rules:   board.UsualRules(),
		Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(40, 30))),
		Nets:    []led.Net{{}, {Name: "V+"}, {Name: "0V"}, {Name: "S1.1"}},
	}
}

func pad(net led.NetID, x, y float64) board.Pad {
	return board.Pad{Net: net, At: geom.PtMM(x, y), W: geom.MM(1.8), H: geom.MM(1.8), Through: true, Drill: geom.MM(0.9)}
}

func withPads(b board.Board, pads ...board.Pad) board.Board {
	b.Parts = append(b.Parts, board.Part{Ref: "D1", Pads: pads})
	return b
}

func top() Options { return Options{Top: led.Return, Least: 4} }

func TestFillOfAnEmptyPlateHasNothingToReach(t *testing.T) {
	b, fig, _ := Fill(context.Background(), plate(), top())
	require.Empty(t, b.Areas)
	require.Equal(t, 1, fig.Islands)
}

// One pad of the net and nothing else: the plate less the edge, with corners rounded to half a neck, less the moat, plus
// what the four spokes add.
func TestFillAreaByHand(t *testing.T) {
	b, fig, _ := Fill(context.Background(), withPads(plate(), pad(led.Return, 20, 15)), top())
	require.Len(t, b.Areas, 1)
	require.Equal(t, 4, fig.Spokes)
	r := b.Rules
	edge := (r.CopperToEdge + slack).MM()
	want := (40 - 2*edge) * (30 - 2*edge)
	want -= (4 - math.Pi) * math.Pow(r.Neck.MM()/2, 2)
	moat := 0.9 + r.SpokeGap.MM()
	want -= math.Pi * moat * moat
	// A spoke of width w covers, of the moat and the pad's rim, the strip between x = from and the circle of the moat.
	w, from := r.Spoke.MM(), 0.9-r.Spoke.MM()/2
	arc := func(x float64) float64 { // area under the circle of radius moat, 0 to x
		return (x*math.Sqrt(moat*moat-x*x) + moat*moat*math.Asin(x/moat)) / 2
	}
	want += 4 * (2*arc(w/2) - w*from)
	require.InDelta(t, want, b.Areas[0].Fill.Area(), 2*math.Pi*moat*tolerance.MM()) // curves are that far from true
	require.Len(t, b.Areas[0].Fill.Holes, 1, "the gaps and the pad between them")
}

func TestFillKeepsClear(t *testing.T) {
	b := withPads(plate(), pad(led.Return, 8, 8), pad(3, 30, 20))
	b.Holes = []board.Hole{{At: geom.PtMM(34, 6), D: geom.MM(3.2)}}
	b.Tracks = []board.Track{{Net: 3, Width: geom.MM(0.4), Path: geom.Polyline{geom.PtMM(30, 20), geom.PtMM(20, 20), geom.PtMM(15, 15)}}}
	b.Vias = []board.Via{{Net: 3, At: geom.PtMM(15, 15), D: geom.MM(0.9), Drill: geom.MM(0.4)}}
	b, _, _ = Fill(context.Background(), b, top())
	require.Len(t, b.Areas, 1)
	fill := b.Areas[0].Fill
	for _, c := range []struct {
		what  string
		shape geom.Ring
		clear geom.Nm
	}{
		{"pad", geom.Circle(geom.PtMM(30, 20), geom.MM(1.8)).Ring(geom.Micrometre), b.Rules.Clearance},
		{"via", geom.Circle(geom.PtMM(15, 15), geom.MM(0.9)).Ring(geom.Micrometre), b.Rules.Clearance},
		{"track", geom.Stadium(geom.Segment{A: geom.PtMM(30, 20), B: geom.PtMM(20, 20)}, geom.MM(0.2)).Ring(tolerance), b.Rules.Clearance},
		{"mount hole", geom.Circle(geom.PtMM(34, 6), geom.MM(3.2)).Ring(geom.Micrometre), b.Rules.ScrewClear},
		{"edge", b.Outline.Ring(geom.Micrometre), b.Rules.CopperToEdge},
	} {
		least := math.Inf(1)
		for _, ring := range fill.Rings() {
			for _, s := range ring.Segments() {
				for _, e := range c.shape.Segments() {
					least = min(least, s.Dist(e))
				}
			}
		}
		require.GreaterOrEqual(t, least, float64(c.clear), c.what)
		require.Less(t, least, float64(c.clear+slack+geom.Micrometre), c.what+" is passed closely")
	}
}

// Where screws' heads need no room (screw_room: 0), copper keeps from their holes what it keeps from any.
func TestFillKeepsClearOfMountsWithoutHeads(t *testing.T) {
	b := withPads(plate(), pad(led.Return, 30, 15))
	b.Holes = []board.Hole{{At: geom.PtMM(10, 15), D: geom.MM(3.2), What: board.MountHole}}
	b.Rules.ScrewClear = 0
	b, _, _ = Fill(context.Background(), b, top())
	require.NotEmpty(t, b.Areas)
	for _, a := range b.Areas {
		for _, r := range a.Fill.Rings() {
			for _, s := range r.Segments() {
				require.GreaterOrEqual(t, s.DistTo(geom.PtMM(10, 15)), float64(geom.MM(1.6)+b.Rules.CopperToHole)-1)
			}
		}
	}
}

// A track of another net from edge to edge cuts the plate in two; the half without a pad is an island and is left out.
func TestFillLeavesOutIslands(t *testing.T) {
	cut := board.Track{Net: 3, Width: geom.MM(0.4), Path: geom.Polyline{geom.PtMM(20, 0), geom.PtMM(20, 30)}}
	b := withPads(plate(), pad(led.Return, 8, 8))
	b.Tracks = []board.Track{cut}
	one, fig, _ := Fill(context.Background(), b, top())
	require.Len(t, one.Areas, 1)
	require.Equal(t, 1, fig.Islands)
	require.Equal(t, geom.Inside, one.Areas[0].Fill.Locate(geom.PtMM(5, 20)))

	b.Tracks = append(b.Tracks, board.Track{Net: led.Return, On: geom.Top, Width: geom.MM(0.6),
		Path: geom.Polyline{geom.PtMM(30, 10), geom.PtMM(35, 10)}})
	two, fig, _ := Fill(context.Background(), b, top())
	require.Len(t, two.Areas, 2, "a track of the net reaches the other half")
	require.Zero(t, fig.Islands)
}

// Pads so close to foreign copper that no straight spoke fits get diagonal ones or none, never one that comes too near.
func TestSpokesStayClear(t *testing.T) {
	b := withPads(plate(), pad(led.Return, 20, 15), pad(3, 22.54, 15), pad(3, 17.46, 15), pad(3, 20, 17.54), pad(3, 20, 12.46))
	b, fig, _ := Fill(context.Background(), b, top())
	require.Len(t, b.Areas, 1)
	require.Equal(t, 4, fig.Spokes)
	for _, at := range []geom.Pt{geom.PtMM(22.54, 15), geom.PtMM(17.46, 15), geom.PtMM(20, 17.54), geom.PtMM(20, 12.46)} {
		near := math.Inf(1)
		for _, r := range b.Areas[0].Fill.Rings() {
			near = min(near, r.DistTo(at))
		}
		require.GreaterOrEqual(t, near, float64(geom.MM(0.9)+b.Rules.Clearance))
	}
}

func TestFillLeavesItsArgumentAlone(t *testing.T) {
	b := withPads(plate(), pad(led.Return, 20, 15))
	Fill(context.Background(), b, Usual())
	require.Empty(t, b.Areas)
}
