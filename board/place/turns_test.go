package place

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Pads of an LED keep clear of a mount hole's drill also where a screw's head needs no room: at every turn, aslant too.
func TestPadsKeepClearOfDrills(t *testing.T) {
	fp, ok := footprint.Lookup("radial-3mm")
	require.True(t, ok)
	b := board.Board{Rules: board.UsualRules(), Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(40, 40)))}
	b.Rules.ScrewClear = 0
	require.Positive(t, b.Rules.CopperToHole)
	at := geom.PtMM(20, 20)
	for _, turn := range board.Turns() {
		part := fp.Place("D1", board.LED, at, turn, geom.Top, 0)
		legal := func(gap geom.Nm) (is bool) {
			// Beyond the round pad of the anode, along the leads.
			pad := part.Pads[1]
			require.Equal(t, board.Round, pad.Shape)
			out := geom.Vec{X: pad.W/2 + gap + geom.MM(1.6)}.Turned(turn)
			b.Holes = []board.Hole{{At: pad.At.Add(out), D: geom.MM(3.2), What: board.MountHole}}
			work.Until(context.Background(), func(w *work.Watch) { is = newSite(w, b).poseOf(part).legal })
			return is
		}
		require.True(t, legal(b.Rules.CopperToHole+3*geom.Micrometre), "%d degrees", turn)
		require.False(t, legal(b.Rules.CopperToHole-3*geom.Micrometre), "%d degrees", turn)
	}
}
