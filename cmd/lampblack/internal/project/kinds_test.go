package project

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

// A list of rules tells the kinds of a panel's LEDs; that of "rest" is the usual one, which placed LEDs have. A panel that tells
// none has the defaults'.
func TestKinds(t *testing.T) {
	src := roleSupply + `defaults:
  led: [{rule: layer WARN, kind: amber-3mm}]
panels:
  - {drawing: a.dxf}
  - {drawing: b.dxf, led: red-3mm}
  - drawing: c.dxf
    led:
      - {rule: circles 3 mm on layer RED, kind: red-3mm}
      - {rule: rest, kind: white-3mm}
`
	p, l := Read([]byte(src), "lampblack.yaml")
	require.Empty(t, l)
	require.NoError(t, judged(compiled(t), src))
	warn := read.KindRule{Rule: read.Rule{Role: panel.RoleLED, Kind: read.ByLayer, Layer: "WARN"}, Kind: "amber-3mm"}
	require.Equal(t, "red-3mm", p.Defaults.LED)
	require.Equal(t, []read.KindRule{warn}, p.Defaults.LEDs)
	warn.Shared = true
	require.Equal(t, []read.KindRule{warn}, p.Panels[0].LEDs)
	require.Empty(t, p.Panels[0].LED)
	require.Empty(t, p.Panels[1].LEDs)
	require.Equal(t, "red-3mm", p.Panels[1].LED)
	require.Equal(t, []read.KindRule{
		{Rule: read.Rule{Role: panel.RoleLED, Kind: read.CircleRule, Min: geom.MM(3), Max: geom.MM(3), Layer: "RED"}, Kind: "red-3mm"},
		{Rule: read.Rule{Role: panel.RoleLED, Kind: read.RestRule}, Kind: "white-3mm"},
	}, p.Panels[2].LEDs)
	require.Equal(t, "white-3mm", p.Panels[2].LED)
	require.NoError(t, p.Panels[2].Try("led", "blue-3mm"))
	require.Empty(t, p.Panels[2].LEDs, "one kind in place of all rules")
}

func TestWrongKinds(t *testing.T) {
	s := compiled(t)
	for _, c := range []struct {
		led, code, text, advice string
		schema                  bool // refuses it too
	}{
		{"[{rule: layer RED, kind: red-3m}]", "project-unknown-led", `no LED kind "red-3m"`, "did you mean red-3mm?", false},
		{"[{rule: layer RED, kind: red-3mm}, {rule: rest, kind: purple}]", "project-unknown-led", `"purple"`, "use one of", false},
		{"[{rule: holes 3 mm, kind: red-3mm}]", "project-wrong-value", "", "circles 3.0 mm", true},
		{"[{rule: layer RED}]", "project-missing-key", "needs kind", "kind: red-3mm", true},
		{"[{kind: red-3mm}]", "project-missing-key", "needs rule", "layer RED", true},
		{"[red-3mm]", "project-wrong-kind", "", "", true},
		{"[{rule: layer RED, kind: red-3mm}], current: 28 mA", "project-current-high", "above the 25 mA that red-3mm survives", "at most 25 mA", false},
	} {
		src := roleSupply + "panels:\n  - {drawing: a.dxf, led: " + c.led + "}\n"
		_, l := Read([]byte(src), "p.yaml")
		require.NotEmpty(t, l, c.led)
		require.Equal(t, diag.Error, l[0].Severity, c.led)
		require.Equal(t, c.code, l[0].Code, c.led)
		require.Equal(t, 3, l[0].Place.Line, c.led)
		require.Contains(t, l[0].Text, c.text)
		require.Contains(t, l[0].Advice, c.advice)
		n := 0
		for _, f := range l {
			if f.Code == c.code {
				n++
			}
		}
		if !strings.Contains(c.led, "current") { // of the usual kind too
			require.Equal(t, 1, n, "%s is told once: %v", c.led, l)
		}
		require.Equal(t, c.schema, judged(s, src) != nil, c.led)
	}
}
