package light

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// A medium opal behind clear engraving lies at the limit, and what sheets of that grade let pass straight differs twofold: that is
// a note that says so. Where the haze is told, the limit is one.
func TestOpalAtTheLimitIsANote(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(30, 20), geom.PtMM(50, 20))
	judged := func(haze float64) diag.List {
		s := UsualStack().WithDiffuser("opal-medium")
		s.Finish = Clear
		if haze > 0 {
			s.Haze = haze
		}
		return judgeBare(s, Evaluate(context.Background(), p, nil, w, s))
	}
	l := judged(0)
	require.Len(t, l, 1)
	require.Equal(t, diag.Note, l[0].Severity)
	require.Contains(t, l[0].Text, "opal-medium may just show its LEDs")
	require.Contains(t, l[0].Subject.Keys, "stack.haze")
	l = judged(0.998)
	require.Len(t, l, 1)
	require.Equal(t, diag.Warning, l[0].Severity)
	require.Empty(t, judged(0.9995))
}

// A light opal shows its LEDs straight on and is told, whatever the engraving; a dense one is not, nor a light grade that is thick
// enough; a medium one shows them, if at all, through clear engraving alone.
func TestLightOpalShowsItsLEDs(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(30, 20), geom.PtMM(50, 20))
	judged := func(s Stack) (diag.List, float64) {
		f := Evaluate(context.Background(), p, nil, w, s)
		return judgeBare(s, f), f.Spot
	}
	spots := map[string]float64{}
	for grade, told := range map[string]bool{"opal-dense": false, "opal-medium": false, "opal-light": true} {
		s := UsualStack().WithDiffuser(grade)
		l, spot := judged(s)
		spots[grade] = spot
		require.Equal(t, told, len(l) == 1, "%s: %v", grade, l)
		s.Finish = Clear
		straight, through := judged(s)
		require.GreaterOrEqual(t, through, spot, grade)
		if told {
			require.Equal(t, diag.Warning, l[0].Severity)
			require.Contains(t, l[0].Text, grade+" hides no LED")
			require.NotEmpty(t, l[0].Subject.Keys)
			require.Len(t, straight, 1)
			require.Contains(t, straight[0].Advice, "finish: frosted")
			require.Greater(t, through, 10.0)
		}
	}
	require.Less(t, spots["opal-dense"], spots["opal-medium"])
	require.Less(t, spots["opal-medium"], spots["opal-light"])
	s := UsualStack()
	s.Diffuser = geom.MM(12)
	l, _ := judged(s.WithDiffuser("opal-light"))
	require.Empty(t, l)
	s.Diffuser = 0
	l, spot := judged(s)
	require.Len(t, l, 1)
	require.Greater(t, spot, 2.0)
	s.Finish, s.Board, s.SheetReflection = Clear, 0, 0
	l, spot = judged(s)
	require.Len(t, l, 1)
	require.True(t, math.IsInf(spot, 1))
	// Denser means less.
	u := UsualStack()
	require.Less(t, u.WithDiffuser("opal-dense").Unscattered(), u.WithDiffuser("opal-medium").Unscattered())
	require.Less(t, u.WithDiffuser("opal-medium").Unscattered(), u.WithDiffuser("opal-light").Unscattered())
}
