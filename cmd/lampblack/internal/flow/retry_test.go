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
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/led/design"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/read"
)

// Whatever way a board is laid out, it is whole and its strings run right: each attempt alone is taken to the proof.
func TestOtherAttemptsAreProven(t *testing.T) {
	src, err := os.ReadFile("../../../../examples/observatory/focus.dxf")
	require.NoError(t, err)
	d, l := dxf.Read(src, "focus.dxf")
	require.NoError(t, l.Err())
	panels, l := read.Panels(d, read.Options{Name: "focus"})
	require.NoError(t, l.Err())
	c, l := design.Circuit(panels, led.Usual())
	require.NoError(t, l.Err())
	shaped, l := shape.DeriveFor(panels[0], c.Boards[0], board.UsualRules(), board.UsualLaminate())
	require.NoError(t, l.Err())

	failed := diag.List{{Code: "route-open-net", Severity: diag.Error}}
	for i, a := range attempts(c.Boards[0], place.Options{}) {
		// As tryOthers does it, with the attempts before this one taken for failed.
		b := Built{Panel: panels[0], Wiring: a.wiring}
		l := tryOthers(context.Background(), &b, shaped, a.wish, failed)
		require.NoError(t, l.Err(), "attempt %d", i)
		require.Equal(t, "route-second-try", l[len(l)-1].Code)
		done := legend.Draw(context.Background(), b.Board, legend.Options{})
		require.NoError(t, check.Audit(context.Background(), done, b.Wiring).Err(), "attempt %d: %s", i, a.what)
	}

	// A board that no way is found for keeps the first finding.
	b := Built{Panel: panels[0], Wiring: c.Boards[0]}
	none := shaped
	none.Rules.Clearance *= 40
	require.Equal(t, failed, tryOthers(context.Background(), &b, none, place.Options{}, failed))
}
