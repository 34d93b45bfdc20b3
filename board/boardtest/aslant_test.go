package boardtest_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/check"
	"lampblack/board/place"
	"lampblack/export"
	"lampblack/export/excellon"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/readback"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// fan is a panel with rows of LEDs: one to the right, two aslant, and two LEDs by themselves.
func fan(kind part.LED) panel.Panel {
	p := panel.Panel{Name: "fan", Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(130, 70)))}
	for _, m := range [][2]float64{{6, 6}, {124, 6}, {6, 64}, {124, 64}} {
		p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(m[0], m[1]), D: geom.MM(3.2)})
	}
	add := func(x, y float64) { p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(kind.HoleMM)}) }
	for i := range 5 {
		add(20+6*float64(i), 20+6*float64(i)) // 45 degrees
	}
	for i := range 5 {
		add(84+9*math.Cos(2.2)*float64(i), 18+9*math.Sin(2.2)*float64(i)) // 126 degrees
	}
	for i := range 4 {
		add(84+9*float64(i), 60) // along X
	}
	add(105, 20)
	add(117, 35)
	return p
}

// packed writes a board's pack and reads it back.
func packed(t *testing.T, b board.Board) (export.Artwork, readback.Pack) {
	t.Helper()
	a := export.Lower(b)
	a.Name = "fan"
	a.Layers = append(a.Layers, export.Components(b)...)
	var files []readback.File
	add := func(name string, data []byte) { files = append(files, readback.File{Name: name, Data: data}) }
	for i, l := range a.Layers {
		add(export.FileName(a.Name, l.Function), gerber.Layer(a, i, gerber.Meta{Project: "fan", Revision: "A"}))
	}
	for i, d := range a.Drills {
		add(export.DrillFileName(a.Name, d.Plated), excellon.Drill(a, i, excellon.Meta{Project: "fan", Revision: "A"}))
	}
	add(export.JobFileName(a.Name), gerber.Job(a, gerber.Meta{Project: "fan", Revision: "A"}))
	ipc, l := netlist.IPC(a, netlist.Meta{Project: "fan"})
	require.False(t, l.HasErrors())
	add(export.NetlistFileName(a.Name), ipc)
	pack, l := readback.Open(t.Context(), files)
	require.False(t, l.HasErrors(), "%v", l.Err())
	return a, pack
}

// Rows aslant stand along their line, all alike, at the nearest multiple of 45 degrees; all others by quarter turns. Such boards go
// the whole way, with leads and without: proof, files, back, and the proof of what was written.
func TestRowsAslantEndToEnd(t *testing.T) {
	for _, name := range []string{"red-3mm", "red-5mm", "red-plcc2", "red-0805"} {
		t.Run(name, func(t *testing.T) {
			kind, ok := part.Find(name)
			require.True(t, ok)
			q := led.Usual()
			q.Defaults.Kind, q.Defaults.StringLength = kind, 3
			o := make1(boardtest.Case{Panel: fan(kind), Request: q}, place.Options{}, firm())
			require.Empty(t, o.stage, "%v", o.refusal)
			require.False(t, o.found.HasErrors(), "%v", o.found.Err())
			b := o.board
			turns := make([]int, len(o.wiring.LEDs)) // by hole
			for i, d := range o.wiring.LEDs {
				require.Equal(t, d.Ref, b.Parts[i].Ref)
				turns[d.Hole] = b.Parts[i].Turn
			}
			for i := range 5 {
				require.Equal(t, 45, turns[i]%180, "%v", turns)
				require.Equal(t, turns[0], turns[i], "all alike")
				require.Equal(t, 135, turns[5+i]%180, "%v", turns)
				require.Equal(t, turns[5], turns[5+i], "all alike")
			}
			for _, turn := range turns[10:] {
				require.Zero(t, turn%90, "%v", turns)
			}
			a, pack := packed(t, b)
			require.NoError(t, readback.Compare(a, pack.Artwork).Err())
			raised, l := readback.Raise(t.Context(), pack, b.Rules)
			require.False(t, l.HasErrors(), "%v", l.Err())
			require.NoError(t, check.Audit(context.Background(), raised, o.wiring).Err())
			back := map[string]board.Part{}
			for _, p := range raised.Parts {
				back[p.Ref] = p
			}
			slanted := 0
			for _, p := range b.Parts {
				r := back[p.Ref]
				require.Equal(t, p.Turn, r.Turn, p.Ref)
				require.Len(t, r.Pads, len(p.Pads))
				for k, d := range p.Pads {
					e := r.Pads[k]
					require.Equal(t, [6]any{d.At, d.W, d.H, d.Slant, d.Shape, d.Mask}, [6]any{e.At, e.W, e.H, e.Slant, e.Shape, e.Mask}, "%s.%s", p.Ref, d.Pin)
					if d.Slant {
						slanted++
					}
				}
			}
			require.GreaterOrEqual(t, slanted, 10)
			told := 0
			for _, p := range pack.Netlist.Points {
				if p.Turn == 45 {
					told++
				}
			}
			require.Equal(t, slanted, told, "pads aslant of the netlist")
		})
	}
}

// An LED for which quarter turns have no room stands aslant; the others stay upright.
func TestAslantWhereNoQuarterTurnFits(t *testing.T) {
	kind, ok := part.Find("red-3mm")
	require.True(t, ok)
	// In a corner that is cut off at 45 degrees there is only the way along the cut.
	cut := geom.Straight(geom.PtMM(0, 0), geom.PtMM(100, 0), geom.PtMM(100, 38), geom.PtMM(78, 60), geom.PtMM(0, 60))
	at := func(beside float64) panel.Panel {
		p := panel.Panel{Name: "cut", Outline: cut}
		for _, m := range [][2]float64{{6, 6}, {94, 6}, {6, 54}} {
			p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(m[0], m[1]), D: geom.MM(3.2)})
		}
		for i := range 4 {
			p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(25+12*float64(i), 20), D: geom.MM(3)})
		}
		d := beside / math.Sqrt2
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(89-d, 49-d), D: geom.MM(3)})
		return p
	}
	q := led.Usual()
	q.Defaults.Kind = kind
	turned := func(beside float64) (int, outcome) {
		o := make1(boardtest.Case{Panel: at(beside), Request: q}, place.Options{}, firm())
		for i, d := range o.wiring.LEDs {
			if d.Hole == 4 && i < len(o.board.Parts) {
				return o.board.Parts[i].Turn, o
			}
		}
		return -1, o
	}
	turn, o := turned(6)
	require.Empty(t, o.stage, "%v", o.refusal)
	require.Zero(t, turn%90, "there is room")
	// The margin of 1 mm, 0.5 mm of copper to the edge, half a pad of 1.8 mm: 2.4 mm from the panel's edge, but a quarter turn
	// brings a corner of the pad as much nearer as 1.27 mm and half the diagonal along the cut's normal.
	turn, o = turned(2.5)
	require.Empty(t, o.stage, "%v", o.refusal)
	require.Equal(t, 135, turn%180, "along the cut")
	require.False(t, o.found.HasErrors(), "%v", o.found.Err())
	for _, f := range o.found {
		require.NotEqual(t, "shape-gave-way", f.Code, "no limit gave way")
	}
	for _, p := range o.board.Parts[:len(o.wiring.LEDs)] {
		require.True(t, p.Turn%90 == 0 || p.Turn == turn, "the others are upright")
	}
}

// A fault at a pad aslant is seen: a track too near its corner, which clears the pad's box turned upright; a land that the netlist
// or the mask has upright.
func TestFaultsAslantAreSeen(t *testing.T) {
	kind, ok := part.Find("red-3mm")
	require.True(t, ok)
	q := led.Usual()
	q.Defaults.Kind = kind
	o := make1(boardtest.Case{Panel: fan(kind), Request: q}, place.Options{}, firm())
	require.Empty(t, o.stage, "%v", o.refusal)
	b := o.board
	var at, pad int
	b.Pads(func(i, k int) bool {
		if b.Parts[i].Pads[k].Slant {
			at, pad = i, k
			return false
		}
		return true
	})
	d := b.Parts[at].Pads[pad]
	require.True(t, d.Slant)
	// A via of another net 0.1 mm off its right corner: 0.47 mm off the same pad upright.
	bad := b
	other := led.Supply
	require.NotEqual(t, other, d.Net)
	bad.Vias = append([]board.Via{}, b.Vias...)
	bad.Areas = nil
	bad.Vias = append(bad.Vias, board.Via{Net: other, At: d.At.Add(geom.Vec{X: geom.MM(d.W.MM()/math.Sqrt2 + 0.45 + 0.1)}), D: geom.MM(0.9), Drill: geom.MM(0.4)})
	near := func(l diag.List) bool {
		for _, f := range l {
			if (f.Code == "check-copper-gap" || f.Code == "check-short") && f.Place.At != nil && math.Hypot(f.Place.At.X-d.At.X.MM(), f.Place.At.Y-d.At.Y.MM()) < 2 {
				return true
			}
		}
		return false
	}
	found := check.Audit(context.Background(), bad, o.wiring)
	require.True(t, near(found), "too near the corner: %v", found)
	bad.Parts = append([]board.Part{}, b.Parts...)
	bad.Parts[at].Pads = append([]board.Pad{}, b.Parts[at].Pads...)
	bad.Parts[at].Pads[pad].Slant = false
	require.False(t, near(check.Audit(context.Background(), bad, o.wiring)), "clear of the pad upright")

	// Compare sees a pad that came back upright.
	a, pack := packed(t, b)
	require.NoError(t, readback.Compare(a, pack.Artwork).Err())
	for i := range a.Layers {
		for k, ap := range a.Layers[i].Apertures {
			if ap.Slant {
				a.Layers[i].Apertures[k].Slant = false
			}
		}
	}
	require.Error(t, readback.Compare(a, pack.Artwork).Err())
}
