package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

const roleSupply = "supply: {volts: 12 V, amps: 2 A}\n"

func TestRoles(t *testing.T) {
	p, l := Read([]byte(roleSupply+`panels:
  - name: dome
    drawing: desk.dxf
    at: [120, -40.5 mm]
    join: 0.3 mm
    roles: {led: circles 3.0 mm, mount: circles 3.2 mm, opening: layer CUTOUTS, outline: largest}
  - name: focus
    drawing: desk.dxf
    at: 300, 2 in
    roles:
      led:
        - circles 3 mm
        - circles 5 mm .. 5.2 mm on layer DRILL 2
      ignore: rest
`), "lampblack.yaml")
	require.Empty(t, l)
	require.Equal(t, []read.Rule{
		{Role: panel.RoleLED, Kind: read.CircleRule, Min: geom.MM(3), Max: geom.MM(3)},
		{Role: panel.RoleMount, Kind: read.CircleRule, Min: geom.MM(3.2), Max: geom.MM(3.2)},
		{Role: panel.RoleOpening, Kind: read.ByLayer, Layer: "CUTOUTS"},
		{Role: panel.RoleOutline, Kind: read.LargestRule},
	}, p.Panels[0].Roles)
	require.Equal(t, &dxf.XY{X: 120, Y: -40.5}, p.Panels[0].At)
	require.Equal(t, geom.MM(0.3), p.Panels[0].Join)
	require.Equal(t, &dxf.XY{X: 300, Y: 50.8}, p.Panels[1].At)
	require.Equal(t, []read.Rule{
		{Role: panel.RoleLED, Kind: read.CircleRule, Min: geom.MM(3), Max: geom.MM(3)},
		{Role: panel.RoleLED, Kind: read.CircleRule, Min: geom.MM(5), Max: geom.MM(5.2), Layer: "DRILL 2"},
		{Role: panel.RoleIgnore, Kind: read.RestRule},
	}, p.Panels[1].Roles)
}

// badRoles are wrong lines of a panel, each with its code and a word of the advice.
func badRoles() map[string][2]string {
	return map[string][2]string{
		"roles: {leds: circles 3 mm}":    {"project-misplaced-key", "did you mean led?"},
		"roles: {led: holes 3 mm}":       {"project-wrong-value", "circles 3.0 mm"},
		"roles: {led: largest}":          {"project-wrong-value", "survey"},
		"roles: {led: [circles 3, bad]}": {"project-wrong-value", "survey"},
		"roles: circles":                 {"project-wrong-kind", ""},
		"roles: {led: {a: b}}":           {"project-wrong-kind", ""},
		"at: [1, 2, 3]":                  {"project-wrong-value", "at: [120, 40]"},
		"at: here":                       {"project-wrong-value", "two lengths"},
		"join: 5 mm":                     {"project-impossible-value", ""},
		"join: -1 mm":                    {"project-wrong-value", ""},
	}
}

func TestBadRoles(t *testing.T) {
	for line, want := range badRoles() {
		_, l := Read([]byte(roleSupply+"panels:\n  - drawing: dome.dxf\n    "+line+"\n"), "lampblack.yaml")
		require.Len(t, l, 1, "%s: %v", line, l)
		require.Equal(t, want[0], l[0].Code, line)
		require.Contains(t, l[0].Advice, want[1], line)
		require.Equal(t, 4, l[0].Place.Line)
		require.NotZero(t, l[0].Place.Column)
	}
}

func TestRolesAreThePanels(t *testing.T) {
	var want []string
	for _, r := range panel.Roles() {
		want = append(want, string(r))
	}
	require.Equal(t, want, Roles())
}
