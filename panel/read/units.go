package read

import (
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// inUnit returns the drawing in the unit that is asked for, "" as it says itself; an assumed unit is told.
func inUnit(d dxf.Drawing, unit string) (dxf.Drawing, findings) {
	var said findings
	u := d.Units
	if unit == "" {
		if u.Assumed && len(d.Entities) > 0 {
			b := d.Extents()
			said.add(diag.Warning, "dxf-units-assumed", nil, "%s (%.4g x %.4g mm in all)", u.Why, b.W(), b.H()).
				About("units").Fix("if that is wrong, state the unit in the project file (units: %s), or set it in the CAD program and export again", unitInstead(u)).
				By("it is drawn in "+unitInstead(u), diag.Set, "units", unitInstead(u)).
				By("it is drawn in "+unitKnown(u)+", as assumed", diag.Set, "units", unitKnown(u))
		}
		return d, said
	}
	want, ok := dxf.UnitNamed(unit)
	if !ok {
		said.add(diag.Error, "panel-unknown-unit", nil, "there is no unit %q", unit).
			About("units").Fix("use mm, cm, m, inch, mil or another unit of the DXF format")
		return d, said
	}
	if want.MMPerUnit != u.MMPerUnit && u.MMPerUnit > 0 {
		d = d.Scaled(want.MMPerUnit / u.MMPerUnit)
		said.add(diag.Note, "panel-unit-override", nil, "the drawing is read in %s as the project says, not in %s", want.Name, u.Name).About("units")
	}
	want.Code = u.Code
	d.Units = want
	return d, said
}

// unitInstead is what a drawing is in that is not in the unit it was taken for: mm, or inches.
func unitInstead(u dxf.Units) string {
	if u.Name == "mm" {
		return "inch"
	}
	return "mm"
}

// unitKnown is the unit that a drawing was taken for, as the project file has it.
func unitKnown(u dxf.Units) string {
	if u.Name == "mm" {
		return "mm"
	}
	return "inch"
}
