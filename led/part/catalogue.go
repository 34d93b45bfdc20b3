package part

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/goccy/go-yaml"
)

//go:embed catalogue.yaml
var catalogueYAML []byte

// catalogueFile is catalogue.yaml: colours and packages, every pair of which is a kind.
type catalogueFile struct {
	Colours []struct {
		Colour  string
		Curve   [][2]string
		VfMin   string `yaml:"vf_min"`
		VfMax   string `yaml:"vf_max"`
		Tempco  float64
		Matches string
		Source  string
	}
	Intensity struct {
		Least  float64
		Most   float64
		Lot    float64
		Source string
	}
	Packages []struct {
		Package   string
		Footprint string
		HoleMM    float64 `yaml:"hole_mm"`
		IMax      string  `yaml:"i_max"`
		HalfAngle float64 `yaml:"half_angle"`
		MCD       map[string]float64
		Source    string
	}
}

// catalogue is read once; callers get copies.
var catalogue = sync.OnceValue(func() []LED {
	kinds, err := readCatalogue(catalogueYAML)
	if err != nil {
		panic("part: catalogue.yaml: " + err.Error())
	}
	return kinds
})

// Kinds returns the catalogue of LED kinds: each colour in each package, in the file's order. The values are typical ones; see
// each kind's Source, and replace them by the data sheet's where it matters.
func Kinds() []LED {
	out := slices.Clone(catalogue())
	for i := range out {
		out[i].Curve = slices.Clone(out[i].Curve)
	}
	return out
}

// Find returns the catalogue's kind of that name; case does not matter.
func Find(name string) (LED, bool) {
	for _, k := range catalogue() {
		if strings.EqualFold(k.Name, name) {
			k.Curve = slices.Clone(k.Curve)
			return k, true
		}
	}
	return LED{}, false
}

func readCatalogue(src []byte) ([]LED, error) {
	var f catalogueFile
	if err := yaml.UnmarshalWithOptions(src, &f, yaml.Strict()); err != nil {
		return nil, err
	}
	var out []LED
	for _, p := range f.Packages {
		imax, err := ParseAmp(p.IMax, MilliAmp)
		if err != nil {
			return nil, err
		}
		for _, c := range f.Colours {
			rgb, ok := Shown(c.Colour)
			if !ok {
				return nil, fmt.Errorf("no colour is called %q", c.Colour)
			}
			k := LED{
				Name: c.Colour + "-" + p.Package, Colour: c.Colour, RGB: rgb, Package: p.Footprint, HoleMM: p.HoleMM,
				Tempco: c.Tempco, IMax: imax, HalfAngle: p.HalfAngle, Candela: p.MCD[c.Colour] / milli,
				CandelaMin: p.MCD[c.Colour] / milli * f.Intensity.Least, CandelaMax: p.MCD[c.Colour] / milli * f.Intensity.Most, Lot: f.Intensity.Lot,
				Source: c.Source + "; " + p.Source + "; " + f.Intensity.Source,
			}
			if k.Matches, err = ParseAmp(c.Matches, MilliAmp); err != nil {
				return nil, err
			}
			if k.VfMin, err = ParseVolt(c.VfMin); err != nil {
				return nil, err
			}
			if k.VfMax, err = ParseVolt(c.VfMax); err != nil {
				return nil, err
			}
			for _, iv := range c.Curve {
				var pt VfPoint
				if pt.I, err = ParseAmp(iv[0], MilliAmp); err != nil {
					return nil, err
				}
				if pt.V, err = ParseVolt(iv[1]); err != nil {
					return nil, err
				}
				k.Curve = append(k.Curve, pt)
			}
			if err := k.Check(); err != nil {
				return nil, err
			}
			out = append(out, k)
		}
	}
	return out, nil
}

// What a kind may have. The bounds are wide: they find a slip of the unit, not an unusual part.
const (
	leastVf    = 0.1  // V
	mostVf     = 100  // V; chips in series in one package reach tens of volts
	mostAmps   = 100  // A
	mostTempco = 0.02 // V/K, either way
	mostLot    = 100
)

// Check returns what is impossible about the kind's electrical values, or nil.
func (k LED) Check() error {
	bad := func(format string, args ...any) error {
		return fmt.Errorf("LED kind %q: %s", k.Name, fmt.Sprintf(format, args...))
	}
	if k.Name == "" {
		return bad("it has no name")
	}
	if len(k.Curve) == 0 {
		return bad("it needs at least one forward voltage, for example 20 mA: 2.0 V")
	}
	for i, p := range k.Curve {
		// Written so that NaN fails too.
		if !(p.I > 0 && p.I <= mostAmps) || !(p.V > leastVf && p.V <= mostVf) {
			return bad("forward voltage %v at %v cannot be; give volts between %v and %v at a current above 0", p.V, p.I, leastVf, mostVf)
		}
		for _, q := range k.Curve[:i] {
			if (p.I > q.I) != (p.V > q.V) || p.I == q.I {
				return bad("its forward voltage must rise with its current: %v at %v, but %v at %v", q.V, q.I, p.V, p.I)
			}
		}
	}
	v := k.Curve[0].V
	if !(k.VfMin > 0 && k.VfMin <= v && k.VfMax >= v && k.VfMax <= mostVf) {
		return bad("at %v its forward voltage must lie between its limits: %v is not within %v .. %v", k.Curve[0].I, v, k.VfMin, k.VfMax)
	}
	if !(k.Tempco >= -mostTempco && k.Tempco <= mostTempco) {
		return bad("its forward voltage cannot change by %g V per degree; %g is usual", k.Tempco, UsualTempco)
	}
	if k.Candela > 0 && (k.CandelaMin > k.Candela || k.CandelaMax > 0 && k.CandelaMax < k.Candela) {
		return bad("its intensity must lie between its limits: %g cd is not within %g .. %g cd", k.Candela, k.CandelaMin, k.CandelaMax)
	}
	if k.Lot != 0 && !(k.Lot >= 1 && k.Lot <= mostLot) {
		return bad("within one lot the brightest LED is from 1 to %d times as bright as the dimmest, not %g times", mostLot, k.Lot)
	}
	if !(k.IMax > 0 && k.IMax <= mostAmps) {
		return bad("its greatest current must be above 0, for example 25 mA")
	}
	return nil
}

// What an indicator lamp has of which nothing else is told (common practice).
const (
	UsualPackage   = "radial-3mm"
	UsualHoleMM    = 3             // mm
	UsualHalfAngle = 30            // degrees
	UsualCurrent   = 20 * MilliAmp // at which data sheets give the forward voltage; the greatest current too
	UsualTempco    = -0.002        // V/K, of the forward voltage

	// Of the intensity: any lot may be half as bright as data sheets' typical value or twice as bright, the brightest LED of one
	// lot 1.6 times as bright as the dimmest, and LEDs look alike down to a tenth of the current that they are sorted at
	// (common practice).
	lowCandela   = 0.5
	highCandela  = 2
	UsualLot     = 1.6
	usualMatches = 0.1

	// Common data sheets let the forward voltage spread by 10 % either way.
	lowVf  = 0.9
	highVf = 1.1
)

// HoleFor returns the hole in the LED sheet that goes with a package, mm.
func HoleFor(footprint string) float64 {
	for _, k := range catalogue() {
		if k.Package == footprint {
			return k.HoleMM
		}
	}
	return UsualHoleMM
}

// UsualRGB is how pictures show a lamp of no colour.
func UsualRGB() [3]uint8 { return [3]uint8{255, 255, 255} }

// Bounds returns the limits of the forward voltage at the first point of the curve: as told, else 10 % either side.
func (k LED) Bounds() (least, greatest Volt) {
	least, greatest = k.VfMin, k.VfMax
	if least == 0 {
		least = k.Curve[0].V * lowVf
	}
	if greatest == 0 {
		greatest = k.Curve[0].V * highVf
	}
	return least, greatest
}

// Completed returns the kind with what was not told filled in: limits of the forward voltage 10 % either side, a greatest
// current of 20 mA, a half angle of 30°, a 3 mm body and the hole that goes with the body; how LEDs differ in intensity, and from which current on they look alike.
func (k LED) Completed() LED {
	k.Curve = slices.Clone(k.Curve)
	if len(k.Curve) > 0 {
		k.VfMin, k.VfMax = k.Bounds()
	}
	if k.IMax == 0 {
		k.IMax = UsualCurrent
	}
	if k.Matches == 0 && len(k.Curve) > 0 {
		k.Matches = Amp(float64(k.Curve[0].I) * usualMatches)
	}
	if k.Lot == 0 {
		k.Lot = UsualLot
	}
	if k.CandelaMin == 0 {
		k.CandelaMin = k.Candela * lowCandela
	}
	if k.CandelaMax == 0 {
		k.CandelaMax = k.Candela * highCandela
	}
	if k.HalfAngle == 0 {
		k.HalfAngle = UsualHalfAngle
	}
	if k.Package == "" {
		k.Package = UsualPackage
	}
	if k.HoleMM == 0 {
		k.HoleMM = HoleFor(k.Package)
	}
	if k.RGB == [3]uint8{} {
		k.RGB = UsualRGB()
	}
	return k
}
