package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/export/sheet"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

func TestLaser(t *testing.T) {
	const head = "supply: {volts: 12 V, amps: 2 A}\npanels: [{drawing: a.dxf}]\n"
	p, l := Read([]byte(head), "x.yaml")
	require.Empty(t, l)
	require.Equal(t, sheet.UsualLaser(), p.Laser)
	require.False(t, p.Panels[0].PaintedBehind)

	p, l = Read([]byte(head+"laser: {cut: Green, inner: '#12aBc0', line: 0, dxf: r12}\ndefaults: {paint: back}\n"), "x.yaml")
	require.Empty(t, l)
	require.Equal(t, sheet.Laser{Cut: 0x008000, Inner: 0x12abc0, Engrave: 0, Line: 0, Release: dxf.R12}, p.Laser, "colours by the CSS Color Module, section 6.1")
	require.True(t, p.Panels[0].PaintedBehind, "as the defaults say")

	for bad, advice := range map[string]string{"cut: purplish": "'#ff0000'", "cut: '#ff00'": "'#ff0000'", "line: 0.3 mm": "0.25 mm", "dxf: R13": "R12"} {
		_, l = Read([]byte(head+"laser: {"+bad+"}\n"), "x.yaml")
		require.True(t, l.HasErrors(), bad)
		require.Contains(t, l[0].Text+l[0].Advice, advice, bad)
	}
	_, l = Read([]byte(head+"laser: {inner: red}\n"), "x.yaml")
	require.Len(t, l, 1)
	require.Equal(t, diag.Warning, l[0].Severity)
	require.Equal(t, "project-one-colour", l[0].Code)

	for _, w := range words() {
		got, err := colours().parse(w.name)
		require.NoError(t, err)
		require.Equal(t, w.is, got)
	}
	require.Equal(t, scene.Colour(0xffa500), words()[8].is, "orange, as CSS has it")
}
