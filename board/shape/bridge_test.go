package shape_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// A board that is cut in two is told with the move of a body or an opening that leaves a bridge, the shortest there is; moved so, the
// board is whole. Beside an edge a bridge of 2.4 mm wants 4.4 mm, as the board keeps 1 mm from both.
func TestBridgesJoin(t *testing.T) {
	desk := func(body geom.Contour) panel.Panel {
		return panel.Panel{Name: "vents", Outline: rect(0, 0, 100, 40), Bodies: []geom.Contour{body},
			LEDs: []panel.Hole{lamp(6, 20), lamp(60, 20), lamp(80, 20)}, Mounts: []panel.Hole{screw(92, 6)}}
	}
	told := func(p panel.Panel) (string, string) {
		_, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
		if len(l) == 0 {
			return "", ""
		}
		return codes(l), l[0].Advice
	}
	what, advice := told(desk(rect(12, 3, 40, 36)))
	require.Equal(t, "error shape-board-cut", what)
	require.Equal(t, "move the body between them by 0.42 mm down, which leaves a bridge of 2.4 mm; or leave one elsewhere, or make two panels of it", advice)
	what, _ = told(desk(rect(12, 2.58, 40, 35.58)))
	require.Equal(t, "warning shape-narrow-neck", what)

	// Of two things in a row the one that needs less; never where it would meet another or leave the panel.
	p := desk(rect(12, -1, 40, 20))
	p.Openings = []panel.Opening{{Contour: rect(20, 23.6, 30, 36)}}
	p.Bodies = append(p.Bodies, rect(22, 36.5, 28, 39))
	what, advice = told(p)
	require.Equal(t, "error shape-board-cut", what)
	require.NotContains(t, advice, "move the", "the opening would meet the body behind it")
	p.Bodies = p.Bodies[:1]
	_, advice = told(p)
	require.Contains(t, advice, "move the opening between them by 0.")
}
