package part

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Every colour is bright, no two look alike, and every kind of the catalogue has the colour that its name says.
func TestColours(t *testing.T) {
	for i, c := range Colours() {
		require.EqualValues(t, 255, max(c.RGB[0], c.RGB[1], c.RGB[2]), c.Name)
		for _, d := range Colours()[:i] {
			apart := 0
			for k := range 3 {
				apart += max(int(c.RGB[k])-int(d.RGB[k]), int(d.RGB[k])-int(c.RGB[k]))
			}
			require.Greater(t, apart, 40, "%s and %s", c.Name, d.Name)
		}
	}
	for _, k := range Kinds() {
		rgb, ok := Shown(k.Colour)
		require.True(t, ok, k.Name)
		require.Equal(t, rgb, k.RGB, k.Name)
	}
	_, ok := Shown("infrared")
	require.False(t, ok)
}
