package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/bright"
	"lampblack/panel/diag"
)

// Brightness is told by a use, by levels, or by a use whose levels are changed in part; luminances in cd/m² or foot-lamberts
// (1 ft-L = 3.4263 cd/m², references.md section 22).
func TestBright(t *testing.T) {
	const head = "supply: {volts: 12 V, amps: 2 A}\npanels: [{name: dome, drawing: dome.dxf}]\n"
	s := compiled(t)
	read := func(text string) bright.Levels {
		p, l := Read([]byte(head+text+"\n"), "x.yaml")
		require.Empty(t, l, text)
		require.NoError(t, judged(s, head+text+"\n"), text)
		return p.Bright
	}
	require.Zero(t, read("# nothing"))
	night, _ := bright.UseOf("night-adapted desk")
	dim, _ := bright.UseOf("dim room")
	require.Equal(t, bright.Levels{Use: night.Name, Night: night.Night, Full: night.Full, Bits: 8}, read("bright: Night-adapted desk"))
	require.Equal(t, bright.Levels{Night: 0.15, Full: 5, Bits: 8}, read("bright: {night: 0.15, full: 5 cd/m2}"))
	require.Equal(t, bright.Levels{Night: 0.15, Full: 5, Bits: 12}, read("bright: {night: 150 mcd/m2, full: 5 cd/m², bits: 12}"))
	require.InDelta(t, 0.137, read("bright: {night: 0.04 ft-L, full: 5 nit}").Night, 5e-4)
	require.Equal(t, bright.Levels{Use: dim.Name, Night: dim.Night, Full: 30, Bits: 8}, read("bright: {full: 30, use: dim room}"))
	require.Equal(t, bright.Levels{Full: 40, Bits: 8}, read("bright: {full: 40}"))
	for bad, advice := range map[string]string{
		"bright: night":                          "use one of: night-adapted desk, dim room, day",
		"bright: dim rom":                        "did you mean dim room?",
		"bright: {night: 0.15}":                  "write full: 5 cd/m2, or a use: night-adapted desk",
		"bright: {night: 8, full: 5}":            "night is the least",
		"bright: {full: 5 lx}":                   "write full: 5 cd/m2",
		"bright: {full: 0}":                      "write full: 5 cd/m2",
		"bright: {full: 5, bits: 40}":            "write bits: 12",
		"bright: {full: 5, nigth: 0.1}":          "did you mean night?",
		"bright: [5, 0.1]":                       "",
		"bright: {use: dim room, night: 40 nit}": "night is the least",
	} {
		_, l := Read([]byte(head+bad+"\n"), "x.yaml")
		require.True(t, l.HasErrors(), bad)
		require.Contains(t, l[0].Advice, advice, bad)
	}
}

// How LEDs of a kind differ must go together.
func TestLampsDiffer(t *testing.T) {
	const head = "supply: {volts: 12 V, amps: 2 A}\npanels: [{name: dome, drawing: dome.dxf}]\nleds: [{name: own, colour: red, forward: 2 V, max_current: 25 mA"
	p, l := Read([]byte(head+", intensity: 400 mcd, intensity_min: 250 mcd, intensity_max: 630 mcd, lot: 1.25, matches_from: 2 mA}]\n"), "x.yaml")
	require.Empty(t, l)
	k := p.Kinds[0]
	require.Equal(t, []float64{0.25, 0.4, 0.63, 1.25, 2e-3}, []float64{k.CandelaMin, k.Candela, k.CandelaMax, k.Lot, float64(k.Matches)})
	p, _ = Read([]byte(head+", intensity: 400 mcd}]\n"), "x.yaml")
	k = p.Kinds[0].Completed()
	require.Equal(t, []float64{0.2, 0.4, 0.8, 1.6, 2e-3}, []float64{k.CandelaMin, k.Candela, k.CandelaMax, k.Lot, float64(k.Matches)},
		"half and twice the typical value, a tenth of 20 mA")
	for bad, text := range map[string]string{
		", intensity: 400 mcd, intensity_min: 500 mcd}]": "intensity_min is above intensity",
		", intensity: 400 mcd, intensity_max: 300 mcd}]": "intensity_max is below intensity",
		", intensity_max: 300 mcd}]":                     "intensity_max is told, but no intensity",
		", matches_from: 30 mA}]":                        "more than the LED survives",
		", lot: 0.5}]":                                   "less than 1",
	} {
		_, l := Read([]byte(head+bad+"\n"), "x.yaml")
		require.True(t, l.HasErrors(), bad)
		require.Contains(t, l[0].Text, text, bad)
	}
}

// A group has levels of its own, which leave those of the console as they are; and must be all LEDs of its kinds on its panels.
func TestGroupBright(t *testing.T) {
	read := func(groups string) (Project, diag.List) {
		return Read([]byte("bright: day\ngroups:\n"+groups+"panels: [{name: a, drawing: a.dxf}]\n"), FileName)
	}
	p, l := read("  - {name: day, leds: [white-3mm], set: yes}\n  - {name: night, leds: [red-3mm], set: yes, bright: {use: night-adapted desk, bits: 12}}\n")
	require.NoError(t, l.Err())
	night, _ := bright.UseOf("night-adapted desk")
	require.Equal(t, bright.Levels{Use: night.Name, Night: night.Night, Full: night.Full, Bits: 12}, p.Wish().For("night"))
	require.Equal(t, "day", p.Wish().For("day").Use)
	require.Equal(t, "day", p.Wish().For("").Use)
	require.Equal(t, p.Place("groups.1.bright.bits"), p.Where([]string{"groups.night.bright.bits", "bright"}, nil))
	for text, want := range map[string]string{
		"  - {name: night, bright: day}\n":                                                                         "it must name its kinds",
		"  - {name: night, leds: [red-3mm], lights: windows, bright: day}\n":                                       "be all of them on its panels",
		"  - {name: rings, lights: windows}\n  - {name: night, leds: [red-3mm], bright: dim room}\n":               "those of red-3mm that light windows are of group rings",
		"  - {name: night, leds: [red-3mm], bright: nite}\n":                                                       "nite",
		"  - {name: rings, leds: [green-3mm], lights: windows}\n  - {name: night, leds: [red-3mm], bright: day}\n": "",
	} {
		_, l := read(text)
		if want == "" {
			require.NoError(t, l.Err(), text)
			continue
		}
		require.ErrorContains(t, l.Err(), want, text)
	}
}

// A kind of one's own has the hole that goes with its package, unless it tells one.
func TestOwnHole(t *testing.T) {
	const head = "supply: {volts: 12 V, amps: 2 A}\npanels: [{name: dome, drawing: dome.dxf}]\nleds: [{name: own, forward: 2 V, max_current: 25 mA"
	for more, want := range map[string]float64{"": 3, ", package: radial-5mm": 5, ", package: plcc2": 4.8, ", package: plcc2, hole: 5.2 mm": 5.2, ", hole: 3.1 mm": 3.1} {
		p, l := Read([]byte(head+more+"}]\n"), "x.yaml")
		require.False(t, l.HasErrors(), "%v", l)
		k, ok := p.Kind("own")
		require.True(t, ok)
		require.Equal(t, want, k.HoleMM, more)
	}
}
