package material

import (
	"math"

	"lampblack/panel/geom"
)

// Expansion of lengths by temperature, each kelvin. Acrylic: 0.072 mm for each metre (two sheet makers); boards: 15 millionths, along
// the glass, from memory (both: the project's list of published check values, section 22). Metal is taken to be aluminium, 23
// millionths, from memory.
const (
	acrylicPerKelvin = 72e-6
	boardPerKelvin   = 15e-6
	metalPerKelvin   = 23e-6
)

// Climate is where a panel is put together and what it then has to stand: degrees Celsius, and relative humidity as a share.
type Climate struct {
	Built, Coldest, Warmest float64
	Damp, Driest, Wettest   float64 // Damp: as built
}

// UsualClimate is a workshop, and then a room that is heated at times: 0 to 40 °C, and from a dry winter's air to a damp summer's
// (common practice).
func UsualClimate() Climate { return Climate{20, 0, 40, 0.5, 0.3, 0.8} }

// moist is how much longer acrylic is than when dry, by the humidity that it has come to rest at: 0.2, 0.3 and 0.6 % at 60, 80 and
// 100 % (two sheet makers: the project's list of published check values, section 22), and in between along straight lines.
func moist(humidity float64) float64 {
	table := [...][2]float64{{0, 0}, {0.6, 0.002}, {0.8, 0.003}, {1, 0.006}}
	for i := 1; i < len(table); i++ {
		a, b := table[i-1], table[i]
		if humidity <= b[0] {
			return a[1] + float64((humidity-a[0])/(b[0]-a[0])*(b[1]-a[1]))
		}
	}
	return table[len(table)-1][1]
}

// Strain is how much longer something is, as a share, at its shortest and at its longest.
type Strain struct{ Least, Most float64 }

// BoardStrain returns how boards grow.
func BoardStrain(c Climate) Strain {
	return Strain{float64(boardPerKelvin * (c.Coldest - c.Built)), float64(boardPerKelvin * (c.Warmest - c.Built))}
}

// Strain returns how sheets of the kind grow.
func (k Kind) Strain(c Climate) Strain {
	if !k.Acrylic() {
		return Strain{float64(metalPerKelvin * (c.Coldest - c.Built)), float64(metalPerKelvin * (c.Warmest - c.Built))}
	}
	return Strain{
		float64(acrylicPerKelvin*(c.Coldest-c.Built)) + moist(c.Driest) - moist(c.Damp),
		float64(acrylicPerKelvin*(c.Warmest-c.Built)) + moist(c.Wettest) - moist(c.Damp),
	}
}

// Beyond returns how much more s grows than t, where both are as cold and as warm.
func (s Strain) Beyond(t Strain) Strain { return Strain{s.Least - t.Least, s.Most - t.Most} }

// Of returns the most that a length changes by, either way.
func (s Strain) Of(d geom.Nm) geom.Nm {
	return geom.Nm(math.Ceil(float64(max(math.Abs(s.Least), math.Abs(s.Most)) * float64(d))))
}

// BoardBow returns how far a board may be out of flat between two places so far apart: 0.75 % with surface-mount parts, else 1.5 %
// (IPC-6012B 3.4.3, as quoted in the project's list of published check values, section 22).
func BoardBow(span geom.Nm, surfaceParts bool) geom.Nm {
	if surfaceParts {
		return span * 3 / 400
	}
	return span * 3 / 200
}

// SheetBow returns how far a sheet of acrylic so thick bows between two supports so far apart while one of its faces is drier than
// the other, as in a room that is heated behind a damp one: strain e across the thickness t bends it to a radius of t/e, whose arc
// over a chord L is L² e/(8 t) high. The faces are taken to be a step of the makers' table apart, 60 and 80 %.
func SheetBow(span, thick geom.Nm) geom.Nm {
	if thick <= 0 {
		return 0
	}
	e := moist(0.8) - moist(0.6)
	return geom.Nm(math.Round(float64(float64(span)*float64(span)) * e / float64(8*thick)))
}
