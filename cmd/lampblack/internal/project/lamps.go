package project

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// usualHoles says which hole goes with which package.
func usualHoles() string {
	var out []string
	for _, p := range ledPackages() {
		out = append(out, geom.MM(part.HoleFor(p)).String())
	}
	return strings.Join(out, ", ")
}

// lamp is a kind of LED of the user's own, as the file has it.
type lamp struct {
	part.LED
	forward part.Volt
	at      part.Amp
}

// newLamp is a kind of which nothing is told: a lamp of 3 mm, 20 mA being what data sheets give the forward voltage at.
func newLamp() lamp {
	k := part.LED{Tempco: part.UsualTempco, Source: "the project file"}.Completed()
	k.IMax = 0 // it must be told
	return lamp{LED: k, at: part.UsualCurrent}
}

func ledPackages() []string { return []string{"radial-3mm", "radial-5mm", "plcc2", "led-0805"} }

func lampKeys() mapping[lamp] {
	volts := quantity[part.Volt]{as: part.Volts(), per: 1, most: 20, above: true, unit: "V", say: part.Volt.String}
	return mapping[lamp]{keys: []key[lamp]{
		{name: "name", is: bind(fileName(), func(k *lamp) *string { return &k.Name }), need: true, help: "by which keys `led` call it", usual: "needed", eg: []string{"night-red"}},
		{name: "colour", is: adding(choice{words: colourNames()}, func(k *lamp, c string) {
			k.Colour = c
			k.RGB, _ = part.Shown(c) // it is one of them
		}),
			help: "`" + strings.Join(colourNames(), "`, `") + "`", usual: "white in pictures", eg: []string{"red"}},
		{name: "package", is: bind(choice{words: ledPackages()}, func(k *lamp) *string { return &k.Package }),
			help: "`" + strings.Join(ledPackages(), "`, `") + "`", usual: "`radial-3mm`", eg: []string{"radial-3mm"}},
		{name: "hole", is: adding(lengths(geom.MM(0.5), 20*geom.Millimetre), func(k *lamp, d geom.Nm) { k.HoleMM = d.MM() }),
			help: "in the LED sheet", usual: "what goes with the package: " + usualHoles(), eg: []string{"3 mm"}},
		{name: "forward", is: bind(volts, func(k *lamp) *part.Volt { return &k.forward }), need: true, help: "typical forward voltage", usual: "needed", eg: []string{"2.1 V"}},
		{name: "at", is: bind(currents(mostLED, part.MilliAmp), func(k *lamp) *part.Amp { return &k.at }),
			help: "the current of `forward`, its bounds and `intensity`", usual: "20 mA", eg: []string{"20 mA"}},
		{name: "forward_min", is: bind(volts, func(k *lamp) *part.Volt { return &k.VfMin }), help: "least forward voltage", usual: "10 % less", eg: []string{"1.9 V"}},
		{name: "forward_max", is: bind(volts, func(k *lamp) *part.Volt { return &k.VfMax }), help: "greatest forward voltage", usual: "10 % more", eg: []string{"2.4 V"}},
		{name: "max_current", is: bind(currents(mostLED, part.MilliAmp), func(k *lamp) *part.Amp { return &k.IMax }), need: true,
			help: "that it survives", usual: "needed", eg: []string{"25 mA"}},
		{name: "derated_from", is: adding(temperatures(single), func(k *lamp, c led.Celsius) { k.DeratedFrom = c.Nominal }),
			help: "ambient temperature from which on it survives less", usual: "50 C", eg: []string{"25 C"}},
		{name: "derated_by", is: bind(currents(mostLED, part.MilliAmp), func(k *lamp) *part.Amp { return &k.DeratedBy }),
			help: "how much less for each degree above", usual: "so much that nothing is left at 110 C", eg: []string{"0.4 mA"}},
		{name: "half_angle", is: bind(quantity[float64]{as: part.Degrees(), per: 1, most: 89, above: true, unit: "°", say: degrees},
			func(k *lamp) *float64 { return &k.HalfAngle }), help: "off the axis where it is half as bright", usual: "30°", eg: []string{"15", "15 deg"}},
		{name: "intensity", is: bind(intensity(), func(k *lamp) *float64 { return &k.Candela }), help: "on the axis; beside a `beam`, where that is 1", usual: "not told: light is then compared, not measured", eg: []string{"800 mcd"}},
		{name: "intensity_min", is: bind(intensity(), func(k *lamp) *float64 { return &k.CandelaMin }),
			help: "least intensity that the data sheet allows any lot", usual: "half of `intensity`", eg: []string{"400 mcd"}},
		{name: "intensity_max", is: bind(intensity(), func(k *lamp) *float64 { return &k.CandelaMax }),
			help: "greatest intensity of any lot", usual: "twice `intensity`", eg: []string{"1600 mcd"}},
		{name: "lot", is: bind(lotSpread(), func(k *lamp) *float64 { return &k.Lot }),
			help: "within one lot, or bin, how many times as bright as the dimmest LED the brightest is", usual: "1.6", eg: []string{"1.6"}},
		{name: "matches_from", is: bind(currents(mostLED, part.MilliAmp), func(k *lamp) *part.Amp { return &k.Matches }),
			help: "least current at which LEDs of one lot still look alike; `bright` asks for no less", usual: "a tenth of `at`", eg: []string{"1 mA"}},
		{name: "beam", is: bind(beam{}, func(k *lamp) *[]part.BeamPoint { return &k.Beam }),
			help: "in place of `half_angle`: list of pairs, degrees off the axis and the share of the light there, at most 1", usual: "none", eg: []string{"[[0, 1], [20, 0.8], [40, 0.2]]"}},
		{name: "source", is: bind(line(), func(k *lamp) *string { return &k.Source }), help: "where its values are from, for whoever reads the project file", usual: "not told", eg: []string{"data sheet of 2025"}},
	}, whole: func(r *reader, n ast.Node, at spot, k *lamp) {
		r.lampSense(at, k)
		if k.forward == 0 {
			return // told
		}
		k.Curve = []part.VfPoint{{I: k.at, V: k.forward}}
		k.VfMin, k.VfMax = k.Bounds()
		if k.VfMin > k.forward || k.VfMax < k.forward {
			r.add(n, "project-impossible-value", "%s: forward must lie between forward_min and forward_max", r.say(at.path)).
				Fix("check the three against the data sheet; all hold at the current of at")
		}
	}}
}

// intensity is a luminous intensity.
func intensity() quantity[float64] {
	return quantity[float64]{as: part.Candelas(), per: 1, most: 1000, above: true, unit: "cd", say: candelas}
}

// lotSpread is how many times as bright one LED of a lot may be as another.
func lotSpread() quantity[float64] {
	return quantity[float64]{as: part.Numbers(), per: 1, least: 1, most: 100, say: func(v float64) string { return fmt.Sprint(v) }}
}

// lampSense tells what contradicts itself in a kind of LED. It is no matter of the forward voltage's own bounds.
func (r *reader) lampSense(at spot, k *lamp) {
	where := func(key string) string { return join(at.path, key) }
	if !r.has(where("hole")) {
		k.HoleMM = part.HoleFor(k.Package)
	}
	if k.IMax > 0 && k.at > k.IMax {
		key, text := "at", "%s: forward is said to hold at %v, more than the LED survives, %v"
		if !r.has(where(key)) {
			key, text = "max_current", "%s: without at, forward is taken to hold at %v, and max_current says that the LED survives %v"
		}
		f := r.diags.Add(diag.Error, "project-impossible-value", text, r.say(at.path), k.at, k.IMax)
		f.Place = r.places[where(key)]
		f.Fix("write at, the current at which the data sheet gives the forward voltage, and max_current, the most that it allows for long")
	}
	r.intensitySense(at, k)
	if r.has(where("beam")) && r.has(where("half_angle")) {
		f := r.diags.Add(diag.Error, "project-two-beams", "%s: both half_angle and beam are given, and a beam tells where the LED is half as bright", r.say(at.path))
		f.Place = r.places[where("half_angle")]
		f.Fix("keep one of the two").By("keep beam", diag.Remove, where("half_angle"), nil).By("keep half_angle", diag.Remove, where("beam"), nil)
	}
}

// beam is a data sheet's radiation diagram: pairs of degrees off the axis and the share of the intensity there.
type beam struct{ leaf }

// mostBeam bounds the points of a beam.
const mostBeam = 200

func (beam) pairs() list[[]float64] {
	return list[[]float64]{most: mostBeam, of: list[float64]{of: quantity[float64]{as: part.Degrees(), per: 1, most: 90, say: degrees}}}
}

func (b beam) read(r *reader, n ast.Node, at spot, to *[]part.BeamPoint) bool {
	var pairs [][]float64
	if !b.pairs().read(r, n, at, &pairs) {
		return false
	}
	var out []part.BeamPoint
	for _, v := range pairs {
		text, advice := "", at.advice()
		switch {
		case len(v) != 2 || len(out) > 0 && v[0] <= out[len(out)-1].Degrees:
			text = "pairs of degrees, rising, and the share of the light there"
		case v[1] > 1:
			text = fmt.Sprintf("a share of %v at %v° is more than all of the light", v[1], v[0])
			advice = "divide all shares by the greatest: 1 is where the LED is brightest, and intensity is what it gives there"
		default:
			out = append(out, part.BeamPoint{Degrees: v[0], Relative: v[1]})
			continue
		}
		f := r.add(n, "project-wrong-value", "%s: %s", r.say(at.path), text).Fix("%s", advice)
		f.Place = r.entryPlace(at.path, len(out))
		return false
	}
	if len(out) < 2 {
		r.add(n, "project-wrong-value", "%s wants two points or more", r.say(at.path)).Fix("%s", at.advice())
		return false
	}
	*to = out
	return true
}

// intensitySense tells what contradicts itself in how a kind's LEDs differ in intensity.
func (r *reader) intensitySense(at spot, k *lamp) {
	wrong := func(key, why string, args ...any) *diag.Finding {
		f := r.diags.Add(diag.Error, "project-impossible-value", "%s: %s %s", r.say(at.path), key, fmt.Sprintf(why, args...))
		f.Place = r.places[join(at.path, key)]
		return f.Fix("intensity is the typical value, between its least and its greatest, all at the current of at")
	}
	for _, one := range []struct {
		key    string
		v      float64
		beyond bool
		side   string
	}{
		{"intensity_min", k.CandelaMin, k.CandelaMin > k.Candela, "above"},
		{"intensity_max", k.CandelaMax, k.CandelaMax < k.Candela, "below"},
	} {
		switch {
		case !r.has(join(at.path, one.key)) || one.v == 0:
		case k.Candela == 0:
			wrong(one.key, "is told, but no intensity")
		case one.beyond:
			wrong(one.key, "is %s intensity", one.side)
		}
	}
	if k.IMax > 0 && k.Matches > k.IMax {
		wrong("matches_from", "is %v, more than the LED survives, %v", k.Matches, k.IMax).
			Fix("write the least current at which LEDs of one lot still look alike, about a tenth of at")
	}
}
