package flow

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/place"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// console.png has the panels as they are wired, a branch behind the chain that it starts from, not as the project lists them;
// one that is on no feed comes last, one that was stopped not at all, and a place of its own goes with its panel.
func TestConsoleIsInTheOrderOfTheFeed(t *testing.T) {
	var out Outcome
	for _, name := range []string{"weather", "spare", "focus", "dome", "broken", "mount"} {
		b := Built{Panel: panel.Panel{Name: name}}
		if name == "broken" {
			b.Stopped = "route"
		}
		out.Built = append(out.Built, b)
	}
	out.Circuit.Chains = []led.Chain{
		{Links: []led.Link{{Panel: "mount"}, {Panel: "broken"}, {Panel: "dome"}}},
		{From: "mount", Links: []led.Link{{Panel: "focus"}, {Panel: "weather"}}},
	}
	dome := panel.Panel{Name: "dome"}
	s := &session{ctx: t.Context(), engine: NewEngine(UsualBound()), drawings: []Drawing{{Panels: []panel.Panel{dome}}}}
	s.drawings[0].Entry.Stands = project.Stand{Set: true, Pt: geom.PtMM(30, 40)}
	var names []string
	all, fault, ok := s.lit(&out)
	require.True(t, ok, "%v", fault)
	for _, q := range all {
		names = append(names, q.Of.Panel.Name)
		require.Equal(t, q.Of.Panel.Name == "dome", q.Set)
	}
	require.Equal(t, []string{"mount", "dome", "focus", "weather", "spare"}, names)
}

// stands_at of a drawing that holds several panels tells where each of them stands, for connectors as for console.png.
func TestPanelsOfOneDrawingStandWhereTold(t *testing.T) {
	box := func(name string, x, y float64) panel.Panel {
		p := panel.Panel{Name: name, Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(40, 20)))}
		p.Origin.X, p.Origin.Y = x, y
		return p
	}
	low, high := box("low", 500, 300), box("high", 500, 350)
	far := box("far", 0, 0)
	s := &session{drawings: []Drawing{{Panels: []panel.Panel{high, low}}, {Panels: []panel.Panel{far}}}}
	require.Equal(t, place.Auto, s.facing("low", "far"), "nothing is told")
	s.drawings[0].Entry.Stands = project.Stand{Set: true, Pt: geom.PtMM(10, 10)}
	s.drawings[1].Entry.Stands = project.Stand{Set: true, Pt: geom.PtMM(100, 60)}
	at, ok := s.drawings[0].corner("high")
	require.True(t, ok)
	require.Equal(t, geom.PtMM(10, 60), at, "50 mm above the other, as drawn")
	require.Equal(t, place.Top, s.facing("low", "high"))
	require.Equal(t, place.Bottom, s.facing("high", "low"))
	require.Equal(t, place.Right, s.facing("high", "far"))
}
