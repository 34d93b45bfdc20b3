package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// A panel says for itself what it says, and takes the rest from defaults, wherever those stand.
func TestMounting(t *testing.T) {
	const src = `supply: {volts: 12 V, amps: 1 A}
panels:
  - {drawing: dome.dxf, keep_turn: no, slots: no, space_behind: 9 mm}
  - {drawing: mount.dxf}
defaults: {keep_turn: yes, space_behind: 20 mm, sheet_distance: 3}
`
	p, found := Read([]byte(src), "p.yaml")
	require.False(t, found.HasErrors(), "%v", found)
	require.Equal(t, Mounting{Behind: geom.MM(9), Sheet: geom.MM(3)}, p.Panels[0].Mounting)
	require.Equal(t, Mounting{KeepTurn: true, Slots: true, Behind: geom.MM(20), Sheet: geom.MM(3)}, p.Panels[1].Mounting)

	for _, bad := range []string{"keep_turn: maybe", "slots: 4 mm", "space_behind: -1 mm", "sheet_distance: 3 A", "connectors: {in: middle}", "connectors: {out: [1, 2, 3]}", "connectors: left", "connectors: {up: left}"} {
		_, found := Read([]byte("supply: {volts: 12 V, amps: 1 A}\npanels: [{drawing: a.dxf}]\ndefaults: {"+bad+"}\n"), "p.yaml")
		require.True(t, found.HasErrors(), bad)
		require.Equal(t, 3, found[0].Place.Line, bad)
	}
}

// A line of print is a text or keys; each side comes from defaults by itself. What stands in braces is filled in, and what is
// nothing of ours is refused.
func TestPrint(t *testing.T) {
	const src = `supply: {volts: 12 V, amps: 1 A}
defaults: {print: {front: ["{console}"], back: ["{panel}, rev {revision} {date}"]}}
panels:
  - {drawing: dome.dxf, print: {front: [{text: Ridge, at: [120, -8], height: 2.5 mm, angle: -90}, plain]}}
  - {drawing: focus.dxf}
`
	p, found := Read([]byte(src), "p.yaml")
	require.False(t, found.HasErrors(), "%v", found)
	require.NoError(t, judged(compiled(t), src))
	require.Equal(t, []Line{{Text: "Ridge", At: &dxf.XY{X: 120, Y: -8}, Height: geom.MM(2.5), Angle: -90}, {Text: "plain"}}, p.Panels[0].Print.Front)
	require.Equal(t, []Line{{Text: "{console}"}}, p.Panels[1].Print.Front)
	require.Equal(t, p.Panels[1].Print.Back, p.Panels[0].Print.Back)
	text, missing := p.Panels[0].Print.Back[0].Filled(map[Placeholder]string{PanelName: "dome", RevisionOf: "B"})
	require.Equal(t, "dome, rev B", text)
	require.Equal(t, []Placeholder{DateOf}, missing)
	for bad, advice := range map[string]string{
		"{front: [{console}]}":          `write "{console}"`,
		`{front: ["{owner}"]}`:          "{console}, {panel}, {revision}, {date}",
		"{front: [{at: [1, 2]}]}":       "write text",
		"{front: [{text: a, at: 3}]}":   "two lengths",
		"{front: [{text: a, size: 3}]}": "size belongs",
		"{side: [a]}":                   "use one of: front, back",
		"{back: a}":                     "a list",
	} {
		src := "supply: {volts: 12 V, amps: 1 A}\npanels: [{drawing: a.dxf, print: " + bad + "}]\n"
		_, found := Read([]byte(src), "p.yaml")
		require.Len(t, found, 1, "%s: %v", bad, found)
		require.Contains(t, found[0].Text+" "+found[0].Advice, advice, bad)
		require.Error(t, judged(compiled(t), src), bad)
	}
}

// Edges are words, places are in mm or any other length; IN and OUT come from defaults each by itself.
func TestConnectors(t *testing.T) {
	const src = `supply: {volts: 12 V, amps: 1 A}
defaults: {connectors: {in: Top, out: left}}
panels:
  - {drawing: dome.dxf, connectors: {out: [120, 8]}}
  - {drawing: mount.dxf, connectors: {in: "-1.5, 1 in", out: right}}
  - {drawing: focus.dxf}
`
	p, found := Read([]byte(src), "p.yaml")
	require.False(t, found.HasErrors(), "%v", found)
	require.Equal(t, Connectors{Berth{Edge: "top"}, Berth{Here: true, X: 120, Y: 8}}, p.Panels[0].Connectors)
	require.Equal(t, Connectors{Berth{Here: true, X: -1.5, Y: 25.4}, Berth{Edge: "right"}}, p.Panels[1].Connectors)
	require.Equal(t, Connectors{Berth{Edge: "top"}, Berth{Edge: "left"}}, p.Panels[2].Connectors)
	require.NoError(t, judged(compiled(t), src))
	for _, bad := range []string{"{in: middle}", "{out: [1, 2, 3]}", "left", "{up: left}"} {
		require.Error(t, judged(compiled(t), "panels: [{drawing: a.dxf, connectors: "+bad+"}]"), bad)
	}
}
