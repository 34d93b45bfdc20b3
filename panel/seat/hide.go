package seat

import (
	"fmt"
	"math"
	"strconv"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// hides is the share of a text or a symbol that may be covered untold: what a stroke's end loses under a knob's rim.
const hides = 0.05

// Hidden tells lettering that lies below what stands in front of the face: nuts, washers and flanges, which cover it for good, and
// knobs, whose sizes are typical ones; of each control what it hides most of. Texts and symbols are the engraved areas of the
// panel's, in the panel frame.
func Hidden(p panel.Panel, texts, symbols []geom.Region) diag.List {
	j := judging{p: p}
	for _, c := range p.Controls {
		var lid, knob cover
		for _, q := range Pieces(p, c) {
			over := &lid
			switch q.What {
			case Nut, Washer, Flange:
			case Handle:
				over = &knob
			default:
				continue
			}
			if q.From >= 0 {
				continue
			}
			for i, g := range texts {
				over.try(q, g, func() string { return strconv.Quote(p.Lettering[i].Text) })
			}
			for i, g := range symbols {
				if p.Symbols[i].Window { // whose glow may come from under a knob
					continue
				}
				over.try(q, g, func() string { return p.Symbols[i].Said() })
			}
		}
		switch {
		case lid.share > 0:
			j.add(diag.Warning, "control-over-lettering", c, "its %s, %v across, covers %s", lid.by.What, lid.by.Shape.Box().W(), lid).
				Together("nuts, washers or flanges of %d controls cover lettering").Fix("move the lettering out from under it; control_kinds tells its real sizes")
		case knob.share > 0:
			j.add(diag.Note, "control-over-lettering", c, "a %s hides %s from who looks straight at it", said(c, knob.by), knob).
				Together("knobs or handles of %d controls hide lettering").Fix("take a smaller one, or move the lettering; control_kinds tells its real size (handle)")
		}
	}
	return j.l.WithPanel(p.Name)
}

// cover is what hides most of a text or a symbol.
type cover struct {
	by    Piece
	share float64 // of its area
	what  string
}

// try takes a piece over an engraved area if it hides more of that than what there is does of another.
func (c *cover) try(q Piece, g geom.Region, what func() string) {
	if !q.Shape.Box().Touches(g.Box()) {
		return
	}
	whole := g.Area()
	if share := g.And(geom.NewRegion(q.Shape.Ring(geom.FlattenTolerance))).Area(); whole > 0 && share/whole > max(hides, c.share) {
		*c = cover{q, share / whole, what()}
	}
}

func (c cover) String() string { return fmt.Sprintf("%.0f %% of %s", math.Ceil(100*c.share), c.what) }
