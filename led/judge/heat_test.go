package judge_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// A console at 85 °C whose LEDs are near what they stand at 25 °C is told; the same at 40 °C is not.
func TestHeat(t *testing.T) {
	at := func(celsius float64, current part.Amp) (led.Circuit, diag.List) {
		req := led.Usual()
		req.Defaults.Current = current
		req.Ambient = led.Celsius{Min: 20, Nominal: 25, Max: celsius}
		return ledtest.Whole([]panel.Panel{ledtest.Row("dome", 24)}, req)
	}
	_, l := at(40, 0.020)
	_, told := ledtest.Find(l, "led-hot", "")
	require.False(t, told)
	_, l = at(85, 0.020)
	f, told := ledtest.Find(l, "led-hot", "dome")
	require.True(t, told)
	require.Equal(t, diag.Warning, f.Severity)
	// 25 mA up to 50 °C, nothing at 110 °C: 25·25/60.
	require.Contains(t, f.Text, "at 85 °C a red-3mm stands 10.42 mA")
	require.Contains(t, f.Advice, "mA in each LED")
	// What is advised works.
	_, l = at(85, 0.008)
	_, told = ledtest.Find(l, "led-hot", "")
	require.False(t, told, "%v", l)
	_, l = at(115, 0.008)
	f, _ = ledtest.Find(l, "led-hot", "")
	require.Contains(t, f.Text, "stands none")
}

// Above 70 °C a resistor carries less of its rating (IEC 60115-1, references.md section 17): at 125 °C 35.29 %. Textbook LEDs by
// hand: 12 V - 2·2 V over 400 ohm, 20 mA, next to 160 mW in a part of 500 mW that is used up to a half.
func TestResistorsAreDerated(t *testing.T) {
	at := func(celsius float64) (led.Circuit, diag.List) {
		req := led.Usual()
		req.Defaults.Kind, req.Defaults.Tolerance, req.Defaults.StringLength = ledtest.Stiff(), 0, 2
		req.Defaults.Current, req.Defaults.ResistorPackage, req.Defaults.ResistorGrows = 0.020, "axial-10.16", false
		req.Ambient = led.Celsius{Min: 25, Nominal: 25, Max: celsius}
		return ledtest.Whole([]panel.Panel{ledtest.Row("dome", 4)}, req)
	}
	c, l := at(70)
	require.InDelta(t, 0.1485, float64(c.Boards[0].Strings[0].Worst), 1e-3, "430 ohm, the next of E24 behind fuse and feed")
	require.Equal(t, part.Watt(0.5), c.Boards[0].Resistors[0].Rated)
	require.NotContains(t, ledtest.Codes(l), "warning led-resistor-warm")
	_, l = at(125) // 500 mW · 0.3529 = 176 mW, of which half is 88 mW
	f, told := ledtest.Find(l, "led-resistor-warm", "dome")
	require.True(t, told)
	require.Contains(t, f.Text, "of 500 mW at 125 °C should carry 88.2 mW")
	_, l = at(132) // 500 mW · 0.2706 = 135 mW
	require.Contains(t, ledtest.Codes(l), "error led-resistor-overload")
}

// Switching on another load moves the light where the supply has a resistance: by hand, with nothing else on it, 2 A through
// 0.5 ohm are 1 V.
func TestSwitchingIsTold(t *testing.T) {
	req := led.Usual()
	req.Rated, req.SupplyOhms = 5, 0.5
	req.Others = []led.Load{{Name: "dew heater", Amps: 2, Inrush: 4}, {Name: "clock", Amps: 0.001}}
	c, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 24)}, req)
	require.Len(t, c.Source.Steps, 2)
	s := c.Source.Steps[0]
	require.InDelta(t, 1, float64(s.Before-s.After), 0.02)
	require.InDelta(t, 2, float64(s.Before-s.Inrush), 0.03)
	require.Less(t, s.Light, 0.9)
	f, told := ledtest.Find(l, "led-switching", "")
	require.True(t, told)
	require.Equal(t, diag.Warning, f.Severity)
	require.Contains(t, f.Text, "dew heater")
	for _, f := range l {
		require.NotContains(t, f.Text, "clock")
	}
	// A supply that holds its voltage moves by nothing; its rating counts all the same.
	req.SupplyOhms, req.Rated = 0, 4
	c, l = ledtest.Whole([]panel.Panel{ledtest.Row("dome", 24)}, req)
	require.Empty(t, c.Source.Steps)
	f, told = ledtest.Find(l, "led-inrush", "")
	require.True(t, told)
	require.Contains(t, f.Text, "4 A")
}
