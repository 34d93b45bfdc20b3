package part

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

func TestParse(t *testing.T) {
	num := func(f func(string) (float64, error)) func(string) (float64, error) { return f }
	volt := num(func(s string) (float64, error) { v, err := ParseVolt(s); return float64(v), err })
	milliamp := num(func(s string) (float64, error) { v, err := ParseAmp(s, MilliAmp); return float64(v), err })
	ampere := num(func(s string) (float64, error) { v, err := ParseAmp(s, Ampere); return float64(v), err })
	ohm := num(func(s string) (float64, error) { v, err := readOhm(s); return float64(v), err })
	watt := num(func(s string) (float64, error) { v, err := readWatt(s); return float64(v), err })
	length := num(func(s string) (float64, error) { v, err := readLength(s); return float64(v), err })
	wire := num(func(s string) (float64, error) { v, err := ParseWire(s); return v.MM2, err })
	for _, c := range []struct {
		parse func(string) (float64, error)
		text  string
		want  float64
	}{
		{volt, "12 V", 12}, {volt, "12", 12}, {volt, "500mV", 0.5}, {volt, " 11.1\u00a0V ", 11.1},
		{milliamp, "8 mA", 0.008}, {milliamp, "8", 0.008}, {milliamp, "0.008 A", 0.008}, {ampere, "2", 2}, {ampere, "0.6 A", 0.6}, {ampere, "600 mA", 0.6},
		{ohm, "4k7", 4700}, {ohm, "470R", 470}, {ohm, "470r", 470}, {ohm, "R22", 0.22}, {ohm, "0R22", 0.22}, {ohm, "4R7", 4.7}, {ohm, "1M", 1e6}, {ohm, "2M2", 2.2e6},
		{ohm, "470", 470}, {ohm, "470 ohm", 470}, {ohm, "470 Ω", 470}, {ohm, "470 \u2126", 470}, {ohm, "4.7k", 4700}, {ohm, "4.7 kohm", 4700}, {ohm, "10k", 10000},
		{watt, "1/4 W", 0.25}, {watt, "1/8", 0.125}, {watt, "250 mW", 0.25}, {watt, "0.5W", 0.5},
		{length, "250 mm", 250e6}, {length, "250", 250e6}, {length, "0.3 m", 300e6}, {length, "25 cm", 250e6}, {length, "1/2 in", 12.7e6}, {length, `2"`, 50.8e6},
		{ParsePercent, "5 %", 0.05}, {ParsePercent, "5%", 0.05}, {ParsePercent, "1", 0.01},
		{Candelas().Read, "250 mcd", 0.25}, {Degrees().Read, "30", 30}, {Degrees().Read, "30°", 30},
		{wire, "0.5 mm2", 0.5}, {wire, "0.5 mm²", 0.5}, {wire, "0.5mm^2", 0.5}, {wire, "0.75", 0.75}, {wire, "0.5 MM2", 0.5},
	} {
		got, err := c.parse(c.text)
		require.NoError(t, err, c.text)
		require.InEpsilon(t, c.want, got, 1e-12, c.text)
	}
	for _, s := range []string{"24 AWG", "AWG 24", "24awg", "awg24"} {
		w, err := ParseWire(s)
		require.NoError(t, err)
		require.Equal(t, "24 AWG", w.Text)
	}
	l, err := readLength("0.1 mm")
	require.NoError(t, err)
	require.Equal(t, 100*geom.Micrometre, l)
}

func TestParseWindow(t *testing.T) {
	for s, want := range map[string]Window{
		"12 V":                {12, 12, 12},
		"12":                  {12, 12, 12},
		"11.1 V .. 12.6 V":    {11.1, 11.85, 12.6},
		"11.1..12.6":          {11.1, 11.85, 12.6},
		"11.1 … 12.6 V":       {11.1, 11.85, 12.6},
		"10.5 .. 12 .. 14.8V": {10.5, 12, 14.8},
		"12 V +- 5 %":         {11.4, 12, 12.6},
		"12 V ± 5%":           {11.4, 12, 12.6},
	} {
		got, err := ParseWindow(s)
		require.NoError(t, err, s)
		require.InDelta(t, float64(want.Min), float64(got.Min), 1e-9, s)
		require.InDelta(t, float64(want.Nominal), float64(got.Nominal), 1e-9, s)
		require.InDelta(t, float64(want.Max), float64(got.Max), 1e-9, s)
	}
	for _, s := range []string{"", "..", "12 ..", "12.6 V .. 11.1 V", "1 .. 2 .. 3 .. 4", "12 V +- 100 %", "12 W", "twelve"} {
		_, err := ParseWindow(s)
		require.Error(t, err, s)
	}
}

// An error says what is wrong in the user's words and shows one that works, which then works.
func TestErrorsTeach(t *testing.T) {
	parsers := map[string]func(string) error{
		"volt":    func(s string) error { _, err := ParseVolt(s); return err },
		"amp":     func(s string) error { _, err := ParseAmp(s, MilliAmp); return err },
		"ohm":     func(s string) error { _, err := readOhm(s); return err },
		"watt":    func(s string) error { _, err := readWatt(s); return err },
		"length":  func(s string) error { _, err := readLength(s); return err },
		"percent": func(s string) error { _, err := ParsePercent(s); return err },
		"wire":    func(s string) error { _, err := ParseWire(s); return err },
		"window":  func(s string) error { _, err := ParseWindow(s); return err },
		"candela": func(s string) error { _, err := Candelas().Read(s); return err },
		"degrees": func(s string) error { _, err := Degrees().Read(s); return err },
	}
	for name, parse := range parsers {
		for _, s := range []string{"", "  ", "x", "-1", "1 parsec", "1,5", "1/0", "1e999", "..", "1.2.3", "--", "NaN", "Inf", "99999999999999999999", "k", "R", "AWG"} {
			err := parse(s)
			require.Error(t, err, "%s %q", name, s)
			_, example, ok := strings.Cut(err.Error(), "write for example ")
			require.True(t, ok, "%s: %v", name, err)
			for _, sep := range []string{", or ", " or ", ", "} {
				example, _, _ = strings.Cut(example, sep)
			}
			require.NoError(t, parse(example), "%s: %v", name, err)
		}
	}
	_, err := ParseVolt("12 A")
	require.EqualError(t, err, `"12 A" is not a voltage: the unit "A" does not fit; write for example 12 V`)
}

func TestCodes(t *testing.T) {
	for r, want := range map[Ohm]string{470: "470R", 4700: "4k7", 0.22: "0R22", 1e6: "1M", 2.2e6: "2M2", 10: "10R", 1300: "1k3", 97.6: "97R6", 100e3: "100k", 2.2: "2R2", 1.5e6: "1M5", 10_200: "10k2"} {
		require.Equal(t, want, r.Code())
		back, err := readOhm(want)
		require.NoError(t, err)
		require.InEpsilon(t, float64(r), float64(back), 1e-12)
	}
	require.Equal(t, "7.68 mA", Amp(0.00768).String())
	require.Equal(t, "2 A", Amp(2).String())
	require.Equal(t, "11.85 V", Volt(11.85).String())
	require.Equal(t, "62.5 mW", Watt(0.0625).String())
}

func FuzzQuantity(f *testing.F) {
	for _, s := range []string{"12 V", "11.1 V .. 12.6 V", "8 mA", "0.5 mm2", "24 AWG", "4k7", "1/4 W", "12 ± 5 %", "R22", "µ²", "1e9"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		good := func(x float64, err error) {
			if err == nil && (x < 0 || math.IsNaN(x) || math.IsInf(x, 0)) {
				t.Fatalf("%q gives %g", s, x)
			}
		}
		v, err := ParseVolt(s)
		good(float64(v), err)
		a, err := ParseAmp(s, MilliAmp)
		good(float64(a), err)
		o, err := readOhm(s)
		good(float64(o), err)
		l, err := readLength(s)
		good(float64(l), err)
		p, err := readWatt(s)
		good(float64(p), err)
		w, err := ParseWindow(s)
		good(float64(w.Min), err)
		if err == nil && (w.Min > w.Nominal || w.Nominal > w.Max) {
			t.Fatalf("%q gives %v", s, w)
		}
		c, err := ParseWire(s)
		good(float64(c.Ohms), err)
	})
}

func readOhm(s string) (Ohm, error) {
	v, err := Ohms().Read(s)
	return Ohm(v), err
}

func readWatt(s string) (Watt, error) {
	v, err := Watts().Read(s)
	return Watt(v), err
}

func readLength(s string) (geom.Nm, error) {
	v, err := Lengths().Read(s)
	return geom.MM(v), err
}

func TestRounded(t *testing.T) {
	for _, c := range []struct {
		i    Amp
		want string
	}{{0.46008, "460 mA"}, {0.03843, "38.4 mA"}, {1.06499, "1.06 A"}, {0, "0 mA"}, {-0.0123456, "-12.3 mA"}, {12.345, "12.3 A"}} {
		require.Equal(t, c.want, c.i.Rounded().String())
	}
	require.Equal(t, "11.85 V", Volt(11.84731).Rounded().String())
	require.Equal(t, "2.083 V", Volt(2.08349).Rounded().String())
}
