package material_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
	"lampblack/panel/material"
)

func mm(v float64) geom.Nm { return geom.MM(v) }

// Cast acrylic ±(0.4 + 0.1 t): 3 mm ± 0.70; extruded ±3 to 5 % (a sheet maker citing ISO 7823-1 and -2: the project's list of
// published check values, section 22).
func TestThickness(t *testing.T) {
	require.Equal(t, material.Range{Least: mm(2.3), Nominal: mm(3), Most: mm(3.7)}, material.Cast.Thickness(mm(3)))
	require.Equal(t, material.Range{Least: mm(2.85), Nominal: mm(3), Most: mm(3.15)}, material.Extruded.Thickness(mm(3)))
	require.Equal(t, material.Range{Least: mm(1.5), Nominal: mm(1.6), Most: mm(1.7)}, material.Metal.Thickness(mm(1.6)))
	require.Zero(t, material.Cast.Thickness(0), "of no sheet")
	require.Zero(t, material.Cast.Thickness(mm(0.3)).Least, "none is thinner than nothing")
	require.Equal(t, "2.3 to 3.7 mm", material.Cast.Thickness(mm(3)).String())
	require.Equal(t, "3 mm", material.Exactly(mm(3)).String())
	require.True(t, material.Measured(mm(2.8)).Known())
	require.False(t, material.Extruded.Thickness(mm(3)).Known())
}

// Three cast 3 mm sheets: ±2.1 worst, ±1.2 by the root of squares (computed: the same list, section 22).
func TestThreeSheets(t *testing.T) {
	one := material.Cast.Thickness(mm(3))
	worst, likely := material.Total(one, one, one)
	require.Equal(t, material.Range{Least: mm(6.9), Nominal: mm(9), Most: mm(11.1)}, worst)
	require.InDelta(t, 1.2, likely.Thin().MM(), 0.02)
	require.InDelta(t, 1.2, likely.Thick().MM(), 0.02)
	worst, likely = material.Total(one, one.Negative())
	require.Equal(t, material.Within(0, mm(1.4)), worst)
	require.InDelta(t, 0.99, likely.Most.MM(), 0.001)
}

// 200 mm over 40 K: acrylic 0.58, FR-4 0.12; moisture of 60, 80 and 100 %: 0.2, 0.3 and 0.6 % (the same list, section 22).
func TestGrowth(t *testing.T) {
	warm := material.Climate{Built: 0, Coldest: 0, Warmest: 40, Damp: 0.6, Driest: 0.6, Wettest: 0.6}
	require.InDelta(t, 0.58, material.Cast.Strain(warm).Of(mm(200)).MM(), 0.005)
	require.InDelta(t, 0.12, material.BoardStrain(warm).Of(mm(200)).MM(), 0.001)
	require.InDelta(t, 0.46, material.Extruded.Strain(warm).Beyond(material.BoardStrain(warm)).Of(mm(200)).MM(), 0.005)
	for humidity, want := range map[float64]float64{0.6: 0.002, 0.8: 0.003, 1: 0.006, 0.9: 0.0045, 0.3: 0.001} {
		wet := material.Climate{Built: 20, Coldest: 20, Warmest: 20, Wettest: humidity}
		require.InDelta(t, want, material.Cast.Strain(wet).Most, 1e-9, "%v", humidity)
		require.Zero(t, material.Metal.Strain(wet).Most)
	}
	// What shrinks counts as what grows: dry and cold from a damp summer's workshop.
	cold := material.Climate{Built: 20, Coldest: -20, Warmest: 20, Damp: 0.8, Driest: 0.6, Wettest: 0.8}
	require.InDelta(t, 0.0039*100, material.Cast.Strain(cold).Of(mm(100)).MM(), 0.003)
}

// Bow of boards: 240 mm give 1.8 and 3.6 (IPC-6012B as quoted in the same list, section 22). A sheet of 3 mm whose faces grew by 0.1 %
// differently bends to a radius of 3 m, whose arc over 200 mm is 1.67 high.
func TestBow(t *testing.T) {
	require.Equal(t, mm(1.8), material.BoardBow(mm(240), true))
	require.Equal(t, mm(3.6), material.BoardBow(mm(240), false))
	require.InDelta(t, 1.67, material.SheetBow(mm(200), mm(3)).MM(), 0.01)
	require.Zero(t, material.SheetBow(mm(200), 0))
}

func TestMeasuredSheets(t *testing.T) {
	s := material.Sheets{Face: material.Bought(material.Cast, mm(3))}
	require.False(t, s.Measured())
	s.Face.Measured = true
	require.True(t, s.Measured())
}
