package export_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/panel/geom"
)

// Panels stand where they are said to, the others below, none over another.
func TestDesk(t *testing.T) {
	var all []export.Standing
	for _, size := range [][2]float64{{120, 80}, {100, 100}, {160, 60}, {90, 80}, {140, 70}} {
		all = append(all, export.Standing{Box: geom.Box{Max: geom.PtMM(size[0], size[1])}})
	}
	all = append(all, export.Standing{Box: geom.EmptyBox()}) // one without an outline takes no room
	check := func() {
		at := export.Desk(all)
		for i, q := range all[:5] {
			a := geom.Box{Min: at[i], Max: at[i].Add(q.Box.Max.Sub(geom.Pt{}))}
			for j := range i {
				b := geom.Box{Min: at[j], Max: at[j].Add(all[j].Box.Max.Sub(geom.Pt{}))}
				require.False(t, a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y, "%d over %d", i, j)
			}
		}
	}
	check()
	// In the order given: from left to right, row by row downwards.
	at := export.Desk(all)
	for i := range 4 {
		below := at[i+1].Y < at[i].Y && at[i+1].X < at[i].X
		require.True(t, at[i+1].X > at[i].X || below, "%d after %d: %v, %v", i+1, i, at[i], at[i+1])
	}
	all[0].At, all[0].Set = geom.PtMM(200, 100), true
	all[3].At, all[3].Set = geom.PtMM(40, 100), true
	check()
	require.Equal(t, geom.PtMM(200, 100), export.Desk(all)[0])
}
