package bright

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Levels of use are those of their sources, references.md section 22: no better reading of red-lit dials above 0.04 ft-L = 0.137 cd/m²
// (US Navy trials, 1951); 3.5 cd/m² below which digits want light of their own (MIL-STD-1472E); legends of lit panels 1 ft-L = 3.4 (MIL-DTL-7788,
// from memory); screens in the dark comfortable from about 20 (Mantiuk and others, 2009). By day 538 lx and 6:1, better 10:1
// (NUREG-0700 rev. 3) on paint of 5 %: 538·0.05/π = 8.56, so 51.4 and 85.6.
func TestUses(t *testing.T) {
	for name, want := range map[string][2]float64{"night-adapted desk": {0.137, 3.5}, "dim room": {3.4263, 20}, "day": {51.4, 85.6}} {
		u, ok := UseOf(name)
		require.True(t, ok, name)
		require.InDelta(t, want[0], u.Night, 0.005*want[0], name)
		require.InDelta(t, want[1], u.Full, 0.005*want[1], name)
		require.NotEmpty(t, u.Source)
	}
	last := 0.0
	for _, u := range Uses() {
		require.Less(t, last, u.Full)
		require.Less(t, u.Night, u.Full)
		last = u.Full
	}
	for level, name := range map[float64]string{0.2: "night-adapted desk", 8: "night-adapted desk", 9: "dim room", 41: "dim room", 42: "day", 600: "day"} {
		require.Equal(t, name, Suits(level).Name, level)
	}
}

// Source: references.md section 22: t ≈ 0.8 s ÷ L at f/8, ISO 1000, constant 12.5.
func TestExposure(t *testing.T) {
	require.InDelta(t, 0.8, Exposure(1, 8, 1000), 1e-12)
	require.InDelta(t, 0.16, Exposure(5, 8, 1000), 1e-12)
	require.InDelta(t, 1.6, Exposure(5, 8, 100), 1e-12)
}

// Source: references.md section 22: flicker is seen up to about 80 Hz; at full modulation 1250 Hz are at low risk (a lighting journal on
// IEEE 1789), 3 kHz without effect (from memory). What is advised lies between.
func TestFrequency(t *testing.T) {
	require.GreaterOrEqual(t, float64(Frequency), 1250.0)
	require.LessOrEqual(t, float64(Frequency), 3000.0)
}

func TestShown(t *testing.T) {
	for v, want := range map[float64]string{0.1371: "0.14", 3.4263: "3.4", 51.38: "51", 126.8: "130", 0.0666: "0.067", 0.0096: "0.0096", 20: "20", 0: "0", 9.96: "10"} {
		require.Equal(t, want, Shown(v), v)
	}
}

// three are a dense panel, a sparse one and one of LEDs that are six times as bright, which match from twice the current on.
func three() []Lamps {
	return []Lamps{
		{Panel: "dense", Colour: "red", Kinds: []string{"red-3mm"}, LEDs: 80, PerAmp: 20_000, Least: 1 * part.MilliAmp, Most: 20 * part.MilliAmp},
		{Panel: "sparse", Colour: "red", Kinds: []string{"red-3mm"}, LEDs: 10, PerAmp: 10_000, Least: 1 * part.MilliAmp, Most: 20 * part.MilliAmp},
		{Panel: "day", Colour: "green", Kinds: []string{"green-3mm"}, Group: "day", LEDs: 20, PerAmp: 100_000, Least: 2 * part.MilliAmp, Most: 20 * part.MilliAmp},
	}
}

// asking is a wish of the same for all.
func asking(full float64) Wish { return Wish{Levels: Levels{Full: full, Bits: 8}} }

// By hand: 100 cd/m² want 5 mA and 10 mA of the red LEDs, 1 mA of the green ones, which match from 2 mA on: theirs is a group of its
// own, so that they shine with 2 mA and a tenth more at least, for the resistor's rounding, and rule nobody else. 5 cd/m² want less
// than 1 mA of all: the dense panel then rules that both have 22 cd/m².
func TestChosen(t *testing.T) {
	amps := func(full float64) []float64 {
		var out []float64
		for _, l := range Chosen(three(), asking(full)) {
			out = append(out, math.Round(1e5*float64(l.Amps))/100)
		}
		return out
	}
	require.Equal(t, []float64{5, 10, 2.2}, amps(100))
	require.Equal(t, []float64{1.1, 2.2, 2.2}, amps(5))
	require.Equal(t, []float64{15, 20, 3}, amps(300), "the sparse panel would want 30 mA and gets 20")
	all := three()
	all[0].Own = 8 * part.MilliAmp
	got := Chosen(all, asking(5))
	require.Equal(t, 8*part.MilliAmp, got[0].Amps, "a panel's own current stays")
	require.InDelta(t, 1.1e-3, float64(got[1].Amps), 1e-9, "and rules no other panel")
	for _, l := range Chosen(three(), asking(5)) {
		require.GreaterOrEqual(t, float64(l.Amps), float64(l.Least))
	}
}

// The greatest current that is given is four fifths of what a kind stands where it is warmest: 25 mA up to 50 °C, half of that at 80 °C,
// midway to the 110 °C at which nothing is left (references.md section 17).
func TestLimits(t *testing.T) {
	red, _ := part.Find("red-3mm")
	least, most := Limits([]part.LED{red}, 25)
	require.InDelta(t, 1e-3, float64(least), 1e-12)
	require.InDelta(t, 20e-3, float64(most), 1e-12)
	_, most = Limits([]part.LED{red}, 80)
	require.InDelta(t, 10e-3, float64(most), 1e-12)
	green, _ := part.Find("green-3mm")
	least, _ = Limits([]part.LED{red, green}, 25)
	require.InDelta(t, 2e-3, float64(least), 1e-12, "of several kinds the one that asks for most")
}

// By hand: 20 cd/m² full on and 5 asked for: on for a quarter of the time; 0.15 for 0.75 %, 133:1. A step of 8 bits is 20/255 = 0.078,
// half of the night level; of a tenth of it, 0.015, there are 1333 in 20: 11 bits have 2047. With sheets that make it 5 full on there are 333: 9 bits.
func TestDimmers(t *testing.T) {
	l := []Lamps{{Panel: "a", Colour: "red", LEDs: 4, PerAmp: 20_000, Amps: 1e-3}}
	d := Dimmers(l, Wish{Levels: Levels{Night: 0.15, Full: 5, Bits: 8}})
	require.Len(t, d, 1)
	require.InDelta(t, 0.25, d[0].Full, 1e-12)
	require.InDelta(t, 0.0075, d[0].Night, 1e-12)
	require.InDelta(t, 133.33, d[0].Range, 0.01)
	require.InDelta(t, 20.0/255, d[0].Step, 1e-12)
	require.Equal(t, 11, d[0].Bits)
	l[0].PerAmp = 5_000
	require.Equal(t, 9, Dimmers(l, Wish{Levels: Levels{Night: 0.15, Full: 5, Bits: 8}})[0].Bits)
	require.Zero(t, Dimmers(l, Wish{Levels: Levels{Full: 5, Bits: 8}})[0].Bits, "no night level, no range")
	require.Empty(t, Dimmers(l, Wish{}))
}

func codes(l diag.List) []string {
	var out []string
	for _, f := range l {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

func film(float64) string { return "a film" }

func TestJudge(t *testing.T) {
	want := Wish{Levels: Levels{Night: 0.15, Full: 5, Bits: 8}}
	lit := Chosen(three()[:2], asking(5))
	require.Equal(t, []string{"note bright-dimmer", "warning bright-steps"}, codes(Judge(lit, lit, want, film)))
	want.Bits = 12
	l := Judge(lit, lit, want, film)
	require.Equal(t, []string{"note bright-dimmer"}, codes(l))
	require.Contains(t, l[0].Text, "at 1 mA, below which LEDs such as those of panel dense no longer look alike")

	// 8 bits, whose first step is above the night level.
	l = Judge(lit, lit, Wish{Levels: Levels{Night: 0.02, Full: 5, Bits: 8}}, film)
	require.Contains(t, l[1].Text, "more than the least level of 0.02")

	// A panel that names 8 mA, as if nobody had asked: 160 cd/m², seven times what would be chosen.
	all := three()[:2]
	all[0].Own = 8 * part.MilliAmp
	lit = Chosen(all, asking(5))
	require.Equal(t, []string{"warning bright-far-off", "warning bright-panels-apart", "note bright-dimmer", "warning bright-steps"}, codes(Judge(lit, lit, want, film)), "91 in the mean want 13 bits")
	all[0].Own, all[1].Own = 0.6*part.MilliAmp, 1.2*part.MilliAmp // 12 cd/m² each, near what would be chosen
	lit = Chosen(all, asking(5))
	require.Equal(t, []string{"note bright-own-current", "note bright-own-current", "note bright-dimmer"}, codes(Judge(lit, lit, want, film)))

	// More than the sparse panel can give.
	lit = Chosen(three()[:2], asking(300))
	l = Judge(lit, lit, Wish{Levels: Levels{Full: 300, Bits: 8}}, film)
	require.Equal(t, []string{"warning bright-too-dim"}, codes(l), "200 beside 300 is 1.5:1, which passes")
	require.Contains(t, l[0].Advice, "about 15 LEDs")
	lit = Chosen(three()[:2], asking(320))
	require.Contains(t, codes(Judge(lit, lit, Wish{Levels: Levels{Full: 320, Bits: 8}}, film)), "warning bright-panels-apart")

	// As asked for: nothing to say.
	lit = Chosen(three()[:2], asking(100))
	require.Empty(t, Judge(lit, lit, Wish{Levels: Levels{Full: 100, Night: 5, Bits: 8}}, film))
}

// What was not asked for is one note, whatever the number of panels.
func TestUntold(t *testing.T) {
	l := Untold(Chosen(three(), asking(100)))
	require.Equal(t, []string{"note bright-level"}, codes(l))
	require.Equal(t, "the lettering has 100 cd/m² full on by the LEDs of no group, which is for reading by day; 220 cd/m² by the LEDs of day, which is for reading by day", l[0].Text)
	apart := Chosen(three()[:2], asking(100))
	apart[1].Amps *= 2
	l = Untold(apart)
	require.Equal(t, "the lettering has 100 to 200 cd/m² full on, which is for reading by day (panel sparse has 2 times as much as panel dense)", l[0].Text)
	apart[1].Panel, apart[1].Colour = "dense", "white"
	l = Untold(apart)
	require.Equal(t, "the lettering has 100 to 200 cd/m² full on, which is for reading by day (its white LEDs give 2 times as much as its red ones)", l[0].Text)
	require.Empty(t, Untold(nil))
}

// sets are two behind the words of one panel, as three has their LEDs.
func sets() []Lamps {
	all := three()[1:]
	all[0].Panel, all[0].Group = "lamps", "night"
	all[1].Panel = "lamps"
	return all
}

// By hand: for 200 cd/m² by day the green LEDs want 2 mA, of which they get a tenth more; for 20 by night, less than anybody else gets,
// the red ones want 2 mA, which is more than the 1 mA that they match at. The dimmer of each spans its own levels.
func TestGroupLevels(t *testing.T) {
	want := Wish{Levels: Levels{Full: 200, Night: 50, Bits: 8}, Groups: []GroupLevels{{"night", Levels{Full: 20, Night: 0.5, Bits: 10}}}}
	lit := Chosen(sets(), want)
	require.InDelta(t, 2e-3, float64(lit[0].Amps), 1e-9)
	require.InDelta(t, 20, lit[0].Level(), 1e-9)
	require.InDelta(t, 220, lit[1].Level(), 1e-9)
	d := Dimmers(lit, want)
	require.Len(t, d, 2)
	require.InDelta(t, 40, d[0].Range, 1e-9)
	require.InDelta(t, 20.0/1023, d[0].Step, 1e-9)
	require.InDelta(t, 220.0/50, d[1].Range, 1e-9)
	require.Empty(t, Judge(lit, lit, want, film))

	// As dim as the red ones match at is 11 cd/m², ten thirds of what the night asks for; a film would dim the day too.
	want.Groups[0].Levels = Levels{Full: 3.3, Night: 0.3, Bits: 12}
	lit = Chosen(sets(), want)
	require.InDelta(t, 11, lit[0].Level(), 1e-9)
	l := Judge(lit, lit, want, film)
	require.Equal(t, []string{"note bright-dimmer"}, codes(l))
	require.Contains(t, l[0].Text, "the dimmer of group night is on for 30 % of the time at 3.3 cd/m², and for 2.7 % at 0.3")
	require.Contains(t, l[0].Advice, "would dim group day too")
	require.NotContains(t, l[0].Advice, "a film,")
	require.Equal(t, []string{"groups.night.bright.full", "groups.night.bright"}, l[0].Subject.Keys)

	// Nothing is asked of the day: its current is nobody's choice, nor its level anybody's matter.
	want.Levels = Levels{}
	lit = Chosen(sets(), want)
	require.Zero(t, lit[1].Amps)
	lit[1].Amps = 8 * part.MilliAmp
	require.Equal(t, []string{"note bright-dimmer"}, codes(Judge(lit, lit, want, film)))
	require.Len(t, Dimmers(lit, want), 1)
}

// LEDs of one colour have one light, so that their groups cannot ask for different levels.
func TestMixed(t *testing.T) {
	want := Wish{Levels: Levels{Full: 200, Bits: 8}, Groups: []GroupLevels{{"night", Levels{Full: 20, Bits: 8}}}}
	p := sets()[0]
	require.Empty(t, Mixed(p, []string{"night"}, want))
	require.Equal(t, []string{"warning bright-groups-mixed"}, codes(Mixed(p, []string{"night", ""}, want)))
	require.Empty(t, Mixed(p, []string{"night", ""}, asking(5)))
}
