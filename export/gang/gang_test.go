package gang_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest/made"
	"lampblack/export"
	"lampblack/export/excellon"
	"lampblack/export/exporttest"
	"lampblack/export/gang"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/readback"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

func options() gang.Options {
	return gang.Options{Name: "order-desk", Width: geom.MM(400), Height: geom.MM(300), Rail: geom.MM(7), Gap: geom.MM(2), Mask: geom.MM(0.05)}
}

func piece(b board.Board, n int) gang.Piece {
	a := export.Lower(b)
	a.Layers = append(a.Layers, export.Components(b)...)
	return gang.Piece{Art: a, Count: n, EdgeClear: b.Rules.CopperToEdge, HoleClear: b.Rules.CopperToHole, InkClear: b.Rules.LegendClear}
}

// real is a board made by the other stages, with round corners and cut-outs.
func real(t testing.TB, seed uint64, leds int) board.Board {
	b, _, l := made.Board(seed, leds)
	require.NoError(t, l.Err(), "seed %d", seed)
	return b
}

// prove writes the array, reads it back, and finds every board in it again.
func prove(t testing.TB, plan gang.Plan, pieces []gang.Piece) {
	t.Helper()
	a := plan.Art
	var files []readback.File
	for i, l := range a.Layers {
		src := gerber.Layer(a, i, gerber.Meta{})
		require.Empty(t, exporttest.Breaks(src), "%v", l.Function)
		files = append(files, readback.File{Name: export.FileName(a.Name, l.Function), Data: src})
	}
	for i, d := range a.Drills {
		files = append(files, readback.File{Name: export.DrillFileName(a.Name, d.Plated), Data: excellon.Drill(a, i, excellon.Meta{})})
	}
	files = append(files, readback.File{Name: export.JobFileName(a.Name), Data: gerber.Job(a, gerber.Meta{})})
	src, l := netlist.IPC(a, netlist.Meta{})
	require.Empty(t, l)
	files = append(files, readback.File{Name: export.NetlistFileName(a.Name), Data: src})
	pack, l := readback.Open(t.Context(), files)
	require.Empty(t, l)
	require.True(t, pack.Artwork.Array)
	require.Empty(t, readback.Compare(a, pack.Artwork))
	require.Empty(t, plan.Verify(pack.Artwork))
	for i := range plan.Boards {
		require.Empty(t, readback.Compare(plan.Expected(i), plan.Extract(pack.Artwork, i)), "board %d", i+1)
	}
}

// Different boards on one array: each is there, whole, free but for its tabs, and apart from the others by the gap.
func TestArrayWithTabs(t *testing.T) {
	for _, c := range []struct {
		name   string
		pieces []gang.Piece
	}{
		{"desk", []gang.Piece{piece(exporttest.Desk(), 3), piece(exporttest.Grid(12), 2)}},
		{"real", []gang.Piece{piece(real(t, 0, 8), 2), piece(real(t, 1, 12), 1)}},
		{"one", []gang.Piece{piece(exporttest.Desk(), 1)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			plan, l := gang.Make(t.Context(), c.pieces, options())
			require.Empty(t, l)
			n := 0
			for _, p := range c.pieces {
				n += p.Count
			}
			require.Len(t, plan.Boards, n)
			for i, a := range plan.Boards {
				require.True(t, plan.Art.Size.Grown(-geom.MM(9)).Union(a.Box) == plan.Art.Size.Grown(-geom.MM(9)), "inside the frame")
				for _, b := range plan.Boards[:i] {
					require.False(t, a.Box.Grown(geom.MM(2)-1).Touches(b.Box), "apart")
				}
			}
			require.Greater(t, plan.Used, 0.3)
			require.Less(t, plan.Used, 1.0)
			require.LessOrEqual(t, plan.Art.Size.W(), geom.MM(400))
			require.LessOrEqual(t, plan.Art.Size.H(), geom.MM(300))
			t.Logf("%.1f x %.1f mm, used %.0f %%, %d tabs", plan.Art.Size.W().MM(), plan.Art.Size.H().MM(), 100*plan.Used, len(plan.Tabs))
			prove(t, plan, c.pieces)
		})
	}
}

// Perforation breaks no copper: each of its holes keeps the board's distance to copper.
func TestPerforationKeepsOffCopper(t *testing.T) {
	b := real(t, 2, 10)
	pieces := []gang.Piece{piece(b, 4)}
	plan, l := gang.Make(t.Context(), pieces, options())
	require.Empty(t, l)
	holes := 0
	for _, layer := range plan.Art.Layers {
		if !layer.Function.Copper() {
			continue
		}
		copper := readback.Image(layer)
		for _, d := range plan.Art.Drills {
			for _, h := range d.Hits {
				if d.Tools[h.Tool].Function == "MechanicalDrill,Breakout" {
					holes++
					gap := copper.DistTo(h.At) - float64(d.Tools[h.Tool].D)/2
					require.GreaterOrEqual(t, gap, float64(b.Rules.CopperToHole-geom.Micrometre), "at %v", h.At)
				}
			}
		}
	}
	require.Greater(t, holes, 50)
}

// The tabs are what board houses publish as common practice: 5 mm of laminate, at least three to a board, broken along five
// holes of 0.5 mm that stand 0.8 mm apart in a row along the board's edge, so that 0.3 mm is left between two of them and a
// hand can break it. Read from the drill file as written.
func TestPerforationAsWritten(t *testing.T) {
	b := exporttest.Desk()
	b.Outline, b.Cutouts = geom.Rect(geom.Box{Max: geom.PtMM(60, 40)}), nil
	pieces := []gang.Piece{piece(b, 2)}
	plan, l := gang.Make(t.Context(), pieces, options())
	require.Empty(t, l)
	perBoard := map[int]int{}
	for _, tab := range plan.Tabs {
		perBoard[tab.Board]++
		if tab.Other >= 0 {
			perBoard[tab.Other]++
		}
	}
	require.Len(t, perBoard, 2)
	for _, n := range perBoard {
		require.GreaterOrEqual(t, n, 3)
	}
	small := exporttest.Desk() // 100 mm round
	small.Outline, small.Cutouts = geom.Rect(geom.Box{Max: geom.PtMM(30, 20)}), nil
	one, l := gang.Make(t.Context(), []gang.Piece{piece(small, 1)}, options())
	require.Empty(t, l)
	require.GreaterOrEqual(t, len(one.Tabs), 3, "a board on two tabs turns about them")
	var breaks []geom.Pt
	for i, d := range plan.Art.Drills {
		read, l := readback.Drill(excellon.Drill(plan.Art, i, excellon.Meta{}), "array.drl")
		require.Empty(t, l)
		require.Equal(t, d.Plated, read.Plated)
		for _, h := range read.Hits {
			if tool := read.Tools[h.Tool]; tool.Function == "MechanicalDrill,Breakout" {
				require.False(t, read.Plated, "copper in the holes would hold the tab")
				require.Equal(t, geom.MM(0.5), tool.D)
				breaks = append(breaks, h.At)
			}
		}
	}
	rows := 0
	for _, tab := range plan.Tabs {
		ends := []geom.Pt{tab.At}
		if tab.Other >= 0 {
			ends = append(ends, tab.At.Add(geom.Vec{X: geom.Nm(math.Round(tab.X * float64(tab.Long))), Y: geom.Nm(math.Round(tab.Y * float64(tab.Long)))}))
		}
		for _, end := range ends {
			rows++
			var along []float64
			for _, p := range breaks {
				v := p.Sub(end)
				// Where along the edge, and how far across it.
				a, across := float64(v.Y)*tab.X-float64(v.X)*tab.Y, math.Abs(float64(v.X)*tab.X+float64(v.Y)*tab.Y)
				if across <= float64(geom.MM(0.3)) && math.Abs(a) <= float64(geom.MM(2.5)) {
					along = append(along, a)
				}
			}
			slices.Sort(along)
			require.Len(t, along, 5, "tab at %v", end)
			for i := 1; i < len(along); i++ {
				require.InDelta(t, 0.8e6, along[i]-along[i-1], 2)
			}
			require.InDelta(t, 0, along[0]+along[4], 2, "in the middle of the tab")
		}
	}
	require.Len(t, breaks, 5*rows, "no other hole breaks out")

	// The laminate that is left in a slot is 5 mm wide in its middle.
	var rings []geom.Ring
	for _, c := range plan.Art.Edges() {
		rings = append(rings, c.Ring(geom.FlattenTolerance))
	}
	solid := geom.NewRegion(rings...)
	for _, tab := range plan.Tabs {
		mid := tab.At.Add(geom.Vec{X: geom.Nm(math.Round(tab.X * float64(tab.Long) / 2)), Y: geom.Nm(math.Round(tab.Y * float64(tab.Long) / 2))})
		for _, side := range []float64{-1, 1} {
			at := func(mm float64) geom.Pt {
				return mid.Add(geom.Vec{X: geom.Nm(math.Round(-tab.Y * side * mm * 1e6)), Y: geom.Nm(math.Round(tab.X * side * mm * 1e6))})
			}
			require.Equal(t, geom.Inside, solid.Locate(at(2.45)), "tab at %v", tab.At)
			require.Equal(t, geom.Outside, solid.Locate(at(2.55)), "tab at %v", tab.At)
		}
	}
}

// V-cuts: boards edge to edge, each line across the whole array, along edges only.
func TestArrayWithVcuts(t *testing.T) {
	b := exporttest.Grid(12)
	pieces := []gang.Piece{piece(b, 6)}
	o := options()
	o.Cut = gang.Vcuts
	plan, l := gang.Make(t.Context(), pieces, o)
	require.Empty(t, l)
	require.Len(t, plan.Boards, 6)
	prove(t, plan, pieces)
	var lines int
	for _, layer := range plan.Art.Layers {
		if layer.Function != export.Vcut {
			continue
		}
		for _, s := range layer.Objects {
			lines++
			across := s.From.X == s.To.X && s.From.Y == 0 && s.To.Y == plan.Art.Size.H() || s.From.Y == s.To.Y && s.From.X == 0 && s.To.X == plan.Art.Size.W()
			require.True(t, across)
			for _, p := range plan.Boards {
				cuts := s.From.X == s.To.X && s.From.X > p.Box.Min.X && s.From.X < p.Box.Max.X || s.From.Y == s.To.Y && s.From.Y > p.Box.Min.Y && s.From.Y < p.Box.Max.Y
				require.False(t, cuts, "a line through a board")
			}
		}
	}
	require.GreaterOrEqual(t, lines, 7)
	require.Greater(t, plan.Used, 0.7)
}

func TestRefusals(t *testing.T) {
	desk := piece(exporttest.Desk(), 1)
	grid := piece(exporttest.Grid(12), 1)
	with := func(p gang.Piece, n int) gang.Piece { p.Count = n; return p }
	v := options()
	v.Cut = gang.Vcuts
	small := options()
	small.Width, small.Height = geom.MM(60), geom.MM(60)
	for _, c := range []struct {
		code   string
		pieces []gang.Piece
		opt    gang.Options
	}{
		{"gang-too-large", []gang.Piece{desk}, small},
		{"gang-no-room", []gang.Piece{with(desk, 60)}, options()},
		{"gang-no-room", []gang.Piece{with(grid, 90)}, v},
		{"gang-scored-kinds", []gang.Piece{grid, desk}, v},
		{"gang-scored-shape", []gang.Piece{desk}, v},
		{"gang-no-outline", []gang.Piece{{Art: export.Artwork{Name: "bare"}, Count: 1}}, options()},
	} {
		_, l := gang.Make(t.Context(), c.pieces, c.opt)
		require.Len(t, l, 1, c.code)
		require.Equal(t, c.code, l[0].Code)
		require.NotEmpty(t, l[0].Advice)
		paneltest.Subjects(t, l)
	}
}

// The same order gives the same array.
func TestArrayIsTheSameEachTime(t *testing.T) {
	pieces := []gang.Piece{piece(exporttest.Desk(), 4), piece(exporttest.Grid(6), 3)}
	first, _ := gang.Make(t.Context(), pieces, options())
	again, _ := gang.Make(t.Context(), pieces, options())
	require.Equal(t, first.Art, again.Art)
}

// Packing any boxes: never over each other, never outside.
func TestPackingHolds(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 7))
		var pieces []gang.Piece
		for k := range 1 + r.IntN(4) {
			b := exporttest.Desk()
			b.Name = fmt.Sprint("b", k)
			w, h := 15+r.Float64()*60, 15+r.Float64()*60
			b.Outline = geom.Rect(geom.Box{Max: geom.PtMM(w, h)})
			b.Cutouts = nil
			a := export.Artwork{Name: b.Name, Size: b.Outline.Box()}
			for _, l := range export.Lower(b).Layers {
				if l.Function == export.Profile {
					a.Layers = append(a.Layers, l)
				}
			}
			pieces = append(pieces, gang.Piece{Art: a, Count: 1 + r.IntN(4)})
		}
		plan, l := gang.Make(t.Context(), pieces, options())
		if l.HasErrors() {
			require.Equal(t, "gang-no-room", l[0].Code, "seed %d: %v", seed, l)
			continue
		}
		for i, a := range plan.Boards {
			for _, b := range plan.Boards[:i] {
				require.False(t, a.Box.Grown(geom.MM(2)-1).Touches(b.Box), "seed %d", seed)
			}
		}
		require.Empty(t, plan.Verify(plan.Art), "seed %d", seed)
	}
}

func BenchmarkMake(b *testing.B) {
	pieces := []gang.Piece{piece(exporttest.Desk(), 6), piece(exporttest.Grid(12), 6)}
	for b.Loop() {
		_, l := gang.Make(b.Context(), pieces, options())
		require.Empty(b, l)
	}
}
