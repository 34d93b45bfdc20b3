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
	milMM    = geom.InchMM / 1000

	// wholeMicrometre is how much, in micrometres, a width may lie above a whole number and still count as it: what
	// logarithms leave in the last digits costs no track a micrometre.
	wholeMicrometre = 1e-6
)

// TrackWidth returns the width of an outer conductor of the given thickness that current i heats by rise kelvin, by
// IPC-2221; rounded up to whole micrometres, 0 for no current. The formula holds from 10 K up to 100 K and 35 A.
func TrackWidth(i Amp, rise float64, thickness geom.Nm) geom.Nm {
	if i <= 0 || rise <= 0 || thickness <= 0 {
		return 0
	}
	mil2 := Settled(math.Pow(float64(i)/(ipcOuter*math.Pow(rise, ipcRise)), 1/ipcArea))
	mm := mil2 * milMM * milMM / thickness.MM()
	um := float64(mm * float64(geom.Millimetre/geom.Micrometre))
	return geom.Nm(math.Ceil(um-wholeMicrometre)) * geom.Micrometre
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

// spacingRow is a row of the table: up to that voltage, in mm.
type spacingRow struct {
	upTo                   Volt
	masked, bare, terminal float64
}

// spacingRows are the rows of table 6-1 of IPC-2221 up to 100 V, columns B4, B2 and A6 (references.md section 3).
func spacingRows() []spacingRow {
	return []spacingRow{
		{15, 0.05, 0.1, 0.13},
		{30, 0.05, 0.1, 0.25},
		{50, 0.13, 0.6, 0.4},
		{100, 0.13, 0.6, 0.5},
	}
}

// SpacingFor returns the row of table 6-1 of IPC-2221 for v, direct voltage; ok is false above 100 V, which this project
// has no use for. A voltage between two rows takes the higher row.
func SpacingFor(v Volt) (s Spacing, ok bool) {
	for _, r := range spacingRows() {
		s = Spacing{geom.MM(r.masked), geom.MM(r.bare), geom.MM(r.terminal)}
		if v <= r.upTo {
			return s, true
		}
	}
	return s, false
}

// SheetOhms returns the resistance of a square of copper of that thickness at 20 °C.
func SheetOhms(thickness geom.Nm) Ohm { return Ohm(copperOhmMM2 / mmPerMetre / thickness.MM()) }
