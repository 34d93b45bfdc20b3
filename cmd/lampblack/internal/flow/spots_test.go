package flow

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
)

// Both boards of the panel get a machine's marks when they are asked for and a meter's points unless they are not wanted; either way
// what is written is proven, and by itself a good pack.
func TestBarePadsOfAProject(t *testing.T) {
	for more, want := range map[string][2]bool{ // test points, fiducials
		"":                                  {true, false},
		"test_points: no\nfiducials: yes\n": {false, true},
		"test_points: yes\nfiducials: yes\norder: {boards: {long-a: 2, long-b: 1}}\n": {true, true},
	} {
		out := pairBuilt(t, false, more)
		require.False(t, out.Findings.HasErrors(), "%s: %v", more, out.Findings)
		packs := 0
		for _, m := range out.made() {
			var has [2]bool
			fiducials := 0
			for _, s := range m.Board.Spots {
				has[s.Use] = true
				if s.Use == board.Fiducial {
					fiducials++
				}
			}
			require.Equal(t, want, has, "%s: %s", more, m.Name())
			require.Zero(t, fiducials%3, "three on each side that has any")
		}
		for _, f := range out.Files {
			if strings.HasSuffix(f.Path, "-fab.zip") {
				packs++
				got := must(Inspect(t.Context(), f.Path, f.Data, fine(), "test", false))
				require.Empty(t, got.Findings, "%s: %s", more, f.Path)
			}
		}
		require.GreaterOrEqual(t, packs, 2)
	}
}
