package part

import "slices"

// Chemistry is a sort of battery cell.
type Chemistry struct {
	Name  string // as projects write it: "lead-acid"
	Empty Volt   // of a cell: discharge ends here
	Usual Volt   // of a cell through most of its discharge
	Full  Volt   // of a full cell at rest
	Most  Volt   // of a cell on its charger
	// Usable is the share of the capacity on the label that should be planned with: deeper discharge ages the cells (common
	// practice).
	Usable float64
	Cells  int // of the usual battery for 12 V
	Source string
}

// Chemistries returns the sorts of battery there are.
func Chemistries() []Chemistry {
	return []Chemistry{
		{
			"lead-acid", 1.75, 2.0, 12.7 / 6, 14.8 / 6, 0.5, 6,
			"10.5 / 12.0 / 14.8 V, and 12.6 to 12.8 V at rest, for six cells: references.md section 5; usable half: common practice",
		},
		{"li-ion", 3.0, 3.7, 4.2, 4.2, 0.8, 3, "cut-off 3.0, nominal 3.7, full 4.2 V: references.md section 5; usable share: common practice"},
		{
			"lifepo4", 2.5, 3.2, 3.4, 3.65, 0.8, 4,
			"nominal 3.2, full 3.65 V: references.md section 5; cut-off 2.5 V, 3.4 V at rest and usable share: from memory",
		},
	}
}

// FindChemistry returns the chemistry of that name.
func FindChemistry(name string) (Chemistry, bool) {
	all := Chemistries()
	i := slices.IndexFunc(all, func(c Chemistry) bool { return c.Name == name })
	if i < 0 {
		return Chemistry{}, false
	}
	return all[i], true
}

// Window returns the voltages of a battery of so many cells in series, from empty to on the charger.
func (c Chemistry) Window(cells int) Window {
	n := Volt(cells)
	return Window{c.Empty * n, c.Usual * n, c.Most * n}
}
