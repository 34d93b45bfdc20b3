package part

import (
	"math"

	"lampblack/panel/geom"
)

// The conductor formula of IPC-2221 for outer layers: I = k·ΔT^0.44·A^0.725 with A in square mils and ΔT in kelvin
// (references.md section 3; its successor IPC-2152 gives charts only, and IPC-2221 asks for more copper).
const (
	ipcOuter = 0.048
	ipcRise  = 0.44
	ipcArea  = 0.725
	milMM    = 0.0254
)

// TrackWidth returns the width of an outer conductor of the given thickness that current i heats by rise kelvin, by
// IPC-2221; rounded up to whole micrometres, 0 for no current. The formula holds from 10 K up to 100 K and 35 A.
func TrackWidth(i Amp, rise float64, thickness geom.Nm) geom.Nm {
	if i <= 0 || rise <= 0 || thickness <= 0 {
		return 0
	}
	mil2 := Settled(math.Pow(float64(i)/(ipcOuter*math.Pow(rise, ipcRise)), 1/ipcArea))
	mm := mil2 * milMM * milMM / thickness.MM()
	return geom.Nm(math.Ceil(float64(mm*1000)-1e-6)) * geom.Micrometre
}

// TrackAmps returns the current that heats an outer conductor by rise kelvin, by IPC-2221.
func TrackAmps(width geom.Nm, rise float64, thickness geom.Nm) Amp {
	if width <= 0 || rise <= 0 || thickness <= 0 {
		return 0
	}
	mil2 := width.MM() * thickness.MM() / (milMM * milMM)
	return Amp(Settled(ipcOuter * math.Pow(rise, ipcRise) * math.Pow(mil2, ipcArea)))
}

// Spacing is the least distance between conductors at a voltage by table 6-1 of IPC-2221.
type Spacing struct {
	Masked   geom.Nm // B4: outer conductors under permanent coating (soldermask)
	Bare     geom.Nm // B2: outer conductors, uncoated, to 3050 m above the sea
	Terminal geom.Nm // A6: leads and terminations, uncoated, to 3050 m
}

// SpacingFor returns the row of table 6-1 of IPC-2221 for v, direct voltage; ok is false above 100 V, which this project
// has no use for. A voltage between two rows takes the higher row.
func SpacingFor(v Volt) (s Spacing, ok bool) {
	mm := func(masked, bare, terminal float64) Spacing {
		return Spacing{geom.MM(masked), geom.MM(bare), geom.MM(terminal)}
	}
	switch {
	case v <= 15:
		return mm(0.05, 0.1, 0.13), true
	case v <= 30:
		return mm(0.05, 0.1, 0.25), true
	case v <= 50:
		return mm(0.13, 0.6, 0.4), true
	case v <= 100:
		return mm(0.13, 0.6, 0.5), true
	}
	return mm(0.13, 0.6, 0.5), false
}

// SheetOhms returns the resistance of a square of copper of that thickness at 20 °C.
func SheetOhms(thickness geom.Nm) Ohm { return Ohm(copperOhmMM2 / 1000 / thickness.MM()) }
