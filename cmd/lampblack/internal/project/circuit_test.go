package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/panel/geom"
)

const observatory = `console: Ridge
temperature: -10 C .. 30 °C
supply:
  battery: {chemistry: lead-acid, capacity: 7 Ah}
  amps: 5 A
  resistance: 50 mohm
  also_feeds:
    - {name: dew heater, ohms: 24 ohm}
    - {name: camera, watts: 6 W}
feed: {wire: 0.75 mm2, connector: 6 A, contact: 5 mohm, temperature: 40 C}
chains:
  - {boards: [mount, Dome], both_ends: yes, back_length: 500 mm}
  - {boards: [focus], from: mount}
  - [weather]
groups:
  - {name: night, leds: [red-3mm], panels: [dome, mount], duty: 30 %}
  - {name: alarm, leds: [amber-3mm], lights: windows}
defaults:
  series: 4
  change: 25 %
  resistor: {derating: 60 %}
panels:
  - {name: dome, drawing: a.dxf}
  - {name: mount, drawing: b.dxf, wire: 1 mm2, series: 3}
  - {name: focus, drawing: c.dxf}
  - {name: weather, drawing: d.dxf}
`

func TestReadsTheCircuit(t *testing.T) {
	p, l := Read([]byte(observatory), "desk/lampblack.yaml")
	require.Empty(t, l)
	require.Equal(t, led.Celsius{Min: -10, Nominal: 10, Max: 30}, p.Ambient)
	require.Equal(t, Battery{"lead-acid", 6, 7}, p.Supply.Battery)
	require.InDelta(t, 10.5, float64(p.Supply.Volts.Min), 1e-9)
	require.InDelta(t, 14.8, float64(p.Supply.Volts.Max), 1e-9)
	require.InDelta(t, 0.05, float64(p.Supply.Ohms), 1e-12)
	require.Equal(t, []Load{{Name: "dew heater", Ohms: 24}, {Name: "camera", Watts: 6}}, p.Supply.AlsoFeeds)
	require.InDelta(t, 0.005, float64(p.Feed.Contact), 1e-12)
	require.InDelta(t, 40, p.Feed.Celsius, 1e-12)
	require.Equal(t, []Run{
		{Boards: []string{"mount", "dome"}, BothEnds: true, BackLength: geom.MM(500)},
		{Boards: []string{"focus"}, From: "mount"},
		{Boards: []string{"weather"}},
	}, p.Chains)
	require.Equal(t, []Group{{Name: "night", LEDs: []string{"red-3mm"}, Panels: []string{"dome", "mount"}, Duty: 0.3}, {Name: "alarm", LEDs: []string{"amber-3mm"}, Duty: 1, Lights: "windows"}}, p.Groups)
	require.Equal(t, 4, p.Defaults.InSeries)
	require.InDelta(t, 0.25, p.Defaults.MaxChange, 1e-12)
	require.InDelta(t, 0.6, p.Defaults.Resistor.Used, 1e-12)
	require.Equal(t, 3, p.Panels[1].InSeries)
	require.InDelta(t, 1, p.Panels[1].Wire.MM2, 1e-12)
}

type badCircuit struct {
	src, code, advice string
	line, column      int
}

func badCircuits() map[string]badCircuit {
	const panels = "panels:\n  - {name: dome, drawing: dome.dxf}\n  - {name: mount, drawing: mount.dxf}\n"
	const supply = "supply: {volts: 12 V, amps: 2 A}\n"
	return map[string]badCircuit{
		"two supplies":       {"supply: {volts: 12 V, amps: 2 A, battery: {chemistry: li-ion}}\n" + panels, "project-two-supplies", "keep one", 1, 34},
		"unknown chemistry":  {"supply: {amps: 2 A, battery: {chemistry: liion}}\n" + panels, "project-unknown-value", "li-ion", 1, 42},
		"too many cells":     {"supply: {amps: 2 A, battery: {chemistry: li-ion, cells: 20}}\n" + panels, "project-impossible-value", "at most 14", 1, 30},
		"capacity in amps":   {"supply: {amps: 2 A, battery: {chemistry: li-ion, capacity: 7 A}}\n" + panels, "project-wrong-value", "7 Ah", 1, 60},
		"load of nothing":    {"supply: {volts: 12 V, amps: 2 A, also_feeds: [{name: fan}]}\n" + panels, "project-missing-key", "600 mA", 1, 47},
		"load told twice":    {"supply: {volts: 12 V, amps: 2 A, also_feeds: [{name: fan, watts: 6, amps: 1}]}\n" + panels, "project-impossible-value", "keep one", 1, 47},
		"load of a short":    {"supply: {volts: 12 V, amps: 2 A, also_feeds: [{name: fan, ohms: 0}]}\n" + panels, "project-impossible-value", "24 ohm", 1, 65},
		"hot":                {supply + panels + "temperature: 200 C\n", "project-impossible-value", "-10 C .. 30 C", 5, 14},
		"upside down":        {supply + panels + "temperature: 30 C .. -10 C\n", "project-wrong-value", "-10 C .. 30 C", 5, 14},
		"loop":               {supply + panels + "chains:\n  - {boards: [dome], from: mount}\n  - {boards: [mount], from: dome}\n", "project-chain-loop", "from", 6, 22},
		"from itself":        {supply + panels + "chains:\n  - {boards: [dome, mount], from: mount}\n", "project-chain-loop", "from", 6, 29},
		"from nowhere":       {supply + panels + "chains:\n  - {boards: [dome, mount], from: mont}\n", "project-unknown-panel", "mount", 6, 29},
		"a stranger":         {supply + panels + "chains:\n  - {boards: [dome, mount, focus]}\n", "project-unknown-panel", "focus", 6, 28},
		"no boards":          {supply + panels + "chains:\n  - {both_ends: true}\n  - [dome, mount]\n", "project-missing-key", "boards", 6, 5},
		"back of a short":    {supply + panels + "chains:\n  - {boards: [dome, mount], back_length: 1 m}\n", "project-impossible-value", "both_ends", 6, 5},
		"both ends maybe":    {supply + panels + "chains:\n  - {boards: [dome, mount], both_ends: maybe}\n", "project-unknown-value", "true", 6, 40},
		"group of strangers": {supply + panels + "groups: [{name: night, leds: [rde-3mm]}]\n", "project-unknown-member", "red-3mm", 5, 31},
		"group of no panel":  {supply + panels + "groups: [{name: night, panels: [dme]}]\n", "project-unknown-member", "dome", 5, 33},
		"group name":         {supply + panels + "groups: [{name: night time}]\n", "project-wrong-name", "12 letters", 5, 17},
		"group twice":        {supply + panels + "groups: [{name: night}, {name: Night}]\n", "project-same-name", "another", 5, 25},
		"duty of nothing":    {supply + panels + "groups: [{name: night, duty: 0 %}]\n", "project-impossible-value", "30 %", 5, 30},
		"series of nothing":  {supply + panels + "defaults: {series: 0}\n", "project-impossible-value", "series", 5, 20},
		"half an LED":        {supply + panels + "defaults: {series: 2.5}\n", "project-wrong-value", "series", 5, 20},
	}
}

func TestBadCircuits(t *testing.T) {
	for name, c := range badCircuits() {
		t.Run(name, func(t *testing.T) {
			_, l := Read([]byte(c.src), "p.yaml")
			for _, f := range l {
				if f.Code != c.code {
					continue
				}
				require.Contains(t, f.Text+" "+f.Advice, c.advice)
				require.Equal(t, [2]int{c.line, c.column}, [2]int{f.Place.Line, f.Place.Column}, f.Place.Source)
				return
			}
			t.Fatalf("no %s: %v", c.code, l)
		})
	}
}

func TestCelsius(t *testing.T) {
	for s, want := range map[string]led.Celsius{
		"20": {Min: 20, Nominal: 20, Max: 20}, "-10 C .. 30 C": {Min: -10, Nominal: 10, Max: 30}, "−5 °C…35": {Min: -5, Nominal: 15, Max: 35},
		"-20 .. 10 .. 40 deg C": {Min: -20, Nominal: 10, Max: 40},
	} {
		got, err := ParseCelsius(s)
		require.NoError(t, err, s)
		require.Equal(t, want, got, s)
	}
	for _, s := range []string{"", "warm", "1..2..3..4", "3 .. 1", "20 K", "NaN", "..", "1e999"} {
		_, err := ParseCelsius(s)
		require.Error(t, err, s)
	}
}
