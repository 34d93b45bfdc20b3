package scene

import (
	"strconv"

	"lampblack/panel/geom"
)

// Decimal writes a length in mm, rounded to step (a power of ten up to a millimetre) half away from zero, without trailing
// zeros. Exact.
func Decimal(v, step geom.Nm) string { return string(AppendDecimal(nil, v, step)) }

// AppendDecimal appends what Decimal writes: pages are mostly numbers, and need not make a string of each.
func AppendDecimal(to []byte, v, step geom.Nm) []byte {
	v = Rounded(v, step)
	if v < 0 {
		to, v = append(to, '-'), -v
	}
	to = strconv.AppendInt(to, int64(v/geom.Millimetre), 10)
	frac := v % geom.Millimetre
	if frac == 0 {
		return to
	}
	to = append(to, '.')
	for unit := geom.Millimetre / 10; frac > 0; unit /= 10 {
		to = append(to, byte('0'+frac/unit))
		frac %= unit
	}
	return to
}

// Rounded returns the multiple of step that is nearest to a length, halves away from zero.
func Rounded(v, step geom.Nm) geom.Nm {
	if v < 0 {
		return -((-v + step/2) / step * step)
	}
	return (v + step/2) / step * step
}
