package project

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// controlled reads a project whose one panel has the lines, after what stands at the top.
func controlled(t *testing.T, top, lines string) (Project, diag.List) {
	t.Helper()
	return Read([]byte("supply: {volts: 12 V, amps: 2 A}\n"+top+"panels:\n  - drawing: dome.dxf\n"+lines), "p.yaml")
}

func TestControls(t *testing.T) {
	list, l := controlled(t, "", "    controls:\n      - {rule: circles 12 mm, kind: toggle-m12, clamps: led-sheet}\n      - {rule: rest, kind: Display, turned: yes}\n")
	require.Empty(t, l)
	got := list.Panels[0].Controls
	require.Len(t, got, 2)
	require.Equal(t, []any{"circles 12 mm", "toggle-m12", panel.ClampsLEDSheet, false}, []any{got[0].Rule.String(), got[0].Kind, got[0].Clamps, got[0].Turned})
	require.Equal(t, []any{"rest", "Display", panel.ClampsUnsaid, true}, []any{got[1].Rule.String(), got[1].Kind, got[1].Clamps, got[1].Turned})

	brief, l := controlled(t, "", "    controls: {circles 12 mm: toggle-m12, 'circles 7 .. 7.2 mm near 40,25': pot-7mm}\n")
	require.Empty(t, l)
	got = brief.Panels[0].Controls
	require.Len(t, got, 2)
	require.Equal(t, "circles 7 .. 7.2 mm near 40,25", got[1].Rule.String())
	require.Equal(t, "pot-7mm", got[1].Kind)
	require.Equal(t, 4, brief.Place("panels.0.controls.1").Line)

	// The defaults' hold where a panel tells none, and are shared: no panel need have such openings.
	shared, l := controlled(t, "defaults: {controls: {circles 12 mm: toggle-m12}}\n", "")
	require.Empty(t, l)
	require.True(t, shared.Panels[0].Controls[0].Shared)
}

func TestControlKinds(t *testing.T) {
	p, l := controlled(t, "control_kinds:\n  - {name: dimmer, use: knob, bush: 8 mm, thread: 9, nut: 11, nut_thickness: 2, body: 20 x 14 mm, depth: 12, source: data sheet}\n"+
		"  - {name: Toggle-M12, bush: 12, thread: 15, nut: 15, nut_thickness: 2, hole: 12.5 mm}\n", "    controls: {circles 8 mm: DIMMER}\n")
	require.Empty(t, l)
	k, ok := p.ControlKind("dimmer")
	require.True(t, ok)
	require.Equal(t, control.Knob, k.Use)
	require.Equal(t, control.Extent{W: geom.MM(8.2)}, k.Hole, "wider than the bush")
	require.Equal(t, control.Extent{W: geom.MM(20), H: geom.MM(14)}, k.Body)
	k, _ = p.ControlKind("toggle-m12")
	require.Equal(t, geom.MM(15), k.Thread, "it takes the place of ours")
}

// A kind that is like one of ours has that one's values but for what it says, wherever "like" stands; what follows from a value
// follows from its own.
func TestControlKindLikeAnother(t *testing.T) {
	p, l := controlled(t, "control_kinds:\n  - {name: long, thread: 12 mm, like: pot-7mm}\n  - {name: wide, like: pot-7mm, bush: 9 mm, nut: 12 mm}\n", "    controls: {circles 7.2 mm: long, circles 9.2 mm: wide}\n")
	require.Empty(t, l)
	pot, _ := control.Find("pot-7mm")
	long, ok := p.ControlKind("long")
	require.True(t, ok)
	require.Equal(t, geom.MM(12), long.Thread)
	require.Equal(t, []any{pot.Nut, pot.Depth, pot.Hole, pot.Use}, []any{long.Nut, long.Depth, long.Hole, long.Use})
	require.Equal(t, "long", long.Words)
	require.Equal(t, []control.Source{{Of: "all", From: "the project file"}, {Of: "what it does not say", From: "as pot-7mm"}}, long.Sources)
	wide, _ := p.ControlKind("wide")
	require.Equal(t, geom.MM(9.2), wide.Hole.W)
}

func TestControlFaults(t *testing.T) {
	for name, c := range map[string]struct{ top, lines, code, advice string }{
		"unknown kind":     {"", "    controls: {circles 12 mm: togle-m12}\n", "project-unknown-control", "did you mean toggle-m12"},
		"no rule":          {"", "    controls: {big ones: toggle-m12}\n", "project-unknown-key", "circles 12.2 mm"},
		"rule for letters": {"", "    controls: {texts: toggle-m12}\n", "project-unknown-key", "circles 12.2 mm"},
		"no value":         {"", "    controls: {circles 12 mm: }\n", "project-no-value", "what sits there"},
		"no plate":         {"", "    controls: [{rule: rest, kind: toggle-m12, clamps: plate}]\n", "project-no-plate", "stack: {plate"},
		"no thread":        {"control_kinds: [{name: dimmer, bush: 8, nut: 11, nut_thickness: 2}]\n", "", "project-impossible-value", "data sheet"},
		"a kind twice":     {"control_kinds: [{name: a, held: screws}, {name: A, held: screws}]\n", "", "project-same-name", "another name"},
		"three lengths":    {"control_kinds: [{name: a, held: screws, body: 1 x 2 x 3}]\n", "", "project-wrong-value", "width and height"},
	} {
		_, l := controlled(t, c.top, c.lines)
		require.Len(t, l, 1, "%s: %v", name, l)
		require.Equal(t, c.code, l[0].Code, name)
		require.Positive(t, l[0].Place.Line, name)
		require.True(t, strings.Contains(l[0].Advice, c.advice), "%s: %s", name, l[0].Advice)
	}
}
