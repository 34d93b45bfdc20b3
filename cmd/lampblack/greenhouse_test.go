package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/result"
)

// TestGreenhouse: the drawings of the greenhouse's climate desk, which have no layer of ours, build to proven boards, with the
// small project beside them and, but for its colours and order, without. README's picture is what the build makes.
func TestGreenhouse(t *testing.T) {
	const desk = "../../examples/greenhouse"
	dir := filepath.Join(t.TempDir(), "out")
	var out, errw bytes.Buffer
	require.Zero(t, run([]string{"build", "-o", dir, desk}, nil, &out, &errw), errw.String())
	require.Contains(t, out.String(), "5 of 5 panels built into ")
	require.Equal(t, 5, strings.Count(out.String(), "  proven\n"), out.String())
	// The lamps have two sets of LEDs behind the same words, each even by itself; nothing is unevenly lit, and no panel too dim or apart.
	require.Regexp(t, `lamps .* day [78][0-9], night [78][0-9] +proven`, out.String())
	require.NotRegexp(t, `light-|bright-(too-dim|far-off|panels-apart|steps)`, errw.String())
	// All that sits in its openings is told, and goes together: 3 switches, 2 sliders, 4 knobs and a display, 4 buttons, 8 switches and a display.
	require.NotContains(t, errw.String(), "control-")
	told, err := os.ReadFile(filepath.Join(dir, "result.json"))
	require.NoError(t, err)
	var sits struct {
		Panels []struct{ Controls []any }
	}
	require.NoError(t, json.Unmarshal(told, &sits))
	n := 0
	for _, p := range sits.Panels {
		n += len(p.Controls)
	}
	require.Equal(t, 3+2+5+4+9, n)
	setsAreAsAsked(t, told)

	samePicture(t, filepath.Join(desk, "pictures", "console.png"), filepath.Join(dir, "console.png"), "Greenhouse")
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.Contains(t, string(readme), "](examples/greenhouse/pictures/console.png)")

	if testing.Short() {
		return
	}
	files, err := filepath.Glob(filepath.Join(desk, "*.dxf"))
	require.NoError(t, err)
	call := []string{"build", "-o", filepath.Join(t.TempDir(), "out")}
	bare := t.TempDir()
	for _, f := range files {
		src, err := os.ReadFile(f)
		require.NoError(t, err)
		call = append(call, filepath.Join(bare, filepath.Base(f)))
		require.NoError(t, os.WriteFile(call[len(call)-1], src, 0o666))
	}
	out.Reset()
	require.Zero(t, run(call, nil, &out, &errw), errw.String())
	require.Equal(t, 5, strings.Count(out.String(), "  proven\n"), out.String())
}

// setsAreAsAsked: at the dimmers' full marks the light of each set of the lamps, computed from the currents that were solved with the
// boards' copper, is what is asked for: 10 times 538 lx · 0.05/π by day (NUREG-0700 rev. 3), 3.5 cd/m² by night (MIL-STD-1472E), and so at
// the least marks: 6 times, 0.04 ft-L (US Navy trials, 1951).
func setsAreAsAsked(t *testing.T, data []byte) {
	t.Helper()
	var r result.Console
	require.NoError(t, json.Unmarshal(data, &r))
	ground := 538 * 0.05 / math.Pi
	want := map[string][2]float64{"day": {10 * ground, 6 * ground}, "night": {3.5, 0.04 * 3.426}}
	for _, p := range r.Panels {
		if p.Name != "lamps" {
			continue
		}
		require.Len(t, p.Light.Sets, 2)
		for _, one := range p.Light.Sets {
			for _, d := range r.Bright.Dimmers {
				if d.Group == one.Set {
					require.InEpsilon(t, want[one.Set][0], one.Mean*d.Full, 0.01, one.Set)
					require.InEpsilon(t, want[one.Set][1], one.Mean*d.Night, 0.01, one.Set)
					delete(want, one.Set)
				}
			}
		}
	}
	require.Empty(t, want)
}
