package read

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
)

// textOf returns the texts of a code.
func textOf(l diag.List, code string) []string {
	var out []string
	for _, f := range l {
		if f.Code == code {
			out = append(out, f.Text)
		}
	}
	return out
}

// TestOpenEdgeRoundHoles: four holes within three sides of a panel are no panel of 3 mm, and no reason to doubt the unit.
func TestOpenEdgeRoundHoles(t *testing.T) {
	const src = "0 line 0 0 200 0\n0 line 200 0 200 100\n0 line 200 100 0 100\n0 circle 20 20 3\n0 circle 60 20 3"
	d := drawn(t, src)
	d.Units.Assumed, d.Units.Why = true, "the file names no unit"
	ps, l := Panels(t.Context(), d, Options{})
	require.Empty(t, ps)
	require.Equal(t, []string{"the drawing has no outline: the line round 200 x 100 mm, in which its holes lie, is open; 100 mm lack between (0.000, 0.000) and (0.000, 100.000)"}, textOf(l, "panel-no-outline"))
	require.Empty(t, textOf(l, "dxf-units-assumed"))
	require.Empty(t, textOf(l, "panel-too-small"))
	// A plate that has holes of its own is a panel, whatever line runs round it.
	ps, _ = Panels(t.Context(), drawn(t, "0 line 0 0 200 0\n0 line 200 0 200 100\n0 line 200 100 0 100\n0 rect 20 20 100 60\n0 circle 30 30 3"), Options{})
	require.Len(t, ps, 1)
}

// TestWhichRuleTookTheOutline: where the project's roles leave no outline, what took the largest closed line is named.
func TestWhichRuleTookTheOutline(t *testing.T) {
	d := drawn(t, "0 rect 0 0 160 100\n0 circle 20 20 3")
	rules := func(say ...string) (out []Rule) {
		for _, s := range say {
			role, words, _ := strings.Cut(s, ": ")
			r, err := ParseRule(panel.Role(role), words)
			require.NoError(t, err)
			out = append(out, r)
		}
		return out
	}
	for _, c := range []struct{ say, want string }{
		{"outline: shapes 160 x 90 mm; opening: shapes", `there is no outline: no closed line is shapes 160 x 90 mm, as the project's roles say; the largest, a closed line of 160 x 100 mm, is taken as opening by the rule "shapes"`},
		{"outline: shapes 160 x 90 mm", "there is no outline: no closed line is shapes 160 x 90 mm, as the project's roles say; the largest is a closed line of 160 x 100 mm"},
		{"ignore: rest; outline: circles 50 mm", `there is no outline: no closed line is circles 50 mm, as the project's roles say; the largest, a closed line of 160 x 100 mm, is taken as ignore by the rule "rest"`},
	} {
		_, l := Panels(t.Context(), d, Options{Rules: rules(strings.Split(c.say, "; ")...)})
		require.Equal(t, []string{c.want}, textOf(l, "panel-no-outline"), c.say)
		i := slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == "panel-no-outline" })
		// The advice is the cure.
		require.Contains(t, l[i].Advice, "outline: shapes 160 x 100 mm")
		ps, _ := Panels(t.Context(), d, Options{Rules: rules(append(strings.Split(c.say, "; "), "outline: shapes 160 x 100 mm")...)})
		require.Len(t, ps, 1, c.say)
	}
}

// TestWhatLiesOnOtherLayers: what has no use is told by what it is, and whether that matters.
func TestWhatLiesOnOtherLayers(t *testing.T) {
	src := []string{"OUTLINE rect 0 0 160 100", "LED circle 20 50 3", "DIM line 0 110 160 110", "SPARE circle 200 20 5", "SPARE circle 220 20 5"}
	for i := range 9 {
		src = append(src, fmt.Sprintf("SCALE line %d 80 %d 84", 10+7*i*i, 10+7*i*i+3))
	}
	_, l := Panels(t.Context(), drawn(t, strings.Join(src[:len(src)-4], "\n")), Options{})
	require.ElementsMatch(t, []string{
		"1 open line on layer DIM lies outside every panel: not used, which changes nothing in the panels",
		"2 closed lines on layer SPARE lie outside every panel: not used, which changes nothing in the panels",
		"5 open lines on layer SCALE within the panel are neither cut nor engraved: what is not closed is no opening, and lettering is drawn on its own layer",
	}, textOf(l, "panel-layer-ignored"))
	// Texts that are taken as lettering are used, and told so only.
	rep, l := Survey(t.Context(), drawn(t, "OUTLINE rect 0 0 160 100\nLED circle 20 50 3\nWORDS text 50 65 4 MIST"), Options{})
	require.Equal(t, panel.RoleLettering, rep.Texts[0].Role)
	require.Empty(t, textOf(l, "panel-layer-ignored"))
}

// TestTicksAreNoOpenEnds: the ticks of a dial are lines by themselves; a frame that misses a piece is open there.
func TestTicksAreNoOpenEnds(t *testing.T) {
	src := []string{"0 rect 0 0 160 100", "0 circle 80 50 9.5", "0 line 20 20 40 20", "0 line 40 20 40 40", "0 line 40 40 20 40", "0 line 20 40 20 23"}
	for i := range 11 {
		sin, cos := math.Sincos(float64(30*i-60) * math.Pi / 180)
		src = append(src, fmt.Sprintf("0 line %g %g %g %g", 80+18*cos, 50+18*sin, 80+21*cos, 50+21*sin))
	}
	rep, l := Survey(t.Context(), drawn(t, strings.Join(src, "\n")), Options{})
	require.Len(t, rep.Open, 2)
	i := slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == "dxf-nearly-closed" })
	// Where two readings are fair, it is a question, and each answer ends it.
	q := l[i].Question
	require.NotNil(t, q)
	require.Equal(t, "a line round 20 x 20 mm, not closed by 3.000 mm", q.Things)
	require.Equal(t, "ignore", q.Assumed)
	require.Equal(t, "join: 3.1 mm", q.Choices[1].YAML())
	ps, l := Panels(t.Context(), drawn(t, strings.Join(src, "\n")), Options{Join: 3_100_000})
	require.Empty(t, textOf(l, "dxf-nearly-closed"))
	require.Len(t, ps[0].Openings, 2)
	for _, role := range []panel.Role{panel.RoleIgnore, panel.RoleLettering} {
		_, l = Panels(t.Context(), drawn(t, strings.Join(src, "\n")), Options{Rules: []Rule{{Role: role, Kind: LineRule}}})
		require.Empty(t, textOf(l, "dxf-nearly-closed"))
	}
}
