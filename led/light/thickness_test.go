package light_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/light"
	"lampblack/panel/geom"
)

// In an LED sheet of 2.3 in place of 3 the tips come 0.7 nearer to the diffuser, and a diffuser of 2.3 passes more; back again all is as
// it was. A grade at that thickness from the start passes as much.
func TestWithThickness(t *testing.T) {
	s := light.UsualStack()
	thin := s.WithThickness(geom.MM(2.3), geom.MM(2.3))
	require.InDelta(t, 7.3, thin.Distance(), 1e-9)
	require.InDelta(t, 8, s.Distance(), 1e-9)
	require.Greater(t, thin.Transmission, s.Transmission)
	require.Less(t, thin.Haze, s.Haze)
	require.InDelta(t, 8.7, s.WithThickness(geom.MM(3.7), geom.MM(3.7)).Distance(), 1e-9)
	require.Less(t, s.WithThickness(geom.MM(3.7), geom.MM(3.7)).Transmission, s.Transmission)

	back := thin.WithThickness(geom.MM(3), geom.MM(3))
	require.InDelta(t, s.Transmission, back.Transmission, 0.003)
	require.InDelta(t, s.Haze, back.Haze, 0.003)
	require.Equal(t, s, s.WithThickness(s.Diffuser, s.Sheet))

	direct := light.UsualStack()
	direct.Diffuser = geom.MM(2.3)
	require.InDelta(t, direct.WithDiffuser("opal-medium").Transmission, thin.Transmission, 1e-9)
}
