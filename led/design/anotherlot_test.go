package design

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
)

// By hand, with an LED that has 2 V at any current (its curve is flat within 1 %): 4 of them and 560 ohms at 7 mA on 12 V, all but 0.08 V.
// Of a lot twice as bright 3.5 mA are wanted: (11.92-8)/3.5 mA = 1120 ohms, 1k1 in E24; half as bright 14 mA: 280, 270 in E24 (ratio
// 1.037 against 1.071 to 300). Below 2 mA, a tenth of 20, they no longer look alike: a lot four times as bright has none.
func TestAnotherLots(t *testing.T) {
	k := part.LED{Name: "flat", Curve: []part.VfPoint{{I: 0.020, V: 2.0001}, {I: 0.001, V: 2}}, VfMin: 2, VfMax: 2.1, IMax: 0.025}
	c := led.Circuit{Solved: true, Source: led.Source{Nominal: 12, Ambient: led.Celsius{Min: 25, Nominal: 25, Max: 25}}, Boards: []led.Wiring{{
		Panel: "a", LEDs: []led.LED{{Kind: k}, {Kind: k}, {Kind: k}, {Kind: k}}, Resistors: []led.Resistor{{Ohms: 560}},
		Strings: []led.String{{LEDs: []int{0, 1, 2, 3}, Nominal: 0.007}, {LEDs: []int{0, 1, 2, 3}, Nominal: 0.007}},
	}}}
	got := AnotherLots(c, led.Usual(), []float64{0.3, 0.5, 1, 2, 4})
	require.Len(t, got, 1, "alike strings are told once")
	require.Equal(t, []part.Ohm{0, 270, 560, 1100, 0}, got[0].For)
}
