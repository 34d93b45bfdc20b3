package sheet_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/sheet"
	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/frame"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

// A slot is cut in each sheet that has one, in the frame and the spacer sheet as in the LED sheet, less the cut's width, and what is
// written reads as such: a slot of 3.2 x 4.2 and a round hole of 3.2, drawn for mounts.
func TestSlotsAreCut(t *testing.T) {
	p := panel.Panel{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(100, 60)})}
	for _, x := range []float64{8, 92} {
		p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(x, 8), D: geom.MM(3.2)})
	}
	b := board.Board{Name: "dome", Outline: p.Outline, Holes: []board.Hole{{At: p.Mounts[0].At, D: geom.MM(3.2)}, {At: p.Mounts[1].At, D: geom.MM(3.2)}}}
	for _, s := range []panel.Sheet{panel.FaceSheet, panel.DiffuserSheet, panel.LEDSheet, panel.PlateSheet} {
		p.Slots = append(p.Slots, panel.Slot{Mount: 1, Sheet: s, Along: geom.Segment{A: geom.PtMM(91.5, 8), B: geom.PtMM(92.5, 8)}})
	}
	p.Frame = frame.Of(t.Context(), p, geom.MM(4), nil)
	for kerf, want := range map[geom.Nm][2]float64{0: {4.2, 3.2}, geom.MM(0.2): {4.0, 3.0}} {
		opt := sheet.Options{Kerf: kerf}
		all := []sheet.Sheet{
			sheet.Face(t.Context(), p, nil, opt), sheet.Diffuser(t.Context(), p, opt), sheet.LED(t.Context(), p, opt), sheet.Plate(t.Context(), p, opt),
			sheet.Frame(t.Context(), p, opt), sheet.Spacer(t.Context(), b, p, opt),
		}
		for _, one := range all {
			inner := sheet.Laid{Sheet: one}.Inner()
			var slots, round int
			for _, c := range inner {
				w, h := c.Box().W().MM(), c.Box().H().MM()
				if w > 10 {
					continue // the frame's window
				}
				require.InDelta(t, want[1], h, 0.022, one.Name())
				if math.Abs(w-h) < 0.05 {
					round++
				} else {
					require.InDelta(t, want[0], w, 0.022, one.Name())
					slots++
				}
			}
			require.Equal(t, []int{1, 1}, []int{slots, round}, one.Name())
		}
		data, err := all[0].DXF(t.Context())
		require.NoError(t, err)
		d, l := dxf.Read(t.Context(), data, "face.dxf")
		require.False(t, l.HasErrors(), "%v", l)
		panels, _ := read.Panels(t.Context(), d, read.Options{})
		require.Len(t, panels, 1)
		holes := len(panels[0].Mounts) + len(panels[0].LEDs) + len(panels[0].Openings) // a circle of that size is taken for what is commoner
		require.Equal(t, 2, holes, "%+v", panels[0])
	}
}
