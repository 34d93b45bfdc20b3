package fasten_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/material"
	"lampblack/panel/seat"
)

// ISO 273: holes of M3 are 3.2 fine, 3.4 medium, 3.6 coarse; those of M2.5 2.7, 2.9, 3.1 (the project's list of published check
// values, section 15).
func TestThreadFor(t *testing.T) {
	for d, want := range map[float64]string{
		1.7: "M1.6", 2.2: "M2", 2.4: "M2", 2.7: "M2.5", 2.9: "M2.5", 3.2: "M3", 3.4: "M3", 3.6: "M3", 4.3: "M4", 4.5: "M4", 4.8: "M4",
		5.3: "M5", 5.8: "M5", 6.6: "M6", 7.0: "M6", 9.0: "M8",
		3.15: "M3", // as often drawn
	} {
		got, ok := fasten.ThreadFor(geom.MM(d))
		require.True(t, ok, "%v", d)
		require.Equal(t, want, got.Name, "%v", d)
	}
	for _, d := range []float64{0.9, 1.4, 16, 40} {
		_, ok := fasten.ThreadFor(geom.MM(d))
		require.False(t, ok, "%v", d)
	}
}

// panelOf has a mount at 10, 10 that the board has too, one at 90, 10 beside the board, and a slot of 3.2 x 6.8 on it.
func panelOf() (panel.Panel, board.Board) {
	in, beside := geom.PtMM(10, 10), geom.PtMM(90, 10)
	// A slot: two straight lines of 3.6 and two half circles of 3.2.
	slot := geom.Contour{{Pt: geom.PtMM(30, 8.4)}, {Pt: geom.PtMM(33.6, 8.4), Bulge: 1}, {Pt: geom.PtMM(33.6, 11.6)}, {Pt: geom.PtMM(30, 11.6), Bulge: 1}}
	p := panel.Panel{
		Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(100, 60)}),
		Mounts:   []panel.Hole{{At: in, D: geom.MM(3.2)}, {At: beside, D: geom.MM(3.2)}},
		Openings: []panel.Opening{{Contour: slot, Mount: true}, {Contour: geom.Circle(geom.PtMM(50, 40), geom.MM(12))}},
	}
	b := board.Board{
		Name: "dome", Laminate: board.Laminate{Thickness: geom.MM(1.6)}, Outline: geom.Rect(geom.Box{Max: geom.PtMM(80, 60)}),
		Holes: []board.Hole{{At: in, D: geom.MM(3.2), What: board.MountHole}},
		Parts: []board.Part{
			{Ref: "D1", Kind: board.LED, Height: geom.MM(6.6), Pads: []board.Pad{{Through: true}}},
			{Ref: "R1", Kind: board.Resistor, Height: geom.MM(10)},
		},
	}
	return p, b
}

func stack() fasten.Stack {
	return fasten.Stack{Face: geom.MM(3), Diffuser: geom.MM(3), Gap: geom.MM(8), Sheet: geom.MM(3)}
}

// An LED of 6.6 whose tip is flush with the front of a sheet of 3 stands on a board 3.6 behind it: 4 with whole spacers, so that
// it is soldered 0.4 above the board. The screw passes 3+3+8+3+4+1.6 = 22.6, washer 0.5, nut 2.4 and two turns of 0.5: 26.5, so
// 30. Where there is no board it passes 17 and wants 20.9: 25.
func TestMounts(t *testing.T) {
	p, b := panelOf()
	require.Equal(t, fasten.Rise{Distance: geom.MM(4), Above: geom.MM(0.4)}, fasten.RiseOf(b, stack()))
	got := fasten.Mounts(p, []board.Board{b}, stack())
	for i := range got {
		require.Equal(t, got[i].Out, got[i].OutWorst.Nominal)
		require.Equal(t, got[i].Out, got[i].OutLikely.Nominal)
		got[i].OutWorst, got[i].OutLikely = material.Range{}, material.Range{}
	}
	require.Equal(t, []fasten.Mount{
		{At: geom.PtMM(10, 10), D: geom.MM(3.2), Board: "dome", Thread: "M3", Front: geom.MM(8), Rear: geom.MM(4), Above: geom.MM(0.4), Screw: geom.MM(30), Out: geom.MM(7.4)},
		{At: geom.PtMM(90, 10), D: geom.MM(3.2), Thread: "M3", Front: geom.MM(8), Screw: geom.MM(25), Out: geom.MM(8)},
		{At: geom.PtMM(31.8, 10), D: geom.MM(3.2), Board: "dome", Thread: "M3", Front: geom.MM(8), Rear: geom.MM(4), Above: geom.MM(0.4), Screw: geom.MM(30), Out: geom.MM(7.4)},
	}, got)
}

// LEDs of one kind differ by more than 0.1: spacers of 3 do for one of 6.1.
func TestSlack(t *testing.T) {
	_, b := panelOf()
	b.Parts[0].Height = geom.MM(6.1)
	require.Equal(t, fasten.Rise{Distance: geom.MM(3), Proud: geom.MM(0.1)}, fasten.RiseOf(b, stack()))
	require.Empty(t, fasten.Judge(panel.Panel{Name: "dome"}, nil, []board.Board{b}, stack()))
}

// What does not go together is told, each once.
func TestJudge(t *testing.T) {
	p, b := panelOf()
	p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(50, 10), D: geom.MM(20)})
	s := stack()
	s.Told, s.Gap = geom.MM(2.5), geom.MM(14)
	b.Parts = append(b.Parts, board.Part{Ref: "D2", Kind: board.LED, Height: geom.MM(1.9), Pads: []board.Pad{{}}})
	var codes []string
	for _, f := range fasten.Judge(p, fasten.Mounts(p, []board.Board{b}, s), []board.Board{b}, s) {
		codes = append(codes, f.Code)
	}
	// Both screws through the board want 31.6+... = 35; beside the board 30 do.
	require.ElementsMatch(t, []string{"fasten-long-screw", "fasten-long-screw", "fasten-no-screw",
		"fasten-led-proud", "fasten-led-deep"}, codes)
	require.Empty(t, fasten.Judge(panel.Panel{Name: "dome"}, nil, nil, stack()))
}

// A distance that the builder tells is kept: with 2.5 the LEDs stand 1.1 out of the sheet.
func TestToldDistance(t *testing.T) {
	_, b := panelOf()
	s := stack()
	s.Told = geom.MM(2.5)
	require.Equal(t, fasten.Rise{Distance: geom.MM(2.5), Proud: geom.MM(1.1)}, fasten.RiseOf(b, s))
	s.Sunk = -geom.MM(1.1) // and that is where the stack wants them
	require.Equal(t, fasten.Rise{Distance: geom.MM(2.5), Above: 0}, fasten.RiseOf(b, s))
}

// A spacer sheet takes the place of the second spacers, and the screw is as long.
func TestSpacerSheet(t *testing.T) {
	p, b := panelOf()
	s := stack()
	s.Told, s.Drilled = geom.MM(4), true
	m := fasten.Mounts(p, []board.Board{b}, s)[0]
	require.Zero(t, m.Rear)
	require.Equal(t, geom.MM(30), m.Screw)
}

// Chips of 1.9 behind a sheet of 3 touch nothing: the board lies right behind the sheet, without spacers, and their tops are 1.1
// below its front. Beside lamps of 6.6 they are 5.1 below, as the board is 4 behind.
func TestLowLEDs(t *testing.T) {
	p, b := panelOf()
	chip := board.Part{Ref: "D2", Kind: board.LED, Height: geom.MM(1.9), Pads: []board.Pad{{}}}
	both := b
	both.Parts = append(slices.Clone(b.Parts), chip)
	require.Equal(t, fasten.Rise{Distance: geom.MM(4), Above: geom.MM(0.4), Deep: geom.MM(5.1)}, fasten.RiseOf(both, stack()))
	b.Parts[0] = chip
	require.Equal(t, fasten.Rise{Deep: geom.MM(1.1)}, fasten.RiseOf(b, stack()))
	require.Zero(t, fasten.Mounts(p, []board.Board{b}, stack())[0].Rear)
}

// Beyond 30 mm there are no pan head screws M3 (ISO 7045), and beyond 100 none at all.
func TestThickStacks(t *testing.T) {
	p, b := panelOf()
	s := stack()
	s.Gap = geom.MM(14)
	m := fasten.Mounts(p, []board.Board{b}, s)[0]
	require.Equal(t, geom.MM(35), m.Screw)
	require.True(t, m.Rod)
	s.Gap = geom.MM(90)
	m = fasten.Mounts(p, []board.Board{b}, s)[0]
	require.Zero(t, m.Screw)
	require.True(t, m.Rod)
}

// A push-button on the whole stack, whose nut comes right before a board 4 behind the LED sheet: 17 behind the front it is on 17 to 20, so
// the board at 18 has it on its copper, one at 21 does not.
func TestControlOverCopper(t *testing.T) {
	k, ok := control.Find("push-16mm")
	require.True(t, ok)
	p := panel.Panel{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(100, 60)}), Openings: []panel.Opening{{Contour: geom.Circle(geom.PtMM(50, 30), geom.MM(16.2))}},
		Bodies: []geom.Contour{geom.Circle(geom.PtMM(50, 30), geom.MM(17))}}
	s := stack()
	p = seat.In(p, []seat.Told{{Set: true, Kind: k, Clamps: panel.ClampsStack}}, seat.Wish{Stack: seat.Stack{Face: s.Face, Diffuser: s.Diffuser, Gap: s.Gap, LED: s.Sheet}})
	area := geom.Rect(geom.BoxOf(geom.PtMM(59, 25), geom.PtMM(70, 35))).Ring(geom.FlattenTolerance)
	b := board.Board{Name: "dome", Laminate: board.Laminate{Thickness: geom.MM(1.6)}, Outline: geom.Rect(geom.Box{Max: geom.PtMM(100, 60)}),
		Cutouts: []geom.Contour{geom.Circle(geom.PtMM(50, 30), geom.MM(18))}, Areas: []board.Area{{Net: 1, Fill: geom.NewRegion(area)[0]}}}
	s.Told = geom.MM(1)
	l := fasten.Controls(p, []board.Board{b}, s)
	require.Len(t, l, 1)
	require.Equal(t, "fasten-control-board", l[0].Code)
	require.Contains(t, l[0].Text, "copper lies under it")
	bare := b
	bare.Areas = nil
	l = fasten.Controls(p, []board.Board{bare}, s)
	require.Len(t, l, 1)
	require.Contains(t, l[0].Text, "no copper")
	s.Told = geom.MM(4)
	require.Empty(t, fasten.Controls(p, []board.Board{b}, s))
	s.Told = geom.MM(1)
	b.Cutouts = []geom.Contour{geom.Circle(geom.PtMM(50, 30), geom.MM(24))} // as wide as the nut
	require.Empty(t, fasten.Controls(p, []board.Board{b}, s))
}

// A plate behind the LED sheet takes the place of as much of the second spacer, and wants joints before the board to clear it.
func TestPlate(t *testing.T) {
	p, b := panelOf()
	s := stack()
	s.Plate = geom.MM(1.6)
	mounts := fasten.Mounts(p, []board.Board{b}, s)
	require.Equal(t, geom.MM(2), mounts[0].Rear, "the LED wants 3.6 less slack, of which the plate is 1.6")
	require.Equal(t, geom.MM(30), mounts[0].Screw, "22.2 and 3.9")
	require.Equal(t, geom.MM(25), mounts[1].Screw, "17 and 1.6 and 3.9")
	s.Plate = geom.MM(3)
	require.Equal(t, geom.MM(5), fasten.RiseOf(b, s).Distance, "3 and joints of 1.5")
	require.Empty(t, fasten.Judge(panel.Panel{Name: "dome"}, nil, []board.Board{b}, s))
	s.Told = geom.MM(4)
	l := fasten.Judge(panel.Panel{Name: "dome"}, nil, []board.Board{b}, s)
	require.Len(t, l, 1)
	require.Equal(t, "fasten-plate-thick", l[0].Code)
}
