package fasten_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

// cast is the stack with sheets of 3 mm that nobody measured.
func cast() fasten.Stack {
	s := stack()
	one := material.Bought(material.Cast, geom.MM(3))
	s.Thick = material.Sheets{Face: one, Diffuser: one, LED: one}
	return s
}

// Three cast sheets of 3 mm are 2.1 off at worst and 1.2 likely (the project's list of published check values, section 22); with two
// spacers of ±0.1 and a board of 1.6 ± 10 % the screw of 30 stands 7.4 ± 2.46 out.
func TestScrewOverTheRange(t *testing.T) {
	p, b := panelOf()
	m := fasten.Mounts(p, []board.Board{b}, cast())[0]
	require.Equal(t, geom.MM(30), m.Screw)
	require.Equal(t, material.Within(geom.MM(7.4), geom.MM(2.46)), m.OutWorst)
	require.InDelta(t, 1.24, m.OutLikely.Thick().MM(), 0.01)
	// A washer of 0.5 and a nut of 2.4 still have thread at the thickest.
	require.Greater(t, m.OutWorst.Least, geom.MM(2.9))
}

// Behind a face of 3.9 the screw passes 23.5, washer and nut of 2.9 and two turns: 27.4, or at the thickest 23.5 + 2.55 + 2.9 = 28.95.
// Behind one of 5 it is 28.5 and 30.16: the next longer one, but for sheets that are known.
func TestLongerScrewForTheThickest(t *testing.T) {
	p, b := panelOf()
	for face, want := range map[float64]float64{3.9: 30, 5: 35} {
		s := cast()
		s.Face, s.Thick.Face = geom.MM(face), material.Bought(material.Cast, geom.MM(face))
		require.Equal(t, geom.MM(want), fasten.Mounts(p, []board.Board{b}, s)[0].Screw, "%v", face)
		s.Thick = material.Sheets{}
		require.Equal(t, geom.MM(30), fasten.Mounts(p, []board.Board{b}, s)[0].Screw, "%v, measured", face)
	}
}

// An LED of 6.1 behind a spacer of 3 has its tip 0.1 proud of a sheet of 3. Thinner than 2.85 they stand more than 0.25 out, by which
// they differ: one washer of 0.5, and two below 2.35. One of 6.6 stands 0.4 above its board and comes nearer by that.
func TestAdjust(t *testing.T) {
	_, b := panelOf()
	m3, ok := fasten.ThreadFor(geom.MM(3.2))
	require.True(t, ok)
	b.Parts[0].Height = geom.MM(6.1)
	a := fasten.Adjust(b, cast(), m3)
	require.Equal(t, []fasten.Step{{Below: geom.MM(2.85), Count: 1}, {Below: geom.MM(2.35), Count: 2}}, a.Washers)
	require.True(t, a.Leaded)
	// The sheet ±0.7 and the spacer ±0.1.
	require.Equal(t, material.Range{Least: geom.MM(-0.9), Nominal: geom.MM(-0.1), Most: geom.MM(0.7)}, a.Tips)

	b.Parts[0].Height = geom.MM(6.6)
	a = fasten.Adjust(b, cast(), m3)
	require.Equal(t, []fasten.Step{{Below: geom.MM(2.35), Count: 1}}, a.Washers)
	require.Zero(t, a.Tips.Nominal)

	s := cast()
	s.Thick.LED.Range, s.Thick.LED.Measured = material.Measured(geom.MM(3)), true
	require.Empty(t, fasten.Adjust(b, s, m3).Washers, "of a sheet that is measured there is nothing to adjust")
	require.Empty(t, fasten.Adjust(b, cast(), fasten.Thread{}).Washers, "no screw holds it")
}

// A spacer sheet is as far off as any sheet of acrylic: 4 mm by 0.8.
func TestSpacerSheetVaries(t *testing.T) {
	_, b := panelOf()
	s := stack()
	s.Told, s.Drilled = geom.MM(4), true
	require.Equal(t, material.Within(0, geom.MM(0.8)), fasten.Adjust(b, s, fasten.Thread{}).Tips)
}

func TestThreadOf(t *testing.T) {
	p, b := panelOf()
	m := fasten.Mounts(p, []board.Board{b}, stack())
	require.Equal(t, "M3", fasten.ThreadOf("dome", m).Name)
	require.Zero(t, fasten.ThreadOf("mount", m))
}
