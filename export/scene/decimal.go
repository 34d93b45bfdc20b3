package scene

import (
	"fmt"
	"strconv"
	"strings"

	"lampblack/panel/geom"
)

// Decimal writes a length in mm, rounded to step (a power of ten up to a millimetre) half away from zero, without trailing
// zeros. Exact.
func Decimal(v, step geom.Nm) string {
	v = Rounded(v, step)
	if v == 0 {
		return "0"
	}
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	whole, frac := v/geom.Millimetre, v%geom.Millimetre
	s := sign + strconv.FormatInt(int64(whole), 10)
	if frac != 0 {
		s += "." + strings.TrimRight(fmt.Sprintf("%06d", frac), "0")
	}
	return s
}

// Rounded returns the multiple of step that is nearest to a length, halves away from zero.
func Rounded(v, step geom.Nm) geom.Nm {
	if v < 0 {
		return -((-v + step/2) / step * step)
	}
	return (v + step/2) / step * step
}
