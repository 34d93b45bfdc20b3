package place_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/place"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// toldDesk is a panel of 120 x 60 mm with two rows of LEDs, two screws and a round opening.
func toldDesk() panel.Panel {
	p := panel.Panel{Name: "vent", Outline: rect(0, 0, 120, 60), Origin: panel.Origin{X: 100, Y: 200}}
	for _, y := range []float64{15, 48} {
		for _, x := range []float64{15, 30, 45, 75, 90, 105} {
			p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(3)})
		}
	}
	p.Mounts = []panel.Hole{{At: geom.PtMM(6, 6), D: geom.MM(3.2)}, {At: geom.PtMM(114, 54), D: geom.MM(3.2)}}
	p.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(60, 35), geom.MM(12))}}
	return p
}

func here(x, y float64) place.Told {
	return place.Told{Here: true, At: geom.PtMM(x, y), From: panel.Origin{X: 100, Y: 200}}
}

func partOf(t *testing.T, b board.Board, ref string) board.Part {
	for _, p := range b.Parts {
		if p.Ref == ref {
			return p
		}
	}
	require.Fail(t, "no part "+ref)
	return board.Part{}
}

// At an edge that is told the face stands where it does by itself: 0.2 mm inside the board's edge, whatever the other edges offer.
func TestToldEdge(t *testing.T) {
	p := toldDesk()
	face := map[place.Edge]func(geom.Box) geom.Nm{ // from the board's edge, which is 1 mm inside the panel's
		place.Left:   func(b geom.Box) geom.Nm { return b.Min.X - geom.MM(1) },
		place.Bottom: func(b geom.Box) geom.Nm { return b.Min.Y - geom.MM(1) },
		place.Right:  func(b geom.Box) geom.Nm { return geom.MM(119) - b.Max.X },
		place.Top:    func(b geom.Box) geom.Nm { return geom.MM(59) - b.Max.Y },
	}
	for edge, gap := range face {
		for _, other := range []place.Edge{place.Left, place.Top} {
			b, w, _, l := placed(t, p, place.Options{In: other, ToldIn: place.Told{Edge: edge}, ToldOut: place.Told{Edge: edge}})
			require.False(t, l.HasErrors(), "%v", l)
			audit(t, b, w, "told edge")
			for _, ref := range []string{"J1", "J2"} {
				require.InDelta(t, 0.2, gap(partOf(t, b, ref).Courtyard.Box()).MM(), 0.002, "edge %d, %s", edge, ref)
			}
		}
	}
}

// A place that is told is kept to the nanometre, also in the middle of the board.
func TestToldPlace(t *testing.T) {
	b, w, _, l := placed(t, toldDesk(), place.Options{ToldIn: here(100, 30.37), ToldOut: here(60, 6)})
	require.False(t, l.HasErrors(), "%v", l)
	audit(t, b, w, "told place")
	require.Equal(t, geom.PtMM(100, 30.37), partOf(t, b, "J1").At)
	require.Equal(t, geom.PtMM(60, 6), partOf(t, b, "J2").At)
	require.Equal(t, 0, partOf(t, b, "J2").Turn, "its wires leave by the nearest edge, the one below")
}

// LEDs turn their leads away from a connector that has no other place: above an LED and beside it, each 1.5 mm from its middle to
// the connector's courtyard, where leads of 2.54 mm pitch that point to it would be 0.3 mm too near (1.27 + 0.9 + 0.3 > 1.5).
func TestToldPlaceTurnsLEDs(t *testing.T) {
	for _, at := range []geom.Pt{geom.PtMM(30, 15+3.65+1.5), geom.PtMM(30, 48-3.65-1.5), geom.PtMM(30+3.65+1.5, 15), geom.PtMM(30+3.65+1.5, 48)} {
		b, w, _, l := placed(t, toldDesk(), place.Options{ToldIn: here(at.X.MM(), at.Y.MM())})
		require.False(t, l.HasErrors(), "%v", l)
		audit(t, b, w, "turned away")
		require.Equal(t, "terminal-3.5", partOf(t, b, "J1").Footprint, "at %v", at)
		require.Equal(t, at, partOf(t, b, "J1").At)
	}
}

// What is in the way is named with its place, and the nearest place that would do would do.
func TestToldRefused(t *testing.T) {
	p := toldDesk()
	cases := []struct {
		told place.Told
		what string
		at   geom.Pt
		led  bool
	}{
		{here(45, 16), "LED D3", geom.PtMM(45, 15), true},
		{here(6, 6), "the head of a mount's screw", geom.PtMM(6, 6), false},
		{here(60, 35), "an opening", geom.PtMM(60, 35), false},
		{here(200, 30), "the board's end", geom.PtMM(119, 30), false},
	}
	for _, c := range cases {
		_, _, figures, l := placed(t, p, place.Options{ToldIn: c.told})
		require.Equal(t, 1, l.Count(diag.Error), "%v", l)
		require.Equal(t, c.led, !figures.Regardless, "fewer LEDs help where an LED stands in the way, and nowhere else: %s", c.what)
		f := l[len(l)-1]
		for _, g := range l {
			if g.Severity == diag.Error {
				f = g
			}
		}
		require.Equal(t, "place-connector-told", f.Code)
		require.Contains(t, f.Text, c.what+" stands in the way")
		require.Equal(t, []string{"panels.vent.connectors.in", "defaults.connectors.in"}, f.Subject.Keys)
		named := false
		for _, r := range f.Related {
			if strings.HasPrefix(r.Text, c.what) {
				named = true
				require.InDelta(t, c.at.X.MM(), r.Place.At.X, 0.1)
				require.InDelta(t, c.at.Y.MM(), r.Place.At.Y, 0.1)
			}
		}
		require.True(t, named, "%v", f.Related)
		near := f.Related[len(f.Related)-1]
		require.Equal(t, "the nearest place that would do", near.Text)
		_, _, _, l = placed(t, p, place.Options{ToldIn: here(near.Place.At.X, near.Place.At.Y)})
		require.False(t, l.HasErrors(), "%v", l)
	}
	// The advice is in the drawing's frame.
	_, _, _, l := placed(t, p, place.Options{ToldOut: here(200, 30)})
	require.Contains(t, l[len(l)-1].Text, "at [300, 230]")
	require.Contains(t, l[len(l)-1].Advice, "write out: [21")
}

// An edge along which LEDs leave no room is refused, with another one that has.
func TestToldEdgeRefused(t *testing.T) {
	p := panel.Panel{Name: "row", Outline: rect(0, 0, 100, 40)}
	for x := 5.0; x < 98; x += 4.5 {
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, 4.5), D: geom.MM(3)})
	}
	_, _, figures, l := placed(t, p, place.Options{ToldIn: place.Told{Edge: place.Bottom}})
	require.Equal(t, 1, l.Count(diag.Error), "%v", l)
	require.False(t, figures.Regardless, "without the LEDs it would stand there")
	for _, f := range l {
		if f.Severity == diag.Error {
			require.Regexp(t, `J1 \(IN\) has no room at the bottom edge of the board, where it is wanted: LED D\d+(, LED D\d+)*( and LED D\d+)? stands? in the way`, f.Text)
			require.Regexp(t, `write in: (left|right|top) in connectors`, f.Advice)
		}
	}
}
