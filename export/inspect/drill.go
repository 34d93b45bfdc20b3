package inspect

import (
	"strings"

	"lampblack/export"
)

// drills compares the holes with the copper: a land that its aperture calls a via's or a lead's must be drilled and plated.
// Lands of one kind on both sides of one place, which is how packs without attributes show them, must be too.
func (p *inspector) drills() {
	plated := false
	for _, d := range p.pack.Artwork.Drills {
		plated = plated || d.Plated && len(d.Hits) > 0
	}
	for _, d := range p.lands {
		through := d.a.Function == "ViaPad" || strings.HasPrefix(d.a.Function, "ComponentPad") || d.a.Function == "" && !d.pin && p.mirrored(d)
		if !through {
			continue
		}
		h, ok := p.holeOf(d.at)
		switch {
		case !ok:
			p.fail("inspect-no-hole", "copper for a hole lies here on both sides, but no file drills it").At(d.at.X.MM(), d.at.Y.MM()).
				Together("%d lands for holes are not drilled").Fix("add the drill file; if it is there, the files are not aligned")
		case !h.plated && d.a.Function != "":
			p.fail("inspect-not-plated", "the hole of %v in the land here is not plated", h.d).At(d.at.X.MM(), d.at.Y.MM()).
				Together("%d holes in lands are not plated").Fix("move it to the file of plated holes; perhaps the two were exchanged")
		}
	}
	for _, h := range p.holes {
		if h.plated && strings.HasPrefix(h.use, "MechanicalDrill") || !h.plated && (h.use == "ComponentDrill" || h.use == "ViaDrill") {
			p.fail("inspect-drill-use", "the hole of %v here says it is %s, which does not go with its file", h.d, h.use).At(h.at.X.MM(), h.at.Y.MM()).
				Together("%d holes say of themselves what does not go with their file").Fix("plated and unplated holes were perhaps exchanged")
		}
	}
	if plated || len(p.holes) > 0 {
		p.did("holes")
	}
}

// mirrored reports whether the same land is on the other side.
func (p *inspector) mirrored(d land) bool {
	return d.a.Shape == export.Circle && p.landAt.near(d.at, func(i int) bool {
		e := p.lands[i]
		return e.on != d.on && at(e.at, d.at) && e.a.Shape == d.a.Shape && e.a.W == d.a.W
	})
}
