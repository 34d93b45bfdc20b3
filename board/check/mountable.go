package check

import (
	"fmt"
	"strings"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Space is the room that a board has where it is built in; 0 is not known.
type Space struct {
	Behind geom.Nm // behind its bottom
	Sheet  geom.Nm // from its top to the LED sheet
}

// Joints stand out from a board on the side they are soldered on, and so do the ends of leads on the other: wire ends are cut
// to about 1.5 mm, the pins of connectors come through 2 mm: common practice.
const (
	cutLead  = 1500 * geom.Micrometre
	stiffPin = 2000 * geom.Micrometre
)

// Mountable judges whether the board can be built in: on the LED side is nothing but LEDs and joints, no higher than the
// distance to the LED sheet, and nothing is taller than the space behind. Parts over the edge, over bodies or in openings are
// Audit's.
func Mountable(b board.Board, s Space) diag.List {
	var l diag.List
	tall := fmt.Sprintf("%%d parts or their joints are taller than the %v behind the board", s.Behind)
	own := func(key string) []string { return []string{diag.PanelKey(b.Name, key), "defaults." + key} }
	for _, p := range b.Parts {
		x, y := p.At.X.MM(), p.At.Y.MM()
		if p.On == geom.Top && p.Kind != board.LED {
			l.Add(diag.Error, "check-part-on-top", "%s is on the LED side, where the sheets are", p.Ref).
				OfPart(p.Ref).At(x, y).Fix("put it on the bottom")
		}
		if p.On == geom.Bottom && p.Kind == board.LED {
			l.Add(diag.Error, "check-led-below", "%s is on the bottom and shines away from the panel", p.Ref).
				OfPart(p.Ref).At(x, y).Fix("put it on the top")
		}
		if s.Behind > 0 && p.On == geom.Bottom && p.Height > s.Behind {
			f := l.Add(diag.Error, "check-too-tall", "%s (%s) is %v tall, and behind the board are only %v", p.Ref, p.Footprint, p.Height, s.Behind).
				OfPart(p.Ref).About(own("space_behind")...).At(x, y).Together(tall)
			if p.Kind == board.Connector {
				f.Fix("use a lower connector (wire-pads are the lowest), or make room behind")
			} else {
				f.Fix("use resistors 1206 or 0805, which lie flat, or make room behind")
			}
		}
		stub := geom.Nm(0)
		for _, pad := range p.Pads {
			if pad.Through {
				stub = cutLead
				if p.Kind == board.Connector && !strings.HasPrefix(p.Footprint, "wire-pads") {
					stub = stiffPin
				}
			}
		}
		switch {
		case stub == 0 && p.Kind == board.LED && s.Sheet > 0 && p.Height > s.Sheet:
			l.Add(diag.Warning, "check-led-under-sheet", "%s is %v high, and the LED sheet is only %v away", p.Ref, p.Height, s.Sheet).
				OfPart(p.Ref).About(own("sheet_distance")...).At(x, y).
				Together("%d LEDs are higher than the way to the LED sheet").
				Fix("make its hole large enough to take the whole body in, or use longer spacers")
		case stub > 0 && p.On == geom.Bottom && s.Sheet > 0 && stub > s.Sheet:
			l.Add(diag.Warning, "check-joint-under-sheet", "the joints of %s stand about %v out of the LED side, and the LED sheet is only %v away", p.Ref, stub, s.Sheet).
				OfPart(p.Ref).About(own("sheet_distance")...).At(x, y).
				Together("the joints of %d parts stand farther out of the LED side than the LED sheet is away").
				Fix("cut its leads flush with the solder, use a surface-mount part, longer spacers, or mill a pocket into the sheet")
		case stub > 0 && p.On == geom.Top && s.Behind > 0 && stub > s.Behind:
			l.Add(diag.Error, "check-too-tall", "the joints of %s stand about %v out of the bottom, and behind the board are only %v", p.Ref, stub, s.Behind).
				OfPart(p.Ref).About(own("space_behind")...).At(x, y).
				Together(tall).Fix("make room behind, or use surface-mount LEDs")
		}
	}
	return l.Sorted().Capped(most)
}
