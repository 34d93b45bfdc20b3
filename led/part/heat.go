package part

// What heat takes from parts.
const (
	// A resistor carries its rating up to 70 °C, and from there on less in a straight line, nothing at 155 °C: the derating curve of
	// film resistors tested to IEC 60115-1 (references.md section 17).
	resistorFull = 70.0
	resistorNone = 155.0

	// An LED carries its greatest current up to 50 °C, and from there on less in a straight line, nothing at the 110 °C that its
	// junction stands: the radial 3 mm lamps of references.md section 17, 30 mA less 0.5 mA/K above 50 °C.
	UsualDeratedFrom = 50.0
	usualNone        = 110.0
)

// ResistorShare returns the share of its rating that a resistor carries at an ambient temperature, °C.
func ResistorShare(celsius float64) float64 {
	return min(1, max(0, (resistorNone-celsius)/(resistorNone-resistorFull)))
}

// Stands returns the greatest current that the LED stands for good at an ambient temperature, °C; 0 where it stands none.
func (k LED) Stands(celsius float64) Amp {
	from, by := k.derating()
	if celsius <= from {
		return k.IMax
	}
	return Amp(max(0, float64(k.IMax)-float64(by*(celsius-from))))
}

// Cool returns the highest ambient temperature, °C, at which the LED stands current i; below its greatest current.
func (k LED) Cool(i Amp) float64 {
	from, by := k.derating()
	if by <= 0 || i >= k.IMax {
		return from
	}
	return from + float64(k.IMax-i)/by
}

// derating returns from which temperature on, °C, and by how much for each kelvin, A, the greatest current falls.
func (k LED) derating() (from, by float64) {
	from, by = k.DeratedFrom, float64(k.DeratedBy)
	if from == 0 {
		from = UsualDeratedFrom
	}
	if by == 0 {
		by = float64(k.IMax) / max(usualNone-from, 1)
	}
	return from, by
}
