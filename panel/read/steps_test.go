package read

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
)

// TestStepsAlone takes the steps one by one: each gives what the next one needs, and none changes what it
// was given.
func TestStepsAlone(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 120 80
		OUTLINE rect 200 0 320 80
		LED circle 20 60 3
		LED circle 220 60 3
		OPENING rect 40 20 60 40
		mount circle 6 6 3.2
		LETTERING text 30 10 4 DEW
		NOTES text 30 90 4 dome
		NOTES line 0 100 50 100`)
	scaled, said := inUnit(d, "inch")
	require.Equal(t, []string{"note panel-unit-override"}, codes(said.list))
	require.InDelta(t, 320*25.4, scaled.Extents().Max.X, 1e-9)
	require.Equal(t, 320.0, d.Extents().Max.X, "the drawing itself stays")

	ls, said := layersOf(&d, Options{Layers: map[panel.Role]string{panel.RoleBody: "BODIES"}})
	require.Equal(t, []string{"error panel-layer-missing"}, codes(said.list))
	require.True(t, ls.missing)
	require.False(t, ls.none)
	require.Equal(t, panel.RoleBody, ls.role["bodies"])
	require.NotContains(t, ls.role, "body")

	ls, said = layersOf(&d, Options{})
	require.Empty(t, said.list)
	th, said := sorted(nil, &d, ls)
	require.Empty(t, said.list)
	require.Len(t, th.byRole[panel.RoleOutline], 2)
	require.Len(t, th.byRole[panel.RoleMount], 1, "case does not matter")
	require.Len(t, th.writing, 1)
	require.Len(t, th.free, 1)

	c, said := joinedUp(nil, th, ls, Options{})
	require.Empty(t, said.list)
	require.Len(t, c.used[panel.RoleLED].loops, 2)

	sheets, c, said := outlines(nil, c, th, ls, &d, Options{}, false)
	require.Empty(t, said.list)
	require.Len(t, sheets, 2)

	named, said := titled(sheets, th, &d, Options{})
	require.Equal(t, []string{"note panel-several"}, codes(said.list))
	require.Equal(t, []string{"dome", "mount-2"}, []string{named[0].name, named[1].name}, "a caption, and the file's name with a number")
	require.Empty(t, sheets[0].name)

	c, texts, taught, said := cast(nil, named, c, th, ls, Options{})
	require.Empty(t, said.list)
	require.Empty(t, taught.proposal(nil))
	require.Len(t, texts, 1)
	require.Len(t, c.free.open, 1)

	full, said := dealt(nil, named, c, texts, th, 0.1)
	require.Empty(t, said.list)
	require.Len(t, full[0].leds, 1)
	require.Len(t, full[1].leds, 1)
	require.Len(t, full[0].openings, 1)
	require.Len(t, full[0].texts, 1)
	require.Empty(t, full[1].openings)
	require.Empty(t, named[0].leds)

	p, ok, said := built(nil, &full[1], &d, false, Options{})
	require.True(t, ok)
	require.Empty(t, said.list)
	require.Equal(t, panel.Origin{X: 200}, p.Origin)
	require.Len(t, p.LEDs, 1)
	require.Equal(t, panel.Source{Handle: "23", Line: 4}, p.LEDs[0].Source)
}
