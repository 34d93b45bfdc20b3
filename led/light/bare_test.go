package light

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// A light opal shows its LEDs straight on and is told; a medium and a dense one are not, nor a light grade that is thick enough.
func TestLightOpalShowsItsLEDs(t *testing.T) {
	for grade, told := range map[string]bool{"opal-dense": false, "opal-medium": false, "opal-light": true} {
		l := judgeBare(UsualStack().WithDiffuser(grade))
		require.Equal(t, told, len(l) == 1, "%s: %v", grade, l)
		if told {
			require.Equal(t, diag.Warning, l[0].Severity)
			require.Contains(t, l[0].Text, grade+" hides no LED")
			require.NotEmpty(t, l[0].Subject.Keys)
		}
	}
	s := UsualStack()
	s.Diffuser = geom.MM(12)
	require.Empty(t, judgeBare(s.WithDiffuser("opal-light")))
	s.Diffuser = 0
	require.Len(t, judgeBare(s), 1)
	// Denser means less.
	u := UsualStack()
	require.Less(t, u.WithDiffuser("opal-dense").Unscattered(), u.WithDiffuser("opal-medium").Unscattered())
	require.Less(t, u.WithDiffuser("opal-medium").Unscattered(), u.WithDiffuser("opal-light").Unscattered())
}
