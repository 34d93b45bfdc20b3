package flow

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/board/footprint"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

// Each kind of the catalogue goes into the hole that the catalogue has for it. Lamps with leads are held by it: it is as wide as their
// lens is called, or as much wider as still holds them (common practice). Chips differ by 0.2 mm either way, each side (from memory;
// lamps of 2.95 ± 0.2 mm are in the project's list of published check values, section 2), and stand any way round.
func TestHolesPassTheirLEDs(t *testing.T) {
	const off = 0.2
	seen := map[string]bool{}
	for _, k := range part.Kinds() {
		f, ok := footprint.Lookup(k.Package)
		require.True(t, ok, k.Package)
		seen[k.Package] = true
		if held(k) {
			require.GreaterOrEqual(t, k.HoleMM, f.Side.Lens.MM(), k.Name)
			require.LessOrEqual(t, geom.MM(k.HoleMM), f.Side.Lens+loosest, k.Name)
			continue
		}
		box := f.Body.Box()
		require.GreaterOrEqual(t, k.HoleMM, math.Hypot(box.W().MM()+off, box.H().MM()+off), k.Name)
	}
	require.Len(t, seen, 4)
}

// A board of 310 mm between its screws gets slots in its sheets, unless the project wants none; then it is told what to widen.
func TestSlotsAsTheProjectWants(t *testing.T) {
	in := fastenIn{Panel: panel.Panel{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(330, 20)})}, Climate: material.UsualClimate()}
	b := board.Board{Name: "dome", Laminate: board.Laminate{Thickness: geom.MM(1.6)}, Outline: in.Panel.Outline}
	for _, x := range []float64{10, 160, 320} {
		in.Panel.Mounts = append(in.Panel.Mounts, panel.Hole{At: geom.PtMM(x, 10), D: geom.MM(3.2)})
		b.Holes = append(b.Holes, board.Hole{At: geom.PtMM(x, 10), D: geom.MM(3.2), What: board.MountHole})
	}
	in.Boards = []memo.Kept[boardOut]{{Value: boardOut{Board: b}}}
	in.Stack = fasten.Stack{Face: geom.MM(3), Diffuser: geom.MM(3), Gap: geom.MM(8), Sheet: geom.MM(3)}
	for _, want := range []bool{true, false} {
		in.Slots = want
		out := fastening.do(t.Context(), in)
		has := func(code string) bool {
			return slices.ContainsFunc(out.Findings, func(f diag.Finding) bool { return f.Code == code })
		}
		require.Equal(t, want, len(out.Slots) == 6)
		require.Equal(t, want, has("fasten-slots"))
		require.Equal(t, !want, has("fasten-growth"))
		require.Equal(t, want, out.Mounts[0].Slot > 0)
	}
}
