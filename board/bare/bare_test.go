package bare_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/bare"
	"lampblack/board/boardtest"
	"lampblack/board/boardtest/made"
	"lampblack/board/check"
	"lampblack/board/fill"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// routed returns a board with its tracks, and its circuit.
func routed(t testing.TB, seed uint64, n int) (board.Board, led.Wiring) {
	p := boardtest.Panel(seed, n)
	w := boardtest.Wiring(p)
	b, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	require.False(t, l.HasErrors())
	b, _, l = place.Place(t.Context(), b, p, w, place.Options{})
	require.False(t, l.HasErrors())
	b, _, l = route.Route(t.Context(), b, route.Options{})
	require.False(t, l.HasErrors())
	return b, w
}

// Bare pads put no fault on a board, whatever it looks like: what is told of it with them was told without.
func TestBarePadsDoNoHarm(t *testing.T) {
	for seed := range uint64(6) {
		plain, w := routed(t, seed, 12+5*int(seed))
		finished := func(b board.Board) (board.Board, []string) {
			b, _, _ = fill.Fill(t.Context(), b, fill.Usual())
			var codes []string
			for _, f := range check.Audit(t.Context(), b, w) {
				codes = append(codes, f.Code)
			}
			return b, codes
		}
		_, before := finished(plain)
		b, told := bare.Fiducials(t.Context(), plain)
		require.Empty(t, told, "seed %d", seed)
		b = bare.TestPoints(t.Context(), b, w.Probes())
		require.Empty(t, plain.Spots, "the board that was given stays as it was")
		require.Equal(t, plain.Parts, b.Parts)
		require.Equal(t, plain.Tracks, b.Tracks[:len(plain.Tracks)], "tracks are added, and none is moved")
		again := bare.TestPoints(t.Context(), func() board.Board { c, _ := bare.Fiducials(t.Context(), plain); return c }(), w.Probes())
		require.Equal(t, b, again)
		b, after := finished(b)
		require.Equal(t, before, after, "seed %d", seed)

		points := 0
		for _, s := range b.Spots {
			switch s.Use {
			case board.TestPoint:
				points++
				i := slices.IndexFunc(w.Probes(), func(p led.Probe) bool { return p.Ref == s.Ref })
				require.Equal(t, w.Probes()[i].Net, s.Net)
				require.Equal(t, geom.Bottom, s.On)
				require.Equal(t, geom.MM(1.5), s.D)
			case board.Fiducial:
				// 1 mm of copper in 2 mm of bare laminate: IPC-7351B, from memory.
				require.Equal(t, geom.MM(1), s.D)
				require.Equal(t, geom.MM(2), s.D+2*s.Mask)
				for _, a := range b.Areas {
					if a.On == s.On {
						require.NotEqual(t, geom.Inside, geom.Region{a.Fill}.Locate(s.At))
						require.Greater(t, geom.Region{a.Fill}.DistTo(s.At), float64(geom.MM(1)), "copper stays out of the ring")
					}
				}
			}
		}
		require.Greater(t, points, 3*len(w.Probes())/4, "seed %d: most have room on a board of usual size", seed)
	}
}

// A point behind R3 is called TP3, is joined to R3 and not to the supply, and has its name beside it.
func TestPointsAreNamed(t *testing.T) {
	b, w, l := made.Board(3, 20)
	require.False(t, l.HasErrors())
	named := 0
	for i, s := range w.Strings {
		r := w.Resistors[s.Resistor]
		spot, ok := b.TestPoint("TP" + r.Ref[1:])
		if !ok {
			continue
		}
		require.Equal(t, w.LEDs[s.LEDs[0]].Anode, spot.Net, "string %d", i)
		if word, ok := b.Printed(board.Reference, spot.Ref, ""); ok {
			named++
			require.Equal(t, spot.Ref, word.Text)
			require.Less(t, word.Box.Dist(geom.BoxOf(spot.At)), float64(geom.MM(2.5)), "the name stands beside its point")
		}
	}
	require.Positive(t, named)
	plus, ok := b.TestPoint("TP+")
	require.True(t, ok)
	require.Equal(t, led.Supply, plus.Net)
	minus, ok := b.TestPoint("TP-")
	require.True(t, ok)
	require.Equal(t, led.Return, minus.Net)
}

// Groups have a point for each conductor, in their order.
func TestProbesOfGroups(t *testing.T) {
	w := led.Wiring{
		Groups:     []led.Group{{Name: "day", Net: 1}, {Name: "night", Net: 3}},
		Resistors:  []led.Resistor{{Ref: "R1", From: 3, To: 4}},
		Connectors: []led.Connector{{Ref: "J2", Role: led.Out}, {Ref: "J1", Role: led.In}},
		Strings:    []led.String{{}},
	}
	require.Equal(t, []led.Probe{{Ref: "TP+1", Net: 1, Near: "J1"}, {Ref: "TP+2", Net: 3, Near: "J1"}, {Ref: "TP-", Net: led.Return, Near: "J1"},
		{Ref: "TP1", Net: 4, Near: "R1"}}, w.Probes())
}

// Where there is no room there is no spot, and fiducials that were asked for are told.
func TestNoRoom(t *testing.T) {
	b, w := routed(t, 1, 12)
	box := b.Outline.Box()
	b.Keepout = append(b.Keepout, geom.Rect(box)) // nothing may be anywhere
	require.Empty(t, bare.TestPoints(t.Context(), b, w.Probes()).Spots)
	b, l := bare.Fiducials(t.Context(), b)
	require.Empty(t, b.Spots)
	require.Len(t, l, 1)
	require.Equal(t, "bare-fiducials", l[0].Code)
	require.Equal(t, diag.Warning, l[0].Severity)
}

// BenchmarkTestPoints sets those of a board of 500 LEDs.
func BenchmarkTestPoints(b *testing.B) {
	board, w := routed(b, 1, 500)
	for b.Loop() {
		bare.TestPoints(b.Context(), board, w.Probes())
	}
}
