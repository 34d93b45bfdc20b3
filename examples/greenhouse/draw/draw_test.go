package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/read"
)

// The committed drawings are what this program draws.
func TestCommitted(t *testing.T) {
	for _, h := range desk() {
		got, err := os.ReadFile(filepath.Join("..", h.name+".dxf"))
		require.NoError(t, err)
		want, err := h.file()
		require.NoError(t, err)
		require.True(t, string(got) == string(want), "%s.dxf: run go run ./examples/greenhouse/draw examples/greenhouse", h.name)
	}
}

// TestReadAsMeant: without a word of ours in the drawings each thing is read as the builder means it, at its place, and nothing
// is asked.
func TestReadAsMeant(t *testing.T) {
	for _, h := range desk() {
		t.Run(h.name, func(t *testing.T) {
			src, err := h.file()
			require.NoError(t, err)
			d, l := dxf.Read(t.Context(), src, h.name+".dxf")
			require.Empty(t, l)
			all, l := read.Panels(t.Context(), d, read.Options{})
			require.False(t, l.HasErrors())
			for _, f := range l {
				require.Nil(t, f.Question, f.Text)
				if f.Severity == diag.Warning && (f.Code != "panel-no-leds" || !h.manner.bare) {
					require.Equal(t, "panel-guess", f.Code, f.Text)
				}
			}
			require.Len(t, all, 1)
			p := all[0]
			require.InDelta(t, h.width, p.Outline.Box().W().MM(), 0.01)
			require.InDelta(t, h.height, p.Outline.Box().H().MM(), 0.01)
			at := func(q dxf.XY) dxf.XY { return q.Add(dxf.XY(p.Origin)).Sub(h.manner.at) }
			var leds, screws, cuts []dxf.XY
			for _, q := range p.LEDs {
				require.InDelta(t, ledHole, q.D.MM(), 0.002)
				leds = append(leds, at(dxf.XY{X: q.At.X.MM(), Y: q.At.Y.MM()}))
			}
			for _, q := range p.Mounts {
				screws = append(screws, at(dxf.XY{X: q.At.X.MM(), Y: q.At.Y.MM()}))
			}
			for _, o := range p.Openings {
				c := o.Contour.Box().Centre()
				cuts = append(cuts, at(dxf.XY{X: c.X.MM(), Y: c.Y.MM()}))
			}
			samePlaces(t, "LED", h.leds, leds)
			samePlaces(t, "screw", h.screws, screws)
			samePlaces(t, "opening", h.cuts, cuts)
			require.Len(t, p.Bodies, h.parts)
			marks := 0
			for _, s := range p.Symbols {
				if !s.Closed {
					marks++
				}
			}
			require.Equal(t, h.strokes, marks)
		})
	}
}

func samePlaces(t *testing.T, what string, want, got []dxf.XY) {
	t.Helper()
	require.Len(t, got, len(want), what)
	for _, a := range want {
		found := false
		for _, b := range got {
			found = found || a.Dist(b) < 0.01
		}
		require.True(t, found, "%s at %v", what, a)
	}
}
