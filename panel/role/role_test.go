package role

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/dxf"
)

// plate is a drawing of one plate of 120 x 80 mm.
func plate(things ...Thing) Drawing {
	d := Drawing{Sheets: []Sheet{{Box: dxf.Box{Max: dxf.XY{X: 120, Y: 80}}, Layer: "0"}}}
	for _, t := range things {
		t.In = -1
		if t.Layer == "" {
			t.Layer = "0"
		}
		t.Edge = min(t.At.X, 120-t.At.X, t.At.Y, 80-t.At.Y)
		d.Things = append(d.Things, t)
	}
	return d
}

func hole(x, y, d float64) Thing {
	r := dxf.XY{X: d / 2, Y: d / 2}
	at := dxf.XY{X: x, Y: y}
	return Thing{Box: dxf.Box{Min: at.Sub(r), Max: at.Add(r)}, Round: true, At: at, D: d, Area: 0.785 * d * d, Perimeter: 3.14 * d, Corners: 2}
}

func judged(d Drawing) []Group { return Judge(nil, d, Look(nil, d)) }

// One size at two kinds of places has two roles: screws in the corners, lamps in a row.
func TestOneSizeTwoRoles(t *testing.T) {
	gs := judged(plate(hole(6, 6, 3.2), hole(114, 6, 3.2), hole(6, 74, 3.2), hole(114, 74, 3.2), hole(30, 50, 3.2), hole(42, 50, 3.2), hole(54, 50, 3.2), hole(66, 50, 3.2)))
	require.Len(t, gs, 2)
	require.Equal(t, panel.RoleMount, gs[0].Role)
	require.Equal(t, InCorners, gs[0].Places&InCorners)
	require.Equal(t, panel.RoleLED, gs[1].Role)
	require.Len(t, gs[1].Things, 4)
	require.NotEmpty(t, gs[1].Why)
}

// Two holes of 3.2 mm amid a plate are a screw's or an LED's: that is asked. A layer that is named for either settles it.
func TestQuestion(t *testing.T) {
	gs := judged(plate(hole(30, 42, 3.2), hole(70, 33, 3.2)))
	require.Len(t, gs, 1)
	require.True(t, gs[0].Asks())
	require.ElementsMatch(t, []panel.Role{panel.RoleMount, panel.RoleLED}, []panel.Role{gs[0].Role, gs[0].Second})
	for layer, want := range map[string]panel.Role{"Schraubenlöcher": panel.RoleMount, "LEDS": panel.RoleLED, "gravure": panel.RoleLettering, "Maße": panel.RoleIgnore} {
		a, b := hole(30, 42, 3.2), hole(70, 33, 3.2)
		a.Layer, b.Layer = layer, layer
		gs := judged(plate(a, b))
		require.Equal(t, want, gs[0].Role, layer)
		require.False(t, gs[0].Asks(), "%s: %d", layer, gs[0].Margin)
	}
}

// Small circles that stand nearer to each other than the flanges of two lamps let them are no lamps' holes, unless their layer says
// so; a pitch that leaves room for flanges says nothing against it.
func TestCrowdedHoles(t *testing.T) {
	for _, c := range []struct {
		d, pitch float64
		layer    string
		want     panel.Role
	}{
		{2, 2.54, "", panel.RoleOpening}, {2, 2.54, "LEDS", panel.RoleLED}, {2, 5.08, "", panel.RoleLED},
		{3, 3.5, "", panel.RoleOpening}, {3, 3.81, "", panel.RoleLED}, // flange 3.8
		{5, 5.5, "", panel.RoleOpening}, {5, 6, "", panel.RoleLED}, // flange 5.8
	} {
		var things []Thing
		for k := range 8 {
			h := hole(50+c.pitch*float64(k%4), 35+c.pitch*float64(k/4), c.d)
			h.Layer = c.layer
			things = append(things, h)
		}
		gs := judged(plate(things...))
		require.Len(t, gs, 1)
		require.Equal(t, c.want, gs[0].Role, "%v, margin %d to %s", c, gs[0].Margin, gs[0].Second)
	}
}

// What is given is evidence for its neighbours and is not judged.
func TestGivenStays(t *testing.T) {
	a := hole(60, 40, 12)
	a.Given = panel.RoleOpening
	require.Len(t, judged(plate(a, hole(40, 40, 3))), 1)
}

func TestSenseOf(t *testing.T) {
	for name, want := range map[string]Sense{
		"Bohrungen": HoleSense, "DRILL_HOLES": HoleSense, "perçage": HoleSense, "Otwory": HoleSense, "TopOverlay": PrintSense, "Gravur": PrintSense, "grabado": PrintSense,
		"Maße": NoteSense, "Dimensions": NoteSense, "Layer_25": NoSense, "0": NoSense, "Mechanical1": NoSense, "Ausschnitte": OpeningSense, "découpe": OpeningSense,
		"OUTER_PROFILES": CutSense, "Kontur": CutSense, "LED_3MM": LEDSense, "schrauben M3": ScrewSense, "M3": ScrewSense, "Hidden (ISO)": BodySense, "PadHoleLayer": CopperSense,
	} {
		require.Equal(t, want, SenseOf(name), name)
	}
}

// Each row of the table can be read: a feature and a role once, and whatever is said for a role in words follows "since".
func TestEvidenceCanBeRead(t *testing.T) {
	seen := map[feature]map[panel.Role]bool{}
	for _, e := range evidence {
		if seen[e.of] == nil {
			seen[e.of] = map[panel.Role]bool{}
		}
		require.False(t, seen[e.of][e.role], "%d %s twice", e.of, e.role)
		seen[e.of][e.role] = true
		require.LessOrEqual(t, e.db, 40)
		require.GreaterOrEqual(t, e.db, -40)
	}
	require.Len(t, seen, int(features), "every feature speaks for something")
}
