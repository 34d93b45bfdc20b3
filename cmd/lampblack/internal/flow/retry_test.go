package flow

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/led"
	"lampblack/led/design"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/read"
)

// Whatever way a board is laid out, it is whole and its strings run right: each attempt alone is taken to the proof.
func TestOtherAttemptsAreProven(t *testing.T) {
	sequel(t)
	src, err := os.ReadFile("../../../../examples/observatory/focus.dxf")
	require.NoError(t, err)
	d, l := dxf.Read(t.Context(), src, "focus.dxf")
	require.NoError(t, l.Err())
	panels, l := read.Panels(t.Context(), d, read.Options{Name: "focus"})
	require.NoError(t, l.Err())
	c, l := design.Circuit(t.Context(), panels, led.Usual())
	require.NoError(t, l.Err())
	shaped, l := shape.Derive(panels[0], c.Boards[0], board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	require.NoError(t, l.Err())

	failed := routeOut{says: says{diag.List{{Code: "route-open-net", Severity: diag.Error}}}}
	for i, a := range attempts(c.Boards[0], place.Options{}) {
		// As tryOthers does it, with the attempts before this one taken for failed.
		out := tryOthers(context.Background(), routeIn{placeIn: placeIn{memo.Of(nil, boardOut{Board: shaped}), panels[0], a.wiring, a.wish}}, failed)
		l := out.Findings
		require.NoError(t, l.Err(), "attempt %d", i)
		require.Equal(t, "route-second-try", l[len(l)-1].Code)
		w := a.wiring
		if out.Reversed {
			w = w.Reversed()
		}
		done, _ := legend.Print(context.Background(), out.Board, legend.Options{})
		require.NoError(t, check.Audit(context.Background(), done, w).Err(), "attempt %d: %s", i, a.what)
	}

	// A board that no way is found for keeps the first finding.
	none := shaped
	none.Rules.Clearance *= 40
	require.Equal(t, failed, tryOthers(context.Background(), routeIn{placeIn: placeIn{memo.Of(nil, boardOut{Board: none}), panels[0], c.Boards[0], place.Options{}}}, failed))

	// Nor is another way begun when the first has done all the work that the board may cost.
	spent := failed
	spent.Board, spent.Routed.Work = shaped, route.Budget(2*len(c.Boards[0].LEDs)+2*len(c.Boards[0].Resistors)+4)
	require.Equal(t, spent, tryOthers(context.Background(), routeIn{placeIn: placeIn{memo.Of(nil, boardOut{Board: shaped}), panels[0], c.Boards[0], place.Options{}}}, spent))
}
