package place_test

import (
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/place"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// advised returns the move that advice names.
func advised(t *testing.T, advice string) (v geom.Vec) {
	t.Helper()
	all := regexp.MustCompile(`(\d+\.\d\d) mm (to the right|to the left|up|down)`).FindAllStringSubmatch(advice, -1)
	require.NotEmpty(t, all, advice)
	for _, m := range all {
		d, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		switch m[2] {
		case "to the right":
			v.X += geom.MM(d)
		case "to the left":
			v.X -= geom.MM(d)
		case "up":
			v.Y += geom.MM(d)
		default:
			v.Y -= geom.MM(d)
		}
	}
	return v
}

// An LED without room is told with a move that gives it room: from an edge, a hole and another LED, whatever the shape of the board
// was judged to be.
func TestMovesGiveRoom(t *testing.T) {
	bare := func(x0 float64) board.Board {
		return board.Board{Name: "vents", Rules: board.UsualRules(), Laminate: board.UsualLaminate(), Outline: rect(x0, 0, 60, 40),
			Holes: []board.Hole{{At: geom.PtMM(30, 8), D: geom.MM(3.2), What: board.MountHole}}}
	}
	lay := func(b board.Board, at ...geom.Pt) diag.List {
		p := panel.Panel{Name: "vents", Outline: rect(0, 0, 60, 40)}
		for _, q := range at {
			p.LEDs = append(p.LEDs, panel.Hole{At: q, D: geom.MM(3)})
		}
		_, _, l := place.Place(t.Context(), b, p, boardtest.Wiring(p), place.Options{})
		return l
	}
	for _, c := range []struct {
		what, code string
		at         geom.Pt
	}{
		{"at the edge", "place-led-no-room", geom.PtMM(1.1, 20)},
		{"in a corner", "place-led-no-room", geom.PtMM(58.9, 39)},
		{"at a screw", "place-led-no-room", geom.PtMM(32.5, 10)},
		{"at another LED", "place-led-led", geom.PtMM(42, 26.4)},
	} {
		t.Run(c.what, func(t *testing.T) {
			l := lay(bare(0), geom.PtMM(40, 25), c.at)
			require.Equal(t, []string{c.code}, codesOf(l), "%v", l)
			v := advised(t, l[0].Advice)
			require.Less(t, v.Len(), 5e6)
			require.Empty(t, codesOf(lay(bare(0), geom.PtMM(40, 25), c.at.Add(v))), "%v", l)
		})
	}

	// Beside an arc the boxes of round pads reach beyond the edge, and the pads do not.
	round := bare(0)
	round.Outline = geom.Circle(geom.PtMM(30, 20), geom.MM(40))
	at := geom.PtMM(30+15.9*0.7071, 20+15.9*0.7071)
	require.Empty(t, codesOf(lay(round, geom.PtMM(30, 20), at)))

	// What gave way for one LED is its own alone.
	b := bare(0)
	spot, other := geom.PtMM(1.3, 30), geom.PtMM(1.25, 10)
	require.Equal(t, []string{"place-led-no-room"}, codesOf(lay(b, spot, geom.PtMM(40, 25))))
	b.Less = []board.Less{{At: spot, Limit: board.EdgeGap, Left: geom.MM(0.3)}}
	require.Empty(t, codesOf(lay(b, spot, geom.PtMM(40, 25))))
	require.Equal(t, []string{"place-led-no-room"}, codesOf(lay(b, spot, other)))
}
