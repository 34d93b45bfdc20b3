package starter

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/dxf"
	"lampblack/panel/read"
)

// The drawing is a panel that raises no question: what a builder would measure on it.
func TestDrawing(t *testing.T) {
	src, err := Drawing()
	require.NoError(t, err)
	d, l := dxf.Read(t.Context(), src, "shutter.dxf")
	require.Empty(t, l)
	require.Equal(t, "AC1009", d.Version)
	ps, l := read.Panels(t.Context(), d, read.Options{})
	require.Empty(t, l)
	require.Len(t, ps, 1)
	p := ps[0]
	require.Equal(t, "shutter", p.Name)
	require.InDelta(t, 140, p.Outline.Box().W().MM(), 1e-6)
	require.InDelta(t, 60, p.Outline.Box().H().MM(), 1e-6)
	require.Len(t, p.LEDs, 16)
	require.Len(t, p.Mounts, 4)
	require.Len(t, p.Openings, 3)
	require.Len(t, p.Bodies, 3)
	require.Len(t, p.Lettering, 5)
}
