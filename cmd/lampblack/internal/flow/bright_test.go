package flow

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/bright"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

// With levels the lettering of the built panel has them: by the light computed for its files, not by the figure that chose the
// current. A resistor of E24 may come out a tenth above the exact one.
func TestBrightComesOut(t *testing.T) {
	p, set := starter(t, "a.dxf")
	set.Pack = false
	p.Bright = bright.Levels{Night: 5, Full: 50, Bits: 8}
	out := must(Build(context.Background(), p, set))
	require.False(t, out.Findings.HasErrors(), "%v", out.Findings)
	require.Len(t, out.Lamps, 1)
	l := out.Lamps[0]
	require.InEpsilon(t, l.Level(), out.Built[0].Field.Mean, 0.01, "light goes with the current")
	require.Greater(t, out.Built[0].Field.Mean, 45.0)
	require.Less(t, out.Built[0].Field.Mean, 50.5)
	require.False(t, has(out.Findings, "bright-dimmer"), "%v", out.Findings)
	require.NotNil(t, out.Result.Bright)
	require.InDelta(t, 0.016, out.Result.Bright.Camera.Full, 1e-9, "0.8 s / 50, references.md section 22")
	for _, s := range out.Result.Panels[0].Strings {
		require.InEpsilon(t, float64(s.TypicalA), float64(l.Amps), 0.05)
	}

	// Supply computes no boards, and comes to the same currents but for the milliohms of their copper.
	supply := must(Supply(context.Background(), p, set))
	require.Len(t, supply.Lamps, 1)
	require.InEpsilon(t, float64(l.Amps), float64(supply.Lamps[0].Amps), 0.01)
}

// Less than LEDs look alike at is left to the dimmer, and what a panel names itself is told.
func TestBrightLeavesTheRestToTheDimmer(t *testing.T) {
	p, set := starter(t, "a.dxf", "b.dxf")
	p.Bright = bright.Levels{Night: 0.15, Full: 5, Bits: 8}
	p.Panels[1].Current = 8 * part.MilliAmp
	out := must(Supply(context.Background(), p, set))
	require.Len(t, out.Lamps, 2)
	require.GreaterOrEqual(t, float64(out.Lamps[0].Amps), 0.99e-3)
	require.Less(t, float64(out.Lamps[0].Amps), 1.2e-3)
	require.InEpsilon(t, 8e-3, float64(out.Lamps[1].Amps), 0.1)
	for _, code := range []string{"bright-dimmer", "bright-steps", "bright-far-off", "bright-panels-apart"} {
		require.True(t, has(out.Findings, code), "%s: %v", code, out.Findings)
	}
	p.Bright = bright.Levels{}
	out = must(Supply(context.Background(), p, set))
	require.Empty(t, out.Lamps, "without levels the light is not computed for the supply")
	require.False(t, has(out.Findings, "bright-level"))
}

// A kind of unknown intensity: the usual current, and a warning.
func TestBrightUnknown(t *testing.T) {
	p, set := starter(t, "a.dxf")
	k, _ := part.Find("red-3mm")
	k.Name, k.Candela, k.CandelaMin, k.CandelaMax = "mine", 0, 0, 0
	p.Kinds, p.Defaults.LED = append(p.Kinds, k), "mine"
	p.Bright = bright.Levels{Full: 5, Bits: 8}
	out := must(Supply(context.Background(), p, set))
	require.True(t, has(out.Findings, "bright-unknown"), "%v", out.Findings)
	require.Empty(t, out.Lamps)
	require.InEpsilon(t, float64(p.Defaults.Current), out.Circuit.Boards[0].MeanCurrent(false), 0.1)
}

func has(l diag.List, code string) bool {
	for _, f := range l {
		if f.Code == code {
			return true
		}
	}
	return false
}
