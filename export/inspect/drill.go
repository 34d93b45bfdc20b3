package inspect

import (
	"slices"
	"strconv"
	"strings"

	"lampblack/export"
	"lampblack/export/readback"
)

// drills compares the holes with the copper: a land that its aperture calls a via's or a lead's must be drilled and plated.
// Lands of one kind on both sides of one place, which is how packs without attributes show them, must be too.
func (p *inspector) drills() {
	p.spans()
	p.twice()
	plated := false
	for _, d := range p.pack.Artwork.Drills {
		plated = plated || d.Plated && len(d.Hits) > 0
	}
	for _, d := range p.lands {
		if p.own && !d.pin && strings.HasPrefix(d.a.Function, "ComponentPad") {
			p.fail("inspect-pad-unnamed", "the land here is called a part's (%s), but names neither part nor pin", d.a.Function).At(d.at.X.MM(), d.at.Y.MM()).
				Together("%d lands are called parts', but name none").Fix("write the pack anew")
		}
		through := d.a.Function == "ViaPad" || strings.HasPrefix(d.a.Function, "ComponentPad") || d.a.Function == "" && !d.pin && p.mirrored(d)
		if !through {
			continue
		}
		h, ok := p.holeOf(d.at)
		switch {
		case !ok && d.a.Function == "" && p.ringed(d):
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

// spans checks that the holes go through all layers of copper: each drill file says from which layer to which, and how
// (The Gerber Layer Format Specification 2021.02, 5.6.3).
func (p *inspector) spans() {
	copper := 0
	for _, l := range append(slices.Clone(p.pack.Artwork.Layers), p.pack.Others...) {
		if v, _ := readback.Attribute(l.FileAttributes, ".FileFunction"); len(v) > 0 && v[0] == "Copper" {
			copper++
		}
	}
	for _, e := range p.pack.Files {
		v, _ := readback.Attribute(e.Drill.FileAttributes, ".FileFunction")
		if e.Kind != "drill" || len(v) < 3 || copper == 0 {
			continue
		}
		from, err := strconv.Atoi(v[1])
		to, also := strconv.Atoi(v[2])
		blind := len(v) > 3 && (v[3] == "Blind" || v[3] == "Buried")
		if err != nil || also != nil || from < 1 || to > copper || from >= to || copper == 2 && blind || !blind && (from != 1 || to != copper) {
			p.fail("inspect-span", "%s says that its holes are %s, and the pack has %d layers of copper", e.Name, strings.Join(v, ","), copper).In(e.Name, 0).
				Fix("holes go through all layers: of a board of two from 1 to 2, as PTH or NPTH")
		}
	}
}

// twice checks that no place is drilled two times: the second hole finds no hold for the drill, and which width is meant nobody knows.
func (p *inspector) twice() {
	for i, h := range p.holes {
		p.w.Step()
		other := -1
		p.holeAt.At(h.at, func(k int) bool {
			if k < i {
				other = k
			}
			return other >= 0
		})
		if other >= 0 {
			p.doubt("inspect-drilled-twice", "the hole of %v here is drilled once more, %v wide", h.d, p.holes[other].d).At(h.at.X.MM(), h.at.Y.MM()).
				Together("%d holes are drilled twice").Fix("leave one of them out")
		}
	}
}

// ringed reports whether a land is a fiducial by its looks: round, no point of the netlist, and the soldermask open half as wide
// again or more, as machines want it (a pad's opening is some tenths wider).
func (p *inspector) ringed(d land) bool {
	if d.a.Shape != export.Circle || slices.ContainsFunc(p.pack.Netlist.Points, func(t readback.Point) bool { return at(t.At, d.at) }) {
		return false
	}
	l, ok := p.pack.Artwork.Layer(export.SoldermaskTop + export.Function(d.on))
	return ok && slices.ContainsFunc(l.Objects, func(o export.Object) bool {
		q, a, is := readback.LandOf(l, o)
		return is && at(q, d.at) && 2*a.W >= 3*d.a.W
	})
}

// mirrored reports whether the same land is on the other side.
func (p *inspector) mirrored(d land) bool {
	return d.a.Shape == export.Circle && p.landAt.At(d.at, func(i int) bool {
		e := p.lands[i]
		return e.on != d.on && e.a.Shape == d.a.Shape && e.a.W == d.a.W
	})
}
