package seat_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/material"
	"lampblack/panel/seat"
)

// A thread that ends with the nut on face and diffuser of 3 each is 0.99 short where both are cast and come out likely thick (0.7 by the
// root of two squares): more than half of a nut of 1.5, less than half of one of 2. Sheets that were measured settle it.
func TestThreadOverTheRange(t *testing.T) {
	one := material.Bought(material.Cast, mm(3))
	known := one
	known.Range, known.Measured = material.Measured(mm(3)), true
	for _, c := range []struct {
		nut   float64
		sheet material.Sheet
		want  bool
	}{{1.5, one, true}, {2, one, false}, {1.5, known, false}, {1.5, material.Sheet{}, false}} {
		k := kind(t, "toggle-m12")
		k.NutThick = mm(c.nut)
		k.Thread = mm(6) + k.OnThread()
		s := stack()
		s.Thick = material.Sheets{Face: c.sheet, Diffuser: c.sheet}
		p := panel.Panel{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(100, 60)}), Openings: []panel.Opening{{Contour: geom.Circle(geom.PtMM(50, 30), mm(12.2))}}}
		p = seat.In(p, []seat.Told{{Set: true, Kind: k, Clamps: panel.ClampsDiffuser}}, seat.Wish{Stack: s})
		require.Zero(t, p.Controls[0].Left)
		told := false
		for _, f := range seat.Judge(p, s, 0) {
			require.NotEqual(t, "control-thread-short", f.Code)
			told = told || f.Code == "control-thread-range"
		}
		require.Equal(t, c.want, told, "%+v", c)
	}
}
