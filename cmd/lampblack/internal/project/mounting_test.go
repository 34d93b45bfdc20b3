package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// A panel says for itself what it says, and takes the rest from defaults, wherever those stand.
func TestMounting(t *testing.T) {
	const src = `supply: {volts: 12 V, amps: 1 A}
panels:
  - {drawing: dome.dxf, keep_turn: no, space_behind: 9 mm}
  - {drawing: mount.dxf}
defaults: {keep_turn: yes, space_behind: 20 mm, sheet_distance: 3}
`
	p, found := Read([]byte(src), "p.yaml")
	require.False(t, found.HasErrors(), "%v", found)
	require.Equal(t, Mounting{Behind: geom.MM(9), Sheet: geom.MM(3)}, p.Panels[0].Mounting)
	require.Equal(t, Mounting{KeepTurn: true, Behind: geom.MM(20), Sheet: geom.MM(3)}, p.Panels[1].Mounting)

	for _, bad := range []string{"keep_turn: maybe", "space_behind: -1 mm", "sheet_distance: 3 A"} {
		_, found := Read([]byte("supply: {volts: 12 V, amps: 1 A}\npanels: [{drawing: a.dxf}]\ndefaults: {"+bad+"}\n"), "p.yaml")
		require.True(t, found.HasErrors(), bad)
		require.Equal(t, 3, found[0].Place.Line, bad)
	}
}
