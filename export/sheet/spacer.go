package sheet

import (
	"context"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// joint is the room round a pad for its solder, and for the lead's end: common practice.
const joint = 500 * geom.Micrometre

// Spacer returns the sheet that keeps a board off the LED sheet: of the board's shape, with a hole for each LED's body and leads,
// for the joints that stand out on the LED side, and for the screws: where the LED sheet has a slot for one, of is its panel, the same.
func Spacer(ctx context.Context, b board.Board, of panel.Panel, opt Options) Sheet {
	p := panel.Panel{Name: b.Name, Outline: b.Outline}
	var leds, joints []geom.Contour
	for _, part := range b.Parts {
		if part.On == geom.Top {
			leds = append(leds, geom.Circle(part.At, 2*reach(part)))
			continue
		}
		for _, pad := range part.Pads {
			if pad.Through {
				joints = append(joints, geom.Circle(pad.At, max(pad.W, pad.H)+2*joint))
			}
		}
	}
	var screws []geom.Contour
	slots := of.MountCuts(panel.LEDSheet)
	for _, h := range b.Holes {
		if k := slices.IndexFunc(of.Mounts, func(m panel.Hole) bool { return m.At == h.At }); k >= 0 {
			screws = append(screws, slots[k])
		} else {
			screws = append(screws, geom.Circle(h.At, h.D))
		}
	}
	return made(ctx, p, "spacer sheet", opt, nil, leds, joints, screws, b.Cutouts)
}

// reach is how far a part's courtyard reaches from its middle.
func reach(p board.Part) geom.Nm {
	d := 0.0
	for _, q := range p.Courtyard {
		d = max(d, p.At.Dist(q))
	}
	return geom.Nm(math.Ceil(d))
}

// CheckSpacer tells what will not come out of a spacer sheet. Positions are in the panel frame.
func CheckSpacer(b board.Board, s Sheet) diag.List {
	var l diag.List
	if n := len(s.cut.outer); n > 1 {
		l.Add(diag.Warning, "sheet-falls-apart", "the holes for LEDs and joints part the spacer sheet into %d pieces", n).
			Of(b.Name).About(diag.PanelKey(b.Name, "spacer_sheet"), "defaults.spacer_sheet").
			Fix("use loose spacers on the screws instead, or glue the pieces that hold something onto the LED sheet")
	}
	return l
}
