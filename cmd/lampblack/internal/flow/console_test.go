package flow

import (
	"testing"

	"github.com/stretchr/testify/require"

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
