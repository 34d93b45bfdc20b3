package check_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/led"
	"lampblack/panel/geom"
)

// fieldBoard is a board of rows of LEDs, made by hand: each string two LEDs and a resistor under the row, the supply on
// the bottom, 0 V on the top, and an area on each side with a round hole or four spokes about every through pad.
func fieldBoard(strings int) (board.Board, led.Wiring) {
	const cols = 12
	w := led.Wiring{Nets: []led.Net{{}, {Name: "V+"}, {Name: "0V"}}}
	rows := (strings + cols - 1) / cols
	width, height := 14+float64(cols)*16, 12+float64(rows)*9
	b := board.Board{Name: "field", Rules: board.UsualRules()}
	b.Outline = geom.Rect(geom.Box{Max: geom.PtMM(width, height)})
	add := func(p board.Part) { b.Parts = append(b.Parts, p) }
	net := func(name string) led.NetID {
		w.Nets = append(w.Nets, led.Net{Name: name})
		return led.NetID(len(w.Nets) - 1)
	}
	top, bottom := geom.Polygon{Outer: rectRing(0.6, 0.6, width-0.6, height-0.6)}, geom.Polygon{Outer: rectRing(0.6, 0.6, width-0.6, height-0.6)}
	clear := func(p *geom.Polygon, x, y, d float64) {
		p.Holes = append(p.Holes, geom.Circle(geom.PtMM(x, y), geom.MM(d)).Ring(geom.FlattenTolerance).Oriented(geom.CW))
	}
	for s := range strings {
		x, y := 12+float64(s%cols)*16, 8+float64(s/cols)*9
		a, m := net(fmt.Sprintf("S%d.1", s+1)), net(fmt.Sprintf("S%d.2", s+1))
		r, d1, d2 := fmt.Sprintf("R%d", s+1), fmt.Sprintf("D%d", 2*s+1), fmt.Sprintf("D%d", 2*s+2)
		add(resistorAt(r, x+1.5, y+4, 1, a))
		add(ledAt(d1, x+1.27, y, a, m))
		add(ledAt(d2, x+8.27, y, m, 2))
		// x: anode of the first; x+7: anode of the second; x+9.54: its cathode.
		b.Tracks = append(b.Tracks,
			track(a, geom.Bottom, 0.4, x+3, y+4, x+3, y+3, x+2.2, y+2.2, x+1, y+2.2, x, y+1.2, x, y),
			track(m, geom.Bottom, 0.4, x+2.54, y, x+7, y))
		w.Resistors = append(w.Resistors, led.Resistor{Ref: r, String: led.StringID(s), From: 1, To: a})
		w.LEDs = append(w.LEDs, led.LED{Ref: d1, String: led.StringID(s), Anode: a, Cathode: m}, led.LED{Ref: d2, String: led.StringID(s), Anode: m, Cathode: 2})
		w.Strings = append(w.Strings, led.String{LEDs: []int{2 * s, 2*s + 1}, Resistor: s})
		top.Holes = append(top.Holes, rectRing(x-1.4, y-1.4, x+3.94, y+1.4).Oriented(geom.CW))
		clear(&top, x+7, y, 2.8)
		// The cathode of the last LED stays in the 0 V area: the pad is joined solid.
		bottom.Holes = append(bottom.Holes,
			ring(x-1.5, y-1.5, x+11.5, y-1.5, x+11.5, y+1.5, x+4.3, y+1.5, x+4.3, y+5.3, x-1.5, y+5.3).Oriented(geom.CW))
		// A track from the area to the resistor's supply pad.
		b.Tracks = append(b.Tracks, track(1, geom.Bottom, 0.5, x, y+4, x, y+6))
	}
	add(connectorAt("J1", 4, 6))
	w.Connectors = []led.Connector{{Ref: "J1", Pins: []led.NetID{1, 2}}}
	clear(&top, 4, 6, 2.8)
	clear(&bottom, 4, 2.5, 2.8)
	b.Areas = []board.Area{{Net: 2, On: geom.Top, Fill: top}, {Net: 1, On: geom.Bottom, Fill: bottom}}
	b.Nets = w.Nets
	return b, w
}

func TestFieldBoard(t *testing.T) {
	b, w := fieldBoard(24)
	found := check.Audit(context.Background(), b, w)
	for _, f := range found {
		t.Logf("%s %s %v: %s", f.Severity, f.Code, f.Place.At, f.Text)
	}
	require.False(t, found.HasErrors())
}

func BenchmarkAudit500(b *testing.B) {
	bd, w := fieldBoard(250)
	b.ReportAllocs()
	for b.Loop() {
		check.Audit(context.Background(), bd, w)
	}
}

func BenchmarkMeasure500(b *testing.B) {
	bd, _ := fieldBoard(250)
	for b.Loop() {
		check.Measure(context.Background(), bd)
	}
}
