package flow

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/footprint"
	"lampblack/led/part"
	"lampblack/panel/geom"
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
