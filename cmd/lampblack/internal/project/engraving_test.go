package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/light"
	"lampblack/panel/geom"
)

// Engraving is told by its keys, or by its finish alone, wherever it stands in the file.
func TestEngraving(t *testing.T) {
	const head = "supply: {volts: 12 V, amps: 2 A}\npanels: [{name: dome, drawing: dome.dxf}]\n"
	p, l := Read([]byte(head), "x.yaml")
	require.Empty(t, l)
	require.Equal(t, light.Frosted, p.Stack.Finish)
	require.Equal(t, geom.MM(0.3), p.Stroke)
	p, l = Read([]byte(head+"engraving: {width: 0.5 mm, finish: Clear}\nstack: {grade: opal-light, haze: 98 %}\n"), "x.yaml")
	require.Empty(t, l)
	require.Equal(t, light.Clear, p.Stack.Finish)
	require.Equal(t, geom.MM(0.5), p.Stroke)
	require.Equal(t, 0.98, p.Stack.Haze)
	require.Equal(t, 0.70, p.Stack.Transmission)
	p, l = Read([]byte("engraving: clear\n"+head), "x.yaml")
	require.Empty(t, l)
	require.Equal(t, light.Clear, p.Stack.Finish)
	for bad, advice := range map[string]string{
		"engraving: polished":         "use one of: frosted, clear",
		"engraving: {finish: frosty}": "did you mean frosted?",
		"engraving: {width: 0.01 mm}": "",
		"engraving: {depth: 0.1 mm}":  "",
		"engraving: 0.3 mm":           "use one of: frosted, clear",
		"stack: {haze: 120 %}":        "",
	} {
		_, l = Read([]byte(head+bad+"\n"), "x.yaml")
		require.True(t, l.HasErrors(), bad)
		require.Contains(t, l[0].Advice, advice, bad)
	}
}
