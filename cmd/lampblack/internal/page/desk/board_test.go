package desk

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/page/talk"
	"lampblack/panel/geom"
)

// put has the engine know the starter's files, and returns the desk they lie on.
func put(t *testing.T, e *Engine, of string) talk.Desk {
	t.Helper()
	a, _ := tells(t, e, "start", nil, Start{of})
	require.Empty(t, a.Wrong)
	return laid(nil, a)
}

// gives asks and reads what is given.
func gives(t *testing.T, e *Engine, do string, d talk.Desk, with, into any) {
	t.Helper()
	a, _ := tells(t, e, do, d, with)
	require.Empty(t, a.Wrong)
	require.Empty(t, a.Lacks)
	g, err := json.Marshal(a.Gives)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(g, into))
}

// What the page shows of a board is the board: each LED at its hole on the drawing, its anode nearer the supply than its cathode by
// what a meter shows, and each string's volts add up to the board's.
func TestBoardIsShown(t *testing.T) {
	e := New("test")
	d := put(t, e, "empty")
	var made Made
	gives(t, e, "build", d, struct{}{}, &made)
	var s Shown
	gives(t, e, "board", d, BoardOf{"shutter"}, &s)
	require.Empty(t, s.Why)
	require.Len(t, s.Boards, 1)
	b := s.Boards[0]
	holes := map[[2]float64]bool{}
	for _, h := range made.Result.Panels[0].Holes.LED {
		holes[[2]float64{h.X, h.Y}] = true
	}
	leds := 0
	for _, p := range b.Parts {
		if p.Kind != "led" {
			continue
		}
		leds++
		near := false
		for at := range holes {
			near = near || geom.PtMM(at[0], at[1]).Dist(geom.PtMM(p.At[0], p.At[1])) < 1000
		}
		require.True(t, near, "%s stands at %v, where the drawing has no hole", p.Ref, p.At)
		var anode, cathode *float64
		for _, q := range p.Pads {
			if strings.Contains(q.Pin, "anode") {
				anode = b.Nets[q.Net].Volts
			}
			if strings.Contains(q.Pin, "cathode") {
				cathode = b.Nets[q.Net].Volts
			}
		}
		require.NotNil(t, anode, p.Ref)
		require.NotNil(t, cathode, p.Ref)
		require.InDelta(t, 1.9, *anode-*cathode, 0.4, "%s, a red LED", p.Ref) // forward voltages of red LEDs: references.md section 2
	}
	require.Equal(t, len(holes), leds)
	i := slices.IndexFunc(b.Parts, func(p ShownPart) bool { return p.Ref == "TP+" })
	require.GreaterOrEqual(t, i, 0, "a point to touch")
	require.Equal(t, "V+", b.Nets[b.Parts[i].Pads[0].Net].Name)
	volts := made.Result.Chains[0].Links[0].Volts
	for i, str := range b.Strings {
		var across, first float64
		for _, r := range made.Result.Panels[0].Strings {
			if r.Resistor == str.Resistor {
				across = r.Ohms * str.Amps
			}
		}
		for _, p := range b.Parts {
			if p.Ref == str.Parts[1] {
				for _, q := range p.Pads {
					if strings.Contains(q.Pin, "anode") {
						first = *b.Nets[q.Net].Volts
					}
				}
			}
		}
		require.InDelta(t, volts, first+across, 0.02, "string %d", i+1)
	}
}

// An arc of more than half a circle is the large one, and turns as the contour does, in a frame with Y up.
func TestArcs(t *testing.T) {
	d := frame{geom.XY{X: 10, Y: 20}}
	require.Equal(t, "M10 20A1 1 0 0 1 12 20L11 21Z", d.closed(geom.Contour{
		{Pt: geom.PtMM(0, 0), Bulge: 1}, {Pt: geom.PtMM(2, 0)}, {Pt: geom.PtMM(1, 1)}}))
	require.Contains(t, d.closed(geom.Contour{{Pt: geom.PtMM(0, 0), Bulge: 2}, {Pt: geom.PtMM(2, 0)}}), " 0 1 1 12 20")
	require.Contains(t, d.closed(geom.Contour{{Pt: geom.PtMM(0, 0), Bulge: -2}, {Pt: geom.PtMM(2, 0)}}), " 0 1 0 12 20")
}

// The fields of the view of currents are keys of the project file that there are, with what is written there.
func TestSettings(t *testing.T) {
	e := New("test")
	d := put(t, e, "observatory")
	var all []Setting
	gives(t, e, "settings", d, struct{}{}, &all)
	value := map[string]string{}
	for _, s := range all {
		value[s.At] = s.Value
		require.NotEmpty(t, s.Words, s.At)
	}
	require.Equal(t, "12 V", value["supply.volts"])
	require.Equal(t, "amber-3mm", value["panels.weather.led"])
	require.Equal(t, "600 mm", value["panels.mount.feed_length"])
	require.Contains(t, value, "panels.dome.current")
	require.Empty(t, value["panels.dome.current"])
	for _, s := range all {
		if s.At == "defaults.current" {
			require.NotEmpty(t, s.Usual, "the field says what holds while it is empty")
		}
	}
}
