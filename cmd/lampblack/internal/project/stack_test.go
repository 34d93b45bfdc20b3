package project

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// litDesk is a project with everything about light in it; %s is where a fault goes.
const litDesk = `supply: {volts: 12 V, amps: 2 A}
stack:
  face: 2 mm
  diffuser: 4 mm
  grade: opal-dense
  gap: 6 mm
  led_sheet: 5 mm
  led_sheet_kind: white
  tip: 1 mm
  board: black
  viewed_from: 710 mm
light: {darkest_word: 25 %, uneven: 2.5, hot_spot: 4}
leds:
  - {name: narrow, forward: 2 V, max_current: 20 mA, beam: [[0, 1], [10, 0.9], [20°, 0.2]]}
panels:
  - {name: dome, drawing: dome.dxf, stands_at: [-10 mm, 120]}
  - {name: mount, drawing: mount.dxf, stands_at: [0, 0]}
`

func TestReadsLight(t *testing.T) {
	p, l := Read([]byte(litDesk), "lampblack.yaml")
	require.Empty(t, l)
	s := p.Stack
	require.Equal(t, geom.MM(2), s.Face)
	require.Equal(t, geom.MM(4), s.Diffuser)
	require.Equal(t, geom.MM(1), s.Sunk)
	require.Equal(t, geom.MM(710), s.Viewed)
	require.Equal(t, "white", s.SheetKind)
	require.Zero(t, s.SheetTransmission)
	require.InDelta(t, 0.05, s.Board, 1e-12)
	// The grade counts for the thickness, whichever comes first: 4 mm pass less than the 28 % of 3 mm.
	require.Less(t, s.Transmission, 0.28)
	require.Greater(t, s.Transmission, 0.15)
	require.InDelta(t, 0.25, p.Light.Dark, 1e-12)
	require.InDelta(t, 2.5, p.Light.Uneven, 1e-12)
	require.InDelta(t, 4, p.Light.Hot, 1e-12)
	require.Equal(t, Stand{true, geom.PtMM(-10, 120)}, p.Panels[0].Stands)
	require.Equal(t, []part.BeamPoint{{Degrees: 0, Relative: 1}, {Degrees: 10, Relative: 0.9}, {Degrees: 20, Relative: 0.2}}, p.Kinds[0].Beam)
	// Its own transmission goes before the grade's; nothing told is the usual stack.
	p, l = Read([]byte(strings.Replace(litDesk, "grade: opal-dense", "transmission: 45 %", 1)), "lampblack.yaml")
	require.Empty(t, l)
	require.InDelta(t, 0.45, p.Stack.Transmission, 1e-12)
	p, _ = Read([]byte("supply: {volts: 12 V, amps: 2 A}\npanels: [{drawing: a.dxf}]\n"), "lampblack.yaml")
	require.Equal(t, light.UsualStack(), p.Stack)
}

// Connectors look to each other where both panels have a place; where only some have, that is told.
func TestStandsAlone(t *testing.T) {
	p, l := Read([]byte(strings.Replace(litDesk, ", stands_at: [0, 0]", "", 1)), "lampblack.yaml")
	require.True(t, p.Panels[0].Stands.Set)
	require.False(t, p.Panels[1].Stands.Set)
	require.Len(t, l, 1)
	require.Equal(t, "project-stands-alone", l[0].Code)
	require.Equal(t, diag.Note, l[0].Severity)
	require.Contains(t, l[0].Text, "not told of mount:")
	require.Equal(t, 16, l[0].Place.Line)
	_, l = Read([]byte("supply: {volts: 12 V, amps: 2 A}\npanels: [{drawing: a.dxf, stands_at: [0, 0]}]\n"), "lampblack.yaml")
	require.Empty(t, l, "one panel has no neighbour")
}

// lightFaults are changes to litDesk, each with the code of its finding.
func lightFaults() []struct{ from, to, code string } {
	return []struct{ from, to, code string }{
		{"opal-dense", "milky", "project-unknown-value"},
		{"led_sheet_kind: white", "led_sheet_kind: pink", "project-unknown-value"},
		{"board: black", "board: plaid", "project-unknown-value"},
		{"gap: 6 mm", "gap: 6 kg", "project-wrong-value"},
		{"gap: 6 mm", "gap: 0", "project-ok"},
		{"tip: 1 mm", "tip: -6 mm", "project-impossible-value"},
		{"tip: 1 mm", "tip: --1 mm", "project-wrong-value"},
		{"face: 2 mm", "face: 3 m", "project-impossible-value"},
		{"grade: opal-dense", "transmission: 99 %", "project-impossible-value"},
		{"[-10 mm, 120]", "[1]", "project-wrong-value"},
		{"[-10 mm, 120]", "left", "project-wrong-kind"},
		{"[-10 mm, 120]", "[1, 99 m]", "project-impossible-value"},
		{"[10, 0.9]", "[10]", "project-wrong-value"},
		{"[10, 0.9]", "[30, 0.9]", "project-wrong-value"},
		{"[10, 0.9]", "[10, bright]", "project-wrong-value"},
		{"uneven: 2.5", "uneven: 0.5", "project-impossible-value"},
		{"darkest_word: 25 %", "darkest_word: dim", "project-wrong-value"},
		{"[[0, 1], [10, 0.9], [20°, 0.2]]", "[[0, 1]]", "project-wrong-value"},
	}
}

func TestLightFaults(t *testing.T) {
	for _, c := range lightFaults() {
		require.Contains(t, litDesk, c.from)
		_, l := Read([]byte(strings.Replace(litDesk, c.from, c.to, 1)), "lampblack.yaml")
		if c.code == "project-ok" {
			require.Empty(t, l, c.to)
			continue
		}
		require.NotEmpty(t, l, c.to)
		require.Equal(t, c.code, l[0].Code, "%s: %v", c.to, l)
		require.Equal(t, diag.Error, l[0].Severity)
		require.Positive(t, l[0].Place.Line)
		require.NotEmpty(t, l[0].Advice)
	}
}
