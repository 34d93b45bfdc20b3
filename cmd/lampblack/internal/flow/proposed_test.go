package flow

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel/dxf"
	"lampblack/panel/paneltest/sketch"
	"lampblack/panel/read"
)

// TestProposalPlacesTheSameLEDs: the roles that a survey proposes of a drawing without LEDs, put into a project, give the panel that
// is built without them, with each LED placed where it is placed there.
func TestProposalPlacesTheSameLEDs(t *testing.T) {
	seeds := []uint64{3, 9} // a cover, a key plate
	if testing.Short() {
		seeds = seeds[:1]
	}
	for _, seed := range seeds {
		s := sketch.Of(seed)
		require.Empty(t, s.Places("led"), s.Name)
		src, err := dxf.Write(s.Drawing, dxf.Options{})
		require.NoError(t, err)
		load := func(string) ([]byte, error) { return src, nil }
		bare, l := project.Bare([]string{"desk.dxf"})
		require.NoError(t, l.Err())
		lines := Survey(t.Context(), "desk.dxf", read.Options{}, load).Proposal()
		require.NotEmpty(t, lines)
		told, l := project.Read([]byte("supply: {volts: 12 V, amps: 2 A}\npanels:\n  - name: desk\n    drawing: desk.dxf\n    "+strings.Join(lines, "\n    ")+"\n"), "lampblack.yaml")
		require.NoError(t, l.Err())
		a := must(Build(t.Context(), bare, Settings{Version: "test", Read: load}))
		b := must(Build(t.Context(), told, Settings{Version: "test", Read: load}))
		require.Len(t, a.Built, 1, a.Findings)
		require.Len(t, b.Built, 1, b.Findings)
		require.NotEmpty(t, a.Built[0].Panel.LEDs)
		require.True(t, a.Built[0].Panel.LEDs[0].Placed)
		require.Equal(t, a.Built[0].Panel.LEDs, b.Built[0].Panel.LEDs, s.Name)
		require.Equal(t, a.Built[0].Panel.Mounts, b.Built[0].Panel.Mounts, s.Name)
		require.Equal(t, a.Built[0].Panel.Openings, b.Built[0].Panel.Openings, s.Name)
	}
}
