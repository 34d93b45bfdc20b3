package dxf

import (
	"math"
	"strconv"

	"lampblack/panel/diag"
)

// finish decides the unit, expands the blocks into the drawing and tells what happened.
func (p *parser) finish() {
	p.insertUnits()
	k := p.out.Units.MMPerUnit
	p.stopped = false // a limit hit while reading leaves what was read
	p.out.Entities = make([]Entity, 0, p.items.len())
	p.expand(p.items, place{m: scale(k, k)})
	p.items, p.blocks = nil, nil
	if p.out.Units.Assumed {
		// The size decides; so expand first and scale after.
		p.out.Units = p.guessUnits()
		if k := p.out.Units.MMPerUnit; k != 1 {
			p.out.Skipped = p.skips.list
			p.out = p.out.Scaled(k)
			p.skips.list = p.out.Skipped
		}
	}
	p.out.Skipped = p.skips.list
	p.skips.findings(p.name, &p.diags)
	if p.vertical > 0 {
		p.diags.Add(diag.Note, "dxf-vertical-text", "%s to run downwards, a letter below the other; along the line is how lettering is set here", plural(p.vertical, "text is", "texts are")).
			In(p.name, 0).Fix("write it as lines of one letter where it is to stand so")
	}
	for _, name := range p.shaped {
		p.diags.Add(diag.Note, "dxf-line-type-shapes", "the line type %s has shapes or letters in its gaps; the gaps are left open", quoted(name)).
			In(p.name, 0).Fix("draw the signs beside the line where they are to be engraved")
	}
	if p.fitted > 0 {
		p.diags.Add(diag.Note, "dxf-fit-points", "%d splines give only points to pass through; the curve between them is ours and may differ a little from the CAD program's", p.fitted).
			In(p.name, 0)
	}
	if n := p.aimless; n > 0 {
		p.diags.Add(diag.Note, "dxf-no-direction", "the extrusion of %s is (0, 0, 0), which is no direction; read as seen from above", things(n)).In(p.name, 0)
	}
	if n := p.weightless; n > 0 {
		p.diags.Add(diag.Note, "dxf-no-weights", "the weights of %s are zero or less, in a spline that says it has none; read without them", things(n)).In(p.name, 0)
	}
	if p.dec.guessed {
		p.diags.Add(diag.Note, "dxf-encoding", "texts are written in UTF-8 although the file declares %s; they were read as UTF-8", orNone(p.page)).In(p.name, 0)
	}
	if _, _, known := codePage(p.page); p.dec.broken || !known && !p.dec.utf8 && p.page != "" && p.dec.guessed {
		p.diags.Add(diag.Warning, "dxf-encoding", "some texts hold characters that the file's code page (%s) can't explain", orNone(p.page)).
			In(p.name, 0).Fix("look at the lettering, and export the drawing in version 2007 or later if it is wrong")
	}
	if len(p.out.Entities) == 0 && !p.diags.HasErrors() {
		f := p.diags.Add(diag.Error, "dxf-empty", "the drawing shows nothing").In(p.name, 0)
		if len(p.out.Skipped) > 0 {
			f.Fix("everything in it was left out: see the other findings")
		} else {
			f.Fix("look whether the panel was exported, and from model space")
		}
	}
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

func things(n int) string {
	if n == 1 {
		return "1 thing"
	}
	return strconv.Itoa(n) + " things"
}

func orNone(page string) string {
	if page == "" {
		return "no code page"
	}
	return page
}

// insertUnits takes the unit from the header.
func (p *parser) insertUnits() {
	u := &p.out.Units
	if !p.hasUnits {
		u.Why = "the file names no unit"
		return
	}
	u.Code = p.insunits
	if p.insunits <= 0 || p.insunits >= len(unitTable) {
		u.Why = "the file says unitless"
		if p.insunits != 0 {
			u.Why = "the file names a unit that doesn't exist"
		}
		return
	}
	t := unitTable[p.insunits]
	*u = Units{Code: p.insunits, Name: t.name, MMPerUnit: t.mm}
}

// guessUnits decides the unit by size, of a drawing that was read as if in mm: panels are 10 mm to 1 m large, and
// holes in them larger than 0.6 mm, so that most sizes leave only one choice.
func (p *parser) guessUnits() Units {
	u := p.out.Units
	b := p.out.Extents()
	size := max(b.W(), b.H())
	if b.Empty() || !(size > 0) {
		u.Why += "; nothing in it tells, mm assumed"
		return u
	}
	hole := math.Inf(1)
	for i := range p.out.Entities {
		if e := &p.out.Entities[i]; e.Type == "CIRCLE" {
			hole = min(hole, e.Path.Box().W())
		}
	}
	pick := func(code int, why string) Units {
		u.Name, u.MMPerUnit = unitTable[code].name, unitTable[code].mm
		u.Why += why
		return u
	}
	const inch, mm, metre = 1, 4, 6
	english := p.hasMeasure && p.measurement == 0
	switch {
	case size <= 0.4:
		return pick(metre, "; by its size metres are assumed")
	case size < 10 && !(hole >= 0.6 && hole < 1e9 && size >= 5):
		return pick(inch, "; by its size inches are assumed")
	case size <= 40 && hole < 0.6:
		return pick(inch, "; by the size of its holes inches are assumed")
	case size <= 40 && english && math.IsInf(hole, 1):
		return pick(inch, "; it is marked as English and of a size that fits inches")
	}
	return pick(mm, "; mm assumed, which fits its size")
}
