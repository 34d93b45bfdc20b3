package height_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/fasten"
	"lampblack/board/height"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/material"
	"lampblack/panel/seat"
)

func behind(l diag.List) (texts []string) {
	for _, f := range l {
		if f.Code == "fasten-screw-behind" {
			texts = append(texts, f.Text)
		}
	}
	return texts
}

// Three cast sheets of 3 mm are likely 1.24 off with spacers and board (the project's list of published check values, section 22): a screw of
// 30 that stands 7.4 out has room in 8 with sheets as they are called, and none with thin ones.
func TestScrewBehind(t *testing.T) {
	in := built(put(t, "D1", "led-0805", 50, 30))
	_, back := in.Span(in.Boards[0])
	m := fasten.Mount{At: geom.PtMM(90, 30), D: mm(3.2), Thread: "M3", Board: "dome", Screw: back + mm(7.4), Out: mm(7.4), OutLikely: material.Within(mm(7.4), mm(1.24))}
	in.Mounts = []fasten.Mount{m}
	require.Empty(t, behind(in.Judge(height.Told{})))
	require.Empty(t, behind(in.Judge(height.Told{Behind: mm(8.7)})))
	texts := behind(in.Judge(height.Told{Behind: mm(8)}))
	require.Len(t, texts, 1)
	require.Contains(t, texts[0], "stands 7.4 mm out behind the board, and 8.64 mm where the sheets come out thin, and behind it are only 8 mm")
	require.Len(t, behind(in.Judge(height.Told{Depth: back + mm(8)})), 1, "a case that is no deeper")
	require.Empty(t, behind(in.Judge(height.Told{Depth: back + mm(9)})))
}

// What stands there is known too: a connector whose body the nut meets, or the body of a control; beside them there is room.
func TestScrewMeetsWhatStandsBehind(t *testing.T) {
	in := built(put(t, "D1", "led-0805", 50, 30), put(t, "J1", "terminal-3.5", 80, 30))
	_, back := in.Span(in.Boards[0])
	body := find(t, in, "J1", height.Body).Shape.Box()
	mount := func(x, y geom.Nm) []fasten.Mount {
		return []fasten.Mount{{At: geom.Pt{X: x, Y: y}, D: mm(3.2), Thread: "M3", Board: "dome", Screw: back + mm(7.4), Out: mm(7.4), OutLikely: material.Exactly(mm(7.4))}}
	}
	middle := body.Centre().Y
	// A nut M3 is 5.5 over its flats (ISO 4032), 2.75 to each side.
	in.Mounts = mount(body.Max.X+mm(2.5), middle)
	texts := behind(in.Judge(height.Told{}))
	require.Len(t, texts, 1)
	require.Contains(t, texts[0], "M3 x ")
	require.Contains(t, texts[0], "its nut meet the body of J1, which stands there from 0 mm behind the board on")
	in.Mounts = mount(body.Max.X+mm(3), middle)
	require.Empty(t, behind(in.Judge(height.Told{})))

	in = built(put(t, "D1", "led-0805", 50, 30))
	in.Panel.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(20, 30), mm(12.2))}}
	k, ok := control.Find("toggle-m12")
	require.True(t, ok)
	in.Panel = seat.In(in.Panel, []seat.Told{{Set: true, Kind: k}}, seat.Wish{Stack: seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}})
	in.Mounts = mount(mm(20), mm(30))
	texts = behind(in.Judge(height.Told{}))
	require.Len(t, texts, 1)
	require.Contains(t, texts[0], "of toggle-m12")
	in.Mounts = mount(mm(50), mm(8))
	require.Empty(t, behind(in.Judge(height.Told{})))
}
