package diag

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What is told in one keeps the changes that do for all of it; each has its own at its place.
func TestGroupedChanges(t *testing.T) {
	var l List
	for _, key := range []string{"roles.led.0", "roles.led.1"} {
		l.Add(Warning, "panel-rule-empty", "nothing is %s", key).Fix("take the rule away").By("take the rule away", Remove, key, nil).By("have none", Remove, "roles", nil)
	}
	g := l.Grouped()
	require.Len(t, g, 1)
	require.Equal(t, []Change{{"have none", "roles", Remove, nil}}, g[0].Changes)
	require.Len(t, g[0].Each()[1].Changes, 2)
	require.Equal(t, "roles.led.1", g[0].Each()[1].Changes[0].At)
}

// A deed is told in two ways, and advice without one in one.
func TestFixTellsDeeds(t *testing.T) {
	var l List
	f := l.Add(Note, "x-y", "so").Fix("%s shows %d", Deed{"'lampblack survey'", "the view Drawing"}, 3)
	require.Equal(t, "'lampblack survey' shows 3", f.Advice)
	require.Equal(t, "the view Drawing shows 3", f.Clicks)
	f.Fix("leave it")
	require.Empty(t, f.Clicks)
}
