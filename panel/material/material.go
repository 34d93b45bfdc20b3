// Package material knows what panels are made of as one buys it: how thick a sheet is that is called so, how sheets and boards grow,
// and how far they bow.
//
// Thicknesses are Ranges: a sheet is as thick as its kind of making allows, until somebody measures it. Total adds them up, for the
// worst case, where all are off the same way, and likely, where their deviations add by the root of their squares. Growth is by
// temperature and moisture, from what holds where a panel is put together.
package material

import (
	"math"

	"lampblack/panel/geom"
)

// Kind is how a sheet is made, which tells how far it may be off its nominal thickness.
type Kind uint8

const (
	Cast     Kind = iota // acrylic, between plates of glass
	Extruded             // acrylic, through a die
	Metal                // rolled
)

// Kinds returns the names of the kinds, in their order.
func Kinds() []string { return []string{"cast", "extruded", "metal"} }

func (k Kind) String() string { return Kinds()[k] }

// Acrylic reports whether sheets of the kind are acrylic.
func (k Kind) Acrylic() bool { return k != Metal }

// off is how far a sheet of nominal thickness t may be off it, either way.
//
// Cast: ±(0.4 mm + 0.1 t), ISO 7823-1; extruded: ±3 to 5 %, ISO 7823-2, of which the wider counts (a sheet maker citing both: the
// project's list of published check values, section 22). Metal: ±5 %, and at least 0.1 mm (common practice).
func (k Kind) off(t geom.Nm) geom.Nm {
	switch k {
	case Cast:
		return 400*geom.Micrometre + t/10
	case Extruded:
		return t / 20
	}
	return max(100*geom.Micrometre, t/20)
}

// Range is what a length may come to. The zero Range is of something that is not there.
type Range struct{ Least, Nominal, Most geom.Nm }

// Exactly returns the range of a length that is known.
func Exactly(d geom.Nm) Range { return Range{d, d, d} }

// Within returns the range of a length that is off by at most so much.
func Within(d, off geom.Nm) Range { return Range{d - off, d, d + off} }

// Thickness returns the range of a sheet of the kind that is called so thick.
func (k Kind) Thickness(t geom.Nm) Range {
	if t <= 0 {
		return Range{}
	}
	r := Within(t, k.off(t))
	r.Least = max(r.Least, 0)
	return r
}

// callipers is how well a thickness is measured by hand, in one place of a sheet (common practice).
const callipers = 50 * geom.Micrometre

// Measured returns the range of a thickness that somebody measured.
func Measured(t geom.Nm) Range { return Range{max(t-callipers, 0), t, t + callipers} }

// Thin and Thick return by how much less and more than nominal it may be.
func (r Range) Thin() geom.Nm  { return r.Nominal - r.Least }
func (r Range) Thick() geom.Nm { return r.Most - r.Nominal }

// Known reports whether the length is known as well as one measures by hand.
func (r Range) Known() bool { return max(r.Thin(), r.Thick()) <= callipers }

// String returns the range as people write it: "3 mm", or "2.3 to 3.7 mm".
func (r Range) String() string {
	if r.Least == r.Most {
		return r.Nominal.String()
	}
	least := r.Least.String()
	return least[:len(least)-len(" mm")] + " to " + r.Most.String()
}

// Total returns the sum of the ranges: worst, all off the same way, and likely, by the root of the squares of how far each is off.
func Total(all ...Range) (worst, likely Range) {
	var thin, thick float64
	for _, r := range all {
		worst.Least, worst.Nominal, worst.Most = worst.Least+r.Least, worst.Nominal+r.Nominal, worst.Most+r.Most
		a, b := float64(r.Thin()), float64(r.Thick())
		thin, thick = thin+float64(a*a), thick+float64(b*b)
	}
	n := worst.Nominal
	return worst, Range{n - geom.Nm(math.Round(math.Sqrt(thin))), n, n + geom.Nm(math.Round(math.Sqrt(thick)))}
}

// Negative returns the range of what is as long the other way.
func (r Range) Negative() Range { return Range{-r.Most, -r.Nominal, -r.Least} }

// Sheet is a sheet of a panel: what it is sold as, and what it comes out as.
type Sheet struct {
	Sold     geom.Nm // 0: there is none
	Kind     Kind
	Range         // of its thickness
	Measured bool // by somebody
}

// Bought returns a sheet as it is sold, measured by nobody.
func Bought(k Kind, t geom.Nm) Sheet { return Sheet{Sold: t, Kind: k, Range: k.Thickness(t)} }

// Sheets are those of a panel, from the front.
type Sheets struct{ Face, Diffuser, LED, Plate Sheet }

// Measured reports whether all sheets that there are were measured.
func (s Sheets) Measured() bool {
	for _, one := range []Sheet{s.Face, s.Diffuser, s.LED, s.Plate} {
		if one.Sold > 0 && !one.Measured {
			return false
		}
	}
	return true
}
