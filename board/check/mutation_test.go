package check_test

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/led"
	ledpart "lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

func codes(l diag.List) []string {
	var out []string
	for _, f := range l {
		out = append(out, f.Code)
	}
	return out
}

func TestGoodBoardIsProven(t *testing.T) {
	b, w := focusBoard()
	require.Empty(t, check.Audit(context.Background(), b, w))
}

// damage is one thing that goes wrong on a good board, and the finding that must name it.
type damage struct {
	name string
	code string
	do   func(b *board.Board)
}

func damages() []damage {
	at := geom.PtMM
	return []damage{
		{"shift a pad off its track", "check-open", func(b *board.Board) { part(b, "R1").Pads[1].At = at(12.5, 24) }},
		{"shift a pad within its part", "check-pad-place", func(b *board.Board) { part(b, "R1").Pads[0].At = at(9.7, 22) }},
		{"shift a pad out of its part", "check-pad-place", func(b *board.Board) { part(b, "J2").Pads[0].At = at(50, 18.5) }},
		{"delete a track of a string", "check-open", func(b *board.Board) { b.Tracks = append(b.Tracks[:5], b.Tracks[6:]...) }},
		{"delete a track: the string is broken", "check-string-broken", func(b *board.Board) { b.Tracks = append(b.Tracks[:5], b.Tracks[6:]...) }},
		{"delete the supply trunk", "check-open", func(b *board.Board) { b.Tracks = b.Tracks[1:] }},
		{"swap an LED's nets", "check-pin-net", func(b *board.Board) {
			p := part(b, "D2").Pads
			p[0].Net, p[1].Net = p[1].Net, p[0].Net
		}},
		{"swap an LED's functions", "check-pin-function", func(b *board.Board) {
			p := part(b, "D2").Pads
			p[0].Function, p[1].Function = "K", "A"
		}},
		{"swap an LED's pin numbers", "check-pin-function", func(b *board.Board) {
			p := part(b, "D2").Pads
			p[0].Pin, p[1].Pin = "1", "2"
		}},
		{"turn an LED round under its tracks", "check-short", func(b *board.Board) {
			p := part(b, "D2").Pads
			p[0].At, p[1].At = p[1].At, p[0].At
		}},
		{"turn an LED round with its labels", "check-led-reversed", func(b *board.Board) {
			p := part(b, "D1").Pads
			p[0].At, p[1].At = p[1].At, p[0].At
		}},
		{"put the square pad on the anode", "check-polarity-mark", func(b *board.Board) {
			p := part(b, "D3").Pads
			p[0].Shape, p[1].Shape = board.Square, board.Round
		}},
		{"round the cathode's pad", "check-polarity-mark", func(b *board.Board) { part(b, "D3").Pads[1].Shape = board.Round }},
		{"put a square pad on a connector", "check-polarity-mark", func(b *board.Board) { part(b, "J1").Pads[0].Shape = board.Square }},
		{"swap a connector's signs", "check-pin-function", func(b *board.Board) {
			p := part(b, "J1").Pads
			p[0].Function, p[1].Function = "-", "+"
		}},
		{"turn an LED by a quarter", "check-open", func(b *board.Board) {
			p := part(b, "D1")
			p.Pads[0].At, p.Pads[1].At = at(17.27, 20.73), at(17.27, 23.27)
		}},
		{"grow an area over foreign copper", "check-short", func(b *board.Board) {
			b.Areas[1].Fill.Outer[0], b.Areas[1].Fill.Outer[3] = at(24, 18), at(24, 26)
		}},
		{"grow an area near foreign copper", "check-copper-gap", func(b *board.Board) {
			b.Areas[1].Fill.Outer[0], b.Areas[1].Fill.Outer[3] = at(25.5, 18), at(25.5, 26)
		}},
		{"remove a spoke", "check-open", func(b *board.Board) {
			b.Areas[0].Fill.Outer = ring(34, 6, 52, 6, 52, 15.6, 34, 15.6)
		}},
		{"end a spoke just before its pad", "check-open", func(b *board.Board) {
			b.Areas[0].Fill.Outer[3].X, b.Areas[0].Fill.Outer[4].X = geom.MM(53.9), geom.MM(53.9)
		}},
		{"remove an area", "check-open", func(b *board.Board) { b.Areas = b.Areas[1:] }},
		{"cut an area in two nearly", "check-thin-area", func(b *board.Board) {
			b.Areas[1].Fill.Holes = []geom.Ring{ring(42, 18.1, 42, 25.8, 43, 25.8, 43, 18.1)}
		}},
		{"thin a spoke", "check-thin-area", func(b *board.Board) {
			b.Areas[0].Fill.Outer[2].Y, b.Areas[0].Fill.Outer[3].Y = geom.MM(15.1), geom.MM(15.1)
			b.Areas[0].Fill.Outer[3].X = geom.MM(54.5)
		}},
		{"slit an area", "check-sliver", func(b *board.Board) {
			b.Areas[1].Fill.Holes = []geom.Ring{ring(42, 20, 42, 24, 42.05, 24, 42.05, 20)}
		}},
		{"leave an island", "check-island", func(b *board.Board) {
			b.Areas = append(b.Areas, board.Area{Net: 2, On: geom.Top, Fill: geom.Polygon{Outer: rectRing(34, 22, 40, 26)}})
		}},
		{"add a stray track", "check-island", func(b *board.Board) { b.Tracks = append(b.Tracks, track(2, geom.Top, 0.4, 34, 18, 40, 18)) }},
		{"add a stub", "check-dangling-end", func(b *board.Board) { b.Tracks = append(b.Tracks, track(1, geom.Bottom, 0.4, 30, 18.5, 30, 16)) }},
		{"lay a track across another net", "check-short", func(b *board.Board) { b.Tracks = append(b.Tracks, track(3, geom.Bottom, 0.4, 14, 22, 14, 18.5)) }},
		{"lay a bridge with the wrong label", "check-short", func(b *board.Board) { b.Tracks = append(b.Tracks, track(0, geom.Bottom, 0.4, 14, 22, 14, 18.5)) }},
		{"lay a track near another net", "check-copper-gap", func(b *board.Board) {
			b.Tracks = append(b.Tracks, track(1, geom.Bottom, 0.4, 20.27, 18.5, 20.27, 21.5))
		}},
		{"via on a foreign track", "check-short", func(b *board.Board) {
			b.Vias = append(b.Vias, board.Via{Net: 2, At: at(24.54, 18.5), Drill: geom.MM(0.4), D: geom.MM(0.9)})
		}},
		{"via that joins nothing", "check-idle-via", func(b *board.Board) {
			b.Vias = append(b.Vias, board.Via{Net: 1, At: at(30, 18.5), Drill: geom.MM(0.4), D: geom.MM(0.9)})
		}},
		{"remove a via", "check-open", func(b *board.Board) { b.Vias = nil }},
		{"move a via", "check-open", func(b *board.Board) { b.Vias[0].At = at(20.27, 11) }},
		{"shrink a via's ring", "check-annular-ring", func(b *board.Board) { b.Vias[0].D = geom.MM(0.75) }},
		{"drill a pad too wide", "check-annular-ring", func(b *board.Board) { part(b, "J1").Pads[0].Drill = geom.MM(1.7) }},
		{"drill too small", "check-smallest-hole", func(b *board.Board) { b.Vias[0].Drill = geom.MM(0.15) }},
		{"test point off its track", "check-open", func(b *board.Board) { b.Spots[0].At = at(14.25, 5) }},
		{"test point on another net's track", "check-short", func(b *board.Board) { b.Spots[0].At = at(15, 18.5) }},
		{"test point of another string's name", "check-test-point", func(b *board.Board) { b.Spots[0].Ref = "TP1" }},
		{"test point that the circuit does not have", "check-test-point", func(b *board.Board) { b.Spots[0].Ref = "TP7" }},
		{"test point twice", "check-test-point", func(b *board.Board) { b.Spots = append(b.Spots, b.Spots[0]) }},
		{"test point whose net is misnamed", "check-test-point", func(b *board.Board) { b.Spots[0].Net = 3 }},
		{"test point under the mask", "check-mask-covers-pad", func(b *board.Board) { b.Spots[0].Mask = geom.MM(-0.2) }},
		{"test point under a part", "check-spot-covered", func(b *board.Board) { b.Spots[0].At = at(12.5, 9) }},
		{"test point near another net", "check-copper-gap", func(b *board.Board) {
			b.Tracks = append(b.Tracks, track(1, geom.Bottom, 0.4, 9.5, 6.15, 14.25, 6.15))
		}},
		{"text over a test point", "check-legend-on-pad", func(b *board.Board) {
			b.Legend = append(b.Legend, board.Stroke{On: geom.Bottom, Width: geom.MM(0.2), Path: line(13, 7.2, 16, 7.2)})
		}},
		{"fiducial joined to a net", "check-short", func(b *board.Board) { b.Tracks = append(b.Tracks, track(2, geom.Top, 0.4, 10, 15, 10, 27)) }},
		{"copper in a fiducial's clear ring", "check-mask-exposes", func(b *board.Board) { b.Tracks = append(b.Tracks, track(2, geom.Top, 0.4, 10.9, 15, 10.9, 28)) }},
		{"test point without copper", "check-malformed", func(b *board.Board) { b.Spots[0].D = 0 }},
		{"thin a track", "check-thin-track", func(b *board.Board) { b.Tracks[4].Width = geom.MM(0.15) }},
		{"track ends short of its pad", "check-open", func(b *board.Board) { b.Tracks[4].Path[1] = at(14.8, 22) }},
		{"track only brushes its pad", "check-thin-joint", func(b *board.Board) { b.Tracks[4].Path[1] = at(14.92, 22) }},
		{"track touches its pad in a point", "check-open", func(b *board.Board) { b.Tracks[4].Path[1] = at(14.9, 22) }},
		{"track on the wrong side", "check-open", func(b *board.Board) { b.Tracks[4].On = geom.Top }},
		{"track labelled with another net", "check-wrong-net", func(b *board.Board) { b.Tracks[4].Net = 5 }},
		{"area labelled with another net", "check-wrong-net", func(b *board.Board) { b.Areas[1].Net = 2 }},
		{"copper near the edge", "check-copper-to-edge", func(b *board.Board) { b.Tracks = append(b.Tracks, track(2, geom.Top, 0.4, 24.54, 9, 24.54, 0.6)) }},
		{"copper near a cutout", "check-copper-to-edge", func(b *board.Board) { b.Cutouts[0] = geom.Circle(at(29, 21.7), geom.MM(5)).Reversed() }},
		{"copper off the board", "check-copper-off-board", func(b *board.Board) { b.Tracks = append(b.Tracks, track(2, geom.Top, 0.4, 24.54, 9, 24.54, -2)) }},
		{"move a hole off the board", "check-hole-off-board", func(b *board.Board) { b.Holes[0].At = at(-4, 4) }},
		{"hole near the edge", "check-hole-to-edge", func(b *board.Board) { b.Holes[0].At = at(2, 4) }},
		{"hole near a hole", "check-between-holes", func(b *board.Board) { b.Holes[4].At = at(4, 7) }},
		{"hole through copper", "check-copper-to-hole", func(b *board.Board) { b.Holes[4].At = at(30, 15) }},
		{"screw on copper", "check-screw-room", func(b *board.Board) { b.Holes[3].At = at(52, 4) }},
		{"screw on a part", "check-part-at-screw", func(b *board.Board) { b.Holes[0].At = at(5, 10) }},
		{"pads too close for mask", "check-mask-between-pads", func(b *board.Board) {
			for i := range part(b, "D1").Pads {
				part(b, "D1").Pads[i].Mask = geom.MM(0.35)
			}
		}},
		{"mask opening bares a neighbour", "check-mask-exposes", func(b *board.Board) {
			b.Tracks = append(b.Tracks, track(1, geom.Bottom, 0.4, 14.6, 18.5, 14.6, 20.6))
			part(b, "D1").Pads[0].Mask = geom.MM(0.9)
		}},
		{"mask over a pad", "check-mask-covers-pad", func(b *board.Board) { part(b, "R2").Pads[0].Mask = geom.MM(-0.1) }},
		{"mask opening too tight", "check-mask-beyond-pad", func(b *board.Board) { part(b, "R2").Pads[0].Mask = geom.MM(0.01) }},
		{"text over a pad", "check-legend-on-pad", func(b *board.Board) { b.Legend[0].Path = line(15, 22, 20, 22) }},
		{"text near a pad", "check-legend-gap", func(b *board.Board) { b.Legend[0].Path = line(14, 23.1, 17, 23.1) }},
		{"text over a hole", "check-legend-on-hole", func(b *board.Board) { b.Legend[0].Path = line(2, 4, 8, 4) }},
		{"text off the board", "check-legend-off-board", func(b *board.Board) { b.Legend[0].Path = line(50, 10, 65, 10) }},
		{"text over the edge of a cutout", "check-legend-off-board", func(b *board.Board) { b.Legend[0].Path = line(24, 25, 34, 25) }},
		{"text too fine", "check-legend-width", func(b *board.Board) { b.Legend[0].Width = geom.MM(0.1) }},
		{"an area over a pad", "check-legend-on-pad", func(b *board.Board) { b.Ink = append(b.Ink, inked(geom.Top, rectRing(14, 20, 20, 25))) }},
		{"an area with a pad wholly in it", "check-legend-on-pad", func(b *board.Board) { b.Ink = append(b.Ink, inked(geom.Bottom, rectRing(13, 19, 22, 26))) }},
		{"an area near a pad", "check-legend-gap", func(b *board.Board) { b.Ink = append(b.Ink, inked(geom.Top, rectRing(14, 22.99, 17, 24))) }},
		{"an area over a hole", "check-legend-on-hole", func(b *board.Board) { b.Ink = append(b.Ink, inked(geom.Top, rectRing(2, 3, 8, 5))) }},
		{"an area off the board", "check-legend-off-board", func(b *board.Board) { b.Ink = append(b.Ink, inked(geom.Top, rectRing(58, 10, 65, 11))) }},
		{"an area over a cutout", "check-legend-off-board", func(b *board.Board) { b.Ink = append(b.Ink, inked(geom.Bottom, rectRing(20, 14, 40, 29.5))) }},
		{"an area too fine in its middle", "check-legend-width", func(b *board.Board) {
			b.Ink = append(b.Ink, inked(geom.Bottom, ring(40, 5, 43, 5, 43, 6, 48, 6, 48, 5, 51, 5, 51, 7, 48, 7, 48, 6.1, 43, 6.1, 43, 7, 40, 7)))
		}},
		{"an area over a mark", "check-print-on-legend", func(b *board.Board) { b.Ink = append(b.Ink, inked(geom.Top, rectRing(11, 25.5, 13, 26.5))) }},
		{"an area of two points", "check-malformed", func(b *board.Board) { b.Ink = append(b.Ink, inked(geom.Top, ring(1, 1, 5, 1))) }},
		{"overlap courtyards", "check-courtyard", func(b *board.Board) { shift(part(b, "D2"), -2.5, 0) }},
		{"part over a lead", "check-lead-under-part", func(b *board.Board) { shift(part(b, "R1"), 5, 0) }},
		{"part off the board", "check-part-off-board", func(b *board.Board) { shift(part(b, "R1"), 0, 10) }},
		{"part over the edge", "check-part-overhang", func(b *board.Board) { shift(part(b, "R1"), 0, 7.4) }},
		{"text over a via", "check-legend-on-via", func(b *board.Board) { b.Legend[0].Path = line(20.27, 8, 20.27, 10) }},
		{"part over a cutout", "check-part-off-board", func(b *board.Board) { shift(part(b, "D2"), 4.5, 1.5) }},
		{"part in a keep-out", "check-part-in-keepout", func(b *board.Board) {
			b.Keepout = append(b.Keepout, geom.Circle(at(17.27, 24.4), geom.MM(3)))
		}},
		{"board in a keep-out", "check-board-in-keepout", func(b *board.Board) {
			b.Keepout = append(b.Keepout, geom.Circle(at(47, 2), geom.MM(2)))
		}},
		{"copper in a keep-out", "check-copper-in-keepout", func(b *board.Board) {
			b.Keepout = append(b.Keepout, geom.Circle(at(30, 18.5), geom.MM(2)))
		}},
		{"lose a part", "check-missing-part", func(b *board.Board) { b.Parts = append(b.Parts[:3], b.Parts[4:]...) }},
		{"a part too many", "check-surplus-part", func(b *board.Board) { b.Parts = append(b.Parts, resistorAt("R9", 40, 4.2, 0, 0)) }},
		{"two parts of one name", "check-duplicate-part", func(b *board.Board) { part(b, "D4").Ref = "D3" }},
		{"lose a pad", "check-missing-pin", func(b *board.Board) { part(b, "D4").Pads = part(b, "D4").Pads[:1] }},
		{"a resistor for an LED", "check-wrong-part", func(b *board.Board) { part(b, "D4").Kind = board.Resistor }},
		{"swap two resistors' nets", "check-pin-net", func(b *board.Board) {
			part(b, "R1").Pads[1].Net, part(b, "R2").Pads[1].Net = 5, 3
		}},
		{"change over two strings' tracks", "check-short", func(b *board.Board) {
			b.Tracks[6].Path = line(12.5, 9, 14, 9, 14, 22, 16, 22)
		}},
		{"lose the feed connectors", "check-no-feed", func(b *board.Board) { b.Parts = b.Parts[:6] }},
		{"swap the connector's pins", "check-short", func(b *board.Board) {
			p := part(b, "J1").Pads
			p[0].At, p[1].At = p[1].At, p[0].At
		}},
		{"outline crosses itself", "check-outline-crosses", func(b *board.Board) { b.Outline[3].Pt = at(-1, 29) }},
		{"cutout outside", "check-cutout-outside", func(b *board.Board) { b.Cutouts[0] = geom.Circle(at(29, 45), geom.MM(5)) }},
		{"a pad without size", "check-malformed", func(b *board.Board) { part(b, "D1").Pads[0].W = 0 }},
		{"a net that does not exist", "check-malformed", func(b *board.Board) { b.Tracks[0].Net = 99 }},
		{"a point a kilometre away", "check-malformed", func(b *board.Board) { b.Tracks[0].Path[0].X = 1e15 }},
		{"no outline", "check-malformed", func(b *board.Board) { b.Outline = nil }},
	}
}

// TestDamageIsCaught is the proof of the prover: each kind of damage to a good board must be found under its name.
func TestDamageIsCaught(t *testing.T) {
	good, w := focusBoard()
	for _, d := range damages() {
		t.Run(d.name, func(t *testing.T) {
			b := clone(good)
			d.do(&b)
			l := check.Audit(context.Background(), b, w)
			require.Contains(t, codes(l), d.code)
			for _, f := range l {
				require.NotEmpty(t, f.Advice, "%s: %s", f.Code, f.Text)
			}
			paneltest.Subjects(t, l)
			require.Equal(t, l, check.Audit(context.Background(), b, w), "same board, same findings")
		})
	}
	require.Empty(t, check.Audit(context.Background(), good, w), "the mutations must not have touched the original")
}

// A part that reaches over two edges of the board, or over one that it crosses twice, is told once.
func TestOverhangIsToldOnce(t *testing.T) {
	good, w := focusBoard()
	for _, to := range [][2]float64{{1, 29}, {30, 29.5}} {
		b := clone(good)
		p := part(&b, "R1")
		shift(p, to[0]-p.At.X.MM(), to[1]-p.At.Y.MM())
		var told []string
		for _, f := range check.Audit(t.Context(), b, w) {
			if f.Code == "check-part-overhang" {
				told = append(told, f.Text)
			}
		}
		require.Equal(t, []string{"R1 reaches over the board's edge"}, told, "at %v", to)
	}
}

// TestDamageToTheCircuit changes what the board is compared with.
func TestDamageToTheCircuit(t *testing.T) {
	b, w := focusBoard()
	w.LEDs = append([]led.LED(nil), w.LEDs...)
	w.LEDs[0].Anode, w.LEDs[0].Cathode = w.LEDs[0].Cathode, w.LEDs[0].Anode
	require.Contains(t, codes(check.Audit(context.Background(), b, w)), "check-pin-net")
}

// The audit of currents, on the board made by hand: its 0V way from IN to OUT is a track of 1 mm, then an area, its supply trunk
// one of 1 mm with an area over its middle. By IPC-2221 1.0 mm of 35 um carries 2.39 A at 10 K (references.md section 3), and a
// hole of 0.4 mm with a wall of 20 um some 1.9 A, one of 0.15 mm 1.0 A.
func TestCurrents(t *testing.T) {
	thin := func(trunk, own float64, do func(b *board.Board)) []string {
		b, w := focusBoard()
		b.Laminate = board.UsualLaminate()
		for i := range w.Nets[1:] {
			w.Nets[i+1].Amps = amps(own)
		}
		w.Nets[led.Supply].Amps, w.Nets[led.Return].Amps = amps(trunk), amps(trunk)
		b.Nets = slices.Clone(w.Nets)
		if do != nil {
			do(&b)
		}
		var out []string
		for _, f := range check.Audit(t.Context(), b, w) {
			if f.Code == "check-thin-current" {
				out = append(out, f.Text)
			}
		}
		return out
	}
	require.Empty(t, thin(2.3, 0.01, nil))
	over := thin(2.5, 0.01, nil)
	require.Len(t, over, 2, "%v", over)
	require.Contains(t, over[0]+over[1], "V+ must carry 2.5 A")
	require.Contains(t, over[0]+over[1], "0V must carry 2.5 A")
	require.Len(t, thin(2, 0.01, func(b *board.Board) { b.Tracks[0].Width = geom.MM(0.7) }), 1)
	// A second track beside the first, on the other side, carries its share.
	require.Empty(t, thin(2.5, 0.01, func(b *board.Board) {
		b.Tracks = append(b.Tracks, track(1, geom.Top, 0.8, 5, 18.5, 55, 18.5), track(2, geom.Bottom, 0.8, 5, 15, 55, 15))
	}))
	// A branch is judged by its own strings, not by the trunk's current; a string by its own.
	require.Empty(t, thin(2.3, 0.9, func(b *board.Board) { b.Tracks[1].Width = geom.MM(0.3) }))
	require.NotEmpty(t, thin(2.3, 1.1, func(b *board.Board) { b.Tracks[1].Width = geom.MM(0.3) }))
	require.NotEmpty(t, thin(2.39, 1.19, func(b *board.Board) { b.Tracks[4].Width = geom.MM(0.3) }))
	// A via's wall counts.
	require.NotEmpty(t, thin(2.39, 1.19, func(b *board.Board) { b.Vias[0].Drill = geom.MM(0.15) }))
}

func amps(i float64) ledpart.Amp { return ledpart.Amp(i) }
