// Package desktest has what tests of the whole program share.
package desktest

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Half returns the example's project with three of its six panels, which want all that the six do: drawn in mm and in inches, red and
// amber LEDs, controls, a print from a drawing.
func Half(t *testing.T, src string) string {
	t.Helper()
	for _, name := range []string{"mount", "flat-lamp", "camera"} {
		src = regexp.MustCompile("(?m)^  - name: "+name+"\n(    .*\n)+").ReplaceAllString(src, "")
	}
	src = regexp.MustCompile("(?m)^chain: .*$").ReplaceAllString(src, "chain: [dome, weather, focus]")
	require.Equal(t, 3, strings.Count(src, "\n  - name: "), src)
	return src
}
