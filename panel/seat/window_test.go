package seat_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// A ring round a shaft is told where the control's nut or washer lies on it, or its knob covers more than half of it: of a ring of
// 16 mm on a bush of 7 the washer of 13 mm covers (13² - 7.2²) / (16² - 7.2²), 57 %; of one from 22 to 30 mm nothing; of one from 10
// to 18 mm the knob of 16 mm covers (16² - 10²) / (18² - 10²), 70 %.
func TestWindowsUnderControls(t *testing.T) {
	k := kind(t, "pot-7mm")
	k.Washer, k.Nut, k.Handle, k.ShaftLength = mm(13), mm(10), mm(13), mm(15)
	p := sits(t, one(7.2), seat.Wish{Stack: stack()}, seat.Told{Kind: k})
	ring := func(d, in float64) panel.Symbol {
		at := geom.PtMM(50, 40)
		return panel.Symbol{Closed: true, Filled: true, Window: true, Shape: geom.Circle(at, mm(d)), Holes: []geom.Contour{geom.Circle(at, mm(in))}}
	}
	told := func(s panel.Symbol, handle float64) []string {
		q := p
		q.Controls[0].Kind.Handle = mm(handle)
		q.Symbols = []panel.Symbol{s}
		var out []string
		for _, f := range seat.Judge(q, stack(), 0) {
			if f.Code == "control-over-window" {
				out = append(out, f.Text)
			}
		}
		return out
	}
	require.Equal(t, []string{"pot-7mm: its washer, 13 mm across, covers 57 % of the ring of 16 mm"}, told(ring(16, 7.2), 13))
	require.Empty(t, told(ring(30, 22), 16))
	k.Washer, k.Nut = 0, mm(8)
	p = sits(t, one(7.2), seat.Wish{Stack: stack()}, seat.Told{Kind: k})
	require.Equal(t, []string{"pot-7mm: its handle, 16 mm across, covers 70 % of the ring of 18 mm"}, told(ring(18, 10), 16))
	require.Empty(t, told(ring(18, 10), 14), "43 %")
	s := ring(18, 10)
	s.Window = false
	require.Empty(t, told(s, 16), "lettering is no window")
}
